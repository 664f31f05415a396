//! The yardstick itself against published and independently computed optima, so that the planner's tests lean on something
//! that has been checked. The references were solved by other programs (`references/scripts/exact.py`, a recursion without
//! memory, brute force over all orders).
#![allow(clippy::unwrap_used, reason = "tests")]
#![allow(
    clippy::float_cmp,
    reason = "outcomes of exactly 0 and 1, costs of whole numbers"
)]

mod exact;

use exact::draw::{Kind, draw};
use exact::examples::{classes, closed_panels, dependent_actions};
use exact::read::{list, number, numbers, problem, reference};
use exact::walk::{Plan, worth};
use exact::{Problem, best_plan, optimum, states};
use serde_json::Value;

/// The files give 12 digits of costs below 1000; the sums behind them hold a few hundred terms.
const TWELVE_DIGITS: f64 = 1e-9;

/// The optimum is as expected, and the plan that reaches it costs just that when it is walked.
fn check(what: &str, problem: &Problem, expected: f64) {
    let found = optimum(problem);
    let walked = worth(problem, &best_plan(problem)).unwrap_or_else(|fault| panic!("{what}: {fault}"));
    for cost in [found, walked.cost] {
        let error = (cost - expected).abs() / expected.max(1.0);
        assert!(
            error <= TWELVE_DIGITS,
            "{what}: found {cost}, expected {expected}"
        );
    }
}

/// Invented instances of every kind, solved by three other exact programs (see the file).
#[test]
fn every_table_of_the_references() {
    let file = reference("sequencing.json");
    let cases = list(&file["cases"]);
    assert_eq!(cases.len(), 61);
    for case in cases {
        let what = format!("{} {}", case["kind"], case["seed"]);
        check(&what, &problem(&case["input"]), number(&case["optimal_cost"]));
    }
}

/// Each entry names its source in the file: Pattipati and Alexandridis 1990, Balakrishnan and Semmelbauer 1999, Kadane and
/// Simon 1977, Heckerman, Breese and Rommelse 1995, Ottosen and Jensen 2010, and invented ones.
#[test]
fn every_worked_example_that_is_a_table() {
    let file = reference("diagnosis_examples.json");
    let entries = list(&file["sequencing"]).iter().chain(list(&file["repairs"]));
    let tables: Vec<&Value> = entries.filter(|entry| entry["case"].is_object()).collect();
    assert_eq!(tables.len(), 12);
    for entry in tables {
        let what = entry["name"].to_string();
        check(&what, &problem(&entry["case"]), number(&entry["optimal_cost"]));
    }
}

/// Sources beside each in `exact/examples.rs`.
#[test]
fn repairs_that_cure_several_causes() {
    check("dependent actions", &dependent_actions(), 1.45);
    check("closed panels", &closed_panels(), 11.53);
    for (number, (problem, expected)) in classes().iter().enumerate() {
        check(&format!("classes, costs {number}"), problem, *expected);
    }
}

/// Priors, costs and outcomes of `problem`, multiplied out over all orders in which a plan may take its tests and repairs,
/// without memory: the definition itself, for problems small enough.
fn by_definition(problem: &Problem, weights: &[f64], done: u64, open: u64) -> f64 {
    let total: f64 = weights.iter().sum();
    if total < exact::NEVER {
        return 0.0;
    }
    let undone = |test: &usize| done >> test & 1 == 0;
    let left = (0..problem.tests.len()).filter(undone);
    let mut best = match problem.wrong_cost {
        _ if !problem.repairs.is_empty() => f64::INFINITY,
        Some(wrong) => wrong * (total - weights.iter().copied().fold(0.0, f64::max)),
        None if left
            .clone()
            .any(|test| exact::tells_apart(&problem.tests[test], weights)) =>
        {
            f64::INFINITY
        }
        None => 0.0,
    };
    for number in left {
        let test = &problem.tests[number];
        let (entering, after) = problem.enter(open, test.setup);
        let share = |sign: f64, p: f64| if sign > 0.0 { p } else { 1.0 - p };
        let later = [1.0, -1.0].map(|sign| {
            let weights: Vec<f64> = weights
                .iter()
                .zip(&test.positive)
                .map(|(w, p)| w * share(sign, *p))
                .collect();
            by_definition(problem, &weights, done | 1 << number, after)
        });
        best = best.min((entering + test.cost) * total + later[0] + later[1]);
    }
    for repair in &problem.repairs {
        let mut weights = weights.to_vec();
        repair.cures.iter().for_each(|&cause| weights[cause] = 0.0);
        if weights.iter().sum::<f64>() < total {
            let (entering, after) = problem.enter(open, repair.setup);
            let here = (entering + repair.cost + problem.verify) * total;
            best = best.min(here + by_definition(problem, &weights, done, after));
        }
    }
    best
}

/// Drawn problems of every kind, as the planner will get them: memory and its economies change no cost.
#[test]
fn drawn_problems_cost_what_the_definition_says() {
    let mut compared = 0;
    for kind in Kind::ALL {
        for seed in 0..60 {
            let problem = draw(kind, seed);
            let actions = problem.tests.len() + problem.repairs.len();
            if actions <= 6 {
                let expected = by_definition(&problem, &problem.priors, 0, 0);
                check(&format!("{kind:?} {seed}"), &problem, expected);
                compared += 1;
            }
        }
    }
    assert!(compared > 150, "only {compared} were small enough");
}

/// The drawing keeps to sizes that the yardstick can solve.
#[test]
fn drawn_problems_stay_small() {
    for kind in Kind::ALL {
        let most = (0..60).map(|seed| states(&draw(kind, seed))).max().unwrap();
        assert!((10..=60_000).contains(&most), "{kind:?}: {most} states");
    }
}

/// Two causes, one test between them, and what a walk says of plans that are none.
#[test]
fn a_walk_refuses_what_is_no_plan() {
    let problem = Problem::isolate(&[0.5, 0.5], &[1.0], &[vec![1.0, 0.0]]);
    let leaf = |causes: &[usize]| Box::new(Plan::Causes(causes.to_vec()));
    let test = |positive, negative| Plan::Test {
        test: 0,
        positive,
        negative,
    };
    let refused = |problem: &Problem, plan: &Plan, why: &str| {
        let said = worth(problem, plan).unwrap_err();
        assert!(said.contains(why), "{said}");
    };
    assert_eq!(worth(&problem, &test(leaf(&[0]), leaf(&[1]))).unwrap().cost, 1.0);
    refused(&problem, &leaf(&[0, 1]), "tells them apart");
    refused(&problem, &test(leaf(&[1]), leaf(&[0])), "where [0] are left");
    let again = Box::new(test(leaf(&[0]), leaf(&[1])));
    refused(&problem, &test(again, leaf(&[1])), "twice");

    let priced = Problem {
        wrong_cost: Some(8.0),
        ..problem.clone()
    };
    assert_eq!(worth(&priced, &leaf(&[1])).unwrap().cost, 4.0);
    refused(&priced, &leaf(&[0, 1]), "one cause is to be named");

    let repairs = problem.with_repairs(&[3.0, 4.0]);
    let repair = |repair, otherwise| Plan::Repair { repair, otherwise };
    let both = repair(0, Some(Box::new(repair(1, None))));
    assert_eq!(worth(&repairs, &both).unwrap().cost, 5.0);
    refused(&repairs, &repair(0, None), "not cured");
    refused(&repairs, &leaf(&[0]), "not repaired");
}

/// Pattipati and Alexandridis 1990 for the problem, matrix from memory: 2.18, where the largest gain first costs 2.86; with
/// each test forced to be first.
#[test]
fn six_causes_with_each_test_first() {
    let file = reference("diagnosis_examples.json");
    let six = &file["sequencing"][0];
    let problem = problem(&six["case"]);
    for (first, expected) in numbers(&six["optimal_cost_if_first"]).into_iter().enumerate() {
        let side = |positive: bool| {
            let keeps = |p: f64| f64::from(u8::from((p == 1.0) == positive));
            let kept = problem
                .priors
                .iter()
                .zip(&problem.tests[first].positive)
                .map(|(w, p)| w * keeps(*p))
                .collect();
            optimum(&Problem {
                priors: kept,
                ..problem.clone()
            })
        };
        let found = 1.0 + side(true) + side(false);
        assert!(
            (found - expected).abs() < TWELVE_DIGITS,
            "test {first} first: {found}, {expected}"
        );
    }
}
