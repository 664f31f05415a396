//! A whole circuit file, everything it says found again in the circuit.
#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use circuit::{AccessId, Circuit, FaultId, Medium, PartId};
use common::{GOOD, catalogue, good};

fn close(a: f64, b: f64) -> bool {
    // A few roundings of a product of a handful of numbers.
    (a - b).abs() <= 1e-12 * a.abs().max(b.abs())
}

#[test]
fn a_whole_file_is_read() {
    let circuit = good(GOOD);
    assert_eq!(circuit.name, "test");
    assert_eq!(
        circuit.title,
        "Engine-driven vacuum, solenoid valve, diaphragm actuator"
    );
    assert!(circuit.about.starts_with("The pump") && circuit.about.ends_with("vanes."));
    assert_eq!(circuit.codes, ["P0299", "P132B"]);
    assert_eq!(circuit.symptoms, ["weak below 2000 rpm"]);
    assert!(circuit.invented);
    assert_eq!(
        (
            circuit.priors.nothing_wrong,
            circuit.priors.not_listed,
            circuit.priors.second_fault
        ),
        (0.03, 0.05, 0.06)
    );
    let ids: Vec<_> = circuit.parts.iter().map(|part| part.id.as_str()).collect();
    assert_eq!(
        ids,
        [
            "pump",
            "source-hose",
            "valve",
            "signal-hose",
            "branch",
            "actuator",
            "second",
            "ring"
        ]
    );
}

#[test]
fn values_have_the_authors_tolerance_or_the_kinds() {
    let circuit = good(GOOD);
    let value = |part: &str, index: usize| circuit.parts[circuit.part(part).unwrap().0].values[index];
    let bore = value("source-hose", 0);
    assert!(close(bore.typical, 3e-3) && close(bore.spread, 0.15e-3));
    assert_eq!(&GOOD[bore.span.unwrap().range()], "\"3.0 mm ± 5 %\"");
    let length = value("source-hose", 1);
    assert!(
        close(length.typical, 1.2) && close(length.spread, 0.12),
        "the kind's 10 %"
    );
    let coil = value("valve", 0);
    assert!(close(coil.typical, 14.0) && close(coil.spread, 0.7));
    let unsaid = value("branch", 1);
    assert!(close(unsaid.typical, 0.5) && close(unsaid.spread, 0.05) && unsaid.span.is_none());
    let moved_by = value("actuator", 1);
    assert_eq!(
        (moved_by.typical, moved_by.spread, moved_by.dimension),
        (0.0, 0.0, None)
    );
}

#[test]
fn joints_are_named_by_the_part_not_by_the_hose() {
    let circuit = good(GOOD);
    let names: Vec<_> = circuit.joints.iter().map(|joint| joint.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "pump.inlet",
            "valve.source",
            "valve.output",
            "actuator.nipple",
            "actuator.rod",
            "second.nipple"
        ]
    );
    let tee = circuit
        .joints
        .iter()
        .find(|joint| joint.name == "actuator.nipple")
        .unwrap();
    let ports: Vec<_> = tee.ports.iter().map(|port| circuit.port_name(*port)).collect();
    assert_eq!(ports, ["actuator.nipple", "signal-hose.to", "branch.from"]);
    assert_eq!(circuit.joints[4].medium, Medium::Rod);
    for (index, part) in circuit.parts.iter().enumerate() {
        for (port, joint) in part.joints.iter().enumerate() {
            let listed = joint.is_none_or(|joint| {
                circuit.joints[joint.0].ports.contains(&circuit::PortRef {
                    part: PartId(index),
                    port,
                })
            });
            assert!(listed, "{}.{port}", part.id);
        }
    }
}

#[test]
fn conditions_begin_with_off() {
    let circuit = good(GOOD);
    let seen: Vec<_> = circuit
        .conditions
        .iter()
        .map(|c| (c.id.as_str(), c.what.as_str(), c.powered, c.running()))
        .collect();
    assert_eq!(
        seen,
        [
            ("off", "everything off", false, false),
            ("idle", "idling, warm", true, true),
            ("key-on", "key-on", true, false)
        ]
    );
    let idle = &circuit.conditions[1];
    assert!(close(idle.engine.typical, 13.0));
    assert!(close(idle.supply.unwrap().typical, 14.1));
    assert!(close(idle.duty(circuit.part("valve").unwrap()), 0.65));
}

#[test]
fn what_is_not_stated_lies_as_deep_as_its_part() {
    let circuit = good(GOOD);
    let needs = |name: &str| {
        circuit
            .joints
            .iter()
            .find(|joint| joint.name == name)
            .unwrap()
            .reach
            .needs
            .clone()
    };
    assert_eq!(needs("valve.source"), [AccessId(1)]);
    assert_eq!(needs("actuator.nipple"), [AccessId(0)]);
    assert_eq!(needs("pump.inlet"), []);
    assert!(close(circuit.access_minutes(&[AccessId(1)], &[]), 10.0));
}

#[test]
fn likelihood_sets_one_fault_or_all_of_a_part() {
    let circuit = good(GOOD);
    let weight = |id: &str| {
        let FaultId { part, fault } = circuit.fault(id).unwrap();
        circuit.parts[part.0].weights[fault]
    };
    assert!(close(weight("valve/sticks closed"), 30.0), "stated");
    assert!(
        close(weight("valve/leaks at the seat"), 18.0 * 30.0 / 50.0),
        "the kind's share of the kind's weight"
    );
    assert!(
        close(weight("pump/worn"), 6.0) && close(weight("pump/not driven"), 2.0),
        "8 shared 3 to 1"
    );
    assert!(
        close(weight("signal-hose/off"), 5.0) && close(weight("signal-hose/leaks"), 15.0 * 60.0 / 80.0),
        "15 left for the others"
    );
    assert!(close(weight("branch/off"), 2.0));
}

#[test]
fn the_rest_is_there() {
    let circuit = good(GOOD);
    let hose = &circuit.parts[1];
    assert_eq!(
        (hose.repair.minutes, hose.repair.price, hose.pinned),
        (20.0, 15.0, Some((2, 1)))
    );
    assert_eq!(
        (circuit.parts[0].repair.minutes, circuit.parts[0].repair.price),
        (30.0, 40.0)
    );
    assert_eq!(&GOOD[hose.span.range()], "[part.source-hose]");
    let cause = &circuit.common_causes[0];
    assert_eq!(
        (cause.what.as_str(), cause.factor),
        ("oil from the cover seal", 6.0)
    );
    assert_eq!(
        cause.parts,
        [
            circuit.part("signal-hose").unwrap(),
            circuit.part("valve").unwrap()
        ]
    );
    let works = circuit.works.unwrap();
    assert_eq!(works.check, "travel:actuator.rod@idle");
    assert!(close(works.least.unwrap(), 8e-3) && works.most.is_none());
}

/// A connection is the same from both its ends, and the order of the parts names no other joints.
#[test]
fn connections_may_be_written_at_either_end() {
    let here = "[circuit]\ntitle=\"t\"\n[part.pump]\nkind=\"vane pump\"\nswept=\"160 cm3/rev\"\ninlet=\"can.nipple\"\n[part.can]\nkind=\"diaphragm actuator\"\n";
    let there = "[circuit]\ntitle=\"t\"\n[part.pump]\nkind=\"vane pump\"\nswept=\"160 cm3/rev\"\n[part.can]\nkind=\"diaphragm actuator\"\nnipple=\"pump.inlet\"\n";
    let joints = |circuit: Circuit| {
        circuit
            .joints
            .into_iter()
            .map(|joint| (joint.name, joint.ports))
            .collect::<Vec<_>>()
    };
    assert_eq!(joints(good(here)), joints(good(there)));
}

#[test]
fn bytes_that_are_no_text_are_refused_with_their_place() {
    let file = circuit::read_bytes("test", b"[circuit]\n\xff", &catalogue());
    assert!(file.circuit.is_none());
    assert_eq!((file.findings[0].code, file.findings[0].span.start), ("C004", 10));
    assert!(
        circuit::read_bytes("test", GOOD.as_bytes(), &catalogue())
            .circuit
            .is_some()
    );
}

/// The example that the documentation shows.
#[test]
fn the_documented_example_is_good() {
    let text = include_str!("../src/read/example.toml");
    let file = circuit::read("example", text, &catalogue());
    assert!(file.findings.is_empty(), "{:#?}", file.findings);
}
