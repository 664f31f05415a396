//! The shape of every answer in JSON, as other programs rely on it.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{BENCH, Desk, list, number, text};
use serde_json::Value;

fn desk(name: &str) -> Desk {
    let desk = Desk::new(name);
    desk.put("bench.toml", BENCH);
    desk
}

fn shipped(desk: &Desk) -> Vec<String> {
    desk.json(&["circuits"])
        .as_array()
        .unwrap()
        .iter()
        .map(|row| text(row, "name").to_owned())
        .collect()
}

#[test]
fn circuits_have_name_title_codes_and_media() {
    let desk = desk("circuits");
    let rows = desk.json(&["circuits"]);
    for row in rows.as_array().unwrap() {
        assert!(
            !text(row, "title").is_empty() && !list(row, "media").is_empty(),
            "{row}"
        );
        assert!(
            list(row, "codes")
                .iter()
                .all(|code| code.as_str().unwrap().len() == 5),
            "{row}"
        );
    }
    let names = shipped(&desk);
    assert!(
        names.contains(&"vacuum-variable-geometry".to_owned()),
        "{names:?}"
    );
}

#[test]
fn words_and_codes_narrow_the_list() {
    let desk = desk("words");
    let count = |words: &[&str]| {
        desk.json(&[&["circuits"], words].concat())
            .as_array()
            .unwrap()
            .len()
    };
    assert!(count(&["P0299"]) >= 2);
    assert!(count(&["P0299", "charge", "pipe"]) < count(&["P0299"]));
    assert_eq!(count(&["no", "such", "thing", "zzz"]), 0);
}

#[test]
fn every_shipped_circuit_is_described() {
    let desk = desk("describe");
    for name in shipped(&desk).iter().map(String::as_str).chain(["bench.toml"]) {
        let described = desk.json(&["describe", name]);
        described_well(&described);
    }
}

fn described_well(described: &Value) {
    let name = text(described, "name");
    let parts: Vec<&str> = list(described, "parts")
        .iter()
        .map(|part| text(part, "id"))
        .collect();
    assert!(
        list(described, "parts")
            .iter()
            .all(|part| !text(part, "kind").is_empty()),
        "{name}"
    );
    assert!(
        !list(described, "joints").is_empty() && !list(described, "conditions").is_empty(),
        "{name}"
    );
    let faults = list(described, "faults");
    let sum: f64 = faults.iter().map(|fault| number(fault, "share")).sum();
    // Sums of some hundred shares in double precision.
    assert!((sum - 1.0).abs() < 1e-9, "{name}: shares sum to {sum}");
    for fault in faults {
        let part = text(fault, "id").split('/').next().unwrap();
        assert!(parts.contains(&part), "{name}: {fault}");
        let severity = &fault["severity"];
        let ordered = || {
            number(severity, "low") <= number(severity, "typical")
                && number(severity, "typical") <= number(severity, "high")
        };
        assert!(
            severity.is_null() || (ordered() && severity["unit"].is_string()),
            "{name}: {fault}"
        );
    }
    checks_well(described);
}

fn checks_well(described: &Value) {
    let conditions: Vec<&str> = list(described, "conditions")
        .iter()
        .map(|id| id.as_str().unwrap())
        .collect();
    let accesses: Vec<&str> = list(described, "accesses")
        .iter()
        .map(|access| text(access, "id"))
        .collect();
    for check in list(described, "checks") {
        let (method, at, condition) = (text(check, "method"), text(check, "at"), text(check, "condition"));
        assert_eq!(text(check, "id"), format!("{method}:{at}@{condition}"));
        assert!(
            conditions.contains(&condition) && number(check, "minutes") > 0.0,
            "{check}"
        );
        assert!(
            list(check, "needs")
                .iter()
                .all(|need| accesses.contains(&need.as_str().unwrap())),
            "{check}"
        );
        let answers = ["look", "click", "swap"].contains(&method);
        assert!(!answers || check["unit"].is_null(), "{check}");
        if method == "volts" {
            assert_eq!(check["unit"], "V");
        }
    }
}

fn expected(desk: &Desk, check: &str, more: &[&str]) -> Value {
    let expected = desk.json(&[&["expect", "bench.toml", "--check", check], more].concat());
    assert_eq!(expected["check"], check);
    let [low, median, high] = ["low", "median", "high"].map(|key| number(&expected, key));
    assert!(
        low <= median && median <= high && number(&expected, "samples") >= 100.0,
        "{expected}"
    );
    expected
}

/// 40 CFR 86.1803-01, "high-altitude conditions": 83.3 kPa at 1620 m; 101.325 kPa at sea level by ISO 2533:1975.
#[test]
fn a_vacuum_falls_with_the_barometer() {
    let desk = desk("altitude");
    let at = |height| {
        number(
            &expected(&desk, "deadhead:pump.inlet@idle", &["--altitude", height]),
            "median",
        )
    };
    let ratio = at("1620 m") / at("0 m");
    // A pump that stops at a share of the barometer: its vacuum goes with the barometer. One percent is the sampling.
    assert!((ratio - 83.3 / 101.325).abs() < 0.01, "{ratio}");
    assert!((at("5314.96 ft") / at("1620 m") - 1.0).abs() < 1e-6);
}

#[test]
fn expected_readings_carry_their_unit() {
    let desk = desk("units");
    let trade = expected(&desk, "tee:actuator.nipple@idle", &[]);
    let metric = expected(&desk, "tee:actuator.nipple@idle", &["--units", "metric"]);
    let si = expected(&desk, "tee:actuator.nipple@idle", &["--units", "si"]);
    assert_eq!(
        [&trade["unit"], &metric["unit"], &si["unit"]],
        ["inHg", "kPa", "Pa"]
    );
    // NIST SP 811: 1 inHg (conventional) = 3.386389 kPa, to its seven digits.
    assert!((number(&metric, "median") / number(&trade, "median") - 3.386_389).abs() < 1e-6);
    assert!((number(&si, "median") / number(&metric, "median") - 1000.0).abs() < 1e-9);
}

#[test]
fn a_yes_or_no_is_a_probability_three_times() {
    let desk = desk("yes-no");
    let look = |more: &[&str]| {
        let look = expected(&desk, "look:source-hose@off", more);
        assert!(
            look["unit"].is_null() && look["low"] == look["high"] && look["low"] == look["median"],
            "{look}"
        );
        number(&look, "median")
    };
    assert!(look(&[]) < 0.1);
    assert!(look(&["--fault", "source-hose/off"]) > 0.8);
}

#[test]
fn a_worse_leak_leaves_less_vacuum() {
    let desk = desk("leak");
    let left = |fault: &str| {
        number(
            &expected(&desk, "tee:filter.from@idle", &["--fault", fault]),
            "median",
        )
    };
    let (small, large) = (left("source-hose/leaks=0.5 mm"), left("source-hose/leaks = 2 mm"));
    assert!(large < small, "{large} inHg against {small} inHg");
}

const READ: [&str; 6] = [
    "suspects",
    "bench.toml",
    "--reading",
    "deadhead:pump.inlet@idle = 28 inHg",
    "--reading",
    "tee:actuator.nipple@idle = 9 inHg",
];

#[test]
fn probabilities_sum_to_one() {
    let desk = desk("sums");
    for arguments in [&READ[..2], &READ[..4], &READ[..]] {
        let answer = desk.json(arguments);
        let suspects = list(&answer, "suspects");
        let all: Vec<f64> = suspects
            .iter()
            .map(|suspect| number(suspect, "probability"))
            .collect();
        assert!(all.windows(2).all(|pair| pair[0] >= pair[1]), "not sorted");
        assert!(suspects.iter().all(|suspect| !list(suspect, "faults").is_empty()));
        let sum: f64 =
            all.iter().sum::<f64>() + number(&answer, "nothing_wrong") + number(&answer, "not_listed");
        // The contract's own bound.
        assert!((sum - 1.0).abs() < 1e-9, "{arguments:?}: {sum}");
        assert!((0.0..=1.0).contains(&number(&answer, "fit")));
    }
}

#[test]
fn every_part_has_its_share_and_checks_made_are_not_proposed() {
    let desk = desk("parts");
    let answer = desk.json(&READ);
    let parts = answer["parts"].as_object().unwrap();
    let described = desk.json(&["describe", "bench.toml"]);
    let ids: Vec<&str> = list(&described, "parts")
        .iter()
        .map(|part| text(part, "id"))
        .collect();
    assert_eq!(parts.len(), ids.len());
    assert!(
        ids.iter()
            .all(|id| (0.0..=1.0).contains(&parts[*id].as_f64().unwrap()))
    );
    let next = list(&answer, "next");
    // A comparison of two gauges tells nothing of the vehicle.
    let checks = list(&described, "checks");
    let of_the_vehicle = checks
        .iter()
        .filter(|check| !text(check, "id").starts_with("compare:"));
    assert_eq!(next.len() + 2, of_the_vehicle.count());
    for check in next {
        assert!(
            number(check, "minutes") > 0.0 && number(check, "cost") > 0.0,
            "{check}"
        );
        assert!(!["deadhead:pump.inlet@idle", "tee:actuator.nipple@idle"].contains(&text(check, "check")));
    }
}

#[test]
fn a_readings_file_says_the_same_as_arguments() {
    let desk = desk("file");
    desk.put(
        "job.toml",
        "[[reading]]\ncheck = \"deadhead:pump.inlet@idle\"\nvalue = \"28 inHg\"\n",
    );
    let file = desk.json(&[
        "suspects",
        "bench.toml",
        "--readings",
        "job.toml",
        READ[4],
        READ[5],
    ]);
    let arguments = desk.json(&READ);
    assert_eq!(file["readings"], arguments["readings"]);
    same(&file, &arguments);
}

/// The same probability for every part. Solves begin at the one before, so the last digits depend on the threads.
fn same(one: &Value, other: &Value) {
    for (part, probability) in one["parts"].as_object().unwrap() {
        let (a, b) = (probability.as_f64().unwrap(), number(&other["parts"], part));
        assert!((a - b).abs() < 1e-9, "{part}: {a} and {b}");
    }
}

#[test]
fn a_reading_not_done_teaches_nothing() {
    let desk = desk("not-done");
    let before = desk.json(&READ);
    let after = desk.json(&[&READ[..], &["--reading", "look:pump@off = not done"]].concat());
    same(&before, &after);
    assert!(
        list(&after, "next")
            .iter()
            .all(|next| text(next, "check") != "look:pump@off")
    );
}

#[test]
fn a_drawing_is_an_svg() {
    let desk = desk("draw");
    assert!(text(&desk.json(&["draw", "bench.toml"]), "svg").starts_with("<svg"));
    assert!(
        desk.run(&["draw", "bench.toml", "--out", "-"])
            .out
            .starts_with("<svg")
    );
    let given = desk.run(&["draw", "bench.toml", "--out", "bench.svg", "--terminal"]);
    assert!(
        given.out.contains("actuator") && given.out.ends_with("Drawn in bench.svg\n"),
        "{}",
        given.out
    );
    assert!(
        std::fs::read_to_string(desk.0.join("bench.svg"))
            .unwrap()
            .starts_with("<svg")
    );
}
