//! Readings that a recorded drive gives: what stands out in it, bound to the checks of a circuit that it answers.
//!
//! A reading from a drive is a reading like any other: it belongs to a check, is predicted under every suspect, and has its instrument's
//! error. Bound are the supply's voltage with the key on, while cranking and while charging, as the module measures it, to the
//! voltage at the battery; and the pressure in the intake with the key on and at full load, to what the module tells of its sensor.

use crate::driven::{CRANKED, at_full_load, engine_speed, supplies, told_pressures};
use drive::{Feature, FeatureKind, Recording, Signal, features, intake_at_load};
use physics::Model;
use quantity::{Dimension, Pressure, Quantity, RotationalSpeed};

/// How right a module's own voltage is of the battery's: the share of its converter, and what fuses, relay and wires between them take.
/// Common practice, no source.
pub const MODULE_VOLTAGE: &str = "1 % + 200 mV";

/// How right what a module tells is of its sensor with the key on: a kilopascal a step, read while nothing moves. Common practice, no source.
pub const MODULE_PRESSURE: &str = "1 kPa";
/// And at full load: the engine passes the speed within a second or two, and hoses and filter lag behind. Common practice, no source.
pub const PULLED_PRESSURE: &str = "6 kPa";

/// How far the barometer of a recording may lie from that of the job, Pa: weather, not another height.
const SAME_AIR: f64 = 3.0e3;

/// A reading taken from a drive.
#[derive(Debug, Clone, PartialEq)]
pub struct DriveReading {
    /// The check that it answers.
    pub check: usize,
    /// What was found, over which seconds; its value is what was read.
    pub feature: Feature,
    /// How right it is: an accuracy of the check's instrument.
    pub accuracy: &'static str,
}

/// Two batteries in a row from here on, V: no circuit here has them.
const TWENTY_FOUR: f64 = 18.0;

/// What `recording` says of the checks of `model` in air of the pressure `ambient`; a check is answered once, by the first stretch that does.
/// Pressures are taken only from a drive in that air.
pub fn drive_readings(model: &Model, ambient: Pressure, recording: &Recording) -> Vec<DriveReading> {
    let supplies = supplies(model);
    let mut readings: Vec<DriveReading> = Vec::new();
    let found = features(recording);
    for feature in &found {
        let Some(check) = answered(model, recording, &supplies, feature) else {
            continue;
        };
        if feature.value.si() < TWENTY_FOUR && readings.iter().all(|reading| reading.check != check) {
            readings.push(DriveReading {
                check,
                feature: feature.clone(),
                accuracy: MODULE_VOLTAGE,
            });
        }
    }
    if same_air(recording, ambient) {
        readings.extend(pressures(model, recording, &found));
    }
    readings
}

fn same_air(recording: &Recording, ambient: Pressure) -> bool {
    let barometer = recording.values(Signal::Barometer);
    let mut shown = barometer.into_iter().flatten().filter(|shown| shown.is_finite());
    shown
        .next()
        .is_some_and(|first| (first - ambient.si()).abs() <= SAME_AIR)
}

/// What the module told of the intake: with the key on before the first start, and at full load.
fn pressures(model: &Model, recording: &Recording, found: &[Feature]) -> Vec<DriveReading> {
    let key_on = found
        .iter()
        .find(|feature| feature.kind == FeatureKind::KeyOnPressure);
    let told = told_pressures(model).into_iter();
    let answered = told.filter_map(|check| {
        let speed = engine_speed(model, check);
        if speed <= 0.0 {
            return Some(DriveReading {
                check,
                feature: as_told(recording, key_on?)?,
                accuracy: MODULE_PRESSURE,
            });
        }
        if !at_full_load(model, check) {
            return None;
        }
        let condition = &model.circuit().conditions[model.checks()[check].condition.0];
        let duty = condition.commands.first().map(|command| command.duty);
        Some(DriveReading {
            check,
            feature: intake_at_load(recording, RotationalSpeed::from_si(speed), duty)?,
            accuracy: PULLED_PRESSURE,
        })
    });
    answered.collect()
}

/// The pressure with the key on as the module told it, not its difference from the barometer: the highest of those seconds, since a late
/// speed signal lets the starter's pull in.
fn as_told(recording: &Recording, key_on: &Feature) -> Option<Feature> {
    let intake = recording.values(Signal::IntakePressure)?;
    let rows = recording.time.iter().zip(intake);
    let within = rows.filter(|(time, _)| (key_on.start_s..=key_on.end_s).contains(*time));
    let highest = within
        .map(|(_, intake)| *intake)
        .filter(|intake| intake.is_finite())
        .reduce(f64::max)?;
    Some(Feature {
        value: Quantity::new(Dimension::Pressure, highest),
        usual: None,
        what: "intake pressure, key on and engine off".to_owned(),
        ..key_on.clone()
    })
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
