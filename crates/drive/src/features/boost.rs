//! Boost: how high, how well it is held, how fast it follows.

use super::{Feature, FeatureKind, PRACTICE, between, quantity};
use crate::recording::Recording;
use crate::signal::Signal;
use crate::statistics::median;
use quantity::Dimension;

/// Boost asked for above ambient from which holding it says something, Pa. Common practice, no source.
const ASKED: f64 = 2e4;
/// A change of what is asked within [`WITHIN`] that is a step, Pa.
const STEP: f64 = 3e4;
/// Time of a step, s.
const WITHIN: f64 = 1.0;
/// How long an answer to a step is waited for, s.
const ANSWER: f64 = 6.0;
/// Of the step, what boost has to make good to have followed.
const FOLLOWED: f64 = 0.9;

fn ambient(recording: &Recording) -> Option<f64> {
    let mut barometer = recording.values(Signal::Barometer)?.to_vec();
    median(&mut barometer)
}

/// The highest intake pressure above the barometer.
pub(super) fn highest(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(intake), Some(ambient)) = (recording.values(Signal::IntakePressure), ambient(recording)) else {
        return;
    };
    let rows = (0..intake.len()).filter(|row| intake[*row].is_finite());
    let Some(row) = rows.max_by(|a, b| intake[*a].total_cmp(&intake[*b])) else {
        return;
    };
    all.push(Feature {
        kind: FeatureKind::HighestBoost,
        signal: Signal::IntakePressure,
        start_s: recording.time[row],
        end_s: recording.time[row],
        value: quantity(Dimension::Pressure, intake[row] - ambient),
        usual: None,
        what: "highest intake pressure above the barometer".to_owned(),
        source: PRACTICE,
    });
}

/// How far boost stays behind what the module asks for, where it asks for some.
pub(super) fn held(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(asked), Some(intake), Some(ambient)) = (
        recording.values(Signal::BoostCommanded),
        recording.values(Signal::IntakePressure),
        ambient(recording),
    ) else {
        return;
    };
    let rows: Vec<usize> = (0..asked.len())
        .filter(|row| asked[*row] - ambient >= ASKED && intake[*row].is_finite())
        .collect();
    let mut short: Vec<f64> = rows.iter().map(|row| intake[*row] - asked[*row]).collect();
    let (Some(first), Some(last), Some(middle)) = (rows.first(), rows.last(), median(&mut short)) else {
        return;
    };
    all.push(Feature {
        kind: FeatureKind::BoostHeld,
        signal: Signal::IntakePressure,
        start_s: recording.time[*first],
        end_s: recording.time[*last],
        value: quantity(Dimension::Pressure, middle),
        usual: Some(between(Dimension::Pressure, -1e4, 1e4)),
        what: format!(
            "boost less what is asked for, the middle of {} rows that ask for boost",
            rows.len()
        ),
        source: PRACTICE,
    });
}

/// How fast and how far boost follows steps of what is asked.
pub(super) fn steps(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(asked), Some(intake)) = (
        recording.values(Signal::BoostCommanded),
        recording.values(Signal::IntakePressure),
    ) else {
        return;
    };
    let time = &recording.time;
    let mut row = 0;
    while row < asked.len() {
        let Some(top) = rises(time, asked, row) else {
            row += 1;
            continue;
        };
        let until = (top..time.len())
            .take_while(|at| time[*at] - time[row] <= ANSWER && asked[*at] >= asked[top] - 0.3 * STEP)
            .last()
            .unwrap_or(top);
        if intake[row].is_finite() && asked[top] - intake[row] > 0.5 * STEP {
            answer(recording, (row, top, until), asked, intake, all);
        }
        row = until.max(row) + 1;
    }
}

/// Row at which a step that begins in `row` has risen.
fn rises(time: &[f64], asked: &[f64], row: usize) -> Option<usize> {
    let within = (row..time.len()).take_while(|at| time[*at] - time[row] <= WITHIN);
    within
        .max_by(|a, b| asked[*a].total_cmp(&asked[*b]))
        .filter(|top| asked[*top] - asked[row] >= STEP)
}

fn answer(
    recording: &Recording,
    (row, top, until): (usize, usize, usize),
    asked: &[f64],
    intake: &[f64],
    all: &mut Vec<Feature>,
) {
    let time = &recording.time;
    let goal = intake[row] + FOLLOWED * (asked[top] - intake[row]);
    let followed = (row..=until).find(|at| intake[*at] >= goal);
    let took = followed.map_or(f64::INFINITY, |at| time[at] - time[row]);
    let words = if took.is_finite() {
        "until nine tenths of a step of the asked boost are there".to_owned()
    } else {
        format!(
            "a step of the asked boost was not followed within {:.1} s",
            time[until] - time[row]
        )
    };
    all.push(Feature {
        kind: FeatureKind::BoostResponse,
        signal: Signal::IntakePressure,
        start_s: time[row],
        end_s: time[followed.unwrap_or(until)],
        value: quantity(
            Dimension::Time,
            if took.is_finite() {
                took
            } else {
                time[until] - time[row]
            },
        ),
        usual: Some(between(Dimension::Time, 0.0, 2.5)),
        what: words,
        source: PRACTICE,
    });
    // What is asked may go on rising: beyond is what was not asked for at any time of the step until then.
    let beyond = (row..=until)
        .scan(asked[top], |most, at| {
            *most = most.max(asked[at]);
            Some(intake[at] - *most)
        })
        .filter(|beyond| beyond.is_finite())
        .fold(f64::NEG_INFINITY, f64::max);
    if followed.is_some() && beyond.is_finite() {
        all.push(Feature {
            kind: FeatureKind::BoostOvershoot,
            signal: Signal::IntakePressure,
            start_s: time[row],
            end_s: time[until],
            value: quantity(Dimension::Pressure, beyond.max(0.0)),
            usual: Some(between(Dimension::Pressure, 0.0, 2e4)),
            what: "boost beyond what is asked, after a step".to_owned(),
            source: PRACTICE,
        });
    }
}
