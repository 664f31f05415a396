//! Temperature sensors, and pressure sensors on a shared supply, as the module that reads them sees them.
//!
//! Figures of the trade here are common practice, no source.
#![allow(missing_docs, clippy::unwrap_used, reason = "tests")]

mod shared;

use physics::Model;
use shared::meter::{at, check};
use shared::one;

const CELSIUS: f64 = 273.15;

#[test]
fn a_coolant_sensor_reads_the_air_when_cold_and_the_coolant_when_warm() {
    let model = Model::new(one("temperature-sensor"));
    check("cold", at(&model, &[], "data:pins@cold"), 20.0 + CELSIUS, 0.1);
    check("warm", at(&model, &[], "data:pins@warm"), 90.0 + CELSIUS, 0.1);
    // 2.1 to 2.9 kohm at 20 °C.
    assert!((2100.0..2900.0).contains(&at(&model, &[], "ohms:sensor@off")));
    // Half of the 5 V is left near 20 °C, a tenth when warm.
    assert!((2.2..3.2).contains(&at(&model, &[], "volts:sensor.signal@cold")));
    assert!((0.4..1.1).contains(&at(&model, &[], "volts:sensor.signal@warm")));
}

/// An open circuit is the coldest, a short the hottest value, wherever they are; a resistor in the loose plug tells the sensor
/// from what leads to it.
#[test]
fn a_resistor_in_the_plug_tells_the_sensor_from_its_wires() {
    let model = Model::new(one("temperature-sensor"));
    let says = |fault: (&str, f64), check: &str| at(&model, &[fault], check) - CELSIUS;
    let (data, resistor) = ("data:pins@cold", "substitute:sensor@cold");
    // 2.2 kohm stand for 23 °C on this sensor's law.
    check("sound", at(&model, &[], resistor) - CELSIUS, 23.1, 0.2);
    for fault in [
        ("sensor/open", 1.0),
        ("sensor/shorted", 1.0),
        ("sensor/reads cold", 2.0),
    ] {
        assert!((says(fault, data) - 20.0).abs() > 10.0, "{fault:?}");
        check(&format!("{fault:?}"), says(fault, resistor), 23.1, 0.2);
    }
    for fault in [("signal-wire/broken", 1.0), ("return-pin/pin pushed back", 1.0)] {
        for way in [data, resistor] {
            check(&format!("{fault:?} {way}"), says(fault, way), -40.0, 0.1);
        }
    }
    check(
        "chafed",
        says(("signal-wire/chafed to ground", 2.0), data),
        140.0,
        0.1,
    );
    check("short", says(("sensor/shorted", 1.0), data), 140.0, 0.1);
    // 300 ohm more hardly matter cold and are ten degrees and more when warm.
    let corroded = ("signal-pin/high resistance", 10.0);
    assert!(says(corroded, data) < 20.0 && says(corroded, "data:pins@warm") < 90.0);
    let cold = 20.0 - says(("sensor/plug corroded", 300.0), data);
    let warm = 90.0 - says(("sensor/plug corroded", 300.0), "data:pins@warm");
    assert!(cold < 4.0 && warm > 15.0, "{cold} {warm}");
}

#[test]
fn key_on_all_sensors_show_the_barometer() {
    let model = Model::new(one("sensor-supply"));
    for sensor in ["boost", "manifold", "oil"] {
        let value = at(&model, &[], &format!("data:{sensor}-input@key-on"));
        // Within 2 to 3 kPa of the barometer; the oil sensor's scale is four times as coarse.
        let close = if sensor == "oil" { 8e3 } else { 3e3 };
        check(sensor, value, 101.3e3, close);
    }
    let reference = at(&model, &[], "volts:supply.reference@key-on");
    assert!((4.9..5.1).contains(&reference), "{reference}");
    assert!(at(&model, &[], "volts:boost.minus@key-on") < 0.05);
}

/// One sensor shorts the supply: all read low; unplugged, the supply is back. With another one unplugged it is not.
#[test]
fn one_sensor_pulls_down_the_others_until_it_is_unplugged() {
    let model = Model::new(one("sensor-supply"));
    let short = [("oil/shorts the reference", 10.0)];
    for sensor in ["boost", "manifold"] {
        let sound = at(&model, &[], &format!("data:{sensor}-input@key-on"));
        let dragged = at(&model, &short, &format!("data:{sensor}-input@key-on"));
        assert!(dragged < 0.6 * sound, "{sensor}: {dragged}");
    }
    let with = |sensor: &str| at(&model, &short, &format!("open-volts:{sensor}.plus@key-on"));
    check("the culprit unplugged", with("oil"), 5.0, 0.05);
    assert!(with("boost") < 1.5 && with("manifold") < 1.5);
    // A wire chafed behind the splice does the same and does not let go with any sensor.
    let chafed = [("oil-reference/chafed to ground", 5.0)];
    assert!(at(&model, &chafed, "open-volts:oil.plus@key-on") < 1.5);
}

/// The common ground lost: all signals near 5 V. One sensor's own ground lost: its own alone. Two resistors in a loose plug put
/// the signal in the middle of its scale if the wires and the module are sound.
#[test]
fn a_lost_ground_and_a_stand_in_have_their_signatures() {
    let model = Model::new(one("sensor-supply"));
    let signal =
        |faults: &[(&str, f64)], sensor: &str| at(&model, faults, &format!("volts:{sensor}.signal@key-on"));
    for fault in ["return-wire/broken", "supply/ground pin open"] {
        for sensor in ["boost", "manifold", "oil"] {
            assert!(signal(&[(fault, 1.0)], sensor) > 4.5, "{fault} {sensor}");
        }
    }
    let own = [("boost-return/broken", 1.0)];
    assert!(signal(&own, "boost") > 4.5);
    check(
        "its neighbour",
        signal(&own, "manifold"),
        signal(&[], "manifold"),
        0.05,
    );
    let middle = |faults: &[(&str, f64)]| at(&model, faults, "substitute:boost@key-on");
    // Half of 5 V: half-way from 50 to 400 kPa; the pull of 100 kohm lifts it a little.
    check("sound", middle(&[]), 225e3, 3e3);
    check("dead sensor", middle(&[("boost/dead", 1.0)]), 225e3, 3e3);
    for fault in [
        "boost-signal/broken",
        "boost-reference/broken",
        "boost-return/broken",
        "boost-input/input dead",
    ] {
        assert!((middle(&[(fault, 1.0)]) - 225e3).abs() > 50e3, "{fault}");
    }
}

/// The supply at 4.7 V, the ratio taken for that of 5 V: every pressure low in proportion to its signal.
#[test]
fn a_sagging_supply_makes_all_pressures_low_together() {
    let model = Model::new(one("sensor-supply"));
    for sensor in ["boost", "manifold", "oil"] {
        let input = format!("data:{sensor}-input@key-on");
        let (sound, sagging) = (
            at(&model, &[], &input),
            at(&model, &[("supply/reference low", 4.3)], &input),
        );
        assert!(sagging < sound - 5e3, "{sensor}: {sound} {sagging}");
    }
}
