//! The sensors with the key on, the idle, the coolant.

use super::{Feature, FeatureKind, PRACTICE, RUNS, STANDS, between, quantity};
use crate::recording::Recording;
use crate::signal::Signal;
use crate::statistics::{median, range};
use quantity::Dimension;

/// Key on, engine off: both sensors breathe the same air.
pub(super) fn key_on(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(speed), Some(intake), Some(barometer)) = (
        recording.values(Signal::EngineSpeed),
        recording.values(Signal::IntakePressure),
        recording.values(Signal::Barometer),
    ) else {
        return;
    };
    // Before the first start only: after a stop the manifold fills slowly.
    let until = speed
        .iter()
        .position(|speed| *speed > STANDS)
        .unwrap_or(speed.len());
    let rows: Vec<usize> = (0..until)
        .filter(|row| intake[*row].is_finite() && barometer[*row].is_finite())
        .collect();
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
        return;
    };
    // A speed signal is later than the starter, which lowers the pressure: the highest was read before it turned.
    let differences = rows.iter().map(|row| intake[*row] - barometer[*row]);
    let Some((_, difference)) = range(differences) else {
        return;
    };
    all.push(Feature {
        kind: FeatureKind::KeyOnPressure,
        signal: Signal::IntakePressure,
        start_s: recording.time[*first],
        end_s: recording.time[*last],
        value: quantity(Dimension::Pressure, difference),
        usual: Some(between(Dimension::Pressure, -3e3, 3e3)),
        what: "intake pressure less barometer, key on and engine off".to_owned(),
        source: PRACTICE,
    });
}

/// Coolant from which an engine is warm, K: 160 °F, as in the regulation's warm-up cycle.
const WARM: f64 = 344.26;

/// The idle of the warm engine.
pub(super) fn idle(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(speed), Some(coolant)) = (
        recording.values(Signal::EngineSpeed),
        recording.values(Signal::Coolant),
    ) else {
        return;
    };
    let way = recording.values(Signal::VehicleSpeed);
    let throttle = recording
        .values(Signal::Pedal)
        .or_else(|| recording.values(Signal::Throttle));
    let rest = throttle
        .and_then(|throttle| range(throttle.iter().copied()))
        .map(|(least, _)| least + 0.03);
    let idles = |row: &usize| {
        speed[*row] >= 5.0
            && speed[*row] <= 25.0
            && coolant[*row] >= WARM
            && way.is_none_or(|way| way[*row] < 0.3)
            && throttle
                .zip(rest)
                .is_none_or(|(throttle, rest)| throttle[*row] <= rest)
    };
    let rows: Vec<usize> = (0..speed.len()).filter(idles).collect();
    let mut speeds: Vec<f64> = rows.iter().map(|row| speed[*row]).collect();
    let (Some(first), Some(last), Some(idle)) = (rows.first(), rows.last(), median(&mut speeds)) else {
        return;
    };
    all.push(Feature {
        kind: FeatureKind::WarmIdle,
        signal: Signal::EngineSpeed,
        start_s: recording.time[*first],
        end_s: recording.time[*last],
        value: quantity(Dimension::RotationalSpeed, idle),
        usual: Some(between(Dimension::RotationalSpeed, 550.0 / 60.0, 1000.0 / 60.0)),
        what: format!("idle of the warm engine, the middle of {} rows", rows.len()),
        source: PRACTICE,
    });
}

/// How long a cold engine takes to be warm, and whether it stays so.
pub(super) fn warm_up(recording: &Recording, all: &mut Vec<Feature>) {
    let (Some(speed), Some(coolant)) = (
        recording.values(Signal::EngineSpeed),
        recording.values(Signal::Coolant),
    ) else {
        return;
    };
    let Some(start) = (0..speed.len()).find(|row| speed[*row] >= RUNS && coolant[*row].is_finite()) else {
        return;
    };
    let Some(warm) = (start..speed.len()).find(|row| coolant[*row] >= WARM) else {
        return;
    };
    if coolant[start] < WARM - 15.0 {
        all.push(Feature {
            kind: FeatureKind::WarmUp,
            signal: Signal::Coolant,
            start_s: recording.time[start],
            end_s: recording.time[warm],
            value: quantity(Dimension::Time, recording.time[warm] - recording.time[start]),
            usual: Some(between(Dimension::Time, 0.0, 900.0)),
            what: format!(
                "until the coolant is warm, from {:.0} °C",
                coolant[start] - 273.15
            ),
            source: PRACTICE,
        });
    }
    let after = || (warm..coolant.len()).map(|row| coolant[row]);
    let Some((least, _)) = range(after()) else {
        return;
    };
    let Some(last) = (warm..coolant.len()).rev().find(|row| coolant[*row].is_finite()) else {
        return;
    };
    all.push(Feature {
        kind: FeatureKind::WarmHold,
        signal: Signal::Coolant,
        start_s: recording.time[warm],
        end_s: recording.time[last],
        value: quantity(Dimension::Temperature, least),
        usual: Some(between(Dimension::Temperature, 338.15, 383.15)),
        what: "lowest coolant once warm; a thermostat that stays open lets it fall".to_owned(),
        source: PRACTICE,
    });
}
