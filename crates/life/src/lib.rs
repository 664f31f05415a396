//! Closed jobs teach: how often each fault of a circuit was the cause, how far parts last, what checks really take.
//!
//! A [`Lesson`] is what one closed job teaches; [`Sums`] is what many teach together. Sums hold counts and nothing of a
//! single job, and add up in any order, so shops can pool them. The rest of the room reads priors for the next job out
//! of sums and shipped figures. Pure: no files, clock or network. Formulas: DERIVATIONS 17.

mod classes;
mod lesson;
mod read;
mod sums;

pub use classes::{ClassCount, Classes, Tally};
pub use lesson::{Cause, Ended, Lesson, Service, Spent, Unfit};
pub use read::ReadError;
pub use sums::{CircuitSums, Durations, KindSums, Sums, VERSION};
