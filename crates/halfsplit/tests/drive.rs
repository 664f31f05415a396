//! Recorded drives at the terminal: what is in them, trips, features; and files that hold none.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{Desk, list, number, text};
use std::fmt::Write as _;

/// An invented drive: key on, cranking, warming up, idling, off.
fn drive() -> String {
    let mut rows = "Time (s);Engine speed (1/min);Coolant temp (°C);Intake pressure (kPa);Barometer (kPa);Voltage (V);Vehicle speed (km/h)\n".to_owned();
    for second in 0..400_i32 {
        let (rpm, voltage) = match second {
            0..5 | 395.. => (0, 12.4),
            5 => (180, 9.9),
            _ => (800, 14.1),
        };
        let coolant = 20.0 + f64::from(second.clamp(6, 300) - 6) * 0.24;
        let intake = if rpm == 0 { 98 } else { 35 };
        writeln!(rows, "{second},0;{rpm};{coolant:.1};{intake};98;{voltage:.1};0").unwrap();
    }
    let figures = |row: &str| row.replace('.', ",");
    rows.lines()
        .map(|row| {
            if row.starts_with("Time") {
                format!("{row}\n")
            } else {
                figures(row) + "\n"
            }
        })
        .collect()
}

#[test]
fn trips_are_counted_as_the_regulation_does() {
    let desk = Desk::new("drive-trips");
    desk.put("drive.csv", drive());
    let trips = desk.json(&["drive", "trips", "drive.csv"]);
    assert_eq!(trips["driving_cycles"], 1);
    assert_eq!(trips["warm_up_cycles"], 1);
    for event in list(&trips, "events") {
        assert!(number(event, "start_s") < number(event, "end_s"), "{event}");
        assert!(
            !text(event, "kind").is_empty() && !text(event, "reason").is_empty(),
            "{event}"
        );
    }
    let colder = desk.json(&["drive", "trips", "drive.csv", "--warm", "95 °C"]);
    assert_eq!(colder["warm_up_cycles"], 0);
}

#[test]
fn what_a_column_is_taken_for_can_be_seen_and_changed() {
    let desk = Desk::new("drive-show");
    desk.put("drive.csv", drive());
    let shown = desk.json(&["drive", "show", "drive.csv"]);
    let coolant = |shown: &serde_json::Value| {
        let row = list(shown, "columns")
            .iter()
            .find(|row| text(row, "column") == "Coolant temp")
            .unwrap()
            .clone();
        row["signal"].as_str().map(str::to_owned)
    };
    assert_eq!(coolant(&shown).as_deref(), Some("coolant temperature"));
    let changed = desk.json(&[
        "drive",
        "show",
        "drive.csv",
        "--column",
        "Coolant temp = oil temperature, °C",
    ]);
    assert_eq!(coolant(&changed).as_deref(), Some("oil temperature"));
    let told = desk.run(&["drive", "show", "drive.csv"]);
    assert!(
        told.out.contains("coolant temperature") && told.out.contains("% sure"),
        "{}",
        told.out
    );
}

#[test]
fn features_say_when_and_what_is_usual() {
    let desk = Desk::new("drive-features");
    desk.put("drive.csv", drive());
    let features = desk.json(&["drive", "features", "drive.csv"]);
    let of = |kind: &str| {
        features
            .as_array()
            .unwrap()
            .iter()
            .find(|row| text(row, "kind") == kind)
            .unwrap()
            .clone()
    };
    assert!((number(&of("cranking-voltage"), "value") - 9.9).abs() < 1e-9);
    assert!((number(&of("charging-voltage"), "value") - 14.1).abs() < 1e-9);
    assert!(number(&of("key-on-pressure"), "value").abs() < 1e-9);
    assert_eq!(of("warm-up")["as_usual"], true);
}

#[test]
fn what_is_no_recording_is_refused_with_a_way_out() {
    let desk = Desk::new("drive-none");
    desk.put("letter.csv", "dear customer\n");
    desk.put("drive.csv", drive());
    for (arguments, word) in [
        (vec!["drive", "trips", "letter.csv"], "column names"),
        (vec!["drive", "trips", "missing.csv"], "missing.csv"),
        (
            vec![
                "drive",
                "show",
                "drive.csv",
                "--column",
                "Colant = oil temperature",
            ],
            "Coolant temp",
        ),
        (
            vec![
                "drive",
                "show",
                "drive.csv",
                "--column",
                "Coolant temp = oli temperature",
            ],
            "oil temperature",
        ),
        (
            vec![
                "drive",
                "show",
                "drive.csv",
                "--column",
                "Coolant temp = oil temperature, V",
            ],
            "°C",
        ),
        (vec!["drive", "trips", "drive.csv", "--warm", "80 V"], "°C"),
    ] {
        let given = desk.run(&arguments);
        assert_eq!(given.code, 2, "{arguments:?}: {}", given.err);
        assert!(
            given.out.is_empty() && given.err.contains(word),
            "{arguments:?}: {}",
            given.err
        );
    }
    desk.put("slow.csv", "time,vehicle speed\n0,0\n1,5\n");
    let given = desk.run(&["drive", "trips", "slow.csv"]);
    assert_eq!((given.code, given.out.as_str()), (1, ""), "{}", given.err);
}

#[test]
fn columns_confirmed_once_are_known_the_next_time_until_they_are_forgotten() {
    let desk = Desk::new("drive-columns");
    let rows = |from: u32| -> String {
        let rows = (from..from + 100).map(|row| format!("{row},{}\n", 800 + row % 5));
        "time,channel 7\n".to_owned() + &rows.collect::<String>()
    };
    desk.put("first.csv", rows(0)).put("second.csv", rows(500));
    desk.put("other.csv", rows(0).replace("channel 7", "channel 7 (V)"));
    let signal = |file: &str| desk.json(&["drive", "show", file])["columns"][1]["signal"].clone();
    assert!(signal("second.csv").is_null());
    assert_eq!(desk.json(&["drive", "columns"]).as_array().map(Vec::len), Some(0));
    assert!(!desk.0.join("shop.db").exists(), "looking begins no shop");

    let said = [
        "drive",
        "columns",
        "first.csv",
        "--column",
        "channel 7 = engine speed, rpm",
    ];
    let looked = desk.json(&said);
    assert_eq!(
        (&looked["columns"][1]["signal"], &looked["confirmed"]),
        (&"engine speed".into(), &false.into())
    );
    let kept = desk.json(&[&said[..], &["--confirm"]].concat());
    assert_eq!(kept["columns"][1], "channel 7 = engine speed, rpm");

    assert_eq!(signal("second.csv"), "engine speed");
    assert!(signal("other.csv").is_null(), "other heads are another source");
    assert_eq!(desk.json(&["drive", "columns", "second.csv"])["confirmed"], true);
    let listed = desk.run(&["drive", "columns"]);
    assert!(
        listed.out.contains("by `first.csv`") && listed.out.contains("channel 7 = engine speed, rpm"),
        "{}",
        listed.out
    );
    // What is said now goes before what is remembered.
    let other = desk.json(&["drive", "show", "second.csv", "--column", "channel 7 = none"]);
    assert!(other["columns"][1]["signal"].is_null());

    let source = text(&kept, "source").to_owned();
    assert_eq!(desk.run(&["drive", "columns", "--forget", &source]).code, 0);
    assert!(signal("second.csv").is_null());
    let again = desk.run(&["drive", "columns", "--forget", &source]);
    assert!(
        again.code == 2 && again.err.contains("no source"),
        "{}",
        again.err
    );
}

#[test]
fn a_parquet_file_is_read_or_said_not_to_be() {
    let desk = Desk::new("drive-parquet");
    desk.put(
        "drive.parquet",
        include_bytes!("../../../references/drive.parquet"),
    );
    let given = desk.run(&["drive", "show", "drive.parquet"]);
    if cfg!(feature = "parquet") {
        assert!(
            given.code == 0 && given.out.contains("coolant temperature"),
            "{}{}",
            given.out,
            given.err
        );
    } else {
        assert_eq!(given.code, 2);
        assert!(
            given.err.contains("this build reads none") && given.err.contains("--features parquet"),
            "{}",
            given.err
        );
    }
}
