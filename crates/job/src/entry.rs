//! One line of a job's record, and the order of lines.

use crate::event::Event;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use uuid::Uuid;

/// The newest form of an entry that this program writes and understands.
pub const FORMAT: u32 = 1;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub Uuid);

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }

        impl std::str::FromStr for $name {
            type Err = uuid::Error;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                text.parse().map(Self)
            }
        }
    };
}
id!(
    /// Names a job for good, whatever store it lies in.
    JobId
);
id!(
    /// Names an entry for good. An entry that is delivered twice counts once.
    EntryId
);

/// One line of a job's record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Form of this entry: [`FORMAT`] or older.
    pub format: u32,
    /// Its name; a retried write has the same.
    pub id: EntryId,
    /// The job it belongs to.
    pub job: JobId,
    /// One more than the greatest turn its writer had seen of this job: what was known before it comes before it, whatever the
    /// devices' clocks say.
    pub turn: u64,
    /// When it was said, by the clock of the device.
    pub at: Timestamp,
    /// Who said it; empty if nobody gave a name.
    pub who: String,
    /// The device it was said on.
    pub device: String,
    /// What was said.
    pub event: Event,
}

/// Why a text is not an entry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unreadable {
    /// It was written by a newer program.
    #[error(
        "the entry has form {found}, and this program understands forms up to {FORMAT}: it was written by a newer version of halfsplit"
    )]
    Newer {
        /// Its form.
        found: u64,
    },
    /// It is no entry, or not whole.
    #[error("not an entry of a job: {0}")]
    Broken(String),
}

impl Entry {
    /// Reads an entry from JSON. An entry of a newer program is told from a broken one.
    pub fn read(text: &str) -> Result<Self, Unreadable> {
        let value: serde_json::Value =
            serde_json::from_str(text).map_err(|error| Unreadable::Broken(error.to_string()))?;
        match value.get("format").and_then(serde_json::Value::as_u64) {
            Some(found) if found > u64::from(FORMAT) => Err(Unreadable::Newer { found }),
            _ => serde_json::from_value(value).map_err(|error| Unreadable::Broken(error.to_string())),
        }
    }

    /// Writes it as one line of JSON.
    pub fn write(&self) -> String {
        // Only a map with keys that are no strings, or a foreign Serialize, could fail; an entry holds neither.
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// Entries in the order in which they count: by turn, those of one turn by name. Each counts once.
pub fn in_order(entries: &[Entry]) -> Vec<&Entry> {
    let mut seen = BTreeSet::new();
    let mut order: Vec<&Entry> = entries.iter().filter(|entry| seen.insert(entry.id)).collect();
    order.sort_by_key(|entry| (entry.turn, entry.id));
    order
}

/// What was withdrawn, with the reason. Only a withdrawal that follows what it withdraws counts; a withdrawal cannot be
/// withdrawn, nor the taking in.
pub(crate) fn withdrawn<'e>(order: &[&'e Entry]) -> BTreeMap<EntryId, &'e str> {
    let mut gone = BTreeMap::new();
    for (place, entry) in order.iter().enumerate() {
        let Event::Withdrawn {
            entry: target,
            reason,
        } = &entry.event
        else {
            continue;
        };
        let meant = order[..place].iter().find(|earlier| earlier.id == *target);
        if meant
            .is_some_and(|earlier| !matches!(earlier.event, Event::TakenIn { .. } | Event::Withdrawn { .. }))
        {
            gone.entry(*target).or_insert(reason.as_str());
        }
    }
    gone
}
