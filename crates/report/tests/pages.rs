//! Pages of an invented job: everything on them, escaped, and nothing from outside.
#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use jiff::{Timestamp, tz::TimeZone};
use job::{
    Behind, Described, Entry, EntryId, Event, FORMAT, Grade, Intake, Job, JobId, Mended, Quote, QuoteOption,
    Said, Vehicle,
};
use proptest::prelude::*;
use report::{Sheet, customer_sheet, job_sheet};
use std::collections::BTreeMap;
use uuid::Uuid;

/// A drawing as `draw` makes them: its name space is the one address a page may hold.
const DRAWING: &str =
    r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9"></path></svg>"#;
const BEGUN: i64 = 1_700_000_000;

fn job(words: &str) -> Job {
    job_with(words, Vec::new())
}

/// The same after `more`.
fn job_with(words: &str, more: Vec<Event>) -> Job {
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
        ..Intake::default()
    };
    let reading = |value: &str| Event::Reading {
        check: "tee:a@idle".into(),
        said: Said::Value(value.into()),
        instrument: None,
        accuracy: None,
        minutes: None,
        over: None,
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
        .zip(events.into_iter().chain(more))
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

fn pages(job: &Job, words: &str) -> [String; 2] {
    let sheet = Sheet {
        number: "7".into(),
        job,
        title: words.into(),
        drawing: DRAWING.into(),
        suspects_before: vec![(words.into(), 0.2)],
        suspects_after: vec![(words.into(), 0.9)],
        reasons: vec![(words.into(), words.into())],
        cautions: vec![(words.into(), words.into())],
        compared: Vec::new(),
        stands: vec![words.into()],
        words: BTreeMap::from([("tee:a@idle".into(), words.into())]),
        watch: None,
        typical: true,
        zone: TimeZone::UTC,
    };
    [job_sheet(&sheet).html(), customer_sheet(&sheet).html()]
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
    let [page, customer] = pages(&job, "gauge at the source");
    assert!(page.contains("<s>5 inHg</s> withdrawn: gauge leaked"), "{page}");
    assert!(page.contains("2023-11-14 22:13") && page.contains("typical, unverified"));
    assert!(!customer.contains("inHg"), "{customer}");
}

/// A customer is told no more than is known.
#[test]
fn a_cause_called_proven_by_hand_is_not_told_as_certain() {
    let by_hand = Event::CauseProven {
        faults: vec!["valve/sticks closed".into()],
        shown_by: Vec::new(),
        probability: 0.46,
        by_hand: Some("heard it stick".into()),
    };
    let repaired = Event::Repaired {
        part: "source-line".into(),
        how: Mended::Renewed,
        grade: None,
        price: None,
        minutes: None,
        behind: Behind::NotFound,
    };
    let [_, customer] = pages(&job_with("no boost", vec![by_hand, repaired]), "x");
    for told in [
        "46 in 100",
        "heard it stick",
        "judged, not measured",
        "not been measured yet",
    ] {
        assert!(customer.contains(told), "{told}: {customer}");
    }
    assert!(
        customer.contains("source-line was worked on as well"),
        "{customer}"
    );
    let [_, customer] = pages(&job("no boost"), "x");
    assert!(customer.contains("not proven yet"), "{customer}");
}

fn option(grade: Grade, total: f64, expected: f64) -> QuoteOption {
    QuoteOption {
        what: format!("renew the hose, {} part", grade.name()),
        part: Some("source-line".into()),
        grade: Some(grade),
        cause: None,
        parts: 10.0,
        price_given: false,
        minutes: 25.0,
        work: 30.0,
        tax: 8.0,
        total,
        expected,
        life_km: Some(149_600.0),
        bad_from_new: 0.02,
    }
}

/// An offer of two options; the first costs less over its life, the second less now.
fn offered() -> Event {
    Event::QuoteGiven {
        quote: Quote {
            currency: "EUR".into(),
            rate_per_hour: 72.0,
            tax_percent: 20.0,
            minutes_so_far: 12.0,
            minutes_usual: 8.0,
            parts_so_far: 0.0,
            so_far: 17.28,
            options: vec![
                option(Grade::Original, 48.0, 32.5),
                option(Grade::Budget, 40.0, 51.25),
            ],
            going_on: Some(200.0),
            renew_first: None,
            if_stopped: "The hose stays as it is.".into(),
            prices: Vec::new(),
        },
    }
}

#[test]
fn both_pages_say_what_was_offered_and_what_was_agreed() {
    let shared = [
        "12 minutes of work at 72.00 EUR an hour; with 20 % tax 17.28 EUR",
        "8 were not noted",
        "Of options 1 to 2, option 2 costs least now; option 1 costs least over its life.",
        "rules of thumb",
        "about 200.00 EUR",
        "The hose stays as it is.",
        "150,000 km",
    ];
    let [shop, customer] = pages(&job_with("no boost", vec![offered()]), "x");
    for told in shared {
        assert!(shop.contains(told), "{told}: {shop}");
        assert!(customer.contains(told), "{told}: {customer}");
    }
    assert!(
        customer.contains("Of 1,000 such new parts about 20 are bad"),
        "{customer}"
    );
    assert!(!customer.contains("agreed") && !shop.contains("agreed"));
    assert!(
        shop.contains("10.00 (usual price)") && shop.contains("51.25"),
        "{shop}"
    );

    let agreed = Event::QuoteAccepted { option: 1 };
    let [shop, customer] = pages(&job_with("no boost", vec![offered(), agreed]), "x");
    assert!(customer.contains("You agreed to option 2."), "{customer}");
    assert!(
        shop.contains("<strong>agreed: </strong>2. renew the hose, budget part"),
        "{shop}"
    );

    let refused = Event::QuoteRefused {
        reason: "too <dear>".into(),
    };
    let [shop, customer] = pages(&job_with("no boost", vec![offered(), refused]), "x");
    assert!(
        customer.contains("You declined the offer: too &lt;dear&gt;."),
        "{customer}"
    );
    assert!(shop.contains("The customer declined the offer"), "{shop}");
    let [_, customer] = pages(&job_with("no boost", vec![offered(), Event::GoOnAgreed]), "x");
    assert!(
        customer.contains("You agreed to go on measuring first."),
        "{customer}"
    );
}

#[test]
fn an_invented_job_says_so_and_no_minutes_are_none() {
    let mut invented = job("no boost");
    let [page, _] = pages(&invented, "x");
    assert!(
        page.contains("; 0 minutes of work") && !page.contains("Invented example"),
        "{page}"
    );
    invented.intake.invented = true;
    for page in pages(&invented, "x") {
        assert!(page.contains("Invented example"), "{page}");
    }
}

#[test]
fn markup_in_a_complaint_stays_words() {
    let hurt = "<script>alert(1)</script>";
    for page in pages(&job(hurt), hurt) {
        assert!(
            !page.contains("<script") && page.contains("&lt;script&gt;"),
            "{page}"
        );
        let outside = page.replace(DRAWING, "");
        assert!(!outside.contains("http") && !page.contains("src=") && !page.contains("url("));
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
