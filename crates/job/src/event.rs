//! What can happen in a job.

use crate::entry::EntryId;
use crate::money::{Grade, Quote};
use crate::vehicle::Intake;
use crate::watch::Trip;
use serde::{Deserialize, Serialize};

/// How the module keeps a code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum CodeStatus {
    /// Seen often enough to light the lamp.
    Stored,
    /// Seen once.
    Pending,
    /// Only the module itself erases it.
    Permanent,
}

/// What was recorded of a check, as it was said; one of the three is given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Said {
    /// A value with its unit: `21.5 inHg`.
    Value(String),
    /// A bound with its unit: `> 20 inHg`.
    Bound(String),
    /// `yes`, `no` or `not done`.
    Answer(String),
}

impl Said {
    /// It, as it was said.
    pub fn text(&self) -> &str {
        match self {
            Self::Value(text) | Self::Bound(text) | Self::Answer(text) => text,
        }
    }
}

/// The cause behind the cause.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Behind {
    /// Found and put right: oil on a hose, a chafe point, a blocked vent filter, heat.
    Mended(String),
    /// Found and left, with the reason.
    Left(String),
    /// Looked for and not found.
    NotFound,
}

/// What was done to a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Mended {
    /// A new one fitted.
    Renewed,
    /// The old one put right: cleaned, reseated, reconnected.
    Repaired,
}

/// A stretch of a recorded drive.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Over {
    /// The recording's SHA-256, hexadecimal.
    pub recording: String,
    /// First second, from the recording's first row.
    pub start_s: f64,
    /// Last second.
    pub end_s: f64,
}

/// A recorded drive.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Recorded {
    /// SHA-256 of the file, hexadecimal.
    pub hash: String,
    /// How the file is called.
    pub name: String,
    /// Size of the file, bytes.
    pub bytes: u64,
    /// SHA-256 of the packed file in the store, if it was kept.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kept: Option<String>,
    /// How long it is, s.
    pub seconds: f64,
    /// What a person said of its columns: `COLUMN = SIGNAL, UNIT`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub columns: Vec<String>,
    /// Driving cycles in it.
    pub driving_cycles: usize,
    /// Warm-up cycles in it.
    pub warm_up_cycles: usize,
    /// Those driving cycles that count after the repair.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub trips: Vec<Trip>,
    /// A drive that was made up, not driven.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub simulated: bool,
    /// What it shows, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

/// How a job ended.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "as", content = "because")]
pub enum Closing {
    /// Repaired, and the proof checks were good.
    Repaired,
    /// Repaired and handed back without proof, with the reason.
    Unverified(String),
    /// Nothing wrong in this circuit.
    NothingWrong,
    /// A cause that the circuit does not list, in words.
    NotListed(String),
    /// The customer stopped.
    Stopped(String),
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Event {
    /// The vehicle came in. The first event of every job.
    TakenIn {
        /// All that was asked at the door.
        #[serde(flatten)]
        intake: Intake,
    },
    /// The module holds a code.
    CodeNoted {
        /// `P0299`.
        code: String,
        /// How it is kept.
        status: CodeStatus,
    },
    /// A person has read a caution.
    CautionAcknowledged {
        /// The caution's words.
        caution: String,
    },
    /// A check was made, or could not be.
    Reading {
        /// Id of the check.
        check: String,
        /// What was read.
        said: Said,
        /// The instrument, if it was not the usual one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instrument: Option<String>,
        /// How right that instrument is, as the shop knew it then: `class 1.6`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        accuracy: Option<String>,
        /// Hands-on minutes it took.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minutes: Option<f64>,
        /// The stretch of a recorded drive that it was taken from, if it was.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        over: Option<Over>,
    },
    /// An entry no longer counts; it stays in the record.
    Withdrawn {
        /// The entry.
        entry: EntryId,
        /// Why.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        reason: String,
    },
    /// Something worth writing down.
    Note {
        /// It.
        text: String,
    },
    /// A picture was kept.
    Photo {
        /// SHA-256 of the file, hexadecimal.
        hash: String,
        /// Size of the file, bytes.
        bytes: u64,
        /// `image/jpeg`, `image/png` ...
        media: String,
        /// What it shows.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        words: String,
    },
    /// A person knows that something is not the cause.
    RuledOut {
        /// A part, or `PART/FAULT`.
        what: String,
        /// How they know.
        reason: String,
    },
    /// How the vehicle stands: for whoever goes on.
    Stands {
        /// Accesses that are open.
        open: Vec<String>,
        /// Parts that are off the vehicle.
        off: Vec<String>,
        /// Whether the engine was hot.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        hot: Option<bool>,
    },
    /// The cause is proven.
    CauseProven {
        /// `PART/FAULT`, one or more.
        faults: Vec<String>,
        /// Checks that showed it directly.
        shown_by: Vec<String>,
        /// Its probability then.
        probability: f64,
        /// Why a person calls it proven although the tool says something is missing.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by_hand: Option<String>,
    },
    /// An offer was made.
    QuoteGiven {
        /// It.
        quote: Quote,
    },
    /// The customer said yes.
    QuoteAccepted {
        /// Index of the option.
        option: usize,
    },
    /// The customer wants no repair yet, and agreed to go on measuring.
    GoOnAgreed,
    /// The customer said no.
    QuoteRefused {
        /// Why.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        reason: String,
    },
    /// A new part was tried before fitting. A bad one counts against the part, not the diagnosis.
    NewPartChecked {
        /// The part's name in the circuit.
        part: String,
        /// What was tried, in words or a check's id.
        check: String,
        /// What was read.
        read: String,
        /// Whether it may be fitted.
        good: bool,
        /// Its grade.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        grade: Option<Grade>,
    },
    /// A repair was made.
    Repaired {
        /// The part's name in the circuit.
        part: String,
        /// What was done.
        how: Mended,
        /// The part's grade, if renewed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        grade: Option<Grade>,
        /// Price of the part, in the shop's currency.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        price: Option<f64>,
        /// Hands-on minutes.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minutes: Option<f64>,
        /// Why it failed.
        behind: Behind,
    },
    /// A check after the repair.
    Proof {
        /// Id of the check, or words for a road test.
        check: String,
        /// What was read.
        said: Said,
        /// Whether it is as a sound circuit reads.
        good: bool,
    },
    /// The vehicle was driven after the repair.
    Trip {
        /// What the module did meanwhile.
        #[serde(flatten)]
        trip: Trip,
    },
    /// A recorded drive was given to the job.
    Recorded {
        /// What is known of it.
        #[serde(flatten)]
        recording: Recorded,
    },
    /// The code came back.
    CodeSeenAgain {
        /// `P0299`.
        code: String,
        /// Distance driven then, km.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        odometer_km: Option<f64>,
    },
    /// The job is done.
    Closed {
        /// How.
        #[serde(flatten)]
        how: Closing,
    },
    /// The job goes on.
    Reopened {
        /// Why.
        reason: String,
        /// Whether the complaint came back.
        comeback: bool,
        /// Distance driven then, km.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        odometer_km: Option<f64>,
    },
}
