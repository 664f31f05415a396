//! Circuits drawn and looked over: laws that hold for every drawing, and snapshots of some circuits.
#![allow(clippy::unwrap_used, reason = "tests")]

mod bench;
mod described;
mod laws;
mod page;
mod pictures;
mod places;
