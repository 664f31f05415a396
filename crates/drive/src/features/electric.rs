//! Cranking and charging, as the module's own voltage shows them.

use super::{Feature, FeatureKind, PRACTICE, RUNS, between, quantity, starts};
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
