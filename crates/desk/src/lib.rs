//! What a person does to a job, and what is known of it for whoever shows it.
//!
//! The command line and the bay screen are two surfaces of this room: a [`Desk`] takes jobs from the store and writes what
//! was done, a [`Case`] is what is believed of a job now, and every step checks what was said before it becomes an
//! event. Nothing is shown here but [`words`], [`how`] a check is made, and figures in a person's [`show::Units`].

mod again;
mod apart;
mod case;
mod cause;
mod cautions;
mod charges;
mod columns;
pub mod course;
mod curves;
mod desk;
mod drives;
mod fit;
pub mod how;
mod intake;
mod left;
mod mending;
pub mod offer;
mod paper;
pub mod photo;
mod practice;
mod problem;
mod proof;
mod ranking;
mod reading;
mod reasons;
mod shop;
pub mod show;
mod steps;
mod thought;
mod told;
mod why;
pub mod words;

pub use again::{Why, compared};
pub use apart::{Apart, apart, clear};
pub use case::{Case, evidence, known};
pub use cause::{known_cause, prove, rule_out};
pub use cautions::{acknowledge, cautions_of, sentence, unread};
pub use charges::{Charges, charges, set_charges, terms};
pub use columns::{
    KnownDrive, Source, confirm_columns, forget_columns, known_source, read_known_drive, source_of, sources,
    taken_for,
};
pub use curves::{DriveView, drive_curves};
pub use desk::{Desk, Held, open, teach};
pub use drives::{
    DriveGiven, DriveTaken, clock as drive_clock, column_said, drive_name, give_drive, kept_drive, read_drive,
};
pub use fit::{DOUBTFUL, Odd, odd};
pub use intake::{circuit_for, code_of, known_check, known_joint, known_part};
pub use left::left;
pub use mending::{ToProve, proof_of, proven_by_hand, repair_standing, to_prove};
pub use offer::in_a_line as offer_in_a_line;
pub use paper::{Drawn, Reader, sheet, test_card};
pub use practice::hidden;
pub use problem::{Found, Problem, Sort};
pub use proof::standing;
pub use ranking::{Ranked, Ranking, ranking};
pub use reading::{Noted, Reading, note, said};
pub use reasons::{Told, reasons};
pub use shop::{
    OwnInstrument, SORTS, ShopFacts, altitude_of, checked_facts, keep_shop, set_shop_facts, shop_facts,
};
pub use steps::{coolant, picture, undo};
pub use thought::{Thought, Thoughts};
pub use told::{
    Believed, CautionTold, DoubtfulInstrument, FactorTold, NextTold, ProvenTold, ReadingTold, ReasonsTold,
    SeverityTold, SuspectTold, told,
};
pub use why::{Expectation, expectations, runner_up, why};
pub use words::DEFERENCE;
