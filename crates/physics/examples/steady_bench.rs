//! Time of a steady solve, warm started, over a cloud of vehicles: one JSON line per network.
//!
//! A solve is everything from a vehicle's values to the reading: assembly, Newton, readout. Circuits are those of
//! `circuits/` beside the workspace, and those of the tests that have a peer to be measured beside.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench prints, and stops where it cannot go on"
)]

use circuit::Circuit;
use physics::{Ambient, Model, Vehicle};
use std::time::Instant;

const CLOUD: usize = 2_000;
const ROUNDS: usize = 5;

/// Vehicles around the typical one, every value up to its tolerance; plain additive recurrence, so the same in each run.
fn cloud(circuit: &Circuit) -> Vec<Vehicle> {
    let typical = Vehicle::typical(circuit, Ambient::default());
    let spreads: Vec<f64> = circuit
        .parts
        .iter()
        .flat_map(|part| part.values.iter().map(|value| value.spread))
        .collect();
    let mut state: f64 = 0.5;
    (0..CLOUD)
        .map(|_| {
            let mut vehicle = typical.clone();
            for (value, spread) in vehicle.values.iter_mut().zip(&spreads) {
                state = (state + 0.618_033_988_75).fract();
                *value += spread * (2.0 * state - 1.0);
            }
            vehicle
        })
        .collect()
}

/// Best of a few rounds: microseconds per solve of the network behind `check`, and Newton steps per solve.
fn measure(name: &str, circuit: Circuit, check: &str) {
    let model = Model::new(circuit);
    let Some(check) = model.check(check) else { return };
    let vehicles = cloud(model.circuit());
    let mut probe = model.probe();
    let mut best = f64::INFINITY;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        for vehicle in &vehicles {
            std::hint::black_box(probe.predict(check, vehicle).unwrap());
        }
        best = best.min(start.elapsed().as_secs_f64() * 1e6 / CLOUD as f64);
    }
    let steps = f64::from(probe.work.steps) / probe.solves as f64;
    println!(r#"{{"name":"{name}","micros":{best:.3},"steps":{steps:.2},"solves":{CLOUD}}}"#);
}

fn main() {
    let circuits = [
        (
            "twelve-part-vacuum",
            include_str!("../tests/circuits/twelve-part-vacuum.toml"),
            "tee:actuator.nipple@idle",
        ),
        (
            "reference-vacuum",
            include_str!("../tests/circuits/reference-vacuum.toml"),
            "tee:actuator.nipple@d80-800",
        ),
        (
            "vacuum-wastegate",
            include_str!("../../../circuits/vacuum-wastegate.toml"),
            "tee:actuator.nipple@idle",
        ),
        (
            "vacuum-variable-geometry",
            include_str!("../../../circuits/vacuum-variable-geometry.toml"),
            "tee:actuator.nipple@idle",
        ),
        (
            "solenoid-driver",
            include_str!("../tests/circuits/solenoid-driver.toml"),
            "drop:coil@driven",
        ),
        (
            "starter-circuit",
            include_str!("../../../circuits/starter-circuit.toml"),
            "drop:motor@cranking",
        ),
    ];
    for (name, text, check) in circuits {
        if let Some(circuit) = circuit::read(name, text, physics::catalogue()).circuit {
            measure(&format!("steady solve: {name}, {check}"), circuit, check);
        }
    }
}
