//! When a repair counts as proven: what condemned the part made again, a drive, or a person's word with a reason.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use jiff::Timestamp;
use job::{
    BY_HAND, Behind, Closing, Entry, EntryId, Event, FORMAT, Intake, Job, JobId, Mended, Refused, Said,
    Stage, Trip, Unproven,
};
use uuid::Uuid;

const TEED: &str = "tee:valve.source@idle";
const DEAD: &str = "deadhead:pump.inlet@idle";
const LOOK: &str = "look:source-line@off";
const OHMS: &str = "ohms:valve@off";

fn told(events: Vec<Event>) -> Job {
    let begins = Event::TakenIn {
        intake: Intake::default(),
    };
    let entries: Vec<Entry> = (0_u32..)
        .zip(std::iter::once(begins).chain(events))
        .map(|(turn, event)| Entry {
            format: FORMAT,
            id: EntryId(Uuid::from_u128(u128::from(turn) + 1)),
            job: JobId(Uuid::from_u128(7)),
            turn: u64::from(turn),
            at: Timestamp::from_second(2_000_000_000).unwrap(),
            who: "Ann".to_owned(),
            device: "phone".to_owned(),
            event,
        })
        .collect();
    Job::fold(&entries).unwrap()
}

fn said(text: &str) -> Said {
    if text.starts_with(|letter: char| letter.is_ascii_digit()) {
        Said::Value(text.to_owned())
    } else {
        Said::Answer(text.to_owned())
    }
}

fn read(check: &str, text: &str) -> Event {
    Event::Reading {
        check: check.to_owned(),
        said: said(text),
        instrument: None,
        accuracy: None,
        minutes: None,
        over: None,
    }
}

fn cause(shown_by: &[&str]) -> Event {
    Event::CauseProven {
        faults: vec!["source-line/leaks".to_owned()],
        shown_by: shown_by.iter().map(|check| (*check).to_owned()).collect(),
        probability: 0.97,
        by_hand: None,
    }
}

fn repaired() -> Event {
    Event::Repaired {
        part: "source-line".to_owned(),
        how: Mended::Renewed,
        grade: None,
        price: None,
        minutes: None,
        behind: Behind::NotFound,
    }
}

fn proof(check: &str, text: &str, good: bool) -> Event {
    Event::Proof {
        check: check.to_owned(),
        said: said(text),
        good,
    }
}

fn trip(monitor_ran: bool) -> Event {
    Event::Trip {
        trip: Trip {
            at: Timestamp::from_second(2_000_000_000).unwrap(),
            monitor_ran,
            fault_seen: false,
            other_fault_seen: false,
            similar_conditions: None,
            start_coolant: None,
            peak_coolant: None,
        },
    }
}

fn closed() -> Event {
    Event::Closed {
        how: Closing::Repaired,
    }
}

fn one_of(checks: &[&str]) -> Unproven {
    Unproven::OneOf {
        checks: checks.iter().map(|check| (*check).to_owned()).collect(),
    }
}

/// What was read before the repair, and the repair.
fn leak() -> Vec<Event> {
    vec![
        read(DEAD, "24 inHg"),
        read(TEED, "9 inHg"),
        read(LOOK, "yes"),
        cause(&[LOOK]),
        repaired(),
    ]
}

fn after(begun: Vec<Event>, more: Vec<Event>) -> Job {
    told(begun.into_iter().chain(more).collect())
}

#[test]
fn what_was_wrong_is_measured_again_and_the_vehicle_is_driven() {
    let job = after(leak(), vec![]);
    assert_eq!(job.stage, Stage::Repaired);
    assert_eq!(job.missing_proof(), [one_of(&[DEAD, TEED]), Unproven::Drive]);
    // Healthy before and healthy now: that says nothing of the repair. Nor does a look at the new hose.
    let same = after(
        leak(),
        vec![proof(DEAD, "23.5 inHg", true), proof(LOOK, "no", true)],
    );
    assert_eq!((same.stage, same.missing_proof().len()), (Stage::Repaired, 2));
    let again = after(leak(), vec![proof(TEED, "21 inHg", true)]);
    assert_eq!(
        (again.stage, again.missing_proof()),
        (Stage::Watch, vec![Unproven::Drive])
    );
    let refused = again.admits(&closed()).unwrap_err();
    assert!(
        refused.to_string().contains("a drive as the complaint was"),
        "{refused}"
    );
    for drive in [trip(true), proof("road test uphill", "yes", true)] {
        let driven = after(leak(), vec![proof(TEED, "21 inHg", true), drive]);
        assert!(driven.missing_proof().is_empty());
        assert_eq!(driven.admits(&closed()), Ok(()));
    }
    let not_run = after(leak(), vec![proof(TEED, "21 inHg", true), trip(false)]);
    assert_eq!(not_run.missing_proof(), [Unproven::Drive]);
}

/// The unit is not the reading.
#[test]
fn the_same_in_another_unit_is_the_same() {
    let metric = after(leak(), vec![proof(TEED, "0.3 bar", true)]);
    assert_eq!(metric.missing_proof(), [one_of(&[DEAD, TEED]), Unproven::Drive]);
    let better = after(leak(), vec![proof(TEED, "0.71 bar", true)]);
    assert_eq!(better.stage, Stage::Watch);
}

#[test]
fn a_measurement_that_showed_the_cause_is_the_one_to_make_again() {
    let coil = || {
        vec![
            read(TEED, "0 inHg"),
            read(OHMS, "2 ohm"),
            cause(&[OHMS]),
            repaired(),
        ]
    };
    let elsewhere = after(
        coil(),
        vec![proof(TEED, "21 inHg", true), proof("road test", "yes", true)],
    );
    assert_eq!(
        elsewhere.missing_proof(),
        [Unproven::Shown {
            check: OHMS.to_owned()
        }]
    );
    let there = after(
        coil(),
        vec![proof(OHMS, "14 ohm", true), proof("road test", "yes", true)],
    );
    assert_eq!((there.stage, there.missing_proof()), (Stage::Watch, vec![]));
}

#[test]
fn one_bad_check_keeps_the_repair_open_until_it_is_explained_or_mended() {
    let bad = after(
        leak(),
        vec![proof(TEED, "21 inHg", true), proof("road test", "no", false)],
    );
    assert_eq!(bad.stage, Stage::Repaired);
    assert!(bad.missing_proof().contains(&Unproven::Bad {
        check: "road test".to_owned()
    }));
    // A person's word does not undo a reading.
    let word = after(
        leak(),
        vec![
            proof("road test", "no", false),
            proof(BY_HAND, "good enough", true),
        ],
    );
    assert_eq!(
        word.missing_proof(),
        [Unproven::Bad {
            check: "road test".to_owned()
        }]
    );
    // The next repair begins anew: what was good before it proves nothing of it.
    let anew = after(leak(), vec![proof(TEED, "21 inHg", true), repaired()]);
    assert_eq!((anew.stage, anew.missing_proof().len()), (Stage::Repaired, 2));
}

#[test]
fn a_person_may_call_it_proven_and_says_why() {
    let word = after(
        leak(),
        vec![proof(BY_HAND, "driven 200 km by the customer, pulls", true)],
    );
    assert_eq!(word.stage, Stage::Watch);
    assert_eq!(word.proof_by_hand(), Some("driven 200 km by the customer, pulls"));
    assert_eq!(word.admits(&closed()), Ok(()));
}

#[test]
fn where_nothing_was_measured_a_road_test_is_all_there_is() {
    let job = told(vec![repaired()]);
    assert_eq!(job.missing_proof(), [Unproven::Anything, Unproven::Drive]);
    let driven = told(vec![repaired(), proof("road test", "yes", true)]);
    assert_eq!((driven.stage, driven.missing_proof()), (Stage::Watch, vec![]));
    // A reading taken after the repair is none from before it.
    let late = told(vec![
        repaired(),
        read(TEED, "21 inHg"),
        proof("road test", "yes", true),
    ]);
    assert_eq!(late.stage, Stage::Watch);
}

/// One good check was enough once; what was closed on it stays closed, and new entries are asked for more.
#[test]
fn an_old_job_closed_on_one_good_check_stays_closed() {
    let old = || vec![proof("road test", "yes", true)];
    let open = after(leak(), old());
    assert_eq!(open.missing_proof(), [one_of(&[DEAD, TEED])]);
    assert!(matches!(open.admits(&closed()), Err(Refused::Unproven { .. })));
    let closed_then = after(leak(), old().into_iter().chain([closed()]).collect());
    assert_eq!((closed_then.stage, closed_then.odd.len()), (Stage::Closed, 0));
    // Without any good check it never counted.
    let never = after(leak(), vec![closed()]);
    assert_eq!((never.stage, never.odd.len()), (Stage::Repaired, 1));
}
