//! Recirculation, axle engagement and brake booster: healthy readings lie in the trade's ranges, and readings in order lead to
//! the cause. All ranges: common practice, no source.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use engine::{Effort, Model, Surroundings, belief, evidence, expect, load, shipped_called};
use std::fmt::Write as _;

/// Pascals in a conventional inch of mercury; NIST SP 811.
const INCH: f64 = 3_386.388_64;

fn model(name: &str) -> Model {
    let shipped = shipped_called(name).unwrap();
    load(shipped.name, shipped.text).model.unwrap()
}

/// Median of what `check` reads with `fault` at its typical severity, or with nothing wrong.
fn reads(model: &Model, check: &str, fault: Option<&str>) -> f64 {
    let check = model.check(check).unwrap();
    let faults: Vec<_> = fault
        .iter()
        .map(|fault| (model.circuit().fault(fault).unwrap(), None))
        .collect();
    let expected = expect(model, Surroundings::default(), &faults, check, 200, 1).unwrap();
    expected.percentiles[1]
}

/// Probability of `part` after values read in order.
fn after(model: &Model, part: &str, lines: &[(&str, &str)]) -> f64 {
    let mut text = String::new();
    for (check, value) in lines {
        let key = if matches!(*value, "yes" | "no") {
            "answer"
        } else {
            "value"
        };
        writeln!(text, "[[reading]]\ncheck = \"{check}\"\n{key} = \"{value}\"").unwrap();
    }
    let (evidence, findings) = evidence(model, &text);
    assert!(findings.is_empty(), "{findings:?}");
    let parts = belief(model, &evidence.unwrap(), Effort::default()).parts();
    parts[model.circuit().part(part).unwrap().0]
}

#[test]
fn healthy_recirculation_opens_on_command_and_shuts_without() {
    let model = model("vacuum-exhaust-gas-recirculation");
    assert!(reads(&model, "deadhead:pump.inlet@idle", None) > 24.0 * INCH);
    assert!(reads(&model, "tee:actuator.nipple@idle", None) < 0.5 * INCH);
    assert!(reads(&model, "travel:actuator.rod@idle", None) < 0.5e-3);
    // Fully open at 6 to 10 inHg.
    assert!(reads(&model, "tee:actuator.nipple@driven", None) > 10.0 * INCH);
    let travel = reads(&model, "travel:actuator.rod@driven", None);
    assert!((5e-3..8e-3).contains(&travel), "{travel}");
}

#[test]
fn a_recirculation_valve_that_carbon_holds_open_shows_with_no_signal_at_all() {
    let model = model("vacuum-exhaust-gas-recirculation");
    let open = reads(&model, "travel:actuator.rod@idle", Some("gas-valve/stuck open"));
    assert!(open > 1e-3, "{open}");
    let leads = after(
        &model,
        "gas-valve",
        &[
            ("tee:actuator.nipple@idle", "0 inHg"),
            ("travel:actuator.rod@idle", "2.5 mm"),
            ("travel:actuator.rod@driven", "2.5 mm"),
        ],
    );
    assert!(leads > 0.9, "{leads}");
}

/// Smoke and stalling: the signal stays up although nothing is commanded.
#[test]
fn a_signal_that_stays_up_without_a_command_is_the_solenoids() {
    let model = model("vacuum-exhaust-gas-recirculation");
    let leads = after(
        &model,
        "regulator",
        &[
            ("tee:actuator.nipple@idle", "27.5 inHg"),
            ("travel:actuator.rod@idle", "7 mm"),
            // The driver does not pull it down: nobody commands.
            ("volts:driver.pin@idle", "14 V"),
        ],
    );
    assert!(leads > 0.85, "{leads}");
}

#[test]
fn healthy_axle_goes_its_whole_way_at_idle_up_to_a_pass() {
    let model = model("vacuum-axle-engagement");
    // Manifold 16 to 21 inHg at idle, less a few millibars for check valve and lines.
    let vacuum = reads(&model, "tee:actuator.nipple@engaged", None);
    assert!((15.0 * INCH..21.5 * INCH).contains(&vacuum), "{vacuum}");
    assert!(reads(&model, "tee:actuator.nipple@idle", None) < 0.5 * INCH);
    let travel = reads(&model, "travel:actuator.rod@engaged", None);
    assert!((20e-3..30e-3).contains(&travel), "{travel}");
}

#[test]
fn full_vacuum_at_the_axle_and_no_travel_is_mechanical() {
    let model = model("vacuum-axle-engagement");
    let readings = [
        ("tee:actuator.nipple@engaged", "18.5 inHg"),
        ("travel:actuator.rod@engaged", "0 mm"),
    ];
    let mechanical = after(&model, "fork", &readings) + after(&model, "actuator", &readings);
    assert!(mechanical > 0.9, "{mechanical}");
    let vacuum = after(&model, "axle-line", &readings);
    assert!(vacuum < 0.1, "{vacuum}");
}

#[test]
fn a_healthy_booster_has_most_of_the_barometer_with_the_pedal_free_or_held() {
    let model = model("brake-booster-vacuum");
    for check in ["tee:booster.port@idle", "tee:booster.port@pedal-held"] {
        let vacuum = reads(&model, check, None);
        assert!(vacuum > 24.0 * INCH, "{check}: {vacuum}");
    }
}

/// The module reads the booster's absolute pressure right with the engine standing: the barometer.
#[test]
fn the_boosters_sensor_agrees_with_the_barometer_at_key_on() {
    let model = model("brake-booster-vacuum");
    let reads = reads(&model, "data:module-pins@key-on", None);
    // Two sensors agree within 2 to 3 kPa.
    assert!((reads - 101.3e3).abs() < 2e3, "{reads}");
}

#[test]
fn vacuum_that_goes_only_while_the_pedal_is_held_is_the_booster() {
    let model = model("brake-booster-vacuum");
    let leads = after(
        &model,
        "booster",
        &[
            ("tee:booster.port@idle", "28 inHg"),
            ("tee:booster.port@pedal-held", "17 inHg"),
        ],
    );
    assert!(leads > 0.75, "{leads}");
}

/// Leaks grow less important with speed, a stuck check valve at the booster keeps the pump's side perfect.
#[test]
fn a_leak_of_the_booster_recovers_with_speed() {
    let model = model("brake-booster-vacuum");
    let at = |check| reads(&model, check, Some("booster/leaks"));
    let (idle, fast) = (at("tee:booster.port@idle"), at("tee:booster.port@fast-idle"));
    assert!(fast > idle + 4.0 * INCH, "{idle} and {fast}");
}
