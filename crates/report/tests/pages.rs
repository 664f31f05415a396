//! Pages of an invented job: everything on them, escaped, and nothing from outside.
#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use jiff::{Timestamp, tz::TimeZone};
use job::{Described, Entry, EntryId, Event, FORMAT, Intake, Job, JobId, Said, Vehicle};
use proptest::prelude::*;
use report::{Sheet, card_sheet, customer_sheet, job_sheet};
use std::collections::BTreeMap;
use uuid::Uuid;

const BEGUN: i64 = 1_700_000_000;

fn job(words: &str) -> Job {
    let intake = Intake {
        vehicle: Vehicle {
            words: words.into(),
            ..Vehicle::default()
        },
        complaint: words.into(),
        circuit: Described {
            name: "invented".into(),
            text: String::new(),
        },
        altitude: Some("200 m".into()),
        barometer: None,
        temperature: None,
        freeze_frame: vec![],
        replaced: vec![],
        oil_soaked: vec![],
        limit: None,
    };
    let reading = |value: &str| Event::Reading {
        check: "tee:a@idle".into(),
        said: Said::Value(value.into()),
        instrument: None,
        minutes: None,
    };
    let events = [
        Event::TakenIn { intake },
        reading("5 inHg"),
        Event::Withdrawn {
            entry: EntryId(Uuid::from_u128(1)),
            reason: "gauge leaked".into(),
        },
        reading("21 inHg"),
        Event::Note { text: words.into() },
        Event::Stands {
            open: vec!["cover".into()],
            off: vec![],
            hot: Some(true),
        },
    ];
    let entries: Vec<Entry> = (0_u32..)
        .zip(events)
        .map(|(turn, event)| Entry {
            format: FORMAT,
            id: EntryId(Uuid::from_u128(u128::from(turn))),
            job: JobId(Uuid::from_u128(9)),
            turn: u64::from(turn),
            at: Timestamp::from_second(BEGUN).unwrap(),
            who: "A".into(),
            device: "d".into(),
            event,
        })
        .collect();
    Job::fold(&entries).unwrap()
}

fn pages(job: &Job, words: &str) -> [String; 3] {
    let sheet = Sheet {
        number: "7".into(),
        job,
        title: words.into(),
        drawing: String::new(),
        suspects_before: vec![(words.into(), 0.2)],
        suspects_after: vec![(words.into(), 0.9)],
        reasons: vec![words.into()],
        cautions: vec![words.into()],
        minutes: 12.0,
        words: BTreeMap::from([("tee:a@idle".into(), words.into())]),
        watch: Some(words.into()),
        typical: true,
        invented: true,
        zone: TimeZone::UTC,
    };
    [
        job_sheet(&sheet),
        customer_sheet(&sheet),
        card_sheet(words, "", &[words.into()], true),
    ]
}

/// Every tag that opens closes, in order; the void elements of the HTML standard have no end.
fn balanced(page: &str) -> bool {
    let mut open = Vec::new();
    for tag in page.split('<').skip(1) {
        let name: &str = tag.split(['>', ' ']).next().unwrap();
        match name.strip_prefix('/') {
            Some(end) => {
                if open.pop() != Some(end) {
                    return false;
                }
            }
            None if matches!(name, "!DOCTYPE" | "meta") => {}
            None => open.push(name),
        }
    }
    open.is_empty()
}

#[test]
fn a_withdrawn_reading_is_struck_through_with_its_reason() {
    let job = job("no boost");
    let [page, customer, _] = pages(&job, "gauge at the source");
    assert!(page.contains("<s>5 inHg</s> withdrawn: gauge leaked"), "{page}");
    assert!(page.contains("2023-11-14 22:13") && page.contains("typical, unverified"));
    assert!(
        customer.contains("21 inHg") && !customer.contains("5 inHg"),
        "{customer}"
    );
}

#[test]
fn markup_in_a_complaint_stays_words() {
    let hurt = "<script>alert(1)</script>";
    for page in pages(&job(hurt), hurt) {
        assert!(
            !page.contains("<script") && page.contains("&lt;script&gt;"),
            "{page}"
        );
        assert!(!page.contains("http") && !page.contains("src=") && !page.contains("url("));
    }
}

proptest! {
    #[test]
    fn whatever_is_said_a_page_stays_whole(words in "[<>&\"'/a-z ]{0,30}") {
        let plain = pages(&job("x"), "x");
        for (page, plain) in pages(&job(&words), &words).iter().zip(&plain) {
            prop_assert!(balanced(page), "{page}");
            prop_assert_eq!(page.matches('<').count(), plain.matches('<').count());
        }
    }
}
