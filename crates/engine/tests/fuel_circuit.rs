//! The low-pressure fuel supply: readings in order, as a technician takes them, lead to the cause; what a step can do to a
//! person is said before it.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use engine::{Effort, Model, belief, cautions, evidence, load, shipped_called};
use std::fmt::Write as _;

fn model() -> Model {
    let shipped = shipped_called("low-pressure-fuel").unwrap();
    load(shipped.name, shipped.text).model.unwrap()
}

/// Probability of each of `parts` after values read in order.
fn after(model: &Model, lines: &[(&str, &str)], parts: &[&str]) -> Vec<f64> {
    let mut text = String::new();
    for (check, value) in lines {
        writeln!(text, "[[reading]]\ncheck = \"{check}\"\nvalue = \"{value}\"").unwrap();
    }
    let (evidence, findings) = evidence(model, &text);
    assert!(findings.is_empty(), "{findings:?}");
    let all = belief(model, &evidence.unwrap(), Effort::default()).parts();
    let of = |part: &&str| all[model.circuit().part(part).unwrap().0];
    parts.iter().map(of).collect()
}

/// Dies on acceleration: little pressure behind the filter, much before it.
#[test]
fn pressure_lost_across_the_filter_is_the_filters() {
    let found = after(
        &model(),
        &[
            ("pressure:filter.to@fast", "1.8 bar"),
            ("pressure:filter.from@fast", "6.3 bar"),
        ],
        &["filter", "pump"],
    );
    assert!(found[0] > 0.9 && found[1] < 0.1, "{found:?}");
}

/// The pressure is right at idle; the can is what tells: little comes back, with full voltage at the pump.
#[test]
fn a_worn_pump_shows_in_the_can_and_not_on_the_gauge() {
    let model = model();
    let gauge = ("pressure:filter.to@idle", "4.1 bar");
    let at_idle = after(&model, &[gauge], &["pump"]);
    let rest = [
        gauge,
        ("flow:regulator.return@prime", "0.45 L/min"),
        ("drop:pump@prime", "11.9 V"),
        ("amps:pump@prime", "6.6 A"),
    ];
    let found = after(&model, &rest, &["pump", "filter", "ground"]);
    assert!(at_idle[0] < 0.5, "{at_idle:?}");
    assert!(found[0] > 0.75 && found[2] < 0.05, "{found:?}");
}

/// Little of everything, and three volts at the ground point.
#[test]
fn volts_lost_at_the_ground_are_the_grounds() {
    let readings = [
        ("amps:pump@prime", "5.6 A"),
        ("drop:pump@prime", "8.3 V"),
        ("drop:ground@prime", "3.5 V"),
    ];
    let found = after(&model(), &readings, &["ground", "pump"]);
    assert!(found[0] > 0.95 && found[1] < 0.1, "{found:?}");
}

/// Fuel under pressure, fire, and the high-pressure side are warned of before a line is opened.
#[test]
fn fuel_is_warned_of_before_a_line_is_opened() {
    let model = model();
    let circuit = model.circuit();
    for check in model.checks() {
        let wet = matches!(check.method, circuit::Method::Pressure | circuit::Method::Flow);
        let warned = cautions(circuit, check);
        let says = |word: &str| {
            warned
                .iter()
                .any(|caution| caution.hazard.contains(word) || caution.precaution.contains(word))
        };
        assert!(
            !wet || says("fuel under pressure") && says("pressure relieved"),
            "{}",
            check.id
        );
        if check.id.contains("consumer.inlet") {
            assert!(says("goes through skin"), "{}", check.id);
        }
    }
}
