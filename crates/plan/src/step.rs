//! A plan as a tree.

use crate::problem::{RepairId, TestId};

/// One step of a plan and what follows. Weights are joint probabilities of getting there, in the problem's own units.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// Make a test, then go on by its outcome.
    Test {
        /// The test.
        test: TestId,
        /// What follows each outcome that can come.
        branches: Vec<Branch>,
    },
    /// Make a repair, then check whether it cured.
    Repair {
        /// The repair.
        repair: RepairId,
        /// Weight with which it is reached.
        weight: f64,
        /// Weight of what it cures.
        cured: f64,
        /// What follows if it did not cure; `None` where nothing is left.
        otherwise: Option<Box<Step>>,
    },
    /// The end: the classes that are left, or the one that is named.
    End {
        /// Classes, ascending.
        classes: Vec<usize>,
    },
}

/// What follows one outcome.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// Index of the outcome.
    pub outcome: usize,
    /// Weight with which it comes.
    pub weight: f64,
    /// What follows.
    pub then: Step,
}
