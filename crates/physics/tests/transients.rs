//! Hold tests, pump-down and leak-down against `references/transients.json`, an integration that knows nothing of this crate,
//! against closed forms, and facts of the trade.
#![allow(missing_docs, clippy::unwrap_used, clippy::print_stdout, reason = "tests")]

mod shared;

use physics::{Ambient, Model, Vehicle};
use serde_json::Value;
use shared::{INCH, fault, read};

fn model() -> Model {
    Model::new(read("holding", include_str!("circuits/holding.toml")))
}

fn rows(table: &str) -> Vec<Value> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../references/transients.json");
    let all: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    all[table].as_array().unwrap().clone()
}

/// What a check reads with faults of these sizes, mm.
fn reads(model: &Model, check: &str, faults: &[(&str, f64)]) -> f64 {
    let circuit = model.circuit();
    let mut vehicle = Vehicle::typical(circuit, Ambient::default());
    let sized = faults
        .iter()
        .map(|(name, size)| (fault(circuit, name), size * 1e-3));
    vehicle.faults.extend(sized);
    let check = model.check(check).unwrap_or_else(|| panic!("no check {check}"));
    model.probe().predict(check, &vehicle).unwrap().value()
}

/// Largest difference from the reference as a share of `full`.
fn worst(table: &str, column: &str, full: f64) -> f64 {
    let model = model();
    let mut worst: f64 = 0.0;
    for row in rows(table) {
        let sizes = row["faults_mm"].as_object().unwrap();
        let faults: Vec<(&str, f64)> = sizes
            .iter()
            .map(|(name, size)| (name.as_str(), size.as_f64().unwrap()))
            .collect();
        let own = reads(&model, row["check"].as_str().unwrap(), &faults);
        let other = row[column].as_f64().unwrap();
        println!("{} {faults:?}: {own:.4} {other:.4}", row["check"]);
        worst = worst.max((own - other).abs() / full.max(other.abs()));
    }
    worst
}

#[test]
fn a_piece_holds_as_an_independent_integration_says() {
    let worst = worst("hold", "vacuum_pa", 15.0 * INCH);
    assert!(worst < 1e-3, "{worst}");
}

#[test]
fn a_reservoir_is_emptied_as_an_independent_integration_says() {
    let worst = worst("pump_down", "seconds", 0.0);
    assert!(worst < 1e-3, "{worst}");
}

#[test]
fn a_reservoir_loses_its_vacuum_as_an_independent_integration_says() {
    let worst = worst("leak_down", "vacuum_pa", 28.0 * INCH);
    assert!(worst < 1e-3, "{worst}");
}
