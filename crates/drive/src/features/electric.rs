//! Cranking and charging, as the module's own voltage shows them.

use super::{Feature, FeatureKind, PRACTICE, RUNS, SELF, STANDS, between, quantity, starts};
use crate::recording::Recording;
use crate::signal::Signal;
use crate::statistics::median;
use quantity::Dimension;

/// Two batteries in a row from here on, V.
const TWENTY_FOUR: f64 = 18.0;

/// Whether the vehicle has 24 V: as its voltage is while it runs.
fn scale(voltage: &[f64]) -> f64 {
    let mut all = voltage.to_vec();
    if median(&mut all).unwrap_or_default() > TWENTY_FOUR {
        2.0
    } else {
        1.0
    }
}

/// The lowest voltage at each start.
pub(super) fn cranking(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(speed), Some(voltage)) = (
        recording.values(Signal::EngineSpeed),
        recording.values(Signal::Voltage),
    ) else {
        return;
    };
    let scale = scale(voltage);
    for (from, to) in starts(speed) {
        let rows = (from..=to).filter(|row| voltage[*row].is_finite());
        let Some(lowest) = rows.min_by(|a, b| voltage[*a].total_cmp(&voltage[*b])) else {
            continue;
        };
        all.push(Feature {
            kind: FeatureKind::CrankingVoltage,
            signal: Signal::Voltage,
            start_s: recording.time[from],
            end_s: recording.time[to],
            value: quantity(Dimension::Voltage, voltage[lowest]),
            usual: Some(between(Dimension::Voltage, 9.6 * scale, 12.9 * scale)),
            what: "lowest voltage seen while cranking; a slow recorder misses the deepest of it".to_owned(),
            source: PRACTICE,
        });
    }
}

/// Rows in which the starter turns the engine from which their middle is no longer the first moment's dip.
const TURNING: usize = 3;

/// The voltage while the starter turns the engine, where the recorder is fast enough.
pub(super) fn turning(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(speed), Some(voltage)) = (
        recording.values(Signal::EngineSpeed),
        recording.values(Signal::Voltage),
    ) else {
        return;
    };
    let scale = scale(voltage);
    for (from, to) in starts(speed) {
        let rows: Vec<usize> = (from..=to)
            .filter(|row| speed[*row] > STANDS && speed[*row] < SELF && voltage[*row].is_finite())
            .collect();
        let mut values: Vec<f64> = rows.iter().map(|row| voltage[*row]).collect();
        let (Some(first), Some(last), Some(middle)) = (rows.first(), rows.last(), median(&mut values)) else {
            continue;
        };
        if rows.len() < TURNING {
            continue;
        }
        all.push(Feature {
            kind: FeatureKind::CrankingSteady,
            signal: Signal::Voltage,
            start_s: recording.time[*first],
            end_s: recording.time[*last],
            value: quantity(Dimension::Voltage, middle),
            usual: Some(between(Dimension::Voltage, 9.6 * scale, 12.0 * scale)),
            what: format!(
                "voltage while the starter turns, the middle of {} rows",
                rows.len()
            ),
            source: PRACTICE,
        });
    }
}

/// The voltage with the key on before the first start.
pub(super) fn key_on(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(speed), Some(voltage)) = (
        recording.values(Signal::EngineSpeed),
        recording.values(Signal::Voltage),
    ) else {
        return;
    };
    let until = speed
        .iter()
        .position(|speed| *speed > STANDS)
        .unwrap_or(speed.len());
    // The row before the engine turns may already be the starter's.
    let rows: Vec<usize> = (0..until.saturating_sub(1))
        .filter(|row| voltage[*row].is_finite())
        .collect();
    let mut values: Vec<f64> = rows.iter().map(|row| voltage[*row]).collect();
    let (Some(first), Some(last), Some(usual)) = (rows.first(), rows.last(), median(&mut values)) else {
        return;
    };
    let scale = scale(voltage);
    all.push(Feature {
        kind: FeatureKind::KeyOnVoltage,
        signal: Signal::Voltage,
        start_s: recording.time[*first],
        end_s: recording.time[*last],
        value: quantity(Dimension::Voltage, usual),
        usual: Some(between(Dimension::Voltage, 11.8 * scale, 13.0 * scale)),
        what: format!(
            "voltage with the key on before the start, the middle of {} rows",
            rows.len()
        ),
        source: PRACTICE,
    });
}

/// The usual voltage while the engine runs.
pub(super) fn charging(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(speed), Some(voltage)) = (
        recording.values(Signal::EngineSpeed),
        recording.values(Signal::Voltage),
    ) else {
        return;
    };
    let rows: Vec<usize> = (0..speed.len())
        .filter(|row| speed[*row] >= RUNS && voltage[*row].is_finite())
        .collect();
    let mut running: Vec<f64> = rows.iter().map(|row| voltage[*row]).collect();
    let (Some(first), Some(last), Some(usual)) = (rows.first(), rows.last(), median(&mut running)) else {
        return;
    };
    let scale = scale(voltage);
    all.push(Feature {
        kind: FeatureKind::ChargingVoltage,
        signal: Signal::Voltage,
        start_s: recording.time[*first],
        end_s: recording.time[*last],
        value: quantity(Dimension::Voltage, usual),
        usual: Some(between(Dimension::Voltage, 13.2 * scale, 14.9 * scale)),
        what: format!(
            "voltage with the engine running, the middle of {} rows",
            rows.len()
        ),
        source: PRACTICE,
    });
}
