//! A turbocharged engine against `references/charge_air.json`, a computation that knows nothing of this crate, and facts of the
//! trade.
#![allow(missing_docs, clippy::unwrap_used, clippy::print_stdout, reason = "tests")]

mod shared;

use circuit::Circuit;
use physics::{Ambient, Model, Prediction, Vehicle};
use quantity::Pressure;
use serde_json::Value;
use shared::{fault, read};

/// Relative agreement of gauge pressures; what is left is the heat of air between the points of our table.
const CLOSE: f64 = 1.0e-3;
const PLACES: [&str; 4] = ["cleaner.outlet", "turbo.outlet", "cooler.to", "actuator.nipple"];

fn model() -> Model {
    Model::new(read("charged", include_str!("circuits/charged.toml")))
}

fn gauge(model: &Model, vehicle: &Vehicle, place: &str, condition: &str) -> f64 {
    let check = model.check(&format!("tee:{place}@{condition}")).unwrap();
    match model.probe().predict(check, vehicle).unwrap() {
        Prediction::Number(value) => value,
        Prediction::Yes(_) => panic!("{place} is no number"),
    }
}

/// Our fault and its severity for one of the reference's.
fn ours(circuit: &Circuit, name: &str, size: f64) -> Option<(circuit::FaultId, f64)> {
    let (name, size) = match name {
        "leak" => ("cooler/leaks", size),
        "signal" => ("actuator/diaphragm leaks", size),
        "filter" => ("cleaner/clogged", size),
        "flap" => ("flap/seized", 1.0),
        "ajar" => ("turbo/flap leaks", size),
        "lost" => ("engine/exhaust leaks", size),
        "drags" => ("turbo/drags", size),
        _ => return None,
    };
    Some((fault(circuit, name), size))
}

#[test]
fn boost_is_that_of_an_independent_computation() {
    let model = model();
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../references/charge_air.json");
    let reference: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let cases = reference["cases"].as_array().unwrap();
    assert!(cases.len() >= 15);
    for case in cases {
        let barometer = Pressure::from_si(case["barometer"].as_f64().unwrap());
        let mut vehicle = Vehicle::typical(model.circuit(), Ambient::default().with_barometer(barometer));
        for (name, size) in case["fault"].as_object().unwrap() {
            vehicle
                .faults
                .extend(ours(model.circuit(), name, size.as_f64().unwrap()));
        }
        let condition = format!("pull-{}", case["speed"]);
        for (place, expected) in PLACES.iter().zip(case["gauge"].as_array().unwrap()) {
            let (expected, found) = (
                expected.as_f64().unwrap(),
                gauge(&model, &vehicle, place, &condition),
            );
            println!("{} {place}: {found:.0} Pa, {expected:.0}", case["case"]);
            assert!(
                (found - expected).abs() < CLOSE * expected.abs().max(2.0e4),
                "{} {place}: {found} instead of {expected}",
                case["case"]
            );
        }
    }
}

/// Without load there is next to no boost, and a seized turbocharger makes none: the engine then draws through it.
#[test]
fn no_exhaust_no_boost() {
    let model = model();
    let circuit = model.circuit();
    let sound = Vehicle::typical(circuit, Ambient::default());
    let idle = gauge(&model, &sound, "turbo.outlet", "idle");
    assert!((-100.0..1500.0).contains(&idle), "{idle}");
    let seized = sound.with_fault(circuit, fault(circuit, "turbo/seized"));
    let pull = gauge(&model, &seized, "cooler.to", "pull-3200");
    assert!((-4000.0..0.0).contains(&pull), "{pull}");
}

/// The spring decides where the flap begins to open: a can with boost on it holds about its own pressure, whatever the air.
#[test]
fn boost_is_the_spring_s_at_any_height() {
    let model = model();
    let at = |barometer: f64| {
        let ambient = Ambient::default().with_barometer(Pressure::from_si(barometer));
        gauge(
            &model,
            &Vehicle::typical(model.circuit(), ambient),
            "turbo.outlet",
            "pull-5000",
        )
    };
    let (sea, hill) = (at(101_325.0), at(80_000.0));
    assert!((sea / hill - 1.0).abs() < 0.1, "{sea} {hill}");
    assert!((50.0e3..85.0e3).contains(&sea));
}
