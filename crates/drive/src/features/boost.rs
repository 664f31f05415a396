//! Boost: how high, how well it is held, how fast it follows.

use super::{Feature, FeatureKind, PRACTICE, between, quantity};
use crate::recording::Recording;
use crate::signal::Signal;
use crate::statistics::median;
use quantity::{Dimension, RotationalSpeed};

/// Boost asked for above ambient from which holding it says something, Pa. Common practice, no source.
const ASKED: f64 = 2e4;
/// A change of what is asked within [`WITHIN`] that is a step, Pa.
const STEP: f64 = 3e4;
/// Time of a step, s.
const WITHIN: f64 = 1.0;
/// How long an answer to a step is waited for, s.
const ANSWER: f64 = 6.0;
/// Of the step, what may be asked for before it begins.
const NOTHING: f64 = 0.1;
/// Of the step, what boost has to make good to have followed.
const FOLLOWED: f64 = 0.9;

/// Full load: so much of the calculated load, or the pedal so far down. Common practice, no source.
const FULL_LOAD: f64 = 0.9;
const PEDAL_DOWN: f64 = 0.95;
/// How far from a speed an engine passes it.
const NEAR: f64 = 0.05;
/// Fewest rows of a pull that say something.
const LEAST_ROWS: usize = 3;

/// Absolute intake pressure while the engine passes `speed` at full load; with `duty`, only while the boost actuator is driven within a
/// tenth of it (0 to 1). `None` if the drive does not go there.
pub fn intake_at_load(recording: &Recording, speed: RotationalSpeed, duty: Option<f64>) -> Option<Feature> {
    let engine = recording.values(Signal::EngineSpeed)?;
    let intake = recording.values(Signal::IntakePressure)?;
    let (load, pedal) = (
        recording.values(Signal::Load),
        recording
            .values(Signal::Pedal)
            .or_else(|| recording.values(Signal::Throttle)),
    );
    let driven = recording.values(Signal::BoostDuty);
    let full = |row: usize| {
        load.is_some_and(|load| load[row] >= FULL_LOAD) && pedal.is_none_or(|pedal| pedal[row] >= PEDAL_DOWN)
    };
    let as_driven =
        |row: usize| duty.is_none_or(|duty| driven.is_some_and(|driven| (driven[row] - duty).abs() <= 0.1));
    let near = |row: usize| (engine[row] - speed.si()).abs() <= NEAR * speed.si();
    let rows: Vec<usize> = (0..engine.len())
        .filter(|row| near(*row) && full(*row) && as_driven(*row) && intake[*row].is_finite())
        .collect();
    let mut shown: Vec<f64> = rows.iter().map(|row| intake[*row]).collect();
    let (Some(first), Some(last), Some(middle)) = (rows.first(), rows.last(), median(&mut shown)) else {
        return None;
    };
    (rows.len() >= LEAST_ROWS).then(|| Feature {
        kind: FeatureKind::IntakeAtLoad,
        signal: Signal::IntakePressure,
        start_s: recording.time[*first],
        end_s: recording.time[*last],
        value: quantity(Dimension::Pressure, middle),
        usual: None,
        what: format!(
            "intake pressure at full load passing {:.0} rpm, the middle of {} rows",
            60.0 * speed.si(),
            rows.len()
        ),
        source: PRACTICE,
    })
}

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
        let Some((begin, top)) = rises(time, asked, row) else {
            row += 1;
            continue;
        };
        let until = (top..time.len())
            .take_while(|at| time[*at] - time[begin] <= ANSWER && asked[*at] >= asked[top] - 0.3 * STEP)
            .last()
            .unwrap_or(top);
        if intake[begin].is_finite() && asked[top] - intake[begin] > 0.5 * STEP {
            answer(recording, (begin, top, until), asked, intake, all);
        }
        row = until.max(row) + 1;
    }
}

/// Rows at which a step that is seen from `row` begins and has risen: from the last one that has nothing of it yet, however long
/// before it `row` is, to the highest within [`WITHIN`] of that.
fn rises(time: &[f64], asked: &[f64], row: usize) -> Option<(usize, usize)> {
    let highest = |row: usize| {
        let within = (row..time.len()).take_while(|at| time[*at] - time[row] <= WITHIN);
        within.max_by(|a, b| asked[*a].total_cmp(&asked[*b]))
    };
    let seen = highest(row).filter(|top| asked[*top] - asked[row] >= STEP)?;
    let nothing = asked[row] + NOTHING * (asked[seen] - asked[row]);
    let begin = (row..seen).rev().find(|at| asked[*at] <= nothing).unwrap_or(row);
    highest(begin).map(|top| (begin, top))
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
