//! Puts a problem to the planner and judges the answer: its plan is walked, its claims are compared with the walk.
#![allow(dead_code, reason = "each test program uses a part of it")]

pub(crate) mod wide;

use plan::{Cause, Progress, Sequence, Setup, SetupMode, Table, Test, Tree, sequence};

use crate::exact::Problem;
use crate::exact::walk::{Plan, Worth, worth};

/// Sums of a few thousand doubles, each costs times probabilities: rounding stays far below.
pub(crate) const ROUNDING: f64 = 1e-9;

/// What the planner answered, and what its plan comes to when it is walked.
pub(crate) struct Answer {
    pub(crate) sequence: Sequence,
    pub(crate) worth: Worth,
    /// What was reported on the way.
    pub(crate) progress: Vec<Progress>,
}

/// The planner's answer when it may go on to the end.
pub(crate) fn plan_to_the_end(what: &str, problem: &Problem) -> Answer {
    plan_until(what, problem, usize::MAX)
}

/// The planner's answer when it is stopped once it reports this many nodes. Whatever the problem and the time: the plan is
/// legal, costs what is claimed, and lies above its bound; and no report takes back what an earlier one promised.
pub(crate) fn plan_until(what: &str, problem: &Problem, nodes: usize) -> Answer {
    let mut progress: Vec<Progress> = Vec::new();
    let mut keep_going = |now: &Progress| {
        progress.push(*now);
        now.nodes < nodes
    };
    let sequence = sequence(&table(problem), &mut keep_going).unwrap_or_else(|why| panic!("{what}: {why:?}"));
    let worth = worth(problem, &plan(problem, &sequence.tree))
        .unwrap_or_else(|fault| panic!("{what}: {fault}\n{:?}", sequence.tree));
    let slack = ROUNDING * worth.cost.max(1.0);
    let (claimed, bound) = (sequence.expected_cost, sequence.lower_bound);
    assert!(
        (claimed - worth.cost).abs() <= slack,
        "{what}: claims {claimed}, costs {}",
        worth.cost
    );
    assert!(
        bound <= claimed + slack,
        "{what}: the bound {bound} lies above {claimed}"
    );
    assert!(
        !sequence.optimal || claimed <= bound + slack,
        "{what}: said to be proven, but {bound} < {claimed}"
    );
    for pair in progress.windows(2) {
        let better = pair[1].expected_cost <= pair[0].expected_cost + slack;
        assert!(
            better && pair[1].lower_bound + slack >= pair[0].lower_bound,
            "{what}: {pair:?}"
        );
    }
    Answer {
        sequence,
        worth,
        progress,
    }
}

/// The problem as the planner's table; every repair there cures one cause.
pub(crate) fn table(problem: &Problem) -> Table {
    let mut causes: Vec<Cause> = (1..)
        .zip(&problem.priors)
        .map(|(number, prior)| Cause {
            name: format!("c{number}"),
            prior: *prior,
            repair: None,
            repair_setup: None,
        })
        .collect();
    for repair in &problem.repairs {
        let [cause] = repair.cures[..] else {
            panic!("{repair:?} does not fit a table");
        };
        causes[cause].repair = Some(repair.cost);
        causes[cause].repair_setup = repair.setup;
    }
    let test = |(number, test): (usize, &crate::exact::Test)| Test {
        name: format!("t{number}"),
        cost: test.cost,
        setup: test.setup,
        positive: test.positive.clone(),
    };
    let setup = |(number, cost): (usize, &f64)| Setup {
        name: format!("s{number}"),
        cost: *cost,
    };
    Table {
        causes,
        tests: (1..).zip(&problem.tests).map(test).collect(),
        setups: (1..).zip(&problem.setups).map(setup).collect(),
        mode: if problem.stays {
            SetupMode::Stays
        } else {
            SetupMode::OneAtATime
        },
        verify: problem.verify,
        wrong_cost: problem.wrong_cost,
    }
}

/// The planner's tree in the yardstick's words: a table knows repairs by the cause they cure.
pub(crate) fn plan(problem: &Problem, tree: &Tree) -> Plan {
    let then = |tree: &Tree| Box::new(plan(problem, tree));
    match tree {
        Tree::Test {
            test,
            positive,
            negative,
        } => Plan::Test {
            test: *test,
            positive: then(positive),
            negative: then(negative),
        },
        Tree::Repair { cause, otherwise } => Plan::Repair {
            repair: problem
                .repairs
                .iter()
                .position(|repair| repair.cures == [*cause])
                .unwrap_or(usize::MAX),
            otherwise: otherwise.as_deref().map(then),
        },
        Tree::Causes(causes) => Plan::Causes(causes.clone()),
    }
}
