//! Closed jobs teach: how often each fault of a circuit was the cause, how far parts last, what checks really take.
//!
//! A [`Lesson`] is what one closed job teaches; [`Sums`] is what many teach together. Sums hold counts and nothing of a
//! single job, and add up in any order, so shops can pool them. The rest of the room reads priors for the next job out
//! of sums and shipped figures. Pure: no files, clock or network. Formulas: DERIVATIONS 17.

mod change;
mod classes;
mod factor;
mod fit;
mod lesson;
mod minutes;
mod read;
mod record;
mod shares;
mod special;
mod sums;
mod weibull;

pub use classes::{ClassCount, Classes, Tally};
pub use factor::{FACTORS, FactorError, UsualRate, factor, factor_among, own_record};
pub use fit::{FitError, Fitted, Observed, Prior, fit, fit_classes, fit_with_prior, scale_at_least};
pub use lesson::{Cause, Ended, Found, Lesson, Service, Spent, Unfit};
pub use minutes::{Minutes, MinutesError, MinutesPrior, minutes};
pub use read::ReadError;
pub use record::Unreadable;
pub use shares::{BadFromNew, Chance, SHARE_STRENGTH, Share, ShareError, shares};
pub use sums::{CircuitSums, Durations, KindSums, Sums, VERSION};
pub use weibull::Weibull;
