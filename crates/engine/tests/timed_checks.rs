//! Checks that take time: healthy figures lie where the trade has them, and readings in order lead to the cause. All ranges:
//! common practice, no source.
#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use engine::{Effort, Model, Surroundings, belief, evidence, expect, load, proven, shipped_called};
use std::fmt::Write as _;

/// Pascals in a conventional inch of mercury; NIST SP 811.
const INCH: f64 = 3_386.388_64;

fn model(name: &str) -> Model {
    let shipped = shipped_called(name).unwrap();
    load(shipped.name, shipped.text).model.unwrap()
}

/// Median of what `check` reads with `fault` at its typical severity, or with nothing wrong.
fn reads(model: &Model, check: &str, fault: Option<&str>) -> f64 {
    let check = model.check(check).unwrap_or_else(|| panic!("no check {check}"));
    let faults: Vec<_> = fault
        .iter()
        .map(|fault| (model.circuit().fault(fault).unwrap(), None))
        .collect();
    let expected = expect(model, Surroundings::default(), &faults, check, 200, 1).unwrap();
    expected.percentiles[1]
}

/// What is believed after values read in order, and whether the leading cause is shown directly.
struct After<'m> {
    model: &'m Model,
    parts: Vec<f64>,
    faults: Vec<(circuit::FaultId, f64)>,
    shown: bool,
}

impl After<'_> {
    fn of(&self, part: &str) -> f64 {
        self.parts[self.model.circuit().part(part).unwrap().0]
    }

    fn fault(&self, fault: &str) -> f64 {
        let fault = self.model.circuit().fault(fault).unwrap();
        self.faults
            .iter()
            .find(|(own, _)| *own == fault)
            .map_or(0.0, |(_, chance)| *chance)
    }
}

fn after<'m>(model: &'m Model, lines: &[(&str, &str)]) -> After<'m> {
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
    let evidence = evidence.unwrap();
    let belief = belief(model, &evidence, Effort::default());
    let shown = proven(&belief, &evidence).is_some_and(|leading| leading.not_shown.is_empty());
    After {
        model,
        parts: belief.parts(),
        faults: belief.faults(),
        shown,
    }
}

/// 10 to 15 inHg, none visible in a minute; less than 1 inHg is let pass.
#[test]
fn a_sound_actuator_holds_for_a_minute_and_a_torn_one_does_not() {
    let model = model("vacuum-wastegate");
    for piece in ["hold:actuator@off", "hold:signal-line.from@off", "hold:valve@off"] {
        assert!(reads(&model, piece, None) > 14.0 * INCH, "{piece}");
    }
    let torn = reads(&model, "hold:actuator@off", Some("actuator/diaphragm leaks"));
    assert!(torn < INCH, "{torn}");
}

#[test]
fn an_actuator_that_does_not_hold_is_shown_to_leak() {
    let model = model("vacuum-wastegate");
    let after = after(
        &model,
        &[
            ("tee:actuator.nipple@idle", "8 inHg"),
            ("hold:actuator@off", "0 inHg"),
        ],
    );
    assert!(
        after.of("actuator") > 0.95 && after.shown,
        "{}",
        after.of("actuator")
    );
}

/// From the solenoid's end one tests hose and actuator at once, without lifting the vehicle: what holds is cleared.
#[test]
fn a_piece_that_holds_clears_both_hose_and_actuator() {
    let model = model("vacuum-wastegate");
    let low = ("tee:valve.output@idle", "8 inHg");
    let before = after(&model, &[low]);
    let then = after(&model, &[low, ("hold:signal-line.from@off", "15 inHg")]);
    for part in ["signal-line", "actuator"] {
        assert!(
            then.of(part) < 0.25 * before.of(part),
            "{part}: {} then {}",
            before.of(part),
            then.of(part)
        );
    }
}

/// The outlet of a solenoid at rest must not hold: it vents within a second. Where it holds its vent filter is plugged.
#[test]
fn an_outlet_that_holds_has_a_plugged_vent() {
    let model = model("vacuum-exhaust-gas-recirculation");
    let hold = "hold:regulator.output@off";
    assert!(reads(&model, hold, None) < 0.1 * INCH);
    // Driven half, it stands at the full vacuum, which a valve that sticks open would explain too.
    let full = ("tee:actuator.nipple@driven", "27.5 inHg");
    let before = after(&model, &[full]).fault("regulator/vent blocked");
    let then = after(&model, &[full, (hold, "3 inHg")]);
    let blocked = then.fault("regulator/vent blocked");
    assert!(blocked > 0.75 && blocked > before, "{before} then {blocked}");
}

/// 15 inHg in at most 6 to 8 s, and at most 4 inHg lost in a minute, on some 5 L.
#[test]
fn a_sound_booster_is_emptied_in_seconds_and_keeps_its_vacuum() {
    let model = model("brake-booster-vacuum");
    let seconds = reads(&model, "pump-down:booster@idle", None);
    assert!((3.0..8.0).contains(&seconds), "{seconds}");
    let before = reads(&model, "tee:booster.port@idle", None);
    let left = reads(&model, "leak-down:booster@idle", None);
    assert!(left > before - 1.0 * INCH, "{before} then {left}");
}

/// A worn pump comes near its normal vacuum and takes two to three times as long: the time shows it better.
#[test]
fn a_slow_pump_that_gets_there_is_worn() {
    let model = model("brake-booster-vacuum");
    let healthy = reads(&model, "pump-down:booster@idle", None);
    let worn = reads(&model, "pump-down:booster@idle", Some("pump/worn"));
    assert!(worn > 2.0 * healthy, "{healthy} then {worn}");
    let lines = [
        ("tee:booster.port@idle", "22 inHg"),
        ("pump-down:booster@idle", "25 s"),
    ];
    let before = after(&model, &lines[..1]).of("pump");
    let then = after(&model, &lines).of("pump");
    assert!(then > before && then > 0.5, "{before} then {then}");
}

/// Engine's figures perfect, vacuum gone soon after it stops, the reservoir alone holds: the check valve before it.
#[test]
fn vacuum_lost_behind_a_reservoir_that_holds_goes_through_its_check_valve() {
    let model = model("vacuum-axle-engagement");
    let lines = [
        ("tee:reservoir.port@idle", "18.5 inHg"),
        ("leak-down:reservoir@idle", "6 inHg"),
        ("hold:reservoir@off", "15 inHg"),
    ];
    let before = after(&model, &lines[..2]);
    let then = after(&model, &lines);
    assert!(
        then.of("reservoir") < 0.2 * before.of("reservoir"),
        "{} then {}",
        before.of("reservoir"),
        then.of("reservoir")
    );
    // A solenoid that leaks at its seat loses it too; alone on the hand pump the valve tells.
    assert!(then.of("check-valve") + then.of("valve") > 0.6);
    let [a, b, c] = lines;
    let shown = after(&model, &[a, b, c, ("hold:check-valve@off", "1 inHg")]);
    assert!(
        shown.of("check-valve") > 0.95 && shown.shown,
        "{}",
        shown.of("check-valve")
    );
}

/// Of two check valves in a row one that leaks is not met: the other keeps the vacuum.
#[test]
fn of_two_check_valves_in_a_row_both_must_leak() {
    let model = model("brake-booster-vacuum");
    let check = model.check("leak-down:booster@idle").unwrap();
    let left = |faults: &[&str]| {
        let faults: Vec<_> = faults
            .iter()
            .map(|fault| (model.circuit().fault(fault).unwrap(), None))
            .collect();
        let expected = expect(&model, Surroundings::default(), &faults, check, 200, 1).unwrap();
        expected.percentiles[1]
    };
    let sound = left(&[]);
    assert!(left(&["booster-valve/leaks back"]) > sound - 0.5 * INCH);
    let both = left(&["booster-valve/leaks back", "pump-valve/leaks back"]);
    assert!(both < sound - 4.0 * INCH, "{sound} then {both}");
}

/// A small leak by the flow that keeps 13 inH2O up: something that leaks a little, and nothing electric.
#[test]
fn a_flow_at_the_service_port_is_a_leak_and_a_look_at_the_cap_is_not_enough() {
    let model = model("evaporative-leak");
    let sound = reads(&model, "leak-flow:port@sealed", None) * 60e3;
    assert!(sound < 0.1, "{sound}");
    let small = after(&model, &[("leak-flow:port@sealed", "0.87 L/min")]);
    let leaks: f64 = [
        "cap",
        "vent-valve",
        "purge-valve",
        "canister",
        "tank",
        "purge-line",
        "vapour-line",
    ]
    .iter()
    .map(|part| small.of(part))
    .sum();
    assert!(leaks > 0.9, "{leaks}");
    assert!(small.of("vent-feed") + small.of("fuse") < 0.03);
    // A new cap, and the flow stays: not the cap.
    let swapped = after(
        &model,
        &[("leak-flow:port@sealed", "0.87 L/min"), ("swap:cap@sealed", "no")],
    );
    assert!(
        swapped.of("cap") < 0.2 * small.of("cap"),
        "{} then {}",
        small.of("cap"),
        swapped.of("cap")
    );
}

/// A flow off the scale with the vent valve commanded shut: it did not shut, or something is off.
#[test]
fn a_flow_off_the_scale_is_no_small_hole() {
    let model = model("evaporative-leak");
    let off = after(&model, &[("leak-flow:port@sealed", "> 6 L/min")]);
    assert!(off.of("tank") < 0.03, "{}", off.of("tank"));
    let vent = reads(&model, "leak-flow:port@sealed", Some("vent-feed/broken"));
    assert!(vent * 60e3 > 6.0, "{vent}");
}
