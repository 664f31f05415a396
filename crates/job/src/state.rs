//! The state of a job, folded from its entries.

use crate::entry::{Entry, EntryId, JobId, in_order, withdrawn};
use crate::event::{Closing, CodeStatus, Event};
use crate::facts::{
    Code, Comeback, Drive, NewPart, Note, Odd, Photo, Proof, Proven, Reading, Repair, RuledOut,
};
use crate::money::Quote;
use crate::stage::Stage;
use crate::vehicle::Intake;
use crate::watch::{Rules, Trip, Watch};
use jiff::Timestamp;

/// A job as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// Its name.
    pub id: JobId,
    /// What was asked at the door.
    pub intake: Intake,
    /// When it began.
    pub opened: Timestamp,
    /// When something last happened.
    pub changed: Timestamp,
    /// The turn the next entry gets.
    pub next_turn: u64,
    /// How far it is.
    pub stage: Stage,
    /// Codes noted.
    pub codes: Vec<Code>,
    /// Cautions a person has read.
    pub cautions: Vec<String>,
    /// Readings in their order, withdrawn ones too.
    pub readings: Vec<Reading>,
    /// How many of them were taken before the last repair.
    pub read_before: usize,
    /// What was ruled out by hand.
    pub ruled_out: Vec<RuledOut>,
    /// The proven cause.
    pub proven: Option<Proven>,
    /// Offers, the last one counts.
    pub quotes: Vec<Quote>,
    /// How far it was when the last offer was made.
    pub(crate) offered_at: Stage,
    /// Index of the option of the last offer that was accepted.
    pub accepted: Option<usize>,
    /// `true` if the customer agreed to go on measuring when the last offer was made.
    pub goes_on: bool,
    /// Why the last offer was refused.
    pub refused: Option<String>,
    /// New parts tried.
    pub new_parts: Vec<NewPart>,
    /// Repairs.
    pub repairs: Vec<Repair>,
    /// Proof checks since the last repair.
    pub proofs: Vec<Proof>,
    /// Trips since the last repair.
    pub trips: Vec<Trip>,
    /// How it ended.
    pub closed: Option<Closing>,
    /// Times the complaint came back.
    pub comebacks: Vec<Comeback>,
    /// Greatest distance driven that was noted, km.
    pub odometer_km: Option<f64>,
    /// Accesses open, parts off, engine hot: as last said.
    pub stands: Option<(Vec<String>, Vec<String>, Option<bool>)>,
    /// When that was said.
    pub stood: Option<Timestamp>,
    /// Notes.
    pub notes: Vec<Note>,
    /// Pictures.
    pub photos: Vec<Photo>,
    /// Recorded drives, each once.
    pub drives: Vec<Drive>,
    /// Entries that do not count, with the reason.
    pub odd: Vec<Odd>,
}

impl Job {
    /// The state of all `entries` of one job; `None` if none of them takes a vehicle in. Same entries, same state, whatever
    /// their order.
    pub fn fold(entries: &[Entry]) -> Option<Self> {
        let order = in_order(entries);
        let begins = order
            .iter()
            .position(|entry| matches!(entry.event, Event::TakenIn { .. }))?;
        let withdrawn = withdrawn(&order);
        let mut job = Self::begun(order[begins])?;
        for (place, entry) in order.iter().enumerate() {
            if place == begins {
                continue;
            }
            job.next_turn = job.next_turn.max(entry.turn.saturating_add(1));
            job.changed = job.changed.max(entry.at);
            let gone = withdrawn.get(&entry.id).copied();
            if let Err(why) = job.take(entry, gone) {
                job.odd.push(Odd { entry: entry.id, why });
            }
        }
        Some(job)
    }

    fn begun(entry: &Entry) -> Option<Self> {
        let Event::TakenIn { intake } = &entry.event else {
            return None;
        };
        Some(Self {
            id: entry.job,
            intake: intake.clone(),
            opened: entry.at,
            changed: entry.at,
            next_turn: entry.turn.saturating_add(1),
            stage: Stage::Checking,
            codes: Vec::new(),
            cautions: Vec::new(),
            readings: Vec::new(),
            read_before: 0,
            ruled_out: Vec::new(),
            proven: None,
            quotes: Vec::new(),
            offered_at: Stage::Checking,
            accepted: None,
            goes_on: false,
            refused: None,
            new_parts: Vec::new(),
            repairs: Vec::new(),
            proofs: Vec::new(),
            trips: Vec::new(),
            closed: None,
            comebacks: Vec::new(),
            odometer_km: intake.vehicle.odometer_km,
            stands: None,
            stood: None,
            notes: Vec::new(),
            photos: Vec::new(),
            drives: Vec::new(),
            odd: Vec::new(),
        })
    }

    /// Readings that count.
    pub fn counting(&self) -> impl Iterator<Item = &Reading> {
        self.readings.iter().filter(|reading| reading.withdrawn.is_none())
    }

    /// Hands-on minutes noted until now, of readings that count or not, and of repairs.
    pub fn minutes(&self) -> f64 {
        let checks = self.readings.iter().filter_map(|reading| reading.minutes);
        let repairs = self.repairs.iter().filter_map(|repair| repair.minutes);
        // Not `sum`: of nothing that is -0.
        checks.chain(repairs).fold(0.0, |sum, minutes| sum + minutes)
    }

    /// The last entry that can be taken back: not the taking in, not a withdrawal, and not what was withdrawn or does not count.
    pub fn last_to_withdraw(&self, entries: &[Entry]) -> Option<EntryId> {
        let order = in_order(entries);
        let gone = withdrawn(&order);
        let counts = |entry: &&&Entry| {
            !matches!(entry.event, Event::TakenIn { .. } | Event::Withdrawn { .. })
                && !gone.contains_key(&entry.id)
                && self.odd.iter().all(|odd| odd.entry != entry.id)
        };
        order.iter().rev().find(counts).map(|entry| entry.id)
    }

    /// Where the watch stands by `rules`; `None` before a repair.
    pub fn watch(&self, rules: &Rules) -> Option<Watch> {
        (!self.repairs.is_empty()).then(|| Watch::count(rules, &self.trips))
    }

    /// `true` if a person has read this caution in this job.
    pub fn has_read(&self, caution: &str) -> bool {
        self.cautions.iter().any(|read| read == caution)
    }

    /// Takes one entry in its turn; says why it does not count, if so. A withdrawn reading is kept, anything else that was
    /// withdrawn is as if it had not been said.
    fn take(&mut self, entry: &Entry, gone: Option<&str>) -> Result<(), String> {
        if gone.is_some() && !matches!(entry.event, Event::Reading { .. }) {
            return Ok(());
        }
        self.counts(&entry.event).map_err(|refused| refused.to_string())?;
        match &entry.event {
            Event::TakenIn { .. } | Event::Withdrawn { .. } => {}
            Event::CodeNoted { code, status } => self.note_code(code, *status, entry.at),
            Event::CautionAcknowledged { caution } if self.has_read(caution) => {}
            Event::CautionAcknowledged { caution } => self.cautions.push(caution.clone()),
            Event::Reading {
                check,
                said,
                instrument,
                accuracy,
                minutes,
                over,
            } => self.readings.push(Reading {
                entry: entry.id,
                at: entry.at,
                who: entry.who.clone(),
                check: check.clone(),
                said: said.clone(),
                instrument: instrument.clone(),
                accuracy: accuracy.clone(),
                minutes: *minutes,
                over: over.clone(),
                withdrawn: gone.map(str::to_owned),
            }),
            Event::Note { text } => self.notes.push(Note {
                text: text.clone(),
                who: entry.who.clone(),
                at: entry.at,
            }),
            Event::Photo {
                hash,
                bytes,
                media,
                words,
            } => self.photos.push(Photo {
                hash: hash.clone(),
                bytes: *bytes,
                media: media.clone(),
                words: words.clone(),
                at: entry.at,
            }),
            Event::RuledOut { what, reason } => self.ruled_out.push(RuledOut {
                what: what.clone(),
                reason: reason.clone(),
                who: entry.who.clone(),
            }),
            Event::Stands { open, off, hot } => {
                (self.stands, self.stood) = (Some((open.clone(), off.clone(), *hot)), Some(entry.at));
            }
            other => self.take_step(other, entry),
        }
        Ok(())
    }

    /// Events that bring the job on.
    fn take_step(&mut self, event: &Event, entry: &Entry) {
        match event {
            Event::CauseProven {
                faults,
                shown_by,
                probability,
                by_hand,
            } => {
                self.proven = Some(Proven {
                    faults: faults.clone(),
                    shown_by: shown_by.clone(),
                    probability: *probability,
                    by_hand: by_hand.clone(),
                    who: entry.who.clone(),
                    at: entry.at,
                });
                self.stage = Stage::Proven;
            }
            Event::NewPartChecked {
                part,
                check,
                read,
                good,
                grade,
            } => self.new_parts.push(NewPart {
                part: part.clone(),
                check: check.clone(),
                read: read.clone(),
                good: *good,
                grade: *grade,
            }),
            Event::Repaired {
                part,
                how,
                grade,
                price,
                minutes,
                behind,
            } => {
                self.repairs.push(Repair {
                    part: part.clone(),
                    how: *how,
                    grade: *grade,
                    price: *price,
                    minutes: *minutes,
                    behind: behind.clone(),
                    who: entry.who.clone(),
                    at: entry.at,
                });
                self.proofs.clear();
                self.trips.clear();
                self.read_before = self.readings.len();
                self.stage = Stage::Repaired;
            }
            Event::Proof { check, said, good } => {
                self.proofs.push(Proof {
                    check: check.clone(),
                    said: said.clone(),
                    good: *good,
                    who: entry.who.clone(),
                    at: entry.at,
                });
                self.stage = if self.missing_checks().is_empty() {
                    Stage::Watch
                } else {
                    Stage::Repaired
                };
            }
            Event::Trip { trip } => self.drive(trip, entry.at),
            Event::Recorded { recording } => self.record(recording, entry),
            Event::CodeSeenAgain { code, odometer_km } => {
                self.come_back(entry.at, format!("{code} seen again"), *odometer_km);
            }
            Event::Closed { how } => {
                self.closed = Some(how.clone());
                self.stage = Stage::Closed;
            }
            Event::Reopened {
                reason,
                comeback,
                odometer_km,
            } => {
                if *comeback {
                    self.come_back(entry.at, reason.clone(), *odometer_km);
                } else {
                    self.drive_on(*odometer_km);
                    self.closed = None;
                    self.stage = self.searching();
                }
            }
            other => self.take_offer(other),
        }
    }

    /// An offer, and what the customer says to it.
    fn take_offer(&mut self, event: &Event) {
        match event {
            Event::QuoteGiven { quote } => {
                self.quotes.push(quote.clone());
                (self.accepted, self.goes_on, self.refused) = (None, false, None);
                if self.stage != Stage::Quoted {
                    self.offered_at = self.stage;
                }
                self.stage = Stage::Quoted;
            }
            Event::QuoteAccepted { option } => {
                self.accepted = Some(*option);
                self.stage = Stage::Agreed;
            }
            Event::GoOnAgreed => {
                self.goes_on = true;
                self.stage = self.not_agreed();
            }
            Event::QuoteRefused { reason } => {
                self.refused = Some(reason.clone());
                self.stage = self.not_agreed();
            }
            _ => {}
        }
    }

    /// Where a job stands when nothing of an offer was taken: a repair that was made before stays made.
    fn not_agreed(&self) -> Stage {
        match self.offered_at {
            repaired @ (Stage::Repaired | Stage::Watch) => repaired,
            _ => self.searching(),
        }
    }

    /// Where a job stands that is not offered, repaired or closed.
    fn searching(&self) -> Stage {
        if self.proven.is_some() {
            Stage::Proven
        } else {
            Stage::Checking
        }
    }

    /// The complaint is back: what was called proven is open again, with all that is known.
    pub(crate) fn come_back(&mut self, at: Timestamp, reason: String, odometer_km: Option<f64>) {
        self.drive_on(odometer_km);
        self.comebacks.push(Comeback {
            at,
            reason,
            odometer_km,
        });
        self.proven = None;
        self.closed = None;
        self.stage = Stage::Checking;
    }

    fn drive_on(&mut self, odometer_km: Option<f64>) {
        self.odometer_km = match (self.odometer_km, odometer_km) {
            (Some(before), Some(now)) => Some(before.max(now)),
            (before, now) => now.or(before),
        };
    }

    /// A code noted twice is one code, kept as last said.
    fn note_code(&mut self, code: &str, status: CodeStatus, at: Timestamp) {
        match self.codes.iter_mut().find(|known| known.code == code) {
            Some(known) => known.status = status,
            None => self.codes.push(Code {
                code: code.to_owned(),
                status,
                at,
            }),
        }
    }
}
