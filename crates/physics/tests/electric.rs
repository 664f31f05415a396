//! Wires, meters and the sum of voltage drops, and every electric kind under every fault.

mod shared;

use physics::{Ambient, Model, Vehicle};
use proptest::prelude::*;
use shared::meter::{at, check, circuit};
use shared::read;

/// IEC 60228, class 5: largest resistance at 20 °C. The wire's stranding is fitted to it within 2.5 % of every size.
#[test]
fn wires_have_the_resistance_of_class_5() {
    let path = format!(
        "{}/../../references/copper_iec60228.csv",
        env!("CARGO_MANIFEST_DIR")
    );
    let rows = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap()
        .into_records();
    let mut sizes = 0;
    for row in rows.map(Result::unwrap) {
        let model = circuit(
            &format!(
                "[part.battery]\nkind = \"battery\"\n[part.wire]\nkind = \"wire\"\narea = \"{} mm2\"\nlength = \"100 m\"\n\
                 from = \"battery.positive\"\nto = \"battery.negative\"",
                &row[0]
            ),
            "12 V",
            "",
        );
        let printed: f64 = row[1].parse().unwrap();
        let ohms_per_kilometre = 10.0 * at(&model, &[], "ohms:wire@off");
        check(&row[0], ohms_per_kilometre, printed, 0.025 * printed);
        sizes += 1;
    }
    assert_eq!(sizes, 12);
}

/// Common practice, computed elsewhere: a fuel pump of 2.1 ohm at 12.6 V, its ground 0.75 ohm: 8.95 V across it, 3.20 V lost in
/// the ground, 4.3 A; printed to 0.05 V and 0.1 A.
#[test]
fn a_bad_ground_takes_a_quarter_of_the_pumps_voltage() {
    let parts = "
[part.battery]
kind = \"battery\"
[part.feed]
kind = \"resistor\"
resistance = \"99 mohm\"
from = \"battery.positive\"
to = \"pump.from\"
[part.pump]
kind = \"resistor\"
resistance = \"2.095 ohm\"
to = \"ground.from\"
[part.ground]
kind = \"ground point\"
resistance = \"1 mohm\"
to = \"battery.negative\"
";
    let model = circuit(parts, "12.6 V", "");
    let bad = &[("ground/high resistance", 0.749)];
    check("across", at(&model, bad, "drop:pump@on"), 8.95, 0.03);
    check("lost", at(&model, bad, "drop:ground@on"), 3.20, 0.03);
    check("current", at(&model, bad, "amps:pump@on"), 4.3, 0.05);
}

/// By hand: 12.6 V through 100 kΩ into a meter of 10 MΩ is 12.6 · 10/10.1, and the middle of 1 MΩ and 1 MΩ reads 6.000 V
/// instead of 6.300 V. The battery's 6 milliohms do not show.
#[test]
fn a_voltmeter_loads_what_it_measures() {
    let joint = "
[part.battery]
kind = \"battery\"
[part.joint]
kind = \"connector\"
from = \"battery.positive\"
to = \"switch.from\"
[part.switch]
kind = \"switch\"
to = \"battery.negative\"
";
    let model = circuit(joint, "12.6 V", "switch = \"off\"");
    check(
        "corroded",
        at(&model, &[("joint/high resistance", 1e5)], "volts:switch.from@on"),
        12.475,
        1e-3,
    );
    // Unplugged at the switch it is the same: nothing was drawn before either.
    check(
        "unplugged",
        at(
            &model,
            &[("joint/high resistance", 1e5)],
            "open-volts:switch.from@on",
        ),
        12.475,
        1e-3,
    );
    check(
        "open",
        at(&model, &[("joint/pin pushed back", 1.0)], "volts:switch.from@on"),
        0.0,
        1e-3,
    );
    // A meter across an open contact completes the way through itself.
    check(
        "across the open switch",
        at(&model, &[], "drop:switch@on"),
        12.6,
        1e-3,
    );
    check(
        "across, 10 megohms before",
        at(&model, &[("joint/high resistance", 1e7)], "drop:switch@on"),
        6.3,
        1e-3,
    );
    let divider = "
[part.battery]
kind = \"battery\"
[part.upper]
kind = \"resistor\"
resistance = \"1 Mohm\"
from = \"battery.positive\"
to = \"lower.from\"
[part.lower]
kind = \"resistor\"
resistance = \"1 Mohm\"
to = \"battery.negative\"
";
    let model = circuit(divider, "12.6 V", "");
    check("at the joint", at(&model, &[], "volts:upper.to@on"), 6.0, 1e-4);
    check("across the upper", at(&model, &[], "drop:upper@on"), 6.0, 1e-4);
}

/// By hand: one ohm in a joint costs nothing at 10 mA and 4.2 V at 5 A, so only the loaded reading shows it.
#[test]
fn a_bad_joint_shows_under_load_only() {
    let parts = "
[part.battery]
kind = \"battery\"
inner-resistance = \"5 mohm\"
[part.joint]
kind = \"connector\"
contact = \"5 mohm\"
from = \"battery.positive\"
to = \"load.from\"
[part.load]
kind = \"resistor\"
resistance = \"1.99 ohm\"
to = \"battery.negative\"
";
    let model = circuit(parts, "12 V", "");
    let bad = &[("joint/high resistance", 1.0)];
    check(
        "unplugged",
        at(&model, bad, "open-volts:load.from@on"),
        12.0,
        1e-3,
    );
    check(
        "loaded",
        at(&model, bad, "volts:load.from@on"),
        12.0 * 1.99 / 3.0,
        1e-3,
    );
    check("drop", at(&model, bad, "drop:joint@on"), 12.0 * 1.005 / 3.0, 1e-3);
    // Unplugged at the joint's own feed, the meter sees the battery.
    check(
        "at the feed",
        at(&model, bad, "open-volts:joint.from@on"),
        12.0,
        1e-3,
    );
}

/// Every fault from mild to severe, and every twelfth pair of faults, has a finite answer to every check, and no meter shows
/// more than the source gives.
#[test]
fn every_electric_kind_solves_under_every_fault() {
    let model = Model::new(read(
        "every-electric-kind",
        include_str!("circuits/every-electric-kind.toml"),
    ));
    let circuit = model.circuit();
    let dry = |medium| !matches!(medium, circuit::Medium::Air | circuit::Medium::Liquid);
    let electric = physics::catalogue()
        .kinds()
        .iter()
        .filter(|kind| kind.ports.iter().all(|port| dry(port.medium)));
    for kind in electric.filter(|kind| {
        kind.ports
            .iter()
            .any(|port| port.medium == circuit::Medium::Electric)
    }) {
        assert!(
            circuit.parts.iter().any(|part| part.kind.name == kind.name),
            "no {}",
            kind.name
        );
    }
    let mut states: Vec<Vec<(circuit::FaultId, f64)>> = vec![vec![]];
    let faults: Vec<_> = circuit.faults().iter().map(|(fault, _)| *fault).collect();
    let typical = |fault| {
        circuit
            .fault_spec(fault)
            .severity
            .map_or(1.0, |severity| severity.typical)
    };
    for (index, &first) in faults.iter().enumerate() {
        match circuit.fault_spec(first).severity {
            // Beyond the 5th and 95th percentile as well: the samples go there.
            Some(s) => states.extend(
                [s.low / 4.0, s.low, s.typical, s.high, 4.0 * s.high].map(|severity| vec![(first, severity)]),
            ),
            None => states.push(vec![(first, 1.0)]),
        }
        let others = faults[..index]
            .iter()
            .skip(index % 12)
            .step_by(12)
            .filter(|second| second.part != first.part);
        states.extend(others.map(|second| vec![(first, typical(first)), (*second, typical(*second))]));
    }
    let mut probe = model.probe();
    let mut out = vec![0.0; model.checks().len()];
    for faults in states {
        let vehicle = Vehicle {
            faults,
            ..Vehicle::typical(circuit, Ambient::default())
        };
        let names = || {
            vehicle
                .faults
                .iter()
                .map(|(id, s)| format!("{}={s:e}", circuit.fault_name(*id)))
                .collect::<Vec<_>>()
        };
        probe
            .predict_all(model.by_setting(), &vehicle, &mut out)
            .unwrap_or_else(|error| panic!("{:?}: {error}", names()));
        for (&check, value) in model.by_setting().iter().zip(&out) {
            let check = &model.checks()[check];
            let most = match check.reads {
                // An alternator whose regulator is shorted goes as far as its load lets it.
                circuit::Reads::Voltage if check.id.ends_with("@charging") => 40.0,
                // A module's 5 V stand on a ground that a bad joint lifts.
                circuit::Reads::Voltage => 19.01,
                circuit::Reads::Current => 4000.0,
                circuit::Reads::Resistance => 4e7,
                circuit::Reads::Speed => 100.0,
                circuit::Reads::Time => 120.0,
                circuit::Reads::AbsolutePressure => 1e6,
                circuit::Reads::Temperature => 600.0,
                circuit::Reads::Flow | circuit::Reads::YesNo => 1.0,
                // A lever beyond its programmed stop.
                circuit::Reads::Share => 1.1,
                circuit::Reads::Travel => 13.01e-3,
                _ => panic!("{}", check.id),
            };
            // Roundoff leaves a nanovolt below zero; where a battery is charged its negative lies above the body.
            let least = if check.id.ends_with("@charging") {
                -8.0
            } else {
                -1e-6
            };
            assert!(
                (least..=most).contains(value),
                "{:?}: {} reads {value}",
                names(),
                check.id
            );
        }
    }
    // A solve goes through the positions of four switches in two phases; each takes a few steps for its diode and motor. A
    // module cut off on all sides all but floats: there each of its rounds goes on until its limit.
    let mean = f64::from(probe.work.steps) / probe.solves as f64;
    assert!(
        mean < 30.0 && probe.hardest < 500,
        "{mean} Newton steps on average, {} at most",
        probe.hardest
    );
}

proptest! {
    /// Voltage drops add up to the source's: the rule by which a technician finds a wrong reading.
    #[test]
    fn drops_add_up_to_the_source(feed in 0.001f64..5.0, load in 0.1f64..50.0, ground in 0.001f64..5.0, supply in 9.0f64..15.0) {
        let parts = format!("
[part.battery]
kind = \"battery\"
[part.feed]
kind = \"resistor\"
resistance = \"{feed} ohm\"
from = \"battery.positive\"
to = \"load.from\"
[part.load]
kind = \"resistor\"
resistance = \"{load} ohm\"
to = \"ground.from\"
[part.ground]
kind = \"resistor\"
resistance = \"{ground} ohm\"
to = \"battery.negative\"
");
        let model = circuit(&parts, &format!("{supply} V"), "");
        let read = |id: &str| at(&model, &[], id);
        let terminals = read("volts:battery.positive@on");
        let sum = read("drop:feed@on") + read("drop:load@on") + read("drop:ground@on");
        // Meters of 10 MΩ take a millionth from 10 ohm.
        prop_assert!((sum - terminals).abs() < 1e-4, "{sum} of {terminals}");
        let amps = read("amps:load@on");
        prop_assert!((amps - supply / (0.006 + feed + load + ground)).abs() < 1e-6 * amps);
        prop_assert!((read("amps:battery@on") - amps).abs() < 1e-9 * (1.0 + amps));
    }
}
