//! Offers: what adds up, what grows with what, and the stories they must tell. Figures of lives and grades are from memory.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod common;

use common::{intake, job, read};
use engine::{Bay, Belief, Effort, Evidence, Model, Terms, belief, job_evidence, load_job, quote};
use job::{Behind, Event, GivenPrice, Grade, Job, Mended, Quote, QuoteOption, Said};
use life::{Ended, Found, Lesson, Service, Sums};
use proptest::prelude::*;
use std::sync::LazyLock;

const WASTEGATE: &str = "vacuum-wastegate";

fn terms() -> Terms {
    Terms::new("EUR", 90.0, 20.0).unwrap()
}

fn offered(job: &Job, terms: &Terms) -> Quote {
    offered_by(job, terms, &Sums::default())
}

/// The same by a shop whose closed jobs teach `sums`.
fn offered_by(job: &Job, terms: &Terms, sums: &Sums) -> Quote {
    let model: Model = load_job(job, &Sums::default()).0.model.unwrap();
    let (evidence, findings) = job_evidence(&model, job);
    assert!(findings.is_empty(), "{findings:?}");
    let evidence: Evidence = evidence.unwrap();
    let belief = belief(&model, &evidence, Effort::brisk());
    quote(&belief, &evidence, &Bay::default(), job, terms, sums)
}

fn proven(faults: &[&str]) -> Event {
    Event::CauseProven {
        faults: faults.iter().map(|fault| (*fault).to_owned()).collect(),
        shown_by: vec!["look:source-line@off".to_owned()],
        probability: 0.98,
        by_hand: None,
    }
}

fn with(circuit: &str, faults: &[&str]) -> Job {
    job(intake(circuit), vec![proven(faults)])
}

fn of(quote: &Quote, grade: Grade) -> &QuoteOption {
    quote
        .options
        .iter()
        .find(|option| option.grade == Some(grade))
        .unwrap()
}

fn price(part: &str, grade: Grade, price: f64) -> GivenPrice {
    GivenPrice {
        part: part.to_owned(),
        grade,
        price,
    }
}

/// A hose is cheap beside the work of fitting it: what the cheapest saves in the shop it costs on the road.
#[test]
fn the_cheapest_hose_is_not_the_cheapest_repair() {
    let quote = offered(&with(WASTEGATE, &["source-line/leaks"]), &terms());
    assert_eq!(quote.options.len(), 3);
    let [choice] = &quote.choices()[..] else {
        panic!("{quote:?}")
    };
    assert_eq!(quote.options[choice.cheapest_to_buy].grade, Some(Grade::Budget));
    assert_eq!(
        quote.options[choice.cheapest_over_life].grade,
        Some(Grade::Original)
    );
    // The one we would take first stands first.
    assert_eq!(choice.cheapest_over_life, 0);
    let original = of(&quote, Grade::Original);
    // By hand: part 12; cover 4, renewal 15 and proof 10 minutes at 1.50; 20 % tax on both.
    assert!((original.parts - 12.0).abs() < 1e-9 && (original.minutes - 29.0).abs() < 1e-9);
    assert!((original.work - 43.5).abs() < 1e-9 && (original.tax - 11.1).abs() < 1e-9);
    assert!((original.total - 66.6).abs() < 1e-9);
    // Another 30 minutes find a bad one out: 54 with tax. b/(1 − b) = 0.0065/0.9935. Life 150,000 km.
    let expected = (66.6 + 0.006_5 / 0.993_5 * (66.6 + 54.0)) / 1.5;
    assert!(
        (original.expected - expected).abs() < 0.005 + 1e-9,
        "{}",
        original.expected
    );
    assert_eq!(quote.going_on, None, "nothing is left to measure");
    assert!(
        quote
            .if_stopped
            .contains("Proven to be at fault: hose from the pump"),
        "{}",
        quote.if_stopped
    );
}

/// A dear part that is quick to fit: half the life at a third of the price is worth it, beside the original.
#[test]
fn a_dear_part_that_is_quick_to_fit_may_be_a_cheap_one() {
    let dear = terms()
        .with_price(price("valve", Grade::Original, 900.0))
        .unwrap();
    let job = with(WASTEGATE, &["valve/sticks closed"]);
    let quote = offered(&job, &dear);
    assert!(of(&quote, Grade::Budget).expected < of(&quote, Grade::Original).expected);
    assert!(of(&quote, Grade::Original).price_given && !of(&quote, Grade::Budget).price_given);
    assert!(
        (of(&quote, Grade::Budget).parts - 315.0).abs() < 1e-9,
        "0.35 of the given price"
    );
    assert_eq!(quote.prices, dear.prices());
    // As rules of thumb go the one between is best; a real price of the cheapest settles it.
    assert_eq!(quote.options[0].grade, Some(Grade::Equivalent));
    let quote = offered(
        &job,
        &dear.with_price(price("valve", Grade::Budget, 150.0)).unwrap(),
    );
    assert_eq!(quote.options[0].grade, Some(Grade::Budget));
    let choice = &quote.choices()[0];
    assert_eq!((choice.cheapest_to_buy, choice.cheapest_over_life), (0, 0));
}

#[test]
fn a_given_price_of_one_grade_leaves_the_others() {
    let given = terms().with_price(price("valve", Grade::Budget, 19.99)).unwrap();
    let quote = offered(&with(WASTEGATE, &["valve/sticks closed"]), &given);
    assert!((of(&quote, Grade::Budget).parts - 19.99).abs() < 1e-9);
    assert!((of(&quote, Grade::Original).parts - 75.0).abs() < 1e-9);
}

/// Two faults are one repair: both parts, one way in, one proof.
#[test]
fn two_faults_are_repaired_together() {
    let both = offered(
        &with(WASTEGATE, &["source-line/leaks", "valve/sticks closed"]),
        &terms(),
    );
    let line = offered(&with(WASTEGATE, &["source-line/leaks"]), &terms());
    let valve = offered(&with(WASTEGATE, &["valve/sticks closed"]), &terms());
    for grade in Grade::ALL {
        let (both, line, valve) = (of(&both, grade), of(&line, grade), of(&valve, grade));
        assert_eq!(both.part.as_deref(), Some("source-line + valve"));
        assert!((both.parts - line.parts - valve.parts).abs() < 1e-9);
        // The cover comes off once (4 minutes), the proof is made once (10).
        assert!((both.minutes - (line.minutes + valve.minutes - 14.0)).abs() < 1e-9);
        assert!((both.expected - line.expected - valve.expected).abs() < 0.011);
        assert!(both.bad_from_new > line.bad_from_new.max(valve.bad_from_new));
        assert!(both.bad_from_new < line.bad_from_new + valve.bad_from_new);
    }
}

/// A wire is mended where it is: no grades, no new part to be bad.
#[test]
fn a_wire_has_no_grades() {
    let quote = offered(&with(WASTEGATE, &["supply-wire/open"]), &terms());
    let [only] = quote.options.as_slice() else {
        panic!("{quote:?}")
    };
    assert_eq!(only.grade, None);
    assert!(
        only.what.starts_with("repair the wire") && !only.what.contains("part"),
        "{}",
        only.what
    );
}

#[test]
fn every_kind_is_renewed_or_mended_where_it_is() {
    let catalogue = physics::catalogue();
    let mended: Vec<&str> = catalogue
        .kinds()
        .iter()
        .filter(|kind| !engine::quote::renews(kind))
        .map(|kind| kind.name)
        .collect();
    assert_eq!(
        mended,
        [
            "intake manifold",
            "air space",
            "engine cylinders",
            "wire",
            "ground point",
            "chassis",
            "fuel tank",
            "twisted pair"
        ]
    );
}

/// Before any reading nothing is promised: what it could be stands with its chance, and going on has a price.
#[test]
fn before_any_reading_nothing_is_called_known() {
    let quote = offered(&job(intake(WASTEGATE), Vec::new()), &terms());
    assert!(quote.going_on.unwrap() > 0.0);
    assert!(quote.minutes_so_far.abs() < f64::EPSILON && quote.so_far.abs() < f64::EPSILON);
    assert!(
        quote.if_stopped.contains("nothing has been measured yet"),
        "{}",
        quote.if_stopped
    );
    for option in &quote.options {
        let chance = option.cause.unwrap();
        assert!((0.2..0.95).contains(&chance), "{option:?}");
    }
    assert!(!quote.if_stopped.contains("Proven"), "{}", quote.if_stopped);
}

/// A shop whose hoses of all sorts failed early, and of which two came bad: lives fall, the chance of a bad one rises, so every grade
/// costs more in the long run, and nothing else of the offer changes.
#[test]
fn closed_jobs_move_lives_and_the_chance_of_a_bad_part() {
    let service = |ended, count| Service {
        kind: "tube".to_owned(),
        distance_km: Some(20_000.0),
        age_days: None,
        ended,
        count,
    };
    let lesson = Lesson {
        circuit: WASTEGATE.to_owned(),
        found: Found::Nothing,
        causes: Vec::new(),
        parts: vec![
            service(Ended::Failed, 10),
            Service {
                distance_km: None,
                ..service(Ended::BadFromNew, 2)
            },
        ],
        checks: Vec::new(),
    };
    let mut sums = Sums::default();
    sums.add(&lesson).unwrap();
    let job = with(WASTEGATE, &["source-line/leaks"]);
    let (shipped, learnt) = (offered(&job, &terms()), offered_by(&job, &terms(), &sums));
    for grade in Grade::ALL {
        let (before, after) = (of(&shipped, grade), of(&learnt, grade));
        assert!(
            after.life_km.unwrap() < 0.6 * before.life_km.unwrap(),
            "{after:?}"
        );
        assert!(after.bad_from_new > before.bad_from_new);
        assert!(after.expected > before.expected);
        assert!((after.total - before.total).abs() < 1e-9);
    }
}

/// Minutes that nobody noted count as the usual ones, and the offer says so.
#[test]
fn minutes_that_were_not_noted_are_the_usual_ones() {
    let silent = Event::Reading {
        check: "tee:valve.source@idle".to_owned(),
        said: Said::Value("9 inHg".to_owned()),
        instrument: None,
        accuracy: None,
        minutes: None,
        over: None,
    };
    let not_done = Event::Reading {
        check: "look:actuator@off".to_owned(),
        said: Said::Answer("not done".to_owned()),
        instrument: None,
        accuracy: None,
        minutes: None,
        over: None,
    };
    let noted = read("deadhead:valve.source@idle", "20 inHg");
    let quote = offered(&job(intake(WASTEGATE), vec![silent, not_done, noted]), &terms());
    let model = load_job(&job(intake(WASTEGATE), Vec::new()), &Sums::default())
        .0
        .model
        .unwrap();
    let check = &model.checks()[model.check("tee:valve.source@idle").unwrap()];
    let usual = Bay::default().minutes(model.circuit(), check);
    assert!((quote.minutes_usual - usual).abs() < 1e-9);
    assert!((quote.minutes_so_far - usual - 4.0).abs() < 1e-9);
    assert!((quote.so_far - quote.minutes_so_far * 1.5 * 1.2).abs() < 0.011);
}

/// A part that was fitted and did not cure is paid for, and the customer is told that it is not known to cure.
#[test]
fn what_was_fitted_is_part_of_what_was_spent() {
    let fitted = Event::Repaired {
        part: "valve".to_owned(),
        how: Mended::Renewed,
        grade: Some(Grade::Original),
        price: Some(80.0),
        minutes: Some(20.0),
        behind: Behind::NotFound,
    };
    let quote = offered(&job(intake(WASTEGATE), vec![fitted]), &terms());
    assert!(
        (quote.so_far - (30.0 + 80.0) * 1.2).abs() < 1e-9,
        "{}",
        quote.so_far
    );
    assert!(quote.if_stopped.contains("not proven"), "{}", quote.if_stopped);
    assert!(
        quote.if_stopped.contains("boost control solenoid"),
        "{}",
        quote.if_stopped
    );
}

#[test]
fn the_same_job_is_offered_the_same() {
    let twice = || {
        offered(
            &job(intake(WASTEGATE), vec![read("tee:valve.source@idle", "9 inHg")]),
            &terms(),
        )
    };
    assert_eq!(twice(), twice());
}

/// A cause by hand, on a part that this circuit does not know any more: no option, and no panic.
#[test]
fn a_part_that_is_not_known_is_offered_nothing() {
    let quote = offered(&with(WASTEGATE, &["hosepipe/split"]), &terms());
    assert!(quote.options.is_empty());
    assert!(
        quote.if_stopped.contains("hosepipe/split"),
        "{}",
        quote.if_stopped
    );
}

fn any_terms() -> impl Strategy<Value = Terms> {
    let prices = prop::collection::vec((0..3_usize, 0.0..2_000.0_f64), 0..3);
    (0.0..10_000_000.0_f64, 0.0..100.0_f64, prices).prop_map(|(rate, tax, prices)| {
        prices
            .into_iter()
            .fold(Terms::new("EUR", rate, tax).unwrap(), |terms, (grade, amount)| {
                terms
                    .with_price(price("valve", Grade::ALL[grade], amount))
                    .unwrap()
            })
    })
}

/// One job with its belief, made once for many terms.
struct Held {
    job: Job,
    belief: Belief<'static>,
    evidence: Evidence,
}

static VALVE: LazyLock<Held> = LazyLock::new(|| {
    let job = with(WASTEGATE, &["valve/sticks closed"]);
    let model: &Model = Box::leak(Box::new(load_job(&job, &Sums::default()).0.model.unwrap()));
    let evidence = job_evidence(model, &job).0.unwrap();
    let belief = belief(model, &evidence, Effort::brisk());
    Held {
        job,
        belief,
        evidence,
    }
});

fn for_the_valve(terms: &Terms) -> Quote {
    quote(
        &VALVE.belief,
        &VALVE.evidence,
        &Bay::default(),
        &VALVE.job,
        terms,
        &Sums::default(),
    )
}

proptest! {
    /// Whatever a shop charges: figures are figures, and add up as they are written.
    #[test]
    fn an_offer_adds_up(terms in any_terms()) {
        let quote = for_the_valve(&terms);
        let given = Event::QuoteGiven { quote: quote.clone() };
        prop_assert!(VALVE.job.admits(&given).is_ok());
        for option in &quote.options {
            let sum = option.parts + option.work + option.tax;
            prop_assert!((sum - option.total).abs() <= 1e-12 * sum.max(1.0), "{option:?}");
            let written = |amount: f64| format!("{amount:.2}").parse::<f64>().unwrap();
            prop_assert!((written(option.parts) + written(option.work) + written(option.tax) - written(option.total)).abs() <= 1e-12 * sum.max(1.0));
            prop_assert!(option.expected >= 0.0 && option.expected.is_finite());
        }
        let expected: Vec<f64> = quote.options.iter().map(|option| option.expected).collect();
        prop_assert!(expected.is_sorted());
    }

    /// A dearer part of one grade makes that option dearer, now and over its life, and no other.
    #[test]
    fn a_dearer_part_makes_its_own_option_dearer(cheap in 0.0..500.0_f64, more in 1.0..500.0_f64) {
        let at = |amount| for_the_valve(&terms().with_price(price("valve", Grade::Budget, amount)).unwrap());
        let (before, after) = (at(cheap), at(cheap + more));
        prop_assert!(of(&after, Grade::Budget).total > of(&before, Grade::Budget).total);
        prop_assert!(of(&after, Grade::Budget).expected > of(&before, Grade::Budget).expected);
        prop_assert_eq!(of(&after, Grade::Equivalent), of(&before, Grade::Equivalent));
    }
}
