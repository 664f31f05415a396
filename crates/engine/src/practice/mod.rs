//! Practice: jobs with hidden causes in a world that differs from the model, worked on by strategies or by a person.
//!
//! [`World`] makes a hidden vehicle, [`Job`] lets it be measured and repaired and keeps its account, a [`Strategy`] says what
//! to do next from what can be seen, [`contest`] plays many jobs with several strategies and scores them. The world knows
//! the model's laws but not its figures; strategies know the model and never the world.

mod account;
mod contest;
mod draws;
mod habit;
mod hidden;
mod informative;
mod job;
mod known;
mod planned;
mod score;
mod strategy;
mod table;
mod world;

#[cfg(test)]
mod tests;

pub use account::Account;
pub use contest::{Contest, contest, contestants, play, record};
pub use hidden::{Fitted, Hidden};
pub use job::{Action, Event, Job, Renewed, Seen};
pub use score::{BINS, Bin, Calibration, Record, Score};
pub use strategy::{Contestant, Make, Strategy, Workshop};
pub use world::World;
