//! Both pages of a whole invented job, from the door to the watch: their HTML, and their words line by line.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use jiff::{Timestamp, tz::TimeZone};
use job::{
    Behind, CodeStatus, Described, Entry, EntryId, Event, FORMAT, Frozen, Grade, Intake, Job, JobId, Mended,
    Replaced, Rules, Said, Trip, Vehicle,
};
use report::{Compared, Page, Sheet, customer_sheet, job_sheet};
use std::collections::BTreeMap;
use uuid::Uuid;

const BEGUN: i64 = 1_700_000_000;
const DRAWING: &str =
    r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9"></path></svg>"#;

fn intake() -> Event {
    Event::TakenIn {
        intake: Intake {
            vehicle: Vehicle {
                words: "white van, ladder on the roof".into(),
                odometer_km: Some(212_000.0),
                engine_hours: None,
            },
            complaint: "no power uphill".into(),
            circuit: Described {
                name: "invented".into(),
                text: String::new(),
            },
            altitude: Some("1600 m".into()),
            freeze_frame: vec![Frozen {
                what: "coolant".into(),
                value: "96 °C".into(),
            }],
            replaced: vec![Replaced {
                part: "pump".into(),
                km_ago: Some(2_000.0),
                days_ago: None,
                grade: Some(Grade::Budget),
            }],
            invented: true,
            ..Intake::default()
        },
    }
}

fn read(check: &str, value: &str) -> Event {
    Event::Reading {
        check: check.into(),
        said: Said::Value(value.into()),
        instrument: None,
        accuracy: None,
        minutes: Some(6.0),
        over: None,
    }
}

fn proof(check: &str, said: Said) -> Event {
    Event::Proof {
        check: check.into(),
        said,
        good: true,
    }
}

fn events() -> Vec<Event> {
    let code = |code: &str, status| Event::CodeNoted {
        code: code.into(),
        status,
    };
    vec![
        intake(),
        code("P0299", CodeStatus::Stored),
        code("P0243", CodeStatus::Pending),
        read("tee:valve.source@idle", "19 inHg"),
        Event::Withdrawn {
            entry: EntryId(Uuid::from_u128(3)),
            reason: "gauge leaked".into(),
        },
        read("tee:valve.source@idle", "9 inHg"),
        Event::RuledOut {
            what: "pump".into(),
            reason: "24 inHg dead-headed".into(),
        },
        Event::CauseProven {
            faults: vec!["source-line/leaks".into()],
            shown_by: vec!["look:source-line@off".into()],
            probability: 0.972,
            by_hand: None,
        },
        Event::NewPartChecked {
            part: "source-line".into(),
            check: "held 20 inHg for a minute".into(),
            read: "20 inHg".into(),
            good: true,
            grade: Some(Grade::Original),
        },
        Event::Repaired {
            part: "source-line".into(),
            how: Mended::Renewed,
            grade: Some(Grade::Original),
            price: Some(18.0),
            minutes: Some(15.0),
            behind: Behind::Mended("oil from the cover seal".into()),
        },
        proof("tee:valve.source@idle", Said::Value("21.2 inHg".into())),
        proof("road test uphill", Said::Answer("yes".into())),
        Event::Trip {
            trip: Trip {
                at: Timestamp::from_second(BEGUN + 90_000).unwrap(),
                monitor_ran: true,
                fault_seen: false,
                other_fault_seen: false,
                similar_conditions: None,
                start_coolant: None,
                peak_coolant: None,
            },
        },
        Event::Note {
            text: "keys are in the box".into(),
        },
    ]
}

fn job() -> Job {
    let entries: Vec<Entry> = (0_u32..)
        .zip(events())
        .map(|(turn, event)| Entry {
            format: FORMAT,
            id: EntryId(Uuid::from_u128(u128::from(turn))),
            job: JobId(Uuid::from_u128(9)),
            turn: u64::from(turn),
            at: Timestamp::from_second(BEGUN + 600 * i64::from(turn)).unwrap(),
            who: "Ann".into(),
            device: "d".into(),
            event,
        })
        .collect();
    Job::fold(&entries).unwrap()
}

fn pages() -> [Page; 2] {
    let job = job();
    assert!(job.odd.is_empty() && job.missing_proof().is_empty());
    let rules = Rules::us_light();
    let watch = job.watch(&rules).map(|watch| (rules, watch));
    let word = |id: &str, words: &str| (id.to_owned(), words.to_owned());
    let sheet = Sheet {
        number: "12".into(),
        job: &job,
        title: "Vacuum wastegate".into(),
        drawing: DRAWING.into(),
        suspects_before: vec![("valve/leaks".into(), 0.11), ("source-line/leaks".into(), 0.09)],
        suspects_after: vec![("source-line/leaks".into(), 0.972)],
        reasons: vec![(
            "9 inHg".into(),
            "at valve.source, teed in: healthy there is 20.1 to 22 inHg.".into(),
        )],
        cautions: vec![("belts catch hoses".into(), "route them clear".into())],
        compared: vec![Compared {
            check: "tee:valve.source@idle".into(),
            plain: "vacuum at the boost control solenoid".into(),
            before: Some("9 inHg".into()),
            after: "21.2 inHg".into(),
            healthy: Some("20.1 to 22 inHg".into()),
            good: true,
        }],
        stands: vec!["The engine was hot.".into()],
        words: BTreeMap::from([
            word("source-line", "hose from the pump to the solenoid"),
            word("source-line/leaks", "hose from the pump to the solenoid: split"),
            word("tee:valve.source@idle", "valve.source, teed in, idling warm"),
            word("look:source-line@off", "source-line, anything wrong to be seen?"),
            word("pump", "vacuum pump"),
        ]),
        watch,
        typical: true,
        zone: TimeZone::UTC,
    };
    [job_sheet(&sheet), customer_sheet(&sheet)]
}

/// One line for each thing, so that a change shows where it is.
fn words(html: &str) -> String {
    let body = html.split("<body>").nth(1).unwrap();
    let mut text = String::new();
    for piece in body.split('<') {
        let (tag, words) = piece.split_once('>').unwrap_or(("", piece));
        let begins = match tag {
            "h1" | "h2" => "\n\n",
            "p" | "li" | "tr" | "footer" | "p class=\"caution\"" => "\n",
            "td" | "th" => " | ",
            _ => "",
        };
        text.push_str(begins);
        text.push_str(words);
    }
    text.trim().to_owned()
}

#[test]
fn the_job_sheet() {
    let [shop, _] = pages();
    insta::assert_snapshot!("job-sheet-words", words(&shop.html()));
    insta::assert_snapshot!("job-sheet-html", shop.html().replace("><", ">\n<"));
}

#[test]
fn the_customers_page() {
    let [_, customer] = pages();
    insta::assert_snapshot!("customer-words", words(&customer.html()));
    insta::assert_snapshot!("customer-html", customer.html().replace("><", ">\n<"));
}
