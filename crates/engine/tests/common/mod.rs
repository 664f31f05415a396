//! Jobs for tests, on a shipped circuit.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
#![allow(dead_code, reason = "each test file uses what it needs")]

use engine::shipped_called;
use job::{Described, Entry, EntryId, Event, FORMAT, Intake, Job, JobId, Said, Vehicle};
use uuid::Uuid;

/// A second after the last, each entry in its turn.
pub(crate) fn entry(turn: u64, event: Event) -> Entry {
    Entry {
        format: FORMAT,
        id: EntryId(Uuid::from_u128(u128::from(turn) + 1)),
        job: JobId(Uuid::from_u128(7)),
        turn,
        at: jiff::Timestamp::from_second(1_700_000_000 + i64::try_from(turn).unwrap()).unwrap(),
        who: String::new(),
        device: "bench".to_owned(),
        event,
    }
}

/// What is asked at the door, for the shipped circuit `name`; nothing more is known. Invented.
pub(crate) fn intake(name: &str) -> Intake {
    let shipped = shipped_called(name).unwrap();
    Intake {
        vehicle: Vehicle {
            words: "the blue van".to_owned(),
            ..Vehicle::default()
        },
        complaint: "no power on hills".to_owned(),
        circuit: Described {
            name: shipped.name.to_owned(),
            text: shipped.text.to_owned(),
        },
        ..Intake::default()
    }
}

/// A job that begins with `intake` and goes on with `events`.
pub(crate) fn job(intake: Intake, events: Vec<Event>) -> Job {
    let all = std::iter::once(Event::TakenIn { intake }).chain(events);
    let entries: Vec<Entry> = (0..).zip(all).map(|(turn, event)| entry(turn, event)).collect();
    let job = Job::fold(&entries).unwrap();
    assert!(job.odd.is_empty(), "{:?}", job.odd);
    job
}

/// A value that was read.
pub(crate) fn read(check: &str, value: &str) -> Event {
    Event::Reading {
        check: check.to_owned(),
        said: Said::Value(value.to_owned()),
        instrument: None,
        accuracy: None,
        minutes: Some(4.0),
        over: None,
    }
}
