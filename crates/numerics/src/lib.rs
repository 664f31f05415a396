//! Numbers without a trade: dense linear equations, damped Newton, stiff courses in time, the normal distribution,
//! low-discrepancy points.
//!
//! Vectors in, vectors out. Nothing here knows a circuit. Everything is deterministic: the same input gives the same
//! bits, whatever the number of threads.

mod dense;
mod newton;
mod normal;
mod points;
mod stiff;

pub use dense::{Matrix, Singular};
pub use newton::{Limits, NewtonError, Report, System, Workspace, newton};
pub use normal::{normal_cdf, normal_density, normal_quantile};
pub use points::{MAX_DIMENSIONS, normal_point, uniform};
pub use stiff::{Course, Rates, Stiff, Stuck};
