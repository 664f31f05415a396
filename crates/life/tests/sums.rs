//! Laws of adding, and what is refused when sums are read.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use life::{Cause, Ended, Found, Lesson, ReadError, Service, Spent, Sums, Unfit};
use proptest::prelude::*;

fn any_lesson() -> impl Strategy<Value = Lesson> {
    let name = |choices: &'static [&'static str]| prop::sample::select(choices).prop_map(str::to_owned);
    let cause =
        (name(&["hose", "valve"]), name(&["split", "stuck"])).prop_map(|(part, fault)| Cause { part, fault });
    let ended = prop::sample::select(&[Ended::Failed, Ended::StillGood, Ended::BadFromNew][..]);
    let served = || prop::option::of(prop_oneof![Just(0.0), 0.0..500_000.0]);
    let service = (name(&["hose", "valve"]), served(), served(), ended).prop_map(
        |(kind, distance_km, age_days, ended)| Service {
            kind,
            distance_km,
            age_days,
            ended,
            count: 2,
        },
    );
    let spent = (name(&["tee", "look"]), 0.0..90.0).prop_map(|(method, minutes)| Spent {
        check: format!("{method}:hose@idle"),
        method,
        minutes,
    });
    (
        name(&["booster", "throttle"]),
        prop::collection::vec(cause, 0..3),
        prop::collection::vec(service, 0..4),
        prop::collection::vec(spent, 0..4),
        prop::sample::select(&[Found::NothingWrong, Found::NotListed, Found::Nothing][..]),
    )
        .prop_map(|(circuit, causes, parts, checks, none)| Lesson {
            circuit,
            found: if causes.is_empty() { none } else { Found::Cause },
            causes,
            parts,
            checks,
        })
}

fn sum(lessons: &[Lesson]) -> Sums {
    let mut sums = Sums::default();
    for lesson in lessons {
        sums.add(lesson).unwrap();
    }
    sums
}

fn merged(mut left: Sums, right: &Sums) -> Sums {
    left.merge(right);
    left
}

proptest! {
    /// Shops that pool their sums know what one shop with all the jobs would know, to the last bit, in any order.
    #[test]
    fn merging_equals_adding_all(
        a in prop::collection::vec(any_lesson(), 0..6),
        b in prop::collection::vec(any_lesson(), 0..6),
        c in prop::collection::vec(any_lesson(), 0..6),
    ) {
        let all: Vec<Lesson> = a.iter().chain(&b).chain(&c).cloned().collect();
        let (a, b, c) = (sum(&a), sum(&b), sum(&c));
        prop_assert_eq!(merged(merged(a.clone(), &b), &c), sum(&all));
        prop_assert_eq!(merged(c.clone(), &merged(a.clone(), &b)), sum(&all));
        prop_assert_eq!(merged(a.clone(), &merged(b.clone(), &c)), sum(&all));
        prop_assert_eq!(merged(a.clone(), &b), merged(b, &a));
    }

    /// What was added can be taken away again: the sums are those of the others, to the last bit.
    #[test]
    fn taking_away_undoes_adding(
        kept in prop::collection::vec(any_lesson(), 0..6),
        gone in prop::collection::vec(any_lesson(), 0..6),
    ) {
        let mut sums = sum(&[gone.clone(), kept.clone()].concat());
        for lesson in &gone {
            sums.take_away(lesson).unwrap();
        }
        prop_assert_eq!(sums, sum(&kept));
    }

    /// A lesson comes back from its line as it was.
    #[test]
    fn a_lesson_comes_back(mut lesson in any_lesson(), name in "\\PC{0,8}") {
        lesson.circuit.push_str(&name);
        let mut sums = Sums::default();
        sums.add_line(&lesson.write()).unwrap();
        prop_assert_eq!(sums, sum(std::slice::from_ref(&lesson)));
        prop_assert_eq!(Lesson::read(&lesson.write()), Ok(lesson));
    }

    /// What is written is read again, and what is read has passed every check of reading.
    #[test]
    fn text_and_back(lessons in prop::collection::vec(any_lesson(), 0..12)) {
        let sums = sum(&lessons);
        let text = serde_json::to_string(&sums).unwrap();
        prop_assert_eq!(Sums::read(&text), Ok(sums));
    }

    /// Whatever the text, reading ends in sums or a word, never in a panic.
    #[test]
    fn any_text_is_answered(text in "[\\[\\]{}:,\"a-z0-9.eE+-]{0,80}") {
        let _ = Sums::read(&text);
    }

    /// A lesson added twice counts twice.
    #[test]
    fn twice_counts_twice(lesson in any_lesson()) {
        let once = sum(std::slice::from_ref(&lesson));
        prop_assert_eq!(sum(&[lesson.clone(), lesson]), merged(once.clone(), &once));
    }
}

/// One invented job: a hose split at 81,000 km; the valve was good; the first new hose leaked too.
#[test]
fn one_job_lands_in_every_sum() {
    let service = |kind: &str, distance_km, ended| Service {
        kind: kind.into(),
        distance_km,
        age_days: None,
        ended,
        count: 1,
    };
    let lesson = Lesson {
        circuit: "booster".into(),
        found: Found::Cause,
        causes: vec![Cause {
            part: "hose2".into(),
            fault: "split".into(),
        }],
        parts: vec![
            service("hose", Some(81_000.0), Ended::Failed),
            service("valve", Some(81_000.0), Ended::StillGood),
            service("hose", Some(0.0), Ended::BadFromNew),
            service("hose", Some(0.0), Ended::StillGood),
        ],
        checks: vec![Spent {
            check: "tee:hose2.end@idle".into(),
            method: "tee".into(),
            minutes: 4.0,
        }],
    };
    let sums = sum(&[lesson]);
    assert_eq!(sums.jobs(), 1);
    assert_eq!(sums.circuits["booster"].causes["hose2/split"], 1);
    let (hose, valve) = (&sums.kinds["hose"], &sums.kinds["valve"]);
    assert_eq!((hose.fitted, hose.bad_from_new), (2, 1));
    let failed = hose.distance.counts();
    assert_eq!(failed.len(), 1);
    assert!(failed[0].from <= 81_000.0 && 81_000.0 < failed[0].to && failed[0].failed == 1);
    assert_eq!(
        (valve.distance.counts()[0].failed, valve.distance.counts()[0].good),
        (0, 1)
    );
    let (mean, deviation) = sums.methods["tee"].mean_and_deviation();
    assert!(
        (mean - 4f64.ln()).abs() < 1e-6 && deviation < 1e-5,
        "{mean} {deviation}"
    );
}

#[test]
fn a_lesson_with_a_figure_that_cannot_be_changes_nothing() {
    let mut sums = Sums::default();
    let lesson = Lesson {
        circuit: "booster".into(),
        parts: vec![Service {
            kind: "hose".into(),
            distance_km: Some(-3.0),
            age_days: None,
            ended: Ended::Failed,
            count: 1,
        }],
        ..Lesson::default()
    };
    let refused = sums.add(&lesson).unwrap_err();
    assert_eq!(
        refused,
        Unfit::Distance {
            kind: "hose".into(),
            found: -3.0
        }
    );
    assert_eq!(sums, Sums::default());
    let nan = Lesson {
        checks: vec![Spent {
            check: "look:hose2@off".into(),
            method: "look".into(),
            minutes: f64::NAN,
        }],
        ..Lesson::default()
    };
    assert!(sums.add(&nan).is_err());
    assert_eq!(sums, Sums::default());
}

#[test]
fn a_line_that_is_no_lesson_says_why() {
    let refused = |line: &str| Lesson::read(line).unwrap_err().to_string();
    assert_eq!(
        refused(r#"[7,"booster",[]]"#),
        "the lesson has form 7, and this program understands forms up to 1"
    );
    assert!(refused(r#"[1,"booster",9,[],[],[]]"#).contains("no outcome has the number 9"));
    assert!(refused(r#"[1,"booster",0,["hose2"],[],[]]"#).contains("a cause without `/`"));
    assert!(refused(r#"[0,"booster",0,[],[],[]]"#).contains("forms begin with 1"));
    assert!(refused(r#"[1,"booster",0,["#).contains("not a lesson"));
}

fn refusal(text: &str) -> String {
    Sums::read(text).unwrap_err().to_string()
}

#[test]
fn what_cannot_be_is_refused_with_its_place() {
    assert_eq!(
        refusal(r#"{"version": 7}"#),
        "written as version 7, this program reads up to 1; use a newer program"
    );
    assert_eq!(
        refusal(r#"{"jobs": 7}"#),
        "no `version`: these are no sums of closed jobs"
    );
    assert_eq!(
        refusal(r#"{"version": 1, "circuits": {"booster": {"jobs": 4, "causes": {"hose2/split": -1}}}}"#),
        "`circuits > booster > causes > hose2/split` is -1; expected a whole number from 0 to 2^53"
    );
    assert_eq!(
        refusal(r#"{"version": 1, "kinds": {"hose": {"distance": {"12": {"failed": 1.5}}}}}"#),
        "`kinds > hose > distance > 12 > failed` is 1.5; expected a whole number from 0 to 2^53"
    );
    assert!(matches!(
        Sums::read(r#"{"version": 1, "kinds": {"hose": {"fitted": 1e999}}}"#),
        Err(ReadError::Json(_))
    ));
    assert!(matches!(
        Sums::read(r#"{"version": 1, "kinds": {"hose": {"fitted": NaN}}}"#),
        Err(ReadError::Json(_))
    ));
    assert!(matches!(
        Sums::read(r#"{"version": 1, "kinds": []}"#),
        Err(ReadError::Shape(_))
    ));
    assert_eq!(
        refusal(r#"{"version": 1, "kinds": {"hose": {"fitted": 1, "bad_from_new": 2}}}"#),
        "`kinds > hose`: more parts bad from new than fitted; correct the file or leave it out"
    );
    assert!(
        refusal(r#"{"version": 1, "methods": {"tee": {"count": 2, "ln_sum": 8000000, "ln_squares": 1}}}"#)
            .starts_with("`methods > tee`: count, sum and squares")
    );
    assert!(refusal(r#"{"version": 1, "kinds": {"hose": {"age": {"96": {"good": 1}}}}}"#).contains("class"));
}
