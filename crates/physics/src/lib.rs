//! The kinds of parts, air and copper, and the state of a circuit during a check:
//! steady, or after a while.
//!
//! A [`Model`] is a circuit ready to be measured: it predicts what a [`circuit::Check`] reads on a [`Vehicle`] with
//! definite values and faults. It knows no probability beyond a kind's shares.

mod air_net;
mod air_solve;
mod ambient;
mod assembly;
mod charger;
mod coming;
mod course;
mod electric_net;
mod hold;
mod joints;
mod kinds;
mod laws;
mod liquid_assembly;
mod liquid_net;
mod model;
mod module_checks;
mod network;
mod probe;
mod readout;
mod routes;
mod servo;
mod steady;
mod steady_liquid;
mod vehicle;

pub use ambient::Ambient;
pub use kinds::catalogue;
pub use model::Model;
pub use probe::{Prediction, Probe, SolveError};
pub use steady::Work;
pub use vehicle::Vehicle;
