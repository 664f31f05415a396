//! The next check: what it tells against what it costs.
//!
//! First form: one step ahead. [`next_checks`] ranks the checks by how much each is expected to lower the cost until the
//! vehicle is repaired, per minute it takes, with shared access and changes of condition counted once. Probabilities come
//! from `belief`; nothing here knows physics.

mod next;
mod repair;

pub use next::{Bay, NextCheck, next_checks};
pub use repair::{RepairOrder, RepairStep, Shop, repair_order};
