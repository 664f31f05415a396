//! Readings that a recorded drive gives: what stands out in it, bound to the checks of a circuit that it answers.
//!
//! A reading from a drive is a reading like any other: it belongs to a check, is predicted under every suspect, and has its instrument's
//! error. Bound are the supply's voltage with the key on, while cranking and while charging, as the module measures it, to the
//! voltage at the battery.

use crate::driven::{CRANKED, engine_speed, supplies};
use drive::{Feature, FeatureKind, Recording, Signal, features};
use physics::Model;

/// How right a module's own voltage is of the battery's: the share of its converter, and what fuses, relay and wires between them take.
/// Common practice, no source.
pub const MODULE_VOLTAGE: &str = "1 % + 200 mV";

/// A reading taken from a drive.
#[derive(Debug, Clone, PartialEq)]
pub struct DriveReading {
    /// The check that it answers.
    pub check: usize,
    /// What was found, and over which seconds.
    pub feature: Feature,
    /// How right it is: an accuracy of the check's instrument.
    pub accuracy: &'static str,
}

/// Two batteries in a row from here on, V: no circuit here has them.
const TWENTY_FOUR: f64 = 18.0;

/// What `recording` says of the checks of `model`; a check is answered once, by the first stretch that does.
pub fn drive_readings(model: &Model, recording: &Recording) -> Vec<DriveReading> {
    let supplies = supplies(model);
    let mut readings: Vec<DriveReading> = Vec::new();
    for feature in features(recording) {
        let Some(check) = answered(model, recording, &supplies, &feature) else {
            continue;
        };
        if feature.value.si() < TWENTY_FOUR && readings.iter().all(|reading| reading.check != check) {
            readings.push(DriveReading {
                check,
                feature,
                accuracy: MODULE_VOLTAGE,
            });
        }
    }
    readings
}

fn answered(model: &Model, recording: &Recording, supplies: &[usize], feature: &Feature) -> Option<usize> {
    let with = |wanted: &dyn Fn(f64) -> bool| {
        let mut own = supplies.iter().copied();
        own.find(|check| wanted(engine_speed(model, *check)))
    };
    match feature.kind {
        // A rested battery is another thing than one with the key on: only conditions that set the supply.
        FeatureKind::KeyOnVoltage => supplies.iter().copied().find(|check| {
            let condition = model.checks()[*check].condition;
            let condition = &model.circuit().conditions[condition.0];
            !condition.running() && condition.supply.is_some()
        }),
        FeatureKind::CrankingSteady => with(&|speed| speed > 0.0 && speed < CRANKED),
        FeatureKind::ChargingVoltage => {
            let driven = usual_speed(recording)?;
            let running = supplies
                .iter()
                .copied()
                .filter(|check| engine_speed(model, *check) >= CRANKED);
            running.min_by(|a, b| {
                let away = |check: usize| (engine_speed(model, check) - driven).abs();
                away(*a).total_cmp(&away(*b))
            })
        }
        _ => None,
    }
}

/// What the engine usually turned with, rev/s.
fn usual_speed(recording: &Recording) -> Option<f64> {
    let mut running: Vec<f64> = recording
        .values(Signal::EngineSpeed)?
        .iter()
        .copied()
        .filter(|speed| *speed >= CRANKED)
        .collect();
    running.sort_by(f64::total_cmp);
    running.get(running.len() / 2).copied()
}
