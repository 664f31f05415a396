//! Suspects and their probabilities, from readings.
//!
//! A [`Belief`] holds, for every set of faults worth listing, a cloud of weighted samples over severities, tolerances,
//! surroundings and the instruments' own errors. [`Outlook`] says what each check would show; [`sets`] and [`net`] are the
//! discrete core: isolation over sets of faults, and exact posteriors of small nets to check it against. No cost here.

mod belief;
mod cloud;
mod coming;
mod comparing;
mod deck;
mod evidence;
mod expect;
mod explain;
mod instrument;
mod listing;
pub mod net;
mod outlook;
mod prior;
mod refine;
mod running;
mod sampler;
pub mod sets;
mod solving;
mod uncertain;

pub use belief::{Belief, Effort, Known, Surroundings, Suspect};
pub use comparing::compared;
pub use deck::{Card, Deck, Hand};
pub use evidence::{NamedInstrument, Observation, Outcome, likelihood};
pub use expect::{Expected, expect, reading};
pub use explain::{Fit, Reason};
pub use instrument::{Accuracy, MISREADING, ToolError};
pub use outlook::Outlook;
pub use uncertain::severity_at;
