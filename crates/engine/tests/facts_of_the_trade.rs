//! Facts of the trade about the vacuum wastegate circuit. All of them: common practice, no source.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use circuit::PartId;
use engine::{Belief, Effort, Evidence, Model, belief, evidence, load, shipped_called};
use std::fmt::Write as _;

fn wastegate() -> Model {
    let shipped = shipped_called("vacuum-wastegate").unwrap();
    load(shipped.name, shipped.text).model.unwrap()
}

fn readings(model: &Model, lines: &[(&str, &str)]) -> Evidence {
    let mut text = String::new();
    for (check, value) in lines {
        writeln!(text, "[[reading]]\ncheck = \"{check}\"\nvalue = \"{value}\"").unwrap();
    }
    let (evidence, findings) = evidence(model, &text);
    assert!(findings.is_empty(), "{findings:?}");
    evidence.unwrap()
}

fn part(model: &Model, belief: &Belief, names: &[&str]) -> f64 {
    let parts = belief.parts();
    names
        .iter()
        .map(|name| parts[model.circuit().part(name).unwrap().0])
        .sum()
}

const WIRING: [&str; 5] = ["fuse", "supply-wire", "driver-wire", "driver", "battery"];

#[test]
fn the_solenoid_fails_most_then_the_pump_then_the_lines_then_the_actuator_wiring_least() {
    let model = wastegate();
    let shares: Vec<f64> = (0..model.circuit().parts.len())
        .map(|index| {
            model
                .circuit()
                .faults()
                .iter()
                .filter(|(fault, _)| fault.part == PartId(index))
                .map(|(_, share)| share)
                .sum()
        })
        .collect();
    let of = |names: &[&str]| {
        names
            .iter()
            .map(|name| shares[model.circuit().part(name).unwrap().0])
            .sum::<f64>()
    };
    let order = [
        of(&["valve"]),
        of(&["pump"]),
        of(&["source-line", "signal-line"]),
        of(&["actuator"]),
        of(&WIRING),
    ];
    assert!(order[0] > 2.0 * order[1], "by far: {order:?}");
    assert!(order.windows(2).all(|pair| pair[0] > pair[1]), "{order:?}");
}

#[test]
fn full_vacuum_at_the_source_and_none_at_the_actuator_points_to_the_solenoid_or_what_drives_it() {
    let model = wastegate();
    let evidence = readings(
        &model,
        &[
            ("tee:valve.source@idle", "27 inHg"),
            ("tee:actuator.nipple@idle", "0 inHg"),
        ],
    );
    let belief = belief(&model, &evidence, Effort::default());
    let driven = part(&model, &belief, &["valve"]) + part(&model, &belief, &WIRING);
    assert!(driven > 0.6, "{driven}");
    let parts = belief.parts();
    let leader = (0..parts.len())
        .max_by(|a, b| parts[*a].total_cmp(&parts[*b]))
        .unwrap();
    assert_eq!(model.circuit().parts[leader].id, "valve");
}

#[test]
fn low_vacuum_at_the_source_points_to_the_pump_or_its_line_and_clears_nothing_downstream() {
    let model = wastegate();
    let before = belief(&model, &Evidence::default(), Effort::default());
    // Dead-headed, so that nothing downstream takes part.
    let evidence = readings(&model, &[("deadhead:valve.source@idle", "15 inHg")]);
    let after = belief(&model, &evidence, Effort::default());
    let lead = part(&model, &after, &["pump", "source-line"]);
    assert!(lead > 0.85, "{lead}");
    // Downstream faults as second ones: as likely beside a worn pump as they were before the reading.
    let fault = |id: &str| model.circuit().fault(id).unwrap();
    let probability = |belief: &Belief, faults: &[circuit::FaultId]| {
        belief
            .suspects()
            .iter()
            .find(|suspect| suspect.faults == faults)
            .unwrap()
            .probability
    };
    let pump = fault("pump/low vacuum");
    for id in [
        "valve/sticks closed",
        "signal-line/leaks",
        "actuator/diaphragm leaks",
        "flap/seized",
    ] {
        let beside = |belief: &Belief| probability(belief, &[pump, fault(id)]) / probability(belief, &[pump]);
        let (then, now) = (beside(&before), beside(&after));
        assert!(now > 0.8 * then && now < 1.25 * then, "{id}: {then} then {now}");
    }
}

#[test]
fn both_points_good_points_away_from_vacuum() {
    let model = wastegate();
    let evidence = readings(
        &model,
        &[
            ("tee:valve.source@idle", "25.5 inHg"),
            ("tee:actuator.nipple@idle", "17 inHg"),
        ],
    );
    let belief = belief(&model, &evidence, Effort::default());
    let vacuum = part(&model, &belief, &["pump", "source-line", "signal-line"]);
    let rest = part(&model, &belief, &["flap"])
        + belief.nothing_wrong()
        + belief.not_listed()
        + part(&model, &belief, &WIRING);
    assert!(rest > vacuum, "away from vacuum {rest}, vacuum {vacuum}");
    // The signal line may still be restricted: without flow into a sound actuator no gauge shows it.
    let before = belief_parts_before(&model);
    for name in ["pump", "source-line"] {
        assert!(
            part(&model, &belief, &[name]) < 0.5 * before[model.circuit().part(name).unwrap().0],
            "{name}"
        );
    }
}

fn belief_parts_before(model: &Model) -> Vec<f64> {
    belief(model, &Evidence::default(), Effort::default()).parts()
}

#[test]
fn the_voltmeter_without_load_is_not_taken_for_proof() {
    let shipped = shipped_called("starter-circuit").unwrap();
    let model = load(shipped.name, shipped.text).model.unwrap();
    // Every open-circuit voltage reads the same through a joint of some ohms: no suspect of high resistance may lose by it.
    let check = model
        .checks()
        .iter()
        .find(|check| check.method == circuit::Method::OpenVolts)
        .unwrap();
    let high = model.circuit().faults().into_iter().map(|(fault, _)| fault);
    let joints: Vec<_> = high
        .filter(|fault| {
            model
                .circuit()
                .fault_spec(*fault)
                .name
                .contains("high resistance")
        })
        .collect();
    assert!(!joints.is_empty());
    let index = model.check(&check.id).unwrap();
    let sound = engine::expect(&model, engine::Surroundings::default(), &[], index, 64, 1)
        .unwrap()
        .percentiles[1];
    for fault in joints {
        let bad = engine::expect(
            &model,
            engine::Surroundings::default(),
            &[(fault, None)],
            index,
            64,
            1,
        )
        .unwrap()
        .percentiles[1];
        assert!(
            (bad - sound).abs() < 0.2,
            "{}: {bad} V against {sound} V",
            model.circuit().fault_name(fault)
        );
    }
}
