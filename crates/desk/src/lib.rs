//! What a person does to a job, and what is known of it for whoever shows it.
//!
//! The command line and the bay screen are two surfaces of this room: a [`Desk`] takes jobs from the store and writes what
//! was done, a [`Standing`] is what is believed of a job now, and every step checks what was said before it becomes an
//! event. Nothing is shown here but [`words`], [`how`] a check is made, and figures in a person's [`show::Units`].

mod cause;
mod cautions;
mod desk;
pub mod how;
mod intake;
mod problem;
mod reading;
pub mod show;
mod standing;
mod steps;
pub mod words;

pub use cause::{known_cause, prove};
pub use cautions::{cautions_of, sentence, unread};
pub use desk::{Desk, Held, open, teach};
pub use intake::{circuit_for, code_of, known_part};
pub use problem::{Found, Problem, Sort};
pub use reading::{Noted, Reading, note, said};
pub use standing::{Standing, evidence, known};
pub use steps::{coolant, picture, undo};
