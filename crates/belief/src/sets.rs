//! Isolation over *sets* of faults: which combination of faults explains the readings.
//!
//! Pure probability: it knows neither a circuit nor a reading, only a [`SetModel`] that says how likely a set of faults
//! is beforehand and how likely it makes what was read. [`grow`] lists the sets worth listing, starting with nothing wrong, all
//! singles and all pairs; stopping there is not safe (nine bad readings can leave 95 % of the evidence with triples and
//! more), so the heaviest sets are grown further while that gains weight, and the share of evidence kept is always shown.
//!
//! Weights are logarithms until shown. What to measure next, in bits: [`expected_gain`].

mod fault_set;
mod gain;
mod grow;
mod posterior;
mod priors;
mod tail;

pub use fault_set::FaultSet;
pub use gain::{entropy, expected_gain};
pub use grow::{Growth, SetModel, grow};
pub use posterior::{Kept, Posterior, ln_sum_exp};
pub use priors::{IndependentFaults, PriorError};
