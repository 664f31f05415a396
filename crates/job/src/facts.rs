//! What a job's state is made of.

use crate::entry::EntryId;
use crate::event::{Behind, CodeStatus, Mended, Over, Recorded, Said};
use crate::money::Grade;
use jiff::Timestamp;

/// A code that was noted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Code {
    /// `P0299`.
    pub code: String,
    /// How the module keeps it.
    pub status: CodeStatus,
    /// When it was noted.
    pub at: Timestamp,
}

/// A reading, withdrawn or not.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The entry that said it.
    pub entry: EntryId,
    /// When.
    pub at: Timestamp,
    /// Who.
    pub who: String,
    /// Id of the check.
    pub check: String,
    /// What was read.
    pub said: Said,
    /// The instrument, if it was not the usual one.
    pub instrument: Option<String>,
    /// How right that instrument is, if the shop knew.
    pub accuracy: Option<String>,
    /// Hands-on minutes.
    pub minutes: Option<f64>,
    /// The stretch of a recorded drive that it was taken from.
    pub over: Option<Over>,
    /// Why it no longer counts; `None` if it does.
    pub withdrawn: Option<String>,
}

/// Something ruled out by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuledOut {
    /// A part, or `PART/FAULT`.
    pub what: String,
    /// How the person knows.
    pub reason: String,
    /// Who.
    pub who: String,
}

/// The proven cause.
#[derive(Debug, Clone, PartialEq)]
pub struct Proven {
    /// `PART/FAULT`, one or more.
    pub faults: Vec<String>,
    /// Checks that showed it directly.
    pub shown_by: Vec<String>,
    /// Its probability then.
    pub probability: f64,
    /// Why a person called it proven although something was missing.
    pub by_hand: Option<String>,
    /// Who said so.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

/// A new part that was tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPart {
    /// The part's name in the circuit.
    pub part: String,
    /// What was tried.
    pub check: String,
    /// What was read.
    pub read: String,
    /// Whether it may be fitted.
    pub good: bool,
    /// Its grade.
    pub grade: Option<Grade>,
}

/// A repair.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// The part.
    pub part: String,
    /// What was done.
    pub how: Mended,
    /// Grade of the new part.
    pub grade: Option<Grade>,
    /// Price of the part.
    pub price: Option<f64>,
    /// Hands-on minutes.
    pub minutes: Option<f64>,
    /// Why it failed.
    pub behind: Behind,
    /// Who said so.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

/// A check after the repair.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proof {
    /// Id of the check, or words.
    pub check: String,
    /// What was read.
    pub said: Said,
    /// Whether it was good.
    pub good: bool,
    /// Who said so.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

/// A note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// Its words.
    pub text: String,
    /// Who.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

/// A picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// SHA-256 of the file, hexadecimal.
    pub hash: String,
    /// Size, bytes.
    pub bytes: u64,
    /// Media type.
    pub media: String,
    /// What it shows.
    pub words: String,
    /// When.
    pub at: Timestamp,
}

/// A recorded drive.
#[derive(Debug, Clone, PartialEq)]
pub struct Drive {
    /// What is known of it.
    pub recording: Recorded,
    /// Repairs that were made before it was given.
    pub repairs_before: usize,
    /// Who gave it.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

/// One time the complaint came back.
#[derive(Debug, Clone, PartialEq)]
pub struct Comeback {
    /// When.
    pub at: Timestamp,
    /// Why.
    pub reason: String,
    /// Distance driven then, km.
    pub odometer_km: Option<f64>,
}

/// An entry that made no sense when it was its turn: it is in the record, and does not count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Odd {
    /// The entry.
    pub entry: EntryId,
    /// Why it does not count.
    pub why: String,
}
