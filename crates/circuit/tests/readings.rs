//! Readings files: what is understood, and every way in which one can be wrong.
#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use circuit::{Readings, derive_checks, read_readings};
use common::{Row, SMALL, expect, good};
use quantity::{PressureReference, ReadingValue};

fn readings(text: &str) -> Readings {
    let circuit = good(SMALL);
    let file = read_readings(text, &circuit, &derive_checks(&circuit));
    assert!(file.findings.is_empty(), "{:#?}", file.findings);
    file.readings.unwrap()
}

fn check(text: &str, expected: Row) {
    let circuit = good(SMALL);
    let file = read_readings(text, &circuit, &derive_checks(&circuit));
    expect(text, &file.findings, &[expected]);
    assert!(file.readings.is_none());
}

/// One reading of a check.
fn of(check: &str, said: &str) -> String {
    format!("[[reading]]\ncheck = \"{check}\"\n{said}\n")
}

#[test]
fn a_whole_file_is_read() {
    let text = "altitude = \"1600 m\"\ntemperature = \"25 °C\"\n\
        [[reading]]\ncheck = \"deadhead:valve.source@idle\"\nvalue = \"21.5 inHg\"\n\
        [[reading]]\ncheck = \"tee:can.nipple@idle\"\nbound = \"> 20 inHg\"\ninstrument = \"second gauge\"\n\
        [[reading]]\ncheck = \"look:hose@off\"\nanswer = \"yes\"\n\
        [[reading]]\ncheck = \"ohms:valve@off\"\nanswer = \"not done\"\n";
    let readings = readings(text);
    assert!((readings.altitude.unwrap().si() - 1600.0).abs() < 1e-9);
    assert!((readings.temperature.unwrap().si() - 298.15).abs() < 1e-9);
    assert!(readings.barometer.is_none());
    let circuit = good(SMALL);
    let checks = derive_checks(&circuit);
    let ids: Vec<_> = readings
        .readings
        .iter()
        .map(|entry| checks[entry.check].id.as_str())
        .collect();
    assert_eq!(
        ids,
        [
            "deadhead:valve.source@idle",
            "tee:valve.output@idle",
            "look:hose@off",
            "ohms:valve@off"
        ]
    );
    let values: Vec<_> = readings.readings.iter().map(|entry| entry.value).collect();
    assert!(
        matches!(values[0], ReadingValue::Value(parsed) if (parsed.quantity.si() - 72_807.4).abs() < 0.1),
        "21.5 × 3386.39 Pa"
    );
    assert!(matches!(values[1], ReadingValue::Over(_)));
    assert_eq!((values[2], values[3]), (ReadingValue::Yes, ReadingValue::NotDone));
    assert_eq!(readings.readings[1].instrument.as_deref(), Some("second gauge"));
    assert_eq!(&text[readings.readings[0].value_span.range()], "\"21.5 inHg\"");
}

#[test]
fn a_pressure_keeps_its_reference() {
    let reference = |said: &str| match readings(&of("tee:can.nipple@idle", said)).readings[0].value {
        ReadingValue::Value(parsed) => parsed.reference,
        other => panic!("{other:?}"),
    };
    assert_eq!(reference("value = \"21.5 inHg\""), PressureReference::Unstated);
    assert_eq!(
        reference("value = \"21.5 inHg vacuum\""),
        PressureReference::Vacuum
    );
    assert_eq!(
        reference("value = \"-21.5 inHg gauge\""),
        PressureReference::Gauge
    );
    assert_eq!(reference("value = \"30 kPa abs\""), PressureReference::Absolute);
}

#[test]
fn the_other_end_of_a_joint_names_it_too() {
    let readings = readings(&of("tee:hose.to@idle", "value = \"20 inHg\""));
    let circuit = good(SMALL);
    assert_eq!(
        derive_checks(&circuit)[readings.readings[0].check].id,
        "tee:valve.source@idle"
    );
}

#[test]
fn unknown_checks_say_which_part_of_the_id_is_wrong() {
    let value = "value = \"20 inHg\"";
    check(
        &of("ted:valve.source@idle", value),
        ("C036", "ted", "did you mean `tee:valve.source@idle`?"),
    );
    check(
        &of("tee:valve.sorce@idle", value),
        ("C036", "valve.sorce", "did you mean `tee:valve.source@idle`?"),
    );
    check(
        &of("tee:valve.source@idl", value),
        ("C036", "idl", "did you mean `tee:valve.source@idle`?"),
    );
    check(
        &of("tee:valve.source@driving", value),
        ("C036", "driving", "known here: `off`, `idle`"),
    );
    check(
        &of("tee:valve.source@off", value),
        ("C036", "off", "it is done in `idle`"),
    );
    check(
        &of("volts:valve.source@idle", value),
        ("C036", "volts", "checks there: `deadhead`, `tee`"),
    );
    check(
        &of("tee", value),
        ("C036", "tee", "for instance `tee:valve.source@idle`"),
    );
}

#[test]
fn values_of_another_sort() {
    check(
        &of("tee:can.nipple@idle", "value = \"12 V\""),
        ("C022", "V", "write a pressure, for instance `21.5 inHg`"),
    );
    check(
        &of("tee:can.nipple@idle", "value = \"12\""),
        ("C021", "12", "write `12 inHg`"),
    );
    check(&of("tee:can.nipple@idle", "value = 12"), ("C010", "12", ""));
    check(
        &of("tee:can.nipple@idle", "value = \"12 inHgg\""),
        ("C020", "inHgg", "write a pressure, for instance `21.5 inHg`"),
    );
    check(
        &of("tee:can.nipple@idle", "answer = \"yes\""),
        ("C074", "\"yes\"", "for instance `value = \"21.5 inHg\"`"),
    );
    check(
        &of("look:hose@off", "value = \"12 V\""),
        (
            "C073",
            "\"12 V\"",
            "write `answer = \"yes\"`, `\"no\"` or `\"not done\"`",
        ),
    );
    check(
        &of("look:hose@off", "answer = \"yess\""),
        ("C073", "\"yess\"", "did you mean `answer = \"yes\"`?"),
    );
}

#[test]
fn a_reading_of_another_sort_says_both() {
    let circuit = good(SMALL);
    let file = read_readings(
        &of("tee:can.nipple@idle", "value = \"12 V\""),
        &circuit,
        &derive_checks(&circuit),
    );
    assert_eq!(
        file.findings[0].message,
        "this check reads a vacuum; `12 V` is a voltage"
    );
}

#[test]
fn one_thing_is_said() {
    let add = "add `value = \"21.5 inHg\"`, `bound = \"> 20 inHg\"` or `answer = \"yes\"`";
    check(&of("tee:can.nipple@idle", ""), ("C071", "[[reading]]", add));
    let keep = "keep one; write a second reading as another `[[reading]]`";
    check(
        &of(
            "tee:can.nipple@idle",
            "value = \"20 inHg\"\nbound = \"> 20 inHg\"",
        ),
        ("C072", "bound", keep),
    );
    check(
        "[[reading]]\nvalue = \"20 inHg\"\n",
        (
            "C013",
            "[[reading]]",
            "add for instance `check = \"tee:valve.source@idle\"`",
        ),
    );
}

#[test]
fn what_no_instrument_can_show() {
    check(
        &of("ohms:valve@off", "value = \"-2 ohm\""),
        ("C075", "\"-2 ohm\"", "for instance `14.6 ohm`"),
    );
    check(
        &of("tee:can.nipple@idle", "value = \"215 inHg\""),
        ("C075", "\"215 inHg\"", "for instance `21.5 inHg`"),
    );
    check(
        &of("tee:can.nipple@idle", "value = \"-1.5 bar gauge\""),
        ("C075", "\"-1.5 bar gauge\"", "for instance `21.5 inHg`"),
    );
    check(
        &of("tee:can.nipple@idle", "value = \"-20 kPa abs\""),
        (
            "C023",
            "-20",
            "write `gauge` if it counts from the ambient pressure",
        ),
    );
}

#[test]
fn where_it_was_read() {
    check(
        "altitude = \"1600 m\"\nbarometer = \"83 kPa\"\n",
        ("C076", "altitude", "keep the barometer"),
    );
    check(
        "altitude = \"16 km\"\n",
        ("C023", "16 km", "from -0.5 km to 6 km"),
    );
    check(
        "barometer = \"-18 kPa gauge\"\n",
        ("C023", "-18 kPa gauge", "from 45 kPa to 112 kPa"),
    );
    check(
        "barometer = \"100 kPa gauge\"\n",
        ("C025", "100 kPa gauge", "leave out the last word"),
    );
    check(
        "temperature = \"250 °C\"\n",
        ("C023", "250 °C", "from -60 °C to 80 °C"),
    );
    check(
        "altitud = \"1600 m\"\n",
        ("C012", "altitud", "did you mean `altitude`?"),
    );
    check("[[readings]]\n", ("C012", "readings", "did you mean `reading`?"));
    check("[[reading]\n", ("C001", "", "write `[[name]]`"));
}
