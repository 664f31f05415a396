//! Suspects and their probabilities, from readings.
