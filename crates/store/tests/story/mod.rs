//! Invented jobs for the tests of a store.

#![allow(dead_code, reason = "not every test uses every part")]

pub(crate) mod postgres;

use jiff::Timestamp;
use job::{Closing, Described, Entry, EntryId, Event, FORMAT, Intake, JobId, Said, Vehicle};
use life::{Cause, Ended, Found, Lesson, Service};
use std::path::PathBuf;
use store::Taught;
use uuid::Uuid;

/// A folder of its own, removed at the end.
pub(crate) struct Folder(pub(crate) PathBuf);

impl Folder {
    pub(crate) fn new(name: &str) -> Self {
        let at = std::env::temp_dir().join(format!("store-{name}-{}", Uuid::now_v7()));
        std::fs::create_dir_all(&at).unwrap();
        Self(at)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

pub(crate) fn id(number: u128) -> Uuid {
    Uuid::from_u128(0x0198_0000_0000_7000_8000_0000_0000_0000 + number)
}

pub(crate) fn job_id(number: u128) -> JobId {
    // The number first, so that names differ in their first characters.
    JobId(Uuid::from_u128((number << 100) | 0x7000_8000_0000_0000_0000))
}

/// Entry `turn` of a job.
pub(crate) fn entry(job: JobId, turn: u64, event: Event) -> Entry {
    Entry {
        format: FORMAT,
        id: EntryId(id((job.0.as_u128() >> 100) * 1000 + u128::from(turn))),
        job,
        turn,
        at: Timestamp::from_second(1_780_000_000 + i64::try_from(turn).unwrap() * 60).unwrap(),
        who: "A".to_owned(),
        device: "bench".to_owned(),
        event,
    }
}

pub(crate) fn taken_in(job: JobId, words: &str, complaint: &str) -> Entry {
    let intake = Intake {
        vehicle: Vehicle {
            words: words.to_owned(),
            odometer_km: Some(120_000.0),
            engine_hours: None,
        },
        complaint: complaint.to_owned(),
        circuit: Described {
            name: "vacuum-wastegate".to_owned(),
            text: "invented".to_owned(),
        },
        ..Intake::default()
    };
    entry(job, 0, Event::TakenIn { intake })
}

pub(crate) fn reading(job: JobId, turn: u64) -> Entry {
    let event = Event::Reading {
        check: format!("check-{turn}"),
        said: Said::Value(format!("{turn}.25 kPa")),
        instrument: None,
        accuracy: None,
        minutes: Some(0.5 * turn as f64),
        over: None,
    };
    entry(job, turn, event)
}

pub(crate) fn closed(job: JobId, turn: u64) -> Entry {
    let how = Closing::NothingWrong;
    entry(job, turn, Event::Closed { how })
}

pub(crate) fn reopened(job: JobId, turn: u64) -> Entry {
    let event = Event::Reopened {
        reason: "it came back".to_owned(),
        comeback: true,
        odometer_km: None,
    };
    entry(job, turn, event)
}

/// What a job on an invented circuit teaches.
pub(crate) fn lesson(part: &str) -> Lesson {
    Lesson {
        circuit: "vacuum-wastegate".to_owned(),
        found: Found::Cause,
        causes: vec![Cause {
            part: part.to_owned(),
            fault: "stuck".to_owned(),
        }],
        parts: vec![Service {
            kind: "three-port-valve".to_owned(),
            distance_km: Some(120_000.0),
            age_days: None,
            ended: Ended::StillGood,
            count: 3,
        }],
        checks: Vec::new(),
    }
}

pub(crate) fn taught(job: JobId, seen: u64, part: &str) -> Taught {
    Taught {
        job,
        seen,
        lesson: Some(lesson(part)),
    }
}
