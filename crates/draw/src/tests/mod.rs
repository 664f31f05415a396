//! Circuits drawn and looked over: laws that hold for every drawing, and snapshots of three circuits.
#![allow(clippy::unwrap_used, reason = "tests")]

mod bench;
mod laws;
mod pictures;
