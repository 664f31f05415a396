//! Recordings of a real vehicle, where they are at hand: the public carOBD data set, described in "Detecting Anomalies in the
//! Engine Coolant Sensor Using One-Class Classifiers", IEEE Xplore document 8891367. They are not part of the project; `HALFSPLIT_DRIVES` names
//! their folder, else a folder beside the project is looked for.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]
#![allow(clippy::print_stderr, reason = "a skipped test says so")]

use drive::{FeatureKind, Import, Recording, Signal, TripRules, features, read, trips};
use std::path::PathBuf;

fn drives() -> Vec<(String, Recording)> {
    let beside = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../shared/data/drives");
    let folder = std::env::var_os("HALFSPLIT_DRIVES").map_or_else(|| PathBuf::from(beside), PathBuf::from);
    let Ok(files) = std::fs::read_dir(&folder) else {
        eprintln!("skipped: no drives");
        return Vec::new();
    };
    let mut paths: Vec<PathBuf> = files.map(|file| file.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "csv"));
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            let recording = read(&std::fs::read(&path).unwrap(), &Import::default()).unwrap();
            (name, recording)
        })
        .collect()
}

/// Increments of the vehicle's own counter; `None` where it stands at its end.
fn own_count(recording: &Recording) -> Option<f64> {
    let counted = recording.values(Signal::WarmUps).unwrap();
    let (first, last) = (counted[0], counted[counted.len() - 1]);
    (last < 255.0).then_some(last - first)
}

#[test]
fn columns_are_recognised_without_help() {
    for (name, recording) in drives() {
        for signal in [
            Signal::RunTime,
            Signal::EngineSpeed,
            Signal::VehicleSpeed,
            Signal::Throttle,
            Signal::Load,
            Signal::Coolant,
            Signal::IntakePressure,
            Signal::Barometer,
            Signal::IntakeAir,
            Signal::Voltage,
            Signal::WarmUps,
        ] {
            assert!(recording.column(signal).is_some(), "{name}: {signal:?}");
        }
        let known = recording.columns.iter().filter(|column| column.signal.is_some());
        let mut seen: Vec<(Signal, &str)> = known
            .map(|column| (column.signal.unwrap(), column.name.as_str()))
            .collect();
        seen.sort_unstable();
        for (signal, column) in &seen {
            assert!(
                !column.contains("CATALYST") && !column.contains("MIL"),
                "{name}: {column} taken for {signal:?}"
            );
        }
        assert_eq!(recording.dropped.rows, 0, "{name}: {:?}", recording.findings);
        assert!(
            recording.step() > 0.2 && recording.step() < 1.0,
            "{name}: {}",
            recording.step()
        );
    }
}

#[test]
fn warm_up_cycles_are_the_vehicles_own() {
    for (name, recording) in drives() {
        let found = trips(&recording, &TripRules::default());
        assert_eq!(found.driving_cycles, 1, "{name}: {:?}", found.events);
        if let Some(own) = own_count(&recording) {
            assert!(
                (found.warm_up_cycles as f64 - own).abs() < 1e-9,
                "{name}: {:?}",
                found.events
            );
        }
    }
}

#[test]
fn intake_pressure_is_the_barometer_with_the_key_on() {
    for (name, recording) in drives() {
        let all = features(&recording);
        let key_on = all
            .iter()
            .find(|feature| feature.kind == FeatureKind::KeyOnPressure)
            .unwrap();
        // Both are whole kilopascals.
        assert!(key_on.value.si().abs() <= 2000.0, "{name}: {key_on:?}");
    }
}

#[test]
fn cranking_dips_and_charging_are_found() {
    for (name, recording) in drives() {
        let all = features(&recording);
        let of = |kind| {
            all.iter()
                .find(|feature| feature.kind == kind)
                .map(|feature| feature.value.si())
        };
        let (cranking, charging) = (
            of(FeatureKind::CrankingVoltage).unwrap(),
            of(FeatureKind::ChargingVoltage).unwrap(),
        );
        assert!(cranking < charging - 0.5, "{name}: {cranking} {charging}");
        assert!((12.5..15.0).contains(&charging), "{name}: {charging}");
    }
}
