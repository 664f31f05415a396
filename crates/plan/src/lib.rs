//! The next check: what it tells against what it costs; and the whole plan until a proven repair.
//!
//! [`next_checks`] looks one step ahead: it ranks the checks by how much each is expected to lower the cost until the vehicle is
//! repaired, per minute it takes. [`course`] plans a whole job on a circuit, [`sequence`] an abstract table; both are one search on
//! one [`problem`]. Probabilities come from `belief`; nothing here knows physics.

mod bound;
mod course;
mod cure;
mod extract;
mod greedy;
mod ground;
mod key;
mod next;
mod node;
pub mod problem;
mod quick;
mod repair;
mod search;
mod sequence;
mod solve;
mod state;
mod step;

pub use course::{
    Advice, Band, Banded, Choices, Course, CourseBranch, CourseStep, Next, Rows, Site, advise, cost_of,
    course,
};
pub use next::{Bay, NextCheck, next_checks};
pub use repair::{RepairOrder, RepairStep, Shop, repair_order};
pub use search::Progress;
pub use sequence::{
    Cause, Sequence, Setup, SetupMode, Table, Test, TooLong, Tree, explain, read_table, sequence,
};
pub use solve::{Solution, solve};
pub use step::{Branch, Step};
