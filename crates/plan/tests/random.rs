//! The planner beside the yardstick on drawn problems of every kind: to the end, and stopped early.
#![allow(clippy::unwrap_used, reason = "tests")]

mod exact;
mod planner;

use exact::draw::{Kind, draw, draw_sized};
use exact::{Problem, optimum};
use planner::{Answer, ROUNDING, plan_to_the_end, plan_until};

/// Drawn problems of each kind; seeds below are the yardstick's own tests.
const OF_EACH_KIND: u64 = 150;
const FIRST_SEED: u64 = 1000;

/// A drawn problem with its name and its optimum.
fn drawn() -> Vec<(String, Problem, f64)> {
    let seeds = FIRST_SEED..FIRST_SEED + OF_EACH_KIND;
    let one = |kind: Kind, seed: u64| {
        let problem = draw(kind, seed);
        let least = optimum(&problem);
        (format!("{kind:?} {seed}"), problem, least)
    };
    let kinds = Kind::ALL.into_iter();
    kinds
        .flat_map(|kind| seeds.clone().map(move |seed| one(kind, seed)))
        .collect()
}

/// The optimum lies between what the answer claims to be unbeatable and what its plan costs, and at both if it is proven.
fn check(what: &str, answer: &Answer, least: f64) {
    let slack = ROUNDING * least.max(1.0);
    let (cost, bound) = (answer.worth.cost, answer.sequence.lower_bound);
    assert!(
        least <= cost + slack,
        "{what}: the plan costs {cost}, less than the optimum {least}"
    );
    assert!(
        bound <= least + slack,
        "{what}: the bound {bound} lies above the optimum {least}"
    );
    assert!(
        !answer.sequence.optimal || cost <= least + slack,
        "{what}: {cost} is said to be the optimum, which is {least}"
    );
}

#[test]
fn to_the_end_it_is_the_optimum() {
    for (what, problem, least) in drawn() {
        let answer = plan_to_the_end(&what, &problem);
        assert!(answer.sequence.optimal, "{what}: not proven");
        check(&what, &answer, least);
    }
}

/// How far above the optimum, at most on average and at worst, and how often it is met.
struct Excess {
    mean: f64,
    worst: f64,
    worst_case: String,
}

fn excess(problems: &[(String, Problem, f64)], nodes: usize) -> Excess {
    let (mut sum, mut worst, mut worst_case) = (0.0, 0.0, String::new());
    for (what, problem, least) in problems {
        let answer = plan_until(what, problem, nodes);
        check(what, &answer, *least);
        // A problem that costs nothing is solved or not; there is no ratio.
        let above = if *least > ROUNDING {
            answer.worth.cost / least - 1.0
        } else {
            answer.worth.cost
        };
        sum += above;
        if above > worst {
            (worst, worst_case) = (above, what.clone());
        }
    }
    Excess {
        mean: sum / problems.len() as f64,
        worst,
        worst_case,
    }
}

/// The target of the design: a plan in time is within 1 % of the optimum; here on average, and within 5 % at worst.
fn check_excess(what: &str, problems: &[(String, Problem, f64)], nodes: usize) {
    let found = excess(problems, nodes);
    assert!(
        found.mean <= 0.01,
        "{what}: {} above the optimum on average",
        found.mean
    );
    assert!(
        found.worst <= 0.05,
        "{what}: {} above the optimum for {}",
        found.worst,
        found.worst_case
    );
}

/// Nodes of a search that is stopped early: a millisecond or less on problems of this size.
const FEW: usize = 1000;

#[test]
fn stopped_early_it_is_near_the_optimum() {
    check_excess("drawn problems", &drawn(), FEW);
}

/// Problems as large as the yardstick can solve in a moment.
#[test]
fn stopped_early_on_larger_problems() {
    let larger = [
        (Kind::Isolate, 16, 14),
        (Kind::Noisy, 8, 9),
        (Kind::RepairsAndTests, 10, 10),
        (Kind::RepairsAndNoisyTests, 6, 5),
    ];
    for (kind, causes, tests) in larger {
        let one = |seed: u64| {
            let problem = draw_sized(kind, causes, tests, seed);
            let least = optimum(&problem);
            (format!("{kind:?} {causes} x {tests}, {seed}"), problem, least)
        };
        let problems: Vec<_> = (0..6).map(one).collect();
        check_excess(&format!("{kind:?} {causes} x {tests}"), &problems, 1000);
    }
}

/// The same question gets the same answer, tree and all.
#[test]
fn the_same_answer_every_time() {
    for kind in Kind::ALL {
        let problem = draw(kind, FIRST_SEED);
        let [one, other] = [FEW, FEW].map(|nodes| plan_until("twice", &problem, nodes).sequence);
        assert_eq!(one, other, "{kind:?}");
    }
}

/// Even the first answer is a plan, for every kind.
#[test]
fn stopped_at_once_there_is_a_plan() {
    for (what, problem, least) in drawn() {
        check(&what, &plan_until(&what, &problem, 0), least);
    }
}
