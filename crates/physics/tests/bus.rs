//! A two-wire bus with its terminators: resistance with the power off, levels of a meter on talking wires, who answers.
//!
//! Resistances and levels: ISO 11898-2, from memory: 120 ohm at either end, 3.5 and 1.5 V while a bit is dominant. Signatures:
//! common practice, no source.
#![allow(missing_docs, clippy::unwrap_used, reason = "tests")]

mod shared;

use physics::Model;
use shared::meter::{at, check};
use shared::one;

fn bus() -> Model {
    Model::new(one("can-bus"))
}

/// A story of invented faults and what is read then.
fn reads(model: &Model, faults: &[(&str, f64)], id: &str, expected: f64, tolerance: f64) {
    check(
        &format!("{id} with {faults:?}"),
        at(model, faults, id),
        expected,
        tolerance,
    );
}

/// Two of 120 ohm side by side; a little less through the inputs of four modules, a little more through the wires.
#[test]
fn sixty_ohm_are_two_terminators_side_by_side() {
    let bus = bus();
    for module in ["gateway", "brakes"] {
        reads(&bus, &[], &format!("loom-ohms:{module}@off"), 60.0, 0.5);
    }
    // With an end unplugged the other end is left.
    for end in ["engine", "cluster"] {
        reads(&bus, &[], &format!("loom-ohms:{end}@off"), 120.0, 1.5);
        reads(&bus, &[], &format!("ohms:{end}@off"), 120.0, 0.5);
    }
    let gateway = "loom-ohms:gateway@off";
    reads(&bus, &[("cluster/terminator lost", 1.0)], gateway, 120.0, 1.5);
    reads(&bus, &[("rear-pair/low wire broken", 1.0)], gateway, 120.0, 1.5);
    // A third terminator's worth: 40 ohm.
    reads(&bus, &[("cluster/terminator off", 60.0)], gateway, 40.0, 0.5);
    reads(&bus, &[("middle-pair/wires touch", 1.0)], gateway, 1.0, 0.3);
    let open = at(
        &bus,
        &[
            ("front-pair/high wire broken", 1.0),
            ("high-pin/pin pushed back", 1.0),
        ],
        gateway,
    );
    assert!(open > 5e3, "both sides lost: {open}");
}

/// A pin pushed back at the body connector: either half shows one end, and no module is to blame.
#[test]
fn a_broken_wire_is_told_from_a_lost_terminator_at_the_ends() {
    let bus = bus();
    let broken = [("high-pin/pin pushed back", 1.0)];
    reads(&bus, &broken, "loom-ohms:gateway@off", 120.0, 1.5);
    reads(&bus, &broken, "ohms:cluster@off", 120.0, 0.5);
    assert!(at(&bus, &broken, "loom-ohms:cluster@off") > 5e3, "the break");
    assert!(at(&bus, &broken, "loom-ohms:engine@off") > 5e3, "the break");
    let lost = [("cluster/terminator lost", 1.0)];
    // Common practice: 10 to 50 kohm through a module that has no terminator.
    assert!((10e3..60e3).contains(&at(&bus, &lost, "ohms:cluster@off")));
    reads(&bus, &lost, "loom-ohms:cluster@off", 120.0, 1.5);
}

/// Dominant: 3.5 and 1.5 V across 60 ohm, each within 0.3 V; recessive: 2.5 V. A meter shows the mean of the two.
#[test]
fn levels_are_those_of_the_standard() {
    let text = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../circuits/can-bus.toml"
    ))
    .unwrap();
    for (share, high, low) in [("100 %", 3.5, 1.5), ("0.001 %", 2.5, 2.5), ("15 %", 2.65, 2.35)] {
        let text = text.replace("gateway = \"15 %\"", &format!("gateway = \"{share}\""));
        let bus = Model::new(shared::read("can-bus", &text));
        reads(&bus, &[], "volts:engine.high@awake", high, 0.1);
        reads(&bus, &[], "volts:engine.low@awake", low, 0.1);
    }
    // Common practice: awake the high wire shows 2.5 to 2.9 V, the low one 2.1 to 2.5, together 5.0 within 0.1.
    let bus = bus();
    let [high, low] = ["high", "low"].map(|wire| at(&bus, &[], &format!("volts:cluster.{wire}@awake")));
    assert!((2.5..2.9).contains(&high) && (2.1..2.5).contains(&low));
    check("high and low", high + low, 5.0, 0.1);
}

/// Who is on the tester's list: gateway first, which has all others on it or not.
#[test]
fn who_answers_tells_the_bus_from_a_module_and_its_power() {
    let bus = bus();
    let list = |faults: &[(&str, f64)]| {
        ["gateway", "engine", "brakes", "cluster"]
            .map(|module| at(&bus, faults, &format!("answers:{module}@awake")) > 0.5)
    };
    assert_eq!(list(&[]), [true; 4]);
    let rear_silent = [false, true, false, false];
    assert_eq!(list(&[("high-pin/pin pushed back", 1.0)]), rear_silent);
    assert_eq!(
        list(&[("rear-pair/low wire broken", 1.0)]),
        [false, true, true, false]
    );
    // A module without power is as silent as a dead one; the bus is sound.
    let brakes_silent = [false, true, false, true];
    for fault in [
        "brakes/silent",
        "brake-fuse/blown",
        "brake-feed/broken",
        "brake-ground/open",
    ] {
        assert_eq!(list(&[(fault, 1.0)]), brakes_silent, "{fault}");
    }
    for (fault, severity) in [
        ("middle-pair/wires touch", 1.0),
        ("front-pair/high wire to ground", 0.5),
        ("rear-pair/high wire to supply", 0.5),
        ("cluster/holds the bus", 1.0),
        ("gateway/silent", 1.0),
    ] {
        assert!(
            list(&[(fault, severity)]).iter().all(|answers| !answers),
            "{fault}"
        );
    }
    // One end lost, or the low wire at ground: it limps on.
    for (fault, severity) in [
        ("engine/terminator lost", 1.0),
        ("front-pair/low wire to ground", 0.5),
    ] {
        assert_eq!(list(&[(fault, severity)]), [true; 4], "{fault}");
    }
}

/// High wire at ground: it reads nothing and drags the low one down through the terminators. Low wire at ground: the high one
/// shows a few tenths. High wire at the battery: both near 12 V. Wires together: both near 2.5 V.
#[test]
fn shorts_have_their_signatures_on_a_meter() {
    let bus = bus();
    let levels = |fault: &str, severity: f64| {
        ["high", "low"].map(|wire| at(&bus, &[(fault, severity)], &format!("volts:engine.{wire}@awake")))
    };
    let [high, low] = levels("front-pair/high wire to ground", 0.1);
    assert!(high < 0.1 && low < 0.3, "{high} {low}");
    let [high, low] = levels("front-pair/low wire to ground", 0.1);
    assert!((0.2..0.8).contains(&high) && low < 0.1, "{high} {low}");
    let [high, low] = levels("front-pair/high wire to supply", 0.1);
    assert!(high > 11.5 && low > 10.0, "{high} {low}");
    let [high, low] = levels("front-pair/wires touch", 0.1);
    assert!(
        (high - low).abs() < 0.05 && (high - 2.5).abs() < 0.1,
        "{high} {low}"
    );
}

/// A terminator of its own in the loom, and one too many.
#[test]
fn a_terminator_in_the_loom_counts_like_one_in_a_module() {
    let text = "
[part.battery]
kind = \"battery\"
[part.gateway]
kind = \"bus gateway\"
plus = \"battery.positive\"
ground = \"battery.negative\"
[part.left]
kind = \"bus terminator\"
high = \"gateway.high\"
low = \"gateway.low\"
[part.right]
kind = \"bus terminator\"
high = \"gateway.high\"
low = \"gateway.low\"
[part.added]
kind = \"bus end module\"
high = \"gateway.high\"
low = \"gateway.low\"
plus = \"battery.positive\"
ground = \"battery.negative\"
";
    let model = shared::meter::circuit(text, "12.6 V", "gateway = \"20 %\"");
    reads(&model, &[], "loom-ohms:gateway@off", 40.0, 0.2);
    reads(&model, &[("right/open", 1.0)], "loom-ohms:gateway@off", 60.0, 0.3);
    reads(
        &model,
        &[("right/wrong resistance", 60.0)],
        "loom-ohms:gateway@off",
        30.0,
        0.2,
    );
    reads(&model, &[], "ohms:left@off", 120.0, 0.1);
    // Any one of the three taken off leaves the other two.
    reads(&model, &[], "loom-ohms:left@off", 60.0, 0.3);
}
