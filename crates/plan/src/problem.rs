//! A troubleshooting problem in numbers: what can be the case, what can be done about it, what that costs.
//!
//! A row is one way the truth can be: an abstract cause, or one weighted sample of a circuit's belief. Tests split rows by their
//! outcome; repairs cure some and leave the rest. Everything that plans, plans on this.

pub use crate::ground::{Ground, NeedsId};

/// Index of a test.
pub type TestId = usize;
/// Index of a repair.
pub type RepairId = usize;

/// The problem.
#[derive(Debug, Clone)]
pub struct Problem {
    /// Weight of each row; they need not sum to 1. A row of weight 0 may be what another turns into.
    pub weights: Vec<f64>,
    /// Class of each row: rows of one class need not be told apart, because what ends the job is the same for them.
    pub classes: Vec<usize>,
    /// Tests; each is made at most once.
    pub tests: Vec<Test>,
    /// Repairs; empty where the aim is only to name the cause.
    pub repairs: Vec<Repair>,
    /// What tests and repairs need, and what that costs.
    pub ground: Ground,
    /// When the job ends.
    pub ending: Ending,
}

/// One test.
#[derive(Debug, Clone)]
pub struct Test {
    /// Its own cost.
    pub cost: f64,
    /// What must be set up for it.
    pub needs: NeedsId,
    /// Probability of every outcome under every row, `outcomes[outcome][row]`; over the outcomes they sum to 1.
    pub outcomes: Vec<Vec<f64>>,
}

/// One repair, with the check without error that follows it.
#[derive(Debug, Clone)]
pub struct Repair {
    /// Cost of the repair and of the check after it.
    pub cost: f64,
    /// What must be set up for it.
    pub needs: NeedsId,
    /// The rows it does something to, ascending; every other row stays as it is and is not cured.
    pub effects: Vec<Effect>,
}

/// What a repair does to one row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// The row.
    pub row: usize,
    /// Probability that all is well afterwards: less than 1 where a new part can be bad, 0 where something else is wrong too.
    pub cures: f64,
    /// The row it is where it is not cured: the same, or the one with what is left of it.
    pub turns: usize,
}

/// When the job ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ending {
    /// When no test tells the classes that are left apart any further.
    Apart,
    /// At any time, by naming the likeliest class; a wrong name costs this much.
    Named(f64),
    /// When it is cured.
    Cured,
}

impl Problem {
    /// Number of classes.
    pub(crate) fn class_count(&self) -> usize {
        self.classes.iter().max().map_or(0, |class| class + 1)
    }
}
