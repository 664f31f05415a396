//! Suspects and their probabilities, from readings.

pub mod net;
pub mod sets;
