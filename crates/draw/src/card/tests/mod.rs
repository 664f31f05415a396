//! Tests of the test card: laws of the layout, and a sample to look at.

mod laws;
mod picture;
mod sample;
