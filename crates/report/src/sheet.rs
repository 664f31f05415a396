//! What a page is made of: plain data that the caller fills.

use jiff::{Timestamp, tz::TimeZone};
use job::{Job, Rules, Watch};
use std::collections::BTreeMap;

/// What a page is made of.
#[derive(Debug, Clone)]
pub struct Sheet<'a> {
    /// The job's number in the shop.
    pub number: String,
    /// The job.
    pub job: &'a Job,
    /// The circuit's title.
    pub title: String,
    /// The circuit as SVG with the readings on it; written out as it is, so only a drawing of our own belongs here.
    pub drawing: String,
    /// Suspects before the readings in words, with their probability, 0 to 1.
    pub suspects_before: Vec<(String, f64)>,
    /// Suspects after them.
    pub suspects_after: Vec<(String, f64)>,
    /// Why the first one leads: what was read, and what that says.
    pub reasons: Vec<(String, String)>,
    /// What can hurt, and what to do about it.
    pub cautions: Vec<(String, String)>,
    /// Checks made after the repair, with what they read before it.
    pub compared: Vec<Compared>,
    /// How the job was left, as sentences; empty if it is closed.
    pub stands: Vec<String>,
    /// Words for ids of checks, parts and faults; what is missing stands as its id.
    pub words: BTreeMap<String, String>,
    /// Where the watch stands, and by which rules; `None` before a repair.
    pub watch: Option<(Rules, Watch)>,
    /// Whether the figures are the shipped ones, typical and unverified.
    pub typical: bool,
    /// The zone times are shown in.
    pub zone: TimeZone,
}

/// One check made after a repair.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Compared {
    /// Id of the check.
    pub check: String,
    /// What it reads and where, in plain words: "vacuum at the wastegate actuator".
    pub plain: String,
    /// What it read last before the repair, in the person's units, if it was made then.
    pub before: Option<String>,
    /// What it read after it.
    pub after: String,
    /// What a sound circuit reads there: "20.1 to 22 inHg"; `None` if that is no range.
    pub healthy: Option<String>,
    /// Whether it was as it should be.
    pub good: bool,
}

impl Sheet<'_> {
    /// Words for an id.
    pub(crate) fn word<'s>(&'s self, id: &'s str) -> &'s str {
        self.words.get(id).map_or(id, String::as_str)
    }

    /// Words for several ids, in one line.
    pub(crate) fn list(&self, ids: &[String]) -> String {
        let words: Vec<&str> = ids.iter().map(|id| self.word(id)).collect();
        words.join(", ")
    }

    /// A time in the zone of the sheet.
    pub(crate) fn time(&self, at: Timestamp) -> String {
        at.to_zoned_datetime(self.zone.clone())
            .strftime("%Y-%m-%d %H:%M")
            .to_string()
    }
}
