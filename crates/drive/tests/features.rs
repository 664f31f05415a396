//! Features beside `NumPy` and `SciPy`: `references/drive_features.json`, invented signals of no vehicle.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use drive::{Column, Feature, Recording, Signal, features};
use serde::Deserialize;
use std::collections::BTreeMap;

const REFERENCE: &str = include_str!("../../../references/drive_features.json");

#[derive(Deserialize)]
struct File {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    time: Vec<f64>,
    signals: BTreeMap<String, Vec<Option<f64>>>,
    features: Vec<Known>,
}

/// A feature by row, and what the signal does in continuous time where that is known.
#[derive(Deserialize)]
struct Known {
    kind: String,
    start_s: f64,
    end_s: f64,
    value: f64,
    truth: Option<f64>,
    within: Option<f64>,
}

fn as_text(value: impl serde::Serialize) -> String {
    serde_json::to_value(value).unwrap().as_str().unwrap().to_owned()
}

fn recording(case: &Case) -> Recording {
    let column = |(name, values): (&String, &Vec<Option<f64>>)| {
        let signal = Signal::all().find(|signal| as_text(signal) == *name);
        assert!(signal.is_some(), "{name}");
        Column {
            name: name.clone(),
            signal,
            unit: None,
            confidence: 1.0,
            values: values.iter().map(|value| value.unwrap_or(f64::NAN)).collect(),
        }
    };
    Recording {
        time: case.time.clone(),
        columns: case.signals.iter().map(column).collect(),
        simulated: true,
        ..Recording::default()
    }
}

fn cases() -> Vec<Case> {
    serde_json::from_str::<File>(REFERENCE).unwrap().cases
}

/// Of each sort that the reference has, all of a drive in their order in time.
fn beside(case: &Case) -> Vec<(Known, Feature)> {
    let mut own: BTreeMap<String, Vec<Feature>> = BTreeMap::new();
    for feature in features(&recording(case)) {
        own.entry(as_text(feature.kind)).or_default().push(feature);
    }
    let mut known: BTreeMap<&str, Vec<&Known>> = BTreeMap::new();
    for one in &case.features {
        known.entry(&one.kind).or_default().push(one);
    }
    let mut pairs = Vec::new();
    for (kind, known) in known {
        let own = own.remove(kind).unwrap_or_default();
        assert_eq!(own.len(), known.len(), "{}, {kind}: {own:#?}", case.name);
        pairs.extend(known.into_iter().zip(own).map(|(known, own)| {
            let known = Known {
                kind: known.kind.clone(),
                ..*known
            };
            (known, own)
        }));
    }
    pairs
}

#[test]
fn each_figure_and_its_seconds_are_those_of_numpy() {
    let mut kinds = BTreeMap::new();
    for case in cases() {
        for (known, own) in beside(&case) {
            let which = format!("{}, {} at {} s: {own:?}", case.name, known.kind, known.start_s);
            // Twelve digits are written; the pressures are 1e5 Pa and the difference of two has what is left.
            assert!(
                (own.value.si() - known.value).abs() <= 1e-9 * known.value.abs() + 1e-6,
                "{which} against {}",
                known.value
            );
            assert!((own.start_s - known.start_s).abs() < 1e-9, "{which}");
            assert!(
                (own.end_s - known.end_s).abs() < 1e-9,
                "{which} against {}",
                known.end_s
            );
            *kinds.entry(known.kind).or_insert(0) += 1;
        }
    }
    assert!(kinds.len() >= 14, "{kinds:?}");
}

#[test]
fn an_answer_to_a_step_and_a_warm_up_are_those_of_the_system_within_its_rows() {
    let mut compared = 0;
    for case in cases() {
        for (known, own) in beside(&case) {
            let (Some(truth), Some(within)) = (known.truth, known.within) else {
                continue;
            };
            assert!(
                (own.value.si() - truth).abs() <= within,
                "{}, {}: {} against {truth} within {within}",
                case.name,
                known.kind,
                own.value.si()
            );
            compared += 1;
        }
    }
    assert!(compared >= 20, "{compared}");
}
