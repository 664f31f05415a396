//! Recorded drives: taken in from files of any usual shape, and what is in them.
//!
//! [`read`] makes a [`Recording`] of a file's bytes: columns found, cells read, signals recognised by name, unit and values,
//! time put in order; what was dropped is counted and said ([`Findings`](Recording::findings)), never silently. [`trips`] finds
//! driving cycles and warm-up cycles by the regulation's definitions, [`features`] what a technician looks for: the sensors with the key on and the
//! engine off, cranking, charging, warming up, boost; [`Trend`] tells whether they drift over many drives of a vehicle. Nothing here reads a file or talks to a vehicle.

mod features;
mod import;
pub mod made;
mod recognise;
mod recording;
mod reduced;
mod screen;
mod signal;
mod statistics;
mod trips;

pub use features::{Feature, FeatureKind, features, intake_at_load};
pub use import::{Assigned, Import, ImportError, read};
pub use recognise::{Guess, recognise};
pub use recording::{Clock, Code, CodeList, Column, Dropped, Finding, Recording};
pub use reduced::{Stretch, reduced};
pub use screen::{
    Drift, DriveFigures, LEAST_DRIVES, MOST_DRIVES, SCREENED_SIGNALS, Screened, Screening, Trend, Vehicle,
    drive_figures,
};
pub use signal::Signal;
pub use trips::{Cycle, CycleKind, TripRules, Trips, trips};
