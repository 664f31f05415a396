//! Signals that are missing, stand still, or jump.

use super::{Feature, FeatureKind, PRACTICE, between, quantity};
use crate::recording::{Column, Recording};
use crate::signal::Signal;
use crate::statistics::range;
use quantity::Dimension;

/// Rows below which a signal that stands still says nothing.
const FEW: usize = 120;

/// Signals that always move on a drive.
const MOVES: &[Signal] = &[
    Signal::EngineSpeed,
    Signal::IntakePressure,
    Signal::AirFlow,
    Signal::Load,
    Signal::Voltage,
];

/// Steps within a second that the signal cannot make, SI: the coolant's and the air's mass forbid them, so the wiring makes them.
/// Common practice, no source.
const CANNOT: &[(Signal, f64)] = &[
    (Signal::Coolant, 8.0),
    (Signal::Oil, 8.0),
    (Signal::OutsideAir, 8.0),
    (Signal::IntakeAir, 15.0),
    // Many modules take the barometer from the intake's sensor with the key on, and again on the way.
    (Signal::Barometer, 6e3),
];

pub(super) fn of_all(recording: &Recording, all: &mut Vec<Feature>) {
    let driven = recording
        .values(Signal::EngineSpeed)
        .is_some_and(|speed| speed.iter().filter(|speed| **speed > 5.0).count() >= FEW);
    for column in &recording.columns {
        let Some(signal) = column
            .signal
            .filter(|signal| !matches!(signal, Signal::Time | Signal::RunTime))
        else {
            continue;
        };
        let rows = column.values.len();
        let missing = rows - column.count();
        if missing > 0 && rows > 0 {
            all.push(Feature {
                kind: FeatureKind::Gaps,
                usual: Some(between(Dimension::Ratio, 0.0, 0.02)),
                what: format!("{missing} of {rows} rows hold no figure of `{}`", column.name),
                ..over_all(
                    recording,
                    signal,
                    quantity(Dimension::Ratio, missing as f64 / rows as f64),
                )
            });
        }
        if driven && MOVES.contains(&signal) && stands_still(column) {
            all.push(Feature {
                kind: FeatureKind::StandsStill,
                usual: None,
                what: format!("`{}` never changes while the engine runs", column.name),
                ..over_all(recording, signal, quantity(Dimension::Ratio, 1.0))
            });
        }
        jumps(recording, column, signal, all);
    }
}

fn over_all(recording: &Recording, signal: Signal, value: quantity::Quantity) -> Feature {
    Feature {
        kind: FeatureKind::Gaps,
        signal,
        start_s: 0.0,
        end_s: recording.length(),
        value,
        usual: None,
        what: String::new(),
        source: PRACTICE,
    }
}

fn stands_still(column: &Column) -> bool {
    column.count() >= FEW && range(column.values.iter().copied()).is_some_and(|(least, most)| least >= most)
}

fn jumps(recording: &Recording, column: &Column, signal: Signal, all: &mut Vec<Feature>) {
    let Some((_, most)) = CANNOT.iter().find(|(own, _)| *own == signal) else {
        return;
    };
    let mut last: Option<usize> = None;
    let mut found: Vec<usize> = Vec::new();
    for row in 0..column.values.len() {
        if !column.values[row].is_finite() {
            continue;
        }
        if let Some(last) = last {
            let passed = (recording.time[row] - recording.time[last]).max(1.0);
            if (column.values[row] - column.values[last]).abs() > most * passed {
                found.push(row);
            }
        }
        last = Some(row);
    }
    let (Some(first), Some(end)) = (found.first(), found.last()) else {
        return;
    };
    all.push(Feature {
        kind: FeatureKind::Jumps,
        start_s: recording.time[*first],
        end_s: recording.time[*end],
        usual: Some(between(Dimension::Ratio, 0.0, 0.0)),
        what: format!(
            "`{}` jumps as it cannot, {} times: plug, wire or sensor",
            column.name,
            found.len()
        ),
        ..over_all(recording, signal, quantity(Dimension::Ratio, found.len() as f64))
    });
}
