//! What the graph of a search is made of.

use crate::ground::StandId;
use crate::problem::{RepairId, TestId};

/// An action.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Action {
    Test(TestId),
    Repair(RepairId),
}

/// One action from one node. Costs are times the probability of the node.
#[derive(Debug, Clone)]
pub(crate) struct Edge {
    pub(crate) action: Action,
    pub(crate) cost: f64,
    pub(crate) stand: StandId,
    /// Least cost with what follows, while nothing is known of that.
    pub(crate) least: f64,
    /// What follows: outcome and node; `None` while nothing is known of it.
    pub(crate) kids: Option<Box<[(u16, u32)]>>,
}

/// What a node does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Choice {
    /// The quick plan.
    Quick,
    /// An action, by its place among the edges.
    Edge(usize),
}

/// One state.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    pub(crate) lower: f64,
    pub(crate) upper: f64,
    /// Cost of ending here, infinite where that is not allowed.
    pub(crate) stop: f64,
    pub(crate) choice: Choice,
    /// Sweep that looked at it last.
    pub(crate) swept: u32,
    pub(crate) edges: Option<Vec<Edge>>,
}
