//! The planner on an abstract table.

mod read;
mod table;

pub use read::{explain, read_table};
pub use table::{Cause, Setup, SetupMode, Table, Test};

use crate::ground::Ground;
use crate::problem::{self, Effect, Ending, Problem, Repair};
use crate::search::Progress;
use crate::solve::solve;
use crate::step::Step;

/// The best plan found for a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Sequence {
    /// Its expected cost.
    pub expected_cost: f64,
    /// Cost that no plan beats.
    pub lower_bound: f64,
    /// `true` if the plan is proven best.
    pub optimal: bool,
    /// The plan.
    pub tree: Tree,
}

/// A plan for a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Tree {
    /// Make a test.
    Test {
        /// Index of the test.
        test: usize,
        /// What follows a positive outcome.
        positive: Box<Tree>,
        /// What follows a negative one.
        negative: Box<Tree>,
    },
    /// Make a repair and check.
    Repair {
        /// Index of the cause it cures.
        cause: usize,
        /// What follows if that did not cure; `None` where nothing is left.
        otherwise: Option<Box<Tree>>,
    },
    /// The causes that are left, or the one that is named.
    Causes(Vec<usize>),
}

/// Why a table has no plan that could be written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TooLong {
    /// Tests without a certain outcome: each doubles the tree.
    pub uncertain_tests: usize,
}

/// Most tests without a certain outcome where all must be made.
const MOST_UNCERTAIN: usize = 14;

/// The plan of least expected cost for `table`, as good as it gets while `keep_going` says so; the first plan is there at once.
///
/// # Errors
/// [`TooLong`] if the aim is to tell causes apart as far as the tests can, and so many of them are uncertain that the tree
/// could not be written: a cost of naming the wrong cause is needed then.
pub fn sequence(table: &Table, keep_going: &mut dyn FnMut(&Progress) -> bool) -> Result<Sequence, TooLong> {
    let problem = problem(table);
    if problem.ending == Ending::Apart {
        let uncertain = |test: &&Test| test.positive.iter().any(|p| *p > 0.0 && *p < 1.0);
        let uncertain_tests = table.tests.iter().filter(uncertain).count();
        if uncertain_tests > MOST_UNCERTAIN {
            return Err(TooLong { uncertain_tests });
        }
    }
    let solution = solve(&problem, 0.0, keep_going);
    Ok(Sequence {
        expected_cost: solution.expected_cost,
        lower_bound: solution.lower_bound,
        optimal: solution.optimal,
        tree: tree(solution.step),
    })
}

fn problem(table: &Table) -> Problem {
    let costs: Vec<f64> = table.setups.iter().map(|setup| setup.cost).collect();
    let stays = table.mode == SetupMode::Stays;
    let mut ground = if stays {
        Ground::new(costs, Vec::new(), Vec::new(), None)
    } else {
        Ground::new(Vec::new(), costs, Vec::new(), None)
    };
    let mut needs = |setup: Option<usize>| match setup {
        None => 0,
        Some(setup) if stays => ground.needs(vec![setup], None),
        some => ground.needs(Vec::new(), some),
    };
    let tests = table.tests.iter().map(|test| problem::Test {
        cost: test.cost,
        needs: needs(test.setup),
        outcomes: vec![
            test.positive.iter().map(|p| 1.0 - p).collect(),
            test.positive.clone(),
        ],
    });
    let tests = tests.collect();
    let repairs = table.causes.iter().enumerate().filter_map(|(row, cause)| {
        Some(Repair {
            cost: cause.repair? + table.verify,
            needs: needs(cause.repair_setup),
            effects: vec![Effect {
                row,
                cures: 1.0,
                turns: row,
            }],
        })
    });
    let repairs = repairs.collect();
    Problem {
        weights: table.causes.iter().map(|cause| cause.prior).collect(),
        classes: (0..table.causes.len()).collect(),
        tests,
        repairs,
        ground,
        ending: match (table.repairs(), table.wrong_cost) {
            (true, _) => Ending::Cured,
            (false, Some(wrong)) => Ending::Named(wrong),
            (false, None) => Ending::Apart,
        },
    }
}

/// A table has a repair for every cause or for none, so a repair's index is its cause's.
fn tree(step: Step) -> Tree {
    match step {
        Step::End { classes } => Tree::Causes(classes),
        Step::Repair {
            repair, otherwise, ..
        } => Tree::Repair {
            cause: repair,
            otherwise: otherwise.map(|step| Box::new(tree(*step))),
        },
        Step::Test { test, branches } => {
            let mut sides = [None, None];
            for branch in branches {
                sides[branch.outcome] = Some(Box::new(tree(branch.then)));
            }
            let [negative, positive] = sides.map(|side| side.unwrap_or(Box::new(Tree::Causes(Vec::new()))));
            Tree::Test {
                test,
                positive,
                negative,
            }
        }
    }
}
