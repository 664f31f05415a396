//! An offer and its answers: what is taken, what is refused, and where the job stands after it.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use jiff::Timestamp;
use job::{
    Behind, Choice, Closing, Described, Entry, EntryId, Event, FORMAT, GivenPrice, Grade, Intake, Job, JobId,
    Mended, Quote, QuoteOption, Refused, Said, Stage,
};
use uuid::Uuid;

fn option(total: f64, expected: f64) -> QuoteOption {
    QuoteOption {
        what: "renew the hose".to_owned(),
        part: Some("source-line".to_owned()),
        grade: Some(Grade::Original),
        cause: Some(0.97),
        parts: 10.0,
        price_given: false,
        minutes: 25.0,
        work: 30.0,
        tax: 8.0,
        total,
        expected,
        life_km: Some(150_000.0),
        bad_from_new: 0.01,
    }
}

fn quote() -> Quote {
    Quote {
        currency: "EUR".to_owned(),
        rate_per_hour: 72.0,
        tax_percent: 20.0,
        minutes_so_far: 12.0,
        minutes_usual: 0.0,
        parts_so_far: 0.0,
        so_far: 17.28,
        options: vec![option(48.0, 32.0), option(40.0, 50.0)],
        going_on: Some(200.0),
        renew_first: None,
        if_stopped: "The hose stays as it is.".to_owned(),
        prices: vec![GivenPrice {
            part: "source-line".to_owned(),
            grade: Grade::Budget,
            price: 4.5,
        }],
    }
}

fn given(quote: Quote) -> Event {
    Event::QuoteGiven { quote }
}

fn told(events: &[Event]) -> Job {
    let intake = Intake {
        vehicle: job::Vehicle::default(),
        complaint: "no power".to_owned(),
        circuit: Described::default(),
        ..Intake::default()
    };
    let all = std::iter::once(Event::TakenIn { intake }).chain(events.iter().cloned());
    let entries: Vec<Entry> = (0_u32..)
        .zip(all)
        .map(|(turn, event)| Entry {
            format: FORMAT,
            id: EntryId(Uuid::from_u128(u128::from(turn) + 1)),
            job: JobId(Uuid::from_u128(7)),
            turn: u64::from(turn),
            at: Timestamp::from_second(1_700_000_000).unwrap(),
            who: "Ann".to_owned(),
            device: "phone".to_owned(),
            event,
        })
        .collect();
    Job::fold(&entries).unwrap()
}

fn accepted(option: usize) -> Event {
    Event::QuoteAccepted { option }
}

fn refused(reason: &str) -> Event {
    Event::QuoteRefused {
        reason: reason.to_owned(),
    }
}

#[test]
fn the_customer_agrees_to_the_second_option() {
    let job = told(&[given(quote()), accepted(1)]);
    assert_eq!((job.stage, job.accepted), (Stage::Agreed, Some(1)));
    assert!(job.odd.is_empty());
    // A new offer opens the question again.
    let job = told(&[given(quote()), accepted(1), given(quote())]);
    assert_eq!((job.stage, job.accepted), (Stage::Quoted, None));
}

#[test]
fn the_customer_says_no_and_cannot_say_so_twice() {
    let job = told(&[given(quote()), refused("too dear")]);
    assert_eq!(job.stage, Stage::Checking);
    assert_eq!(job.refused.as_deref(), Some("too dear"));
    assert_eq!(job.admits(&refused("still")), Err(Refused::NoQuote));
    assert_eq!(job.admits(&accepted(0)), Err(Refused::NoQuote));
}

/// A second repair is offered before the first is proven, and declined: the first is still made, and what proved it still counts.
#[test]
fn a_repair_that_was_made_stays_made_when_more_is_declined() {
    let repaired = Event::Repaired {
        part: "source-line".to_owned(),
        how: Mended::Renewed,
        grade: None,
        price: None,
        minutes: None,
        behind: Behind::NotFound,
    };
    let proof = Event::Proof {
        check: "road test uphill".to_owned(),
        said: Said::Answer("yes".to_owned()),
        good: false,
    };
    for answer in [refused(""), Event::GoOnAgreed] {
        let before = told(&[repaired.clone(), proof.clone()]);
        let after = told(&[
            repaired.clone(),
            proof.clone(),
            given(quote()),
            given(quote()),
            answer,
        ]);
        assert_eq!((after.stage, before.stage), (Stage::Repaired, Stage::Repaired));
        assert_eq!(after.proofs, before.proofs);
        assert!(after.odd.is_empty());
    }
}

#[test]
fn the_customer_agrees_to_go_on_measuring() {
    let job = told(&[given(quote()), Event::GoOnAgreed]);
    assert_eq!((job.stage, job.goes_on), (Stage::Checking, true));
    assert_eq!(job.admits(&Event::GoOnAgreed), Err(Refused::NoQuote));
    let proven = Quote {
        going_on: None,
        ..quote()
    };
    let job = told(&[given(proven)]);
    assert_eq!(job.admits(&Event::GoOnAgreed), Err(Refused::NothingToGoOn));
}

#[test]
fn an_option_that_was_not_offered_cannot_be_taken() {
    let job = told(&[given(quote())]);
    let no_such = job.admits(&accepted(2)).unwrap_err();
    assert_eq!(no_such, Refused::NoSuchOption { options: 2 });
    assert!(no_such.to_string().contains("2 options"), "{no_such}");
    let one = Refused::NoSuchOption { options: 1 };
    assert!(one.to_string().contains("1 option;"), "{one}");
}

#[test]
fn a_closed_job_is_offered_nothing() {
    let closed = Event::Closed {
        how: Closing::NothingWrong,
    };
    assert_eq!(told(&[closed]).admits(&given(quote())), Err(Refused::Closed));
}

/// What no reader could take back is not written down.
#[test]
fn a_figure_that_is_none_is_refused() {
    let job = told(&[]);
    for bad in [f64::NAN, f64::INFINITY, -1.0] {
        let mut with = [quote(), quote(), quote(), quote()];
        with[0].so_far = bad;
        with[1].options[1].expected = bad;
        with[2].going_on = Some(bad);
        with[3].prices[0].price = bad;
        for quote in with {
            let why = job.admits(&given(quote)).unwrap_err();
            assert!(matches!(why, Refused::Impossible { .. }), "{why}");
        }
    }
}

/// What is cheapest is asked among the grades of one repair: a hose is no cheap pump.
#[test]
fn the_cheapest_to_buy_and_the_cheapest_over_its_life() {
    let pump = |total, expected| QuoteOption {
        part: Some("pump".to_owned()),
        ..option(total, expected)
    };
    let quote = Quote {
        options: vec![
            option(48.0, 32.0),
            option(40.0, 50.0),
            pump(300.0, 300.0),
            pump(300.0, 300.0),
        ],
        ..quote()
    };
    let choice = |options, cheapest_to_buy, cheapest_over_life| Choice {
        options,
        cheapest_to_buy,
        cheapest_over_life,
    };
    assert_eq!(quote.choices(), [choice(0..2, 1, 0), choice(2..4, 2, 2)]);
    let nothing = Quote {
        options: Vec::new(),
        ..quote
    };
    assert_eq!(nothing.choices(), []);
}

/// An offer written before these fields were there is read: what is missing is nothing.
#[test]
fn an_earlier_offer_is_still_read() {
    let text = r#"{"currency":"EUR","minutes_so_far":5.0,"so_far":9.5,"options":[{"what":"renew the hose","parts":10.0,
        "minutes":25.0,"work":30.0,"tax":8.0,"total":48.0,"expected":32.0,"bad_from_new":0.01}],"if_stopped":"It stays."}"#;
    let quote: Quote = serde_json::from_str(text).unwrap();
    assert_eq!(quote.options[0].life_km, None);
    let again: Quote = serde_json::from_str(&serde_json::to_string(&quote).unwrap()).unwrap();
    assert_eq!(quote, again);
}
