//! What a recorded drive says of a circuit with a turbocharger: the intake's pressure with the key on and at full load is a reading like any
//! other, predicted under every suspect. All drives are invented: simulated, or written from what the model predicts.

#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use circuit::FaultId;
use drive::made::{Journey, as_table, drive};
use drive::{FeatureKind, Import, Recording, read};
use engine::{
    DriveReading, Effort, Model, Surroundings, belief, drive_readings, drive_response, evidence, load,
    shipped_called,
};
use physics::Vehicle;
use quantity::{Pressure, Temperature};
use std::fmt::Write as _;

/// Sea level, as surroundings are where nothing is said.
const SEA_LEVEL: Pressure = Pressure::from_si(101_325.0);

fn model(name: &str) -> Model {
    load(name, shipped_called(name).unwrap().text).model.unwrap()
}

fn fault(model: &Model, name: &str) -> FaultId {
    let circuit = model.circuit();
    let mut all = circuit.faults().into_iter().map(|(fault, _)| fault);
    all.find(|fault| circuit.fault_name(*fault) == name).unwrap()
}

fn recording(text: &str) -> Recording {
    read(text.as_bytes(), &Import::default()).unwrap()
}

fn ids(model: &Model, readings: &[DriveReading]) -> Vec<String> {
    let checks = readings
        .iter()
        .map(|reading| model.checks()[reading.check].id.clone());
    checks.collect()
}

/// Probability of the part at fault after what the drive said.
fn part_after(model: &Model, readings: &[DriveReading], part: &str) -> f64 {
    let mut text = String::new();
    for reading in readings {
        let unit = if reading.feature.value.dimension() == quantity::Dimension::Pressure {
            "Pa"
        } else {
            "V"
        };
        writeln!(
            text,
            "[[reading]]\ncheck = \"{}\"\nvalue = \"{:.3} {unit}\"\ninstrument = \"recording, {accuracy}\"\naccuracy = \"{accuracy}\"",
            model.checks()[reading.check].id,
            reading.feature.value.si(),
            accuracy = reading.accuracy
        )
        .unwrap();
    }
    let (evidence, findings) = evidence(model, &text);
    let evidence = evidence.unwrap_or_else(|| panic!("{findings:?}"));
    let believed = belief(model, &evidence, Effort::brisk());
    let at = model
        .circuit()
        .parts
        .iter()
        .position(|known| known.id == part)
        .unwrap();
    believed.parts()[at]
}

/// A pull at full load through the speeds of the circuit, in air of `ambient` Pa, with what the module tells at each speed (rpm, Pa).
fn pull(ambient: f64, duty: f64, told: &[(f64, f64)]) -> Recording {
    let mut text = String::from(
        "Time (s),Engine RPM (rpm),Intake manifold absolute pressure (kPa),Barometric pressure (kPa),Calculated engine load (%),Wastegate control commanded (%)\n",
    );
    let mut row = |at: f64, rpm: f64, intake: f64, load: f64| {
        writeln!(
            text,
            "{at:.1},{rpm:.0},{:.0},{:.0},{load:.0},{:.0}",
            intake / 1e3,
            ambient / 1e3,
            100.0 * duty
        )
        .unwrap();
    };
    for second in 0..10 {
        row(f64::from(second), 800.0, ambient, 20.0);
    }
    let mut at = 10.0;
    for (rpm, intake) in told {
        for step in 0..6 {
            row(at, rpm * (0.97 + 0.01 * f64::from(step)), *intake, 98.0);
            at += 0.2;
        }
    }
    recording(&text)
}

/// What the module tells at a check on a typical vehicle with a fault.
fn told(model: &Model, check: &str, with: Option<(FaultId, f64)>) -> f64 {
    let mut vehicle = Vehicle::typical(model.circuit(), Surroundings::default().ambient);
    vehicle.faults.extend(with);
    let check = model.check(check).unwrap();
    model.probe().predict(check, &vehicle).unwrap().value()
}

#[test]
fn a_sensor_that_reads_high_shows_with_the_key_on() {
    let model = model("charge-air");
    let high = (fault(&model, "boost-sensor/reads high"), 8e3);
    let response = drive_response(&model, Surroundings::default(), &[high]).unwrap();
    assert!((response.intake_off_by.si() - 8e3).abs() < 500.0, "{response:?}");
    let journey = Journey {
        response,
        barometer: SEA_LEVEL,
        outside: Temperature::from_celsius(15.0),
        seed: 3,
        words: "invented van".to_owned(),
    };
    let recording = recording(&as_table(&drive(&journey)));
    let readings = drive_readings(&model, SEA_LEVEL, &recording);
    let key_on = readings
        .iter()
        .find(|reading| reading.feature.kind == FeatureKind::KeyOnPressure);
    let key_on = key_on.unwrap_or_else(|| panic!("{readings:?}"));
    assert_eq!(model.checks()[key_on.check].id, "data:module-pins@key-on");
    assert!(
        (key_on.feature.value.si() - 109_325.0).abs() < 1.5e3,
        "{key_on:?}"
    );
    assert!(key_on.feature.start_s < key_on.feature.end_s);
    let before = part_after(&model, &[], "boost-sensor");
    let after = part_after(&model, &readings, "boost-sensor");
    assert!(
        after > 0.6 && after > 4.0 * before,
        "{before} before, {after} after"
    );
}

#[test]
fn boost_at_full_load_answers_what_the_turbocharger_should_make() {
    let model = model("charge-air");
    let checks = [
        (2000.0, "data:module-pins@pull-2000"),
        (3500.0, "data:module-pins@pull-3500"),
    ];
    let leak = fault(&model, "hot-hose/off");
    let as_told = |with| checks.map(|(rpm, check)| (rpm, told(&model, check, with)));
    let sound = drive_readings(&model, SEA_LEVEL, &pull(101_325.0, 0.0, &as_told(None)));
    assert_eq!(ids(&model, &sound), checks.map(|(_, check)| check));
    let off = drive_readings(
        &model,
        SEA_LEVEL,
        &pull(101_325.0, 0.0, &as_told(Some((leak, 1.0)))),
    );
    let (sound, off) = (
        part_after(&model, &sound, "hot-hose"),
        part_after(&model, &off, "hot-hose"),
    );
    assert!(
        off > 0.4 && off > 5.0 * sound,
        "{sound} sound, {off} with the hose off"
    );
}

/// The recording's barometer says that it was driven elsewhere, or that it is the very sensor in doubt.
#[test]
fn a_drive_in_other_air_says_nothing_of_pressures() {
    let model = model("charge-air");
    let recording = pull(84_000.0, 0.0, &[(2000.0, 150e3), (3500.0, 180e3)]);
    assert_eq!(
        ids(&model, &drive_readings(&model, SEA_LEVEL, &recording)),
        [""; 0]
    );
    let here = drive_readings(&model, Pressure::from_si(84_000.0), &recording);
    assert_eq!(here.len(), 2, "{here:?}");
}

/// Boost belongs to a command: driven otherwise, the drive says nothing; and nobody drives with the solenoid unplugged.
#[test]
fn boost_under_another_command_is_no_answer() {
    let model = model("pressure-wastegate");
    let pull_at = |duty: f64| {
        let recording = pull(101_325.0, duty, &[(3200.0, 190e3)]);
        ids(&model, &drive_readings(&model, SEA_LEVEL, &recording))
    };
    let condition = model
        .circuit()
        .conditions
        .iter()
        .find(|condition| condition.id == "pull")
        .unwrap();
    let commanded = condition.commands[0].duty;
    assert_eq!(pull_at(commanded), ["data:module-pins@pull"]);
    assert_eq!(pull_at((commanded + 0.4) % 1.0), [""; 0]);
}

#[test]
fn a_leak_in_the_charge_air_shows_in_a_simulated_drive() {
    let model = model("charge-air");
    let response =
        |faults: &[(FaultId, f64)]| drive_response(&model, Surroundings::default(), faults).unwrap();
    let sound = response(&[]);
    assert!(
        sound.actuator.iter().all(|(_, share)| (share - 1.0).abs() < 1e-9),
        "{sound:?}"
    );
    let off = response(&[(fault(&model, "hot-hose/off"), 1.0)]);
    assert!(off.actuator.iter().all(|(_, share)| *share < 0.5), "{off:?}");
}
