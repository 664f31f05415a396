//! Laws of folding: the order of delivery and repetition change nothing; a withdrawal takes out of what counts, not of the record.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use jiff::Timestamp;
use job::{
    Behind, Closing, CodeStatus, Described, Entry, EntryId, Event, FORMAT, Intake, Job, JobId, Mended,
    Refused, Said, Stage, Unreadable, Vehicle,
};
use proptest::prelude::*;
use uuid::Uuid;

fn intake() -> Event {
    Event::TakenIn {
        intake: Intake {
            vehicle: Vehicle {
                words: "invented van".to_owned(),
                odometer_km: Some(212_000.0),
                engine_hours: None,
            },
            complaint: "no power uphill".to_owned(),
            circuit: Described {
                name: "vacuum-wastegate".to_owned(),
                text: String::new(),
            },
            altitude: Some("1600 m".to_owned()),
            ..Intake::default()
        },
    }
}

fn reading(value: u32) -> Event {
    Event::Reading {
        check: "tee:valve.source@idle".to_owned(),
        said: Said::Value(format!("{value} inHg")),
        instrument: None,
        accuracy: None,
        // Needs its last bit to come back the same.
        minutes: Some(1.400_000_000_000_000_1),
        over: None,
    }
}

fn entry(index: u64, turn: u64, event: Event) -> Entry {
    Entry {
        format: FORMAT,
        id: EntryId(Uuid::from_u128(u128::from(index) + 1)),
        job: JobId(Uuid::from_u128(7)),
        turn,
        // Clocks of devices are not to be trusted: the later the entry, the earlier this one says.
        at: Timestamp::from_second(2_000_000_000 - i64::try_from(index).unwrap()).unwrap(),
        who: "Ann".to_owned(),
        device: "phone".to_owned(),
        event,
    }
}

/// An entry from before instruments had classes, as it lies in stores, is read and written as it was; a class comes back.
#[test]
fn readings_from_before_instruments_had_classes_stay_what_they_were() {
    let old = r#"{"format":1,"id":"00000000-0000-0000-0000-000000000002","job":"00000000-0000-0000-0000-000000000007","turn":1,"at":"2026-01-05T09:00:00Z","who":"Ann","device":"phone","event":{"kind":"reading","check":"tee:valve.source@idle","said":{"value":"9 inHg"},"instrument":"old one"}}"#;
    let entry = Entry::read(old).unwrap();
    assert_eq!(entry.write(), old);
    let classed = old.replace(r#""old one""#, r#""old one","accuracy":"class 1.6""#);
    let new = Entry::read(&classed).unwrap();
    assert_eq!(new.write(), classed);
    let mut entries = told(vec![intake()]);
    entries.push(entry);
    let before = Job::fold(&entries).unwrap().readings_file();
    entries.pop();
    entries.push(new);
    let after = Job::fold(&entries).unwrap().readings_file();
    assert_eq!(after, before + "accuracy = \"class 1.6\"\n");
}

/// Entries in the order they were made, each seen by the next.
fn told(events: Vec<Event>) -> Vec<Entry> {
    (0..)
        .zip(events)
        .map(|(index, event)| entry(index, index, event))
        .collect()
}

fn any_event() -> impl Strategy<Value = Event> {
    prop_oneof![
        (1_u32..30).prop_map(reading),
        Just(Event::CodeNoted {
            code: "P0299".to_owned(),
            status: CodeStatus::Pending
        }),
        Just(Event::CautionAcknowledged {
            caution: "belts".to_owned()
        }),
        (0_u128..12).prop_map(|target| Event::Withdrawn {
            entry: EntryId(Uuid::from_u128(target)),
            reason: "misread".to_owned(),
        }),
        Just(Event::RuledOut {
            what: "pump".to_owned(),
            reason: "heard it".to_owned()
        }),
        Just(Event::Repaired {
            part: "source-line".to_owned(),
            how: Mended::Renewed,
            grade: None,
            price: None,
            minutes: Some(15.0),
            behind: Behind::NotFound,
        }),
        any::<bool>().prop_map(|good| Event::Proof {
            check: "road test".to_owned(),
            said: Said::Answer("yes".to_owned()),
            good,
        }),
        (1_u32..30).prop_map(|value| Event::Proof {
            check: "tee:valve.source@idle".to_owned(),
            said: Said::Value(format!("{value} inHg")),
            good: value > 19,
        }),
        Just(Event::Proof {
            check: job::BY_HAND.to_owned(),
            said: Said::Answer("the customer is content".to_owned()),
            good: true,
        }),
        Just(Event::Closed {
            how: Closing::Repaired
        }),
        Just(Event::Closed {
            how: Closing::Stopped("too dear".to_owned())
        }),
        any::<bool>().prop_map(|comeback| Event::Reopened {
            reason: "lamp".to_owned(),
            comeback,
            odometer_km: None,
        }),
    ]
}

proptest! {
    /// Whatever order two devices delivered them in, and however often: the same state.
    #[test]
    fn order_and_repetition_change_nothing(
        events in prop::collection::vec((any_event(), 0_u64..6), 0..12),
        shuffled in any::<prop::sample::Index>(),
        seed in any::<u64>(),
    ) {
        let mut entries = vec![entry(0, 0, intake())];
        for (index, (event, turn)) in (1..).zip(events) {
            entries.push(entry(index, turn + 1, event));
        }
        let expected = Job::fold(&entries).unwrap();
        let mut other = entries.clone();
        other.push(entries[shuffled.index(entries.len())].clone());
        // A shuffle that a seed repeats.
        let mut state = seed;
        for last in (1..other.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            other.swap(last, usize::try_from(state >> 33).unwrap() % (last + 1));
        }
        prop_assert_eq!(Job::fold(&other).unwrap(), expected);
    }

    /// Only what lacks nothing may be closed as repaired, and whatever was closed once stays closed when it is folded again.
    #[test]
    fn what_may_be_closed_as_repaired_lacks_nothing(events in prop::collection::vec(any_event(), 0..12)) {
        let begun: Vec<Event> = std::iter::once(intake()).chain(events).collect();
        let job = Job::fold(&told(begun.clone())).unwrap();
        let closing = Event::Closed { how: Closing::Repaired };
        if job.admits(&closing).is_ok() {
            prop_assert!(job.missing_proof().is_empty() && job.stage == Stage::Watch);
            let closed = Job::fold(&told(begun.into_iter().chain([closing]).collect())).unwrap();
            prop_assert_eq!(closed.stage, Stage::Closed);
        }
    }

    /// What is written is read back the same.
    #[test]
    fn an_entry_goes_through_its_line(event in any_event()) {
        let entry = entry(3, 4, event);
        prop_assert_eq!(Entry::read(&entry.write()).unwrap(), entry);
    }
}

#[test]
fn a_withdrawn_reading_does_not_count_and_is_in_the_record() {
    let with = told(vec![intake(), reading(9), reading(21)]);
    let mut entries = with.clone();
    entries.push(entry(
        3,
        3,
        Event::Withdrawn {
            entry: with[1].id,
            reason: "other gauge".to_owned(),
        },
    ));
    let job = Job::fold(&entries).unwrap();
    let without = Job::fold(&[with[0].clone(), with[2].clone()]).unwrap();
    assert_eq!(job.readings_file(), without.readings_file());
    assert_eq!(job.readings.len(), 2);
    assert_eq!(job.readings[0].withdrawn.as_deref(), Some("other gauge"));
    assert_eq!(job.last_to_withdraw(&entries), Some(with[2].id));
}

#[test]
fn a_closed_job_takes_notes_and_no_readings() {
    let job = Job::fold(&told(vec![
        intake(),
        Event::Closed {
            how: Closing::NothingWrong,
        },
    ]))
    .unwrap();
    assert_eq!(job.stage, Stage::Closed);
    assert_eq!(job.admits(&reading(9)), Err(Refused::Closed));
    assert_eq!(
        job.admits(&Event::Note {
            text: "keys are in the box".to_owned()
        }),
        Ok(())
    );
    let late = Event::Reopened {
        reason: "lamp".to_owned(),
        comeback: true,
        odometer_km: Some(1_000.0),
    };
    assert!(matches!(job.admits(&late), Err(Refused::Backwards { .. })));
}

#[test]
fn what_came_too_late_from_the_other_device_is_kept_as_odd() {
    let job = Job::fold(&told(vec![
        intake(),
        Event::Closed {
            how: Closing::NothingWrong,
        },
        reading(9),
    ]))
    .unwrap();
    assert_eq!((job.odd.len(), job.readings.len()), (1, 0));
    assert!(job.odd[0].why.contains("closed"));
}

#[test]
fn a_newer_program_is_told_from_a_broken_line() {
    let line = entry(1, 1, reading(9)).write();
    let newer = line.replacen("\"format\":1", "\"format\":99", 1);
    assert_eq!(Entry::read(&newer), Err(Unreadable::Newer { found: 99 }));
    assert!(matches!(
        Entry::read(&line[..line.len() - 3]),
        Err(Unreadable::Broken(_))
    ));
}
