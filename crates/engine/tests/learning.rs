//! What closed jobs teach, and what the next job makes of it. Every job here is invented.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod common;

use common::{intake, job, read};
use engine::{Effort, Model, belief, job_evidence, learnt, lesson, load_job};
use job::{Behind, Closing, Event, Grade, Intake, Job, Mended, Replaced, Said};
use life::{Cause, Ended, Found, Lesson, Service, Sums};
use proptest::prelude::*;

const WASTEGATE: &str = "vacuum-wastegate";

fn proven(faults: &[&str]) -> Event {
    Event::CauseProven {
        faults: faults.iter().map(|fault| (*fault).to_owned()).collect(),
        shown_by: Vec::new(),
        probability: 0.97,
        by_hand: None,
    }
}

fn renewed(part: &str) -> Event {
    Event::Repaired {
        part: part.to_owned(),
        how: Mended::Renewed,
        grade: Some(Grade::Equivalent),
        price: None,
        minutes: None,
        behind: Behind::NotFound,
    }
}

fn tried(part: &str, good: bool) -> Event {
    Event::NewPartChecked {
        part: part.to_owned(),
        check: "coil resistance".to_owned(),
        read: "31 Ω".to_owned(),
        good,
        grade: None,
    }
}

fn proof() -> Event {
    Event::Proof {
        check: "road test uphill".to_owned(),
        said: Said::Answer("yes".to_owned()),
        good: true,
    }
}

fn closed(how: Closing) -> Event {
    Event::Closed { how }
}

fn door(km: f64) -> Intake {
    let mut door = intake(WASTEGATE);
    door.vehicle.odometer_km = Some(km);
    door
}

fn replaced(part: &str, km_ago: f64) -> Replaced {
    Replaced {
        part: part.to_owned(),
        km_ago: Some(km_ago),
        days_ago: None,
        grade: None,
    }
}

/// Parts of a kind in a lesson: `(km, days, ended, count)`.
fn served(lesson: &Lesson, kind: &str) -> Vec<(Option<f64>, Option<f64>, Ended, u32)> {
    let of = lesson.parts.iter().filter(|service| service.kind == kind);
    of.map(|s| (s.distance_km, s.age_days, s.ended, s.count))
        .collect()
}

const VALVE: &str = "3/2 solenoid valve";

#[test]
fn a_closed_job_teaches_its_cause_its_parts_and_its_minutes() {
    let mut door = door(212_000.0);
    door.replaced = vec![replaced("valve", 90_000.0), replaced("pump", 500.0)];
    let events = vec![
        read("tee:valve.source@idle", "9 inHg"),
        proven(&["valve/leaks at the seat"]),
        tried("valve", false),
        tried("valve", true),
        renewed("valve"),
        proof(),
        closed(Closing::Repaired),
    ];
    let lesson = lesson(&job(door, events)).unwrap();
    assert_eq!((lesson.circuit.as_str(), lesson.found), (WASTEGATE, Found::Cause));
    let cause = Cause {
        part: "valve".to_owned(),
        fault: "leaks at the seat".to_owned(),
    };
    assert_eq!(lesson.causes, [cause]);
    assert_eq!(
        served(&lesson, VALVE),
        [
            (Some(0.0), None, Ended::BadFromNew, 1),
            (Some(90_000.0), None, Ended::Failed, 1),
            (Some(0.0), None, Ended::StillGood, 1)
        ]
    );
    assert_eq!(
        served(&lesson, "vane pump"),
        [(Some(500.0), None, Ended::StillGood, 1)]
    );
    // Not said to be renewed: they have run as far as the vehicle. Two of them, counted together.
    assert_eq!(
        served(&lesson, "tube"),
        [(Some(212_000.0), None, Ended::StillGood, 2)]
    );
    let [spent] = lesson.checks.as_slice() else {
        panic!("{:?}", lesson.checks)
    };
    assert_eq!(
        (spent.check.as_str(), spent.method.as_str()),
        ("tee:valve.source@idle", "tee")
    );
    assert!(
        0.0 < spent.minutes && spent.minutes < 4.0,
        "access and idling took a part: {spent:?}"
    );
    let mut sums = Sums::default();
    sums.add(&lesson).unwrap();
    assert_eq!(Lesson::read(&lesson.write()), Ok(lesson));
}

#[test]
fn how_a_job_ended_decides_what_it_teaches() {
    let teaches = |how: Closing, events: Vec<Event>| {
        let events = events.into_iter().chain([closed(how)]).collect();
        lesson(&job(door(100_000.0), events)).unwrap()
    };
    let nothing = teaches(Closing::NothingWrong, Vec::new());
    assert_eq!((nothing.found, nothing.causes.len()), (Found::NothingWrong, 0));
    assert_eq!(
        served(&nothing, VALVE),
        [(Some(100_000.0), None, Ended::StillGood, 1)]
    );
    let unlisted = teaches(Closing::NotListed("wrong oil".to_owned()), Vec::new());
    assert_eq!((unlisted.found, unlisted.parts.len()), (Found::NotListed, 0));
    let stopped = teaches(Closing::Stopped("sold".to_owned()), Vec::new());
    assert_eq!((stopped.found, stopped.parts.len()), (Found::Nothing, 0));
    // Proven before the customer stopped: a cause, but no word on how the other parts are.
    let known = teaches(
        Closing::Stopped("too dear".to_owned()),
        vec![proven(&["pump/worn"])],
    );
    assert_eq!(
        (known.found, known.causes.len(), known.parts.len()),
        (Found::Cause, 1, 0)
    );
    // A part without its fault is no cause that can be counted.
    let part = teaches(Closing::Stopped("too dear".to_owned()), vec![proven(&["valve"])]);
    assert_eq!(part.found, Found::Nothing);
    assert_eq!(lesson(&job(door(100_000.0), Vec::new())), None, "it is open");
    let mut shown = door(100_000.0);
    shown.invented = true;
    assert_eq!(lesson(&job(shown, vec![closed(Closing::NothingWrong)])), None);
}

#[test]
fn what_a_comeback_says_of_new_parts() {
    let back = |km: f64| Event::Reopened {
        reason: "no power again".to_owned(),
        comeback: true,
        odometer_km: Some(km),
    };
    let round = |part: &str, fault: &str| {
        vec![
            proven(&[fault]),
            renewed(part),
            proof(),
            closed(Closing::Repaired),
        ]
    };
    let valve = || round("valve", "valve/leaks at the seat");
    let story = |second: Vec<Event>, km: f64| {
        let events = [valve(), vec![back(km)], second].concat();
        lesson(&job(door(100_000.0), events)).unwrap()
    };
    // The new valve again, soon: it was bad from new. Where the first one failed nobody knows by now.
    let again = story(valve(), 100_400.0);
    assert_eq!(
        served(&again, VALVE),
        [
            (Some(0.0), None, Ended::BadFromNew, 1),
            (Some(0.0), None, Ended::StillGood, 1)
        ]
    );
    // Much later: it has failed after a life.
    let later = story(valve(), 160_000.0);
    assert_eq!(
        served(&later, VALVE)[..2],
        [
            (Some(0.0), None, Ended::StillGood, 2),
            (Some(60_000.0), Some(1.0), Ended::Failed, 1)
        ]
    );
    // Something else: the new valve is good.
    let other = story(round("pump", "pump/worn"), 100_400.0);
    assert_eq!(
        served(&other, VALVE),
        [
            (Some(0.0), None, Ended::StillGood, 1),
            (Some(400.0), Some(1.0), Ended::StillGood, 1)
        ]
    );
    assert_eq!(
        served(&other, "vane pump")[0],
        (Some(100_400.0), None, Ended::Failed, 1)
    );
    // Renewed elsewhere, lately, and the cause now: bad from new or worn by something, nobody knows.
    let mut lately = door(100_000.0);
    lately.replaced = vec![replaced("valve", 300.0)];
    let lately = lesson(&job(lately, valve())).unwrap();
    assert_eq!(served(&lately, VALVE), [(Some(0.0), None, Ended::StillGood, 1)]);
}

fn model(job: &Job, sums: &Sums) -> Model {
    load_job(job, sums).0.model.unwrap()
}

/// Share of a fault, `part/fault`, or of a whole part.
fn share(model: &Model, what: &str) -> f64 {
    let circuit = model.circuit();
    let of = |(fault, _): &&(circuit::FaultId, f64)| {
        let name = circuit.fault_name(*fault);
        name == what || name.split_once('/').is_some_and(|(part, _)| part == what)
    };
    circuit.faults().iter().filter(of).map(|(_, share)| share).sum()
}

fn found(part: &str, fault: &str) -> Lesson {
    Lesson {
        circuit: WASTEGATE.to_owned(),
        found: Found::Cause,
        causes: vec![Cause {
            part: part.to_owned(),
            fault: fault.to_owned(),
        }],
        ..Lesson::default()
    }
}

fn sum(lessons: impl IntoIterator<Item = Lesson>) -> Sums {
    let mut sums = Sums::default();
    for lesson in lessons {
        sums.add(&lesson).unwrap();
    }
    sums
}

#[test]
fn no_closed_job_leaves_the_belief_to_the_last_bit() {
    let job = job(door(212_000.0), vec![read("tee:valve.source@idle", "9 inHg")]);
    // Lessons of another circuit say nothing here.
    let mut elsewhere = found("valve", "leaks at the seat");
    elsewhere.circuit = "another".to_owned();
    let bits = |sums: &Sums| {
        let model = model(&job, sums);
        let evidence = job_evidence(&model, &job).0.unwrap();
        let belief = belief(&model, &evidence, Effort::brisk());
        let minutes: Vec<u64> = model
            .checks()
            .iter()
            .map(|check| check.minutes.to_bits())
            .collect();
        let parts: Vec<u64> = belief.parts().iter().map(|part| part.to_bits()).collect();
        (parts, minutes, belief.not_listed().to_bits())
    };
    assert_eq!(bits(&Sums::default()), bits(&sum([elsewhere])));
    assert!(load_job(&job, &Sums::default()).1.learnt.is_empty());
}

#[test]
fn three_lessons_overturn_nothing_and_forty_count() {
    let job = job(door(100_000.0), Vec::new());
    let before = model(&job, &Sums::default());
    for shipped in engine::shipped() {
        let mut at = intake(shipped.name);
        at.vehicle.odometer_km = Some(100_000.0);
        let job = common::job(at, Vec::new());
        let plain = model(&job, &Sums::default());
        let faults = plain.circuit().faults();
        let likeliest = faults.iter().map(|(_, share)| *share).fold(0.0, f64::max);
        for (fault, share) in faults.iter().filter(|(_, share)| *share < likeliest / 4.0) {
            let name = plain.circuit().fault_name(*fault);
            let (part, what) = name.split_once('/').unwrap();
            let mut lesson = found(part, what);
            lesson.circuit = shipped.name.to_owned();
            let after = model(&job, &sum(vec![lesson; 3]));
            let now = after.circuit().faults();
            let most = now.iter().map(|(_, share)| *share).fold(0.0, f64::max);
            let own = now.iter().find(|(known, _)| known == fault).unwrap().1;
            assert!(*share < own && own < most, "{name}: {share} to {own}, {most}");
        }
    }
    // Thirty of forty: the flap, which ships among the last.
    let lessons = (0..40).map(|n| {
        if n < 30 {
            found("flap", "stiff")
        } else {
            found("valve", "leaks at the seat")
        }
    });
    let after = model(&job, &sum(lessons));
    let what = "flap/stiff";
    assert!(
        share(&before, what) < 0.06 && share(&after, what) > 0.35,
        "{} {}",
        share(&before, what),
        share(&after, what)
    );
}

#[test]
fn jobs_in_which_nothing_was_wrong_count_too() {
    let job = job(door(100_000.0), Vec::new());
    let none = |found: Found| Lesson {
        circuit: WASTEGATE.to_owned(),
        found,
        ..Lesson::default()
    };
    let priors = |sums: Sums| model(&job, &sums).circuit().priors;
    let before = priors(Sums::default());
    let after = priors(sum(vec![none(Found::NothingWrong); 30]));
    // (30 · 0.04 + 30) / 60, held at a half with what is left for causes not listed.
    assert!(
        after.nothing_wrong > 0.45 && after.nothing_wrong + after.not_listed <= 0.5 + 1e-12,
        "{after:?}"
    );
    assert!(after.second_fault < before.second_fault);
    let unlisted = priors(sum(vec![none(Found::NotListed); 3]));
    assert!((unlisted.not_listed - 4.2 / 33.0).abs() < 1e-12, "{unlisted:?}");
    assert_eq!(
        priors(sum(vec![none(Found::Nothing); 9])),
        before,
        "it found nothing out"
    );
}

/// Services of a kind on an invented circuit.
fn lives(kind: &str, services: &[(f64, Ended, u32)]) -> Lesson {
    let of = |&(km, ended, count): &(f64, Ended, u32)| Service {
        kind: kind.to_owned(),
        distance_km: Some(km),
        age_days: None,
        ended,
        count,
    };
    Lesson {
        circuit: "another".to_owned(),
        parts: services.iter().map(of).collect(),
        ..Lesson::default()
    }
}

#[test]
fn a_kind_that_wears_out_is_likelier_on_a_vehicle_that_has_run_far() {
    let wears = [
        (150_000.0, Ended::Failed, 40),
        (200_000.0, Ended::Failed, 60),
        (30_000.0, Ended::StillGood, 100),
        (80_000.0, Ended::StillGood, 100),
    ];
    let sums = sum([lives(VALVE, &wears)]);
    let at = |km: f64, sums: &Sums| share(&model(&job(door(km), Vec::new()), sums), "valve");
    let plain = Sums::default();
    assert!(at(30_000.0, &sums) < 0.6 * at(30_000.0, &plain));
    assert!(at(190_000.0, &sums) > 1.2 * at(190_000.0, &plain));
    // As many that fail at random, early and late: distance says nothing.
    let random = [
        (10_000.0, Ended::Failed, 25),
        (20_000.0, Ended::Failed, 22),
        (40_000.0, Ended::Failed, 38),
        (80_000.0, Ended::Failed, 55),
        (160_000.0, Ended::Failed, 60),
        (320_000.0, Ended::Failed, 40),
    ];
    let sums = sum([lives(VALVE, &random)]);
    let ratio = at(30_000.0, &sums) / at(30_000.0, &plain);
    assert!((ratio - 1.0).abs() < 0.2, "{ratio}");
    // Beyond 200,000 km the shipped figure for moving parts gives way to them.
    let moved = |sums: &Sums| {
        let history = load_job(&job(door(250_000.0), Vec::new()), sums).1;
        let valve = plain_circuit().part("valve").unwrap();
        history
            .moved
            .iter()
            .filter(|moved| moved.part == valve)
            .map(|moved| moved.factor)
            .product::<f64>()
    };
    assert!((moved(&plain) - 1.5).abs() < 1e-12);
    assert!(moved(&sums) < 1.3, "{}", moved(&sums));
}

fn plain_circuit() -> circuit::Circuit {
    model(&job(door(0.0), Vec::new()), &Sums::default())
        .circuit()
        .clone()
}

#[test]
fn a_vehicle_with_a_record_of_its_own() {
    let twice = |times: usize| {
        let mut door = door(400_000.0);
        door.replaced = [replaced("pump", 210_000.0), replaced("pump", 60_000.0)][..times].to_vec();
        let job = job(door, Vec::new());
        load_job(&job, &Sums::default()).1
    };
    let pump = plain_circuit().part("pump").unwrap();
    let record = |times: usize| {
        let history = twice(times);
        let of = history
            .moved
            .iter()
            .find(|moved| moved.part == pump && moved.why.contains("times in"));
        of.map(|moved| (moved.factor, moved.why.clone()))
    };
    let (factor, why) = record(2).unwrap();
    // (2 + 2) / (2 + 400,000 / 500,000).
    assert!((factor - 4.0 / 2.8).abs() < 1e-12, "{factor}");
    assert!(why.starts_with("renewed 2 times in 400000 km"), "{why}");
    assert_eq!(record(1), None);
}

#[test]
fn minutes_noted_move_the_plans_minutes() {
    let job = job(door(100_000.0), Vec::new());
    let before = model(&job, &Sums::default());
    let check = before.check("tee:valve.source@idle").unwrap();
    let shipped = before.checks()[check].minutes;
    let slow = |times: usize| {
        let mut lesson = found("valve", "leaks at the seat");
        lesson.checks = vec![life::Spent {
            check: before.checks()[check].id.clone(),
            method: "tee".to_owned(),
            minutes: 4.0 * shipped,
        }];
        let sums = sum(vec![lesson; times]);
        let shown = learnt(before.circuit(), &sums);
        (model(&job, &sums).checks()[check].minutes, shown)
    };
    let (three, shown) = slow(3);
    // Three of eight and three: a quarter and a bit of the way, in the logarithm.
    assert!(
        (three / shipped - 4f64.powf(3.0 / 11.0)).abs() < 1e-3,
        "{three} {shipped}"
    );
    assert!((shown.checks[0].now.typical.minutes() - three).abs() < 1e-12 && shown.checks[0].now.seen == 3);
    assert!(shown.checks[0].now.low < shown.checks[0].now.high);
    let (many, _) = slow(300);
    assert!(many > 3.8 * shipped);
}

#[test]
fn new_parts_that_were_bad_make_the_next_one_suspect() {
    let mut lately = door(100_000.0);
    lately.replaced = vec![replaced("valve", 500.0)];
    let job = job(lately, Vec::new());
    let fitted = |bad: u32| {
        sum([lives(
            VALVE,
            &[(0.0, Ended::StillGood, 100 - bad), (0.0, Ended::BadFromNew, bad)],
        )])
    };
    let at = |sums: &Sums| share(&model(&job, sums), "valve");
    assert!(at(&fitted(20)) > at(&Sums::default()) && at(&fitted(0)) < at(&Sums::default()));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever closed jobs say, every suspect stays in question and shares stay shares.
    #[test]
    fn any_sums_leave_shares(
        causes in prop::collection::vec((prop::sample::select(vec!["valve/leaks at the seat", "pump/worn", "x/y", "flap/seized"]), 1_usize..400), 0..4),
        outcomes in prop::collection::vec((prop::sample::select(vec![Found::NothingWrong, Found::NotListed, Found::Nothing]), 1_usize..400), 0..3),
        services in prop::collection::vec((0.0..600_000.0_f64, prop::sample::select(vec![Ended::Failed, Ended::StillGood, Ended::BadFromNew]), 1_u32..5000), 0..8),
        km in prop::option::of(0.0..900_000.0_f64),
    ) {
        let mut sums = sum([lives(VALVE, &services), lives("tube", &services)]);
        for (what, times) in causes {
            let (part, fault) = what.split_once('/').unwrap();
            (0..times).for_each(|_| sums.add(&found(part, fault)).unwrap());
        }
        for (found, times) in outcomes {
            let lesson = Lesson { circuit: WASTEGATE.to_owned(), found, ..Lesson::default() };
            (0..times).for_each(|_| sums.add(&lesson).unwrap());
        }
        let mut door = intake(WASTEGATE);
        door.vehicle.odometer_km = km;
        let model = model(&job(door, Vec::new()), &sums);
        let shares = model.circuit().faults();
        prop_assert_eq!(shares.len(), plain_circuit().faults().len());
        prop_assert!(shares.iter().all(|(_, share)| *share > 0.0 && share.is_finite()));
        let priors = model.circuit().priors;
        let beyond = priors.nothing_wrong + priors.not_listed;
        prop_assert!(priors.nothing_wrong > 0.0 && priors.not_listed > 0.0 && beyond + priors.second_fault < 1.0, "{:?}", priors);
        let shown = learnt(&plain_circuit(), &sums);
        prop_assert!(shown.causes.iter().all(|cause| cause.now.low <= cause.now.high));
    }
}
