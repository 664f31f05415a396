//! Glow plugs, a fan and charging: against ngspice (`references/electric_loads.json`) and against figures of the trade, which are
//! common practice, no source.
#![allow(missing_docs, clippy::unwrap_used, reason = "tests")]

mod shared;

use physics::Model;
use serde_json::Value;
use shared::meter::{at, check, circuit};
use shared::one;

/// The battery's current in a net of the reference, A, and the voltages of its nodes.
fn net(name: &str) -> (f64, Value) {
    let all: Value = serde_json::from_str(include_str!("../../../references/electric_loads.json")).unwrap();
    let nets = all["nets"].as_array().unwrap();
    let net = nets.iter().find(|net| net["name"] == name).unwrap();
    (net["battery"].as_f64().unwrap(), net["nodes"].clone())
}

fn close(what: &str, own: f64, theirs: f64) {
    assert!(
        (own - theirs).abs() <= 1e-6 * theirs.abs(),
        "{what}: {own} for {theirs}"
    );
}

fn plugs(feed: &str) -> Model {
    let plug = |n: usize| {
        format!("[part.plug-{n}]\nkind = \"glow plug\"\nplus = \"feed.to\"\nminus = \"strap.from\"\n")
    };
    let plugs: String = (1..=4).map(plug).collect();
    let text = format!(
        "[part.battery]\nkind = \"battery\"\nvoltage = \"12.4 V\"\ninner-resistance = \"6 mohm\"\n\
         [part.feed]\nkind = \"resistor\"\nresistance = \"{feed}\"\nfrom = \"battery.positive\"\n\
         [part.strap]\nkind = \"resistor\"\nresistance = \"2 mohm\"\nto = \"battery.negative\"\n{plugs}"
    );
    circuit(&text, "12.4 V", "")
}

/// To a millionth of ngspice, and to the last printed digit but one of what the trade computes: 43.9, 33.5, 22.8, 35.9, 40 A.
#[test]
fn the_sum_of_the_plugs_tells_how_many_are_dead() {
    let sum = |model: &Model, faults: &[(&str, f64)]| at(model, faults, "amps:battery@on");
    let sound = plugs("12 mohm");
    let one_open = [("plug-2/open", 1.0)];
    let two_open = [("plug-1/open", 1.0), ("plug-3/open", 1.0)];
    let high = [("plug-3/high resistance", 4.6)];
    for (name, faults, printed) in [
        ("glow: four sound plugs", &[][..], 43.9),
        ("glow: one open", &one_open[..], 33.5),
        ("glow: two open", &two_open[..], 22.8),
        ("glow: one of 4.6 ohm", &high[..], 35.9),
    ] {
        let own = sum(&sound, faults);
        close(name, own, net(name).0);
        check(name, own, printed, 0.2);
    }
    let joint = sum(&plugs("42 mohm"), &[]);
    close("joint", joint, net("glow: 30 mohm more in the feed").0);
    check("joint", joint, 40.0, 0.3);
}

#[test]
fn glow_plugs_read_as_the_trade_knows_them() {
    let model = Model::new(one("glow-plugs"));
    // 40 to 48 A steady; battery 11 V and more; feed drop up to 0.3 V, relay up to 0.15 V.
    assert!((40.0..48.0).contains(&at(&model, &[], "amps:battery@glowing")));
    assert!(at(&model, &[], "volts:battery.positive@glowing") > 11.0);
    assert!(at(&model, &[], "drop:feed@glowing") < 0.3);
    assert!(at(&model, &[], "drop:relay@glowing") < 0.15);
    for plug in 1..=4 {
        let cold = at(&model, &[], &format!("ohms:plug-{plug}@off"));
        assert!((0.3..0.7).contains(&cold), "{cold}");
        assert!((8.0..12.5).contains(&at(&model, &[], &format!("amps:plug-{plug}@glowing"))));
    }
    // A welded relay glows with the engine warm; a dead plug draws nothing of its own and little changes for the others.
    assert!(at(&model, &[("relay/welded", 1.0)], "amps:battery@key-on") > 38.0);
    assert!(at(&model, &[("plug-2/open", 1.0)], "amps:plug-2@glowing") < 0.01);
    assert!(at(&model, &[("plug-2/open", 1.0)], "amps:plug-1@glowing") < 12.5);
}

fn fan(socket: &str, drags: &[(&str, f64)]) -> (f64, f64, f64) {
    let text = format!(
        "[part.battery]\nkind = \"battery\"\ninner-resistance = \"6 mohm\"\n\
         [part.socket]\nkind = \"resistor\"\nresistance = \"{socket}\"\nfrom = \"battery.positive\"\nto = \"fan.plus\"\n\
         [part.fan]\nkind = \"fan motor\"\nminus = \"back.from\"\n\
         [part.back]\nkind = \"resistor\"\nresistance = \"5 mohm\"\nto = \"battery.negative\"\n"
    );
    let model = circuit(&text, "12.6 V", "");
    let read = |id: &str| at(&model, drags, id);
    (
        read("amps:battery@on"),
        read("volts:fan.plus@on"),
        read("speed:fan@on"),
    )
}

#[test]
fn a_fan_turns_and_draws_as_ngspice_has_it() {
    for (name, socket, faults) in [
        ("fan: sound", "3 mohm", &[][..]),
        ("fan: socket 0.3 ohm", "0.3 ohm", &[][..]),
        ("fan: drags", "3 mohm", &[("fan/drags", 1.2)][..]),
    ] {
        let (amps, volts, speed) = fan(socket, faults);
        let (current, nodes) = net(name);
        close(name, amps, current);
        close(name, volts, nodes["motor"].as_f64().unwrap());
        close(
            name,
            speed,
            nodes["turns"].as_f64().unwrap() / std::f64::consts::TAU,
        );
    }
    // What drags and is fed badly stands; the stop of the reference gives way by a hundredth of a radian a second.
    let (amps, volts, speed) = fan("0.3 ohm", &[("fan/drags", 1.2)]);
    let (current, nodes) = net("fan: drags, socket 0.3 ohm");
    assert!(
        speed == 0.0
            && (amps - current).abs() < 2e-3
            && (volts - nodes["motor"].as_f64().unwrap()).abs() < 1e-3
    );
}

/// Relay contact up to 0.1 V, fan at battery less 0.8 V and more; both speeds; a burnt socket shows the full voltage unplugged
/// and little plugged; a fan that drags draws a third more and up.
#[test]
fn a_cooling_fan_reads_as_the_trade_knows_it() {
    let model = Model::new(one("cooling-fan"));
    let read = |faults: &[(&str, f64)], id: &str| at(&model, faults, id);
    assert!((15.0..25.0).contains(&read(&[], "amps:fan@high")));
    assert!(read(&[], "drop:high-relay@high") < 0.1);
    let lost = read(&[], "volts:battery.positive@high") - read(&[], "volts:fan.plus@high");
    assert!(lost < 0.8, "{lost}");
    let (low, high) = (read(&[], "speed:fan@low"), read(&[], "speed:fan@high"));
    assert!(low > 0.5 * high && low < 0.9 * high);
    let burnt = [("high-relay/socket loose", 1.6)];
    assert!(read(&burnt, "open-volts:fan.plus@high") > 12.0);
    assert!(read(&burnt, "volts:fan.plus@high") < 6.0);
    assert!(read(&burnt, "drop:high-relay@high") > 5.0);
    let ratio = read(&[("fan/drags", 1.2)], "amps:fan@high") / read(&[], "amps:fan@high");
    assert!((1.3..2.0).contains(&ratio), "{ratio}");
    // The series resistor open: the high speed alone is left.
    let open = [("resistor/open", 1.0)];
    assert!(read(&open, "speed:fan@low") == 0.0 && read(&open, "speed:fan@high") > 30.0);
    assert!(read(&[("low-relay/welded", 1.0)], "amps:fan@key-on") > 8.0);
}

/// 13.5 V and more at the battery under 50 A; up to 0.3 V on the way there and 0.2 V on the way back; ripple up to 90 mV.
#[test]
fn charging_reads_as_the_trade_knows_it() {
    let model = Model::new(one("charging"));
    let read = |faults: &[(&str, f64)], id: &str| at(&model, faults, id);
    let battery = "volts:battery.positive@loaded";
    assert!(read(&[], "amps:alternator@loaded") > 50.0);
    assert!((13.8..14.7).contains(&read(&[], battery)));
    assert!(read(&[], "volts:alternator.plus@loaded") - read(&[], battery) < 0.3);
    assert!(read(&[], "volts:alternator.case@loaded").abs() < 0.2);
    assert!(read(&[], "ripple:alternator@loaded") < 0.09);
    assert!(read(&[], "volts:battery.positive@rest") > 12.4);
    assert!((13.8..14.7).contains(&read(&[], "volts:battery.positive@idle")));
    // The lamp is lit with the key on and dark while it charges.
    let lit = |faults: &[(&str, f64)], condition: &str| {
        read(faults, &format!("glow:charge-lamp@{condition}")) > 0.5
    };
    assert!(lit(&[], "key-on") && !lit(&[], "idle") && !lit(&[], "loaded") && !lit(&[], "rest"));
    assert!(lit(&[("alternator/belt off", 1.0)], "idle"));
    assert!(!lit(&[("alternator/no field", 1.0)], "key-on"));
}

/// A link of 35 mohm: it passes unloaded and not loaded; 1.9 V lost, the alternator's own terminal good, the joint hot.
#[test]
fn a_burnt_link_passes_without_load() {
    let model = Model::new(one("charging"));
    let link = [("link/eyelet corroded", 35e-3)];
    let read = |id: &str| at(&model, &link, id);
    assert!(read("volts:battery.positive@idle") > 13.4);
    assert!(read("volts:battery.positive@loaded") < 13.2);
    assert!(read("volts:alternator.plus@loaded") > 14.0);
    assert!((1.4..2.2).contains(&read("drop:link@loaded")));
    // Too hot to touch: 60 °C and more.
    assert!(read("temperature:link@loaded") > 333.0);
    assert!(at(&model, &[], "temperature:link@loaded") < 313.0);
}

/// An open diode: most of the output is left, the ripple is 0.3 V and more. Overcharge: above 15.2 V. A lamp that is blown: it does
/// not charge until it is revved.
#[test]
fn faults_of_the_alternator_have_their_signatures() {
    let model = Model::new(one("charging"));
    let read = |fault: &str, id: &str| at(&model, &[(fault, 1.0)], id);
    let ripple = read("alternator/diode open", "ripple:alternator@loaded");
    assert!(ripple > 0.3, "{ripple}");
    assert!(read("alternator/diode open", "volts:battery.positive@idle") > 13.5);
    assert!(read("alternator/overcharges", "volts:battery.positive@idle") > 15.2);
    assert!(read("charge-lamp/blown", "volts:battery.positive@idle") < 12.7);
    assert!(read("charge-lamp/blown", "volts:battery.positive@loaded") > 13.5);
    for dead in [
        "alternator/no field",
        "alternator/belt off",
        "alternator/diode shorted",
    ] {
        assert!(read(dead, "volts:battery.positive@loaded") < 12.6, "{dead}");
    }
    let slips = at(
        &model,
        &[("alternator/belt slips", 0.3)],
        "volts:battery.positive@loaded",
    );
    assert!(slips < 12.8, "{slips}");
}
