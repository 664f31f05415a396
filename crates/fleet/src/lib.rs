//! Many recordings of many vehicles screened at once: which vehicles drift in boost control, charging or cranking.
//!
//! [`listing`] finds the recordings in a folder, a folder for each vehicle; every one gives the figures that one drive gives
//! ([`drive::drive_figures`]), all of a vehicle come to a [`drive::Screening`], and [`told`] and [`picture`] show them. What runs it over
//! thousands of files is the engine, a feature of this crate because it takes minutes to build: `DataFusion` on one machine,
//! Ballista on several, the same plan for both. Without it this crate lists and shows, and reads nothing.

#[cfg(feature = "engine")]
pub mod engine;
mod listing;
pub mod picture;
pub mod told;

pub use listing::{Listing, NoFleet, Recorded, is_recording, listing, parted};
