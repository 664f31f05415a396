//! A gauge that lies, and the second gauge that shows it.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use engine::{Effort, Model, belief, evidence, load, shipped_called};
use std::fmt::Write as _;

/// A gauge that reads a quarter low makes every place look weak; module and rod say that the circuit works.
const LOW: [(&str, &str); 4] = [
    ("deadhead:pump.inlet@idle", "21 inHg"),
    ("tee:valve.source@idle", "19.5 inHg"),
    ("tee:actuator.nipple@idle", "12.5 inHg"),
    ("travel:actuator.rod@idle", "11 mm"),
];

fn wastegate() -> Model {
    let shipped = shipped_called("vacuum-wastegate").unwrap();
    load(shipped.name, shipped.text).model.unwrap()
}

/// Probability of the pump, and that the vacuum gauge is far off.
fn after(model: &Model, lines: &[(&str, &str)]) -> (f64, f64) {
    let mut text = String::new();
    for (check, value) in lines {
        writeln!(text, "[[reading]]\ncheck = \"{check}\"\nvalue = \"{value}\"").unwrap();
    }
    let (evidence, findings) = evidence(model, &text);
    assert!(findings.is_empty(), "{findings:?}");
    let belief = belief(model, &evidence.unwrap(), Effort::default());
    let all: f64 = belief.suspects().iter().map(|suspect| suspect.probability).sum();
    assert!((all + belief.not_listed() - 1.0).abs() < 1e-9, "{all}");
    let gauge = belief.doubtful_instruments();
    let gauge = gauge
        .iter()
        .find(|(sort, name, _)| *sort == circuit::Instrument::VacuumGauge && name.is_none());
    let pump = model.circuit().part("pump").unwrap();
    (belief.parts()[pump.0], gauge.unwrap().2)
}

#[test]
fn a_second_gauge_that_disagrees_takes_the_blame_off_the_pump() {
    let model = wastegate();
    let (pump, gauge) = after(&model, &LOW);
    // The second one shows 15 inHg, the usual one 11.5.
    let compared = [&LOW[..], &[("compare:pump@off", "11.5 inHg")]].concat();
    let (pump_then, gauge_then) = after(&model, &compared);
    assert!(
        gauge_then > 0.8 && gauge_then > gauge,
        "{gauge} then {gauge_then}"
    );
    assert!(pump_then < 0.5 * pump, "{pump} then {pump_then}");
}

#[test]
fn a_second_gauge_that_agrees_leaves_it_with_the_vehicle() {
    let model = wastegate();
    let (pump, gauge) = after(&model, &LOW);
    let compared = [&LOW[..], &[("compare:pump@off", "15 inHg")]].concat();
    let (pump_then, gauge_then) = after(&model, &compared);
    assert!(
        gauge_then < 0.1 && gauge_then < gauge,
        "{gauge} then {gauge_then}"
    );
    assert!(pump_then >= pump, "{pump} then {pump_then}");
}

/// A comparison knows nothing of the vehicle: alone it moves no suspect.
#[test]
fn a_comparison_alone_moves_nothing() {
    let model = wastegate();
    let (before, _) = after(&model, &[("compare:pump@off", "15 inHg")]);
    let (other, gauge) = after(&model, &[("compare:pump@off", "20 inHg")]);
    assert!((before - other).abs() < 1e-3, "{before} {other}");
    // One of the two is far off, or what was read was misread.
    assert!((0.15..0.5).contains(&gauge), "{gauge}");
}
