//! Drives after a repair: trips that a person tells, and those of recordings.

use crate::entry::Entry;
use crate::event::Recorded;
use crate::facts::Drive;
use crate::state::Job;
use crate::watch::Trip;
use jiff::Timestamp;

impl Job {
    /// A recording counts once, however often it is given. Its trips are the watch's where something was repaired.
    pub(crate) fn record(&mut self, recording: &Recorded, entry: &Entry) {
        if self.knows_drive(&recording.hash) {
            return;
        }
        self.drives.push(Drive {
            recording: recording.clone(),
            repairs_before: self.repairs.len(),
            who: entry.who.clone(),
            at: entry.at,
        });
        if !self.repairs.is_empty() {
            for trip in &recording.trips {
                self.drive(trip, entry.at);
            }
        }
    }

    /// Whether a recording was given before; its hash names it.
    pub fn knows_drive(&self, hash: &str) -> bool {
        self.drives.iter().any(|known| known.recording.hash == hash)
    }

    /// One trip after the repair.
    pub(crate) fn drive(&mut self, trip: &Trip, at: Timestamp) {
        self.trips.push(*trip);
        if trip.fault_seen {
            self.come_back(at, "the fault was seen again on a trip".to_owned(), None);
        }
    }
}
