//! The abstract table: causes, tests with the probability of a positive outcome under each cause, costs, set-ups.

/// A sequencing problem: which test or repair comes when. All indices valid, all probabilities within 0 to 1, all costs finite
/// and not negative, priors sum to 1: what [`crate::read_table`] hands out holds all of that.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What can be wrong; exactly one of them is.
    pub causes: Vec<Cause>,
    /// What can be tested, each at most once: repeated, a test gives the same answer.
    pub tests: Vec<Test>,
    /// What tests and repairs may need.
    pub setups: Vec<Setup>,
    /// How set-ups are paid.
    pub mode: SetupMode,
    /// Cost of the check without error that follows every repair.
    pub verify: f64,
    /// Without repairs: what naming the wrong cause costs. `None`: isolate as far as the tests can tell apart.
    pub wrong_cost: Option<f64>,
}

/// One cause.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// Name.
    pub name: String,
    /// Probability.
    pub prior: f64,
    /// Cost of the repair that cures it; either every cause has one or none.
    pub repair: Option<f64>,
    /// Set-up that the repair needs, an index into [`Table::setups`].
    pub repair_setup: Option<usize>,
}

/// One test.
#[derive(Debug, Clone, PartialEq)]
pub struct Test {
    /// Name.
    pub name: String,
    /// Its own cost, without the set-up.
    pub cost: f64,
    /// Set-up that it needs, an index into [`Table::setups`].
    pub setup: Option<usize>,
    /// Probability of a positive outcome under each cause.
    pub positive: Vec<f64>,
}

/// One set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// Name.
    pub name: String,
    /// What entering it costs.
    pub cost: f64,
}

/// How set-ups are paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetupMode {
    /// Once, before the first action that needs it.
    Stays,
    /// At every change; an action without a set-up leaves it as it is.
    OneAtATime,
}

impl Table {
    /// `true` if the aim is a repair rather than a name.
    pub fn repairs(&self) -> bool {
        self.causes.iter().any(|cause| cause.repair.is_some())
    }
}
