//! What must hold of any sound model of these circuits, whatever the numbers are.
#![allow(missing_docs, clippy::unwrap_used, clippy::print_stdout, reason = "tests")]

mod shared;

use circuit::{Circuit, FaultId, Reads};
use physics::{Ambient, Model, Vehicle};
use proptest::prelude::*;
use quantity::{Length, Temperature};
use shared::{fault, read, reading};
use std::sync::LazyLock;

static REFERENCE: LazyLock<Model> = LazyLock::new(|| {
    Model::new(read(
        "reference-vacuum",
        include_str!("circuits/reference-vacuum.toml"),
    ))
});
static EVERY: LazyLock<Model> = LazyLock::new(|| {
    Model::new(read(
        "every-air-kind",
        include_str!("circuits/every-air-kind.toml"),
    ))
});

/// Newton stops when a step is below 0.01 Pa and takes that step. Readings that differ by less than this, a millionth of the
/// barometer or 3e-5 inHg, are the same reading.
const SAME: f64 = 0.1;

/// Holes that let air in, and the places at which the reference circuit is teed.
const LEAKS: [&str; 5] = [
    "booster/leaks",
    "chamber/leaks",
    "source-line/leaks",
    "signal-line/leaks",
    "actuator/diaphragm leaks",
];
const PLACES: [&str; 4] = ["pump.inlet", "valve.source", "valve.output", "actuator.nipple"];
const DUTIES: [u32; 5] = [20, 50, 70, 80, 100];

fn at_height(metres: f64) -> Ambient {
    Ambient::at_altitude(Length::from_si(metres))
}

fn teed(place: usize, duty: usize) -> String {
    format!("tee:{}@d{}-800", PLACES[place], DUTIES[duty])
}

/// A vehicle of `circuit` with its values anywhere within their tolerances.
fn within_tolerance(circuit: &Circuit, ambient: Ambient, shares: &[f64]) -> Vehicle {
    let mut vehicle = Vehicle::typical(circuit, ambient);
    let spreads = circuit
        .parts
        .iter()
        .flat_map(|part| part.values.iter().map(|value| value.spread));
    for ((value, spread), share) in vehicle.values.iter_mut().zip(spreads).zip(shares.iter().cycle()) {
        *value += spread * share;
    }
    vehicle
}

/// One of the circuit's faults, at a severity between its low and its high.
fn some_fault(circuit: &Circuit, index: usize, share: f64) -> (FaultId, f64) {
    let faults = circuit.faults();
    let id = faults[index % faults.len()].0;
    let severity = circuit
        .fault_spec(id)
        .severity
        .map_or(1.0, |s| s.low + share * (s.high - s.low));
    (id, severity)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 96, ..ProptestConfig::default() })]

    /// A bigger hole anywhere lets in more air: no gauge reads more vacuum for it.
    #[test]
    fn a_bigger_leak_never_raises_a_vacuum(
        leak in 0usize..LEAKS.len(), place in 0usize..PLACES.len(), duty in 0usize..DUTIES.len(),
        bore in 0.05f64..2.5, more in 0.0f64..1.0, height in 0.0f64..4000.0,
    ) {
        let mut probe = REFERENCE.probe();
        let mut read = |bore: f64| {
            let mut vehicle = Vehicle::typical(REFERENCE.circuit(), at_height(height));
            vehicle.faults.push((fault(REFERENCE.circuit(), LEAKS[leak]), bore * 1e-3));
            reading(&mut probe, &teed(place, duty), &vehicle)
        };
        let (small, big) = (read(bore), read(bore + more));
        prop_assert!(big <= small + SAME, "{} {}: {small} then {big}", LEAKS[leak], teed(place, duty));
    }

    /// A narrower source line never gives the actuator more vacuum, and never takes any from the pump's own tee.
    #[test]
    fn a_narrower_line_starves_what_is_behind_it(bore in 0.2f64..1.5, less in 0.0f64..0.15, duty in 0usize..DUTIES.len()) {
        let mut probe = REFERENCE.probe();
        let mut read = |place: usize, bore: f64| {
            let mut vehicle = Vehicle::typical(REFERENCE.circuit(), Ambient::default());
            vehicle.faults.push((fault(REFERENCE.circuit(), "source-line/blocked"), bore * 1e-3));
            reading(&mut probe, &teed(place, duty), &vehicle)
        };
        prop_assert!(read(3, bore - less) <= read(3, bore) + SAME);
        prop_assert!(read(0, bore - less) >= read(0, bore) - SAME);
    }

    /// Thinner air leaves less to take away: at every place, teed or dead-headed, the possible vacuum falls with height.
    #[test]
    fn height_never_raises_a_vacuum(
        place in 0usize..PLACES.len(), duty in 0usize..DUTIES.len(), low in -300.0f64..4000.0, up in 0.0f64..1000.0, dead in any::<bool>(),
    ) {
        let mut probe = REFERENCE.probe();
        let method = if dead { "deadhead" } else { "tee" };
        let id = format!("{method}:{}@d{}-800", PLACES[place], DUTIES[duty]);
        let mut read = |height| {
            let vehicle = Vehicle::typical(REFERENCE.circuit(), at_height(height));
            // Dead-heading an output names the actuator's side; there is no vacuum to be had from it.
            reading(&mut probe, &id, &vehicle)
        };
        prop_assert!(read(low + up) <= read(low) + SAME, "{id}");
    }

    /// What was solved before does not matter: a start from rest and one from another vehicle's solution meet.
    #[test]
    fn cold_and_warm_starts_agree(
        shares in prop::collection::vec(-1.0f64..1.0, 7), first in 0usize..500, second in 0usize..500, severity in 0.0f64..1.0,
        height in 0.0f64..4000.0, celsius in -20.0f64..60.0,
    ) {
        let model = &*EVERY;
        let ambient = at_height(height).with_temperature(Temperature::from_celsius(celsius));
        let mut vehicle = within_tolerance(model.circuit(), ambient, &shares);
        vehicle.faults.push(some_fault(model.circuit(), first, severity));
        let mut other = Vehicle::typical(model.circuit(), Ambient::default());
        other.faults.push(some_fault(model.circuit(), second, severity));
        let order = model.by_setting();
        let (mut cold, mut before, mut warm) = (vec![0.0; order.len()], vec![0.0; order.len()], vec![0.0; order.len()]);
        let mut probe = model.probe();
        probe.predict_all(order, &vehicle, &mut cold).unwrap();
        probe.predict_all(order, &other, &mut before).unwrap();
        probe.predict_all(order, &vehicle, &mut warm).unwrap();
        for (index, (cold, warm)) in cold.iter().zip(&warm).enumerate() {
            let check = &model.checks()[order[index]];
            // Pressures to the solver's own tolerance, a rod to what that moves it, yes or no exactly.
            let tolerance = match check.reads {
                Reads::Vacuum | Reads::GaugePressure => SAME,
                // 0.1 Pa on 16 cm2 against 4.5 N/mm.
                Reads::Travel => 1e-7,
                _ => 1e-9 * cold.abs(),
            };
            prop_assert!((cold - warm).abs() <= tolerance, "{}: {cold} cold, {warm} warm, {:?} after {:?}", check.id, vehicle.faults, other.faults);
        }
    }

    /// A check edits a circuit of its own: asked for alone, or after any other check, it reads the same.
    #[test]
    fn a_check_leaves_the_others_alone(first in 0usize..1000, second in 0usize..1000, index in 0usize..500, severity in 0.0f64..1.0) {
        let model = &*EVERY;
        let (first, second) = (first % model.checks().len(), second % model.checks().len());
        let mut vehicle = Vehicle::typical(model.circuit(), Ambient::default());
        vehicle.faults.push(some_fault(model.circuit(), index, severity));
        let alone = model.probe().predict(second, &vehicle).unwrap();
        let mut probe = model.probe();
        probe.predict(first, &vehicle).unwrap();
        let after = probe.predict(second, &vehicle).unwrap();
        if model.setting(first) == model.setting(second) {
            // The same network is solved again, from its own solution.
            prop_assert!((alone.value() - after.value()).abs() <= SAME);
        } else {
            prop_assert_eq!(alone, after);
        }
    }

    /// No suction from nowhere: with the engine standing and no hand pump every air place of a vacuum circuit is at rest.
    #[test]
    fn nothing_happens_with_the_engine_standing(place in 0usize..PLACES.len(), index in 0usize..500, severity in 0.0f64..1.0) {
        let circuit = REFERENCE.circuit();
        let mut vehicle = Vehicle::typical(circuit, Ambient::default());
        vehicle.conditions.iter_mut().for_each(|condition| condition[0] = 0.0);
        vehicle.faults.push(some_fault(circuit, index, severity));
        let vacuum = reading(&mut REFERENCE.probe(), &teed(place, 3), &vehicle);
        prop_assert!(vacuum.abs() < 1e-6, "{vacuum}");
    }
}
