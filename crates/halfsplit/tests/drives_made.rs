//! Simulated drives of the shipped circuits: the fault that was made is what stands out, and nobody can take them for real.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod common;

use common::Desk;
use serde_json::Value;

/// The figure of the first feature of a kind in a drive of `circuit` with `fault`, and whether it is as usual.
fn feature(desk: &Desk, circuit: &str, fault: Option<&str>, kind: &str) -> (f64, bool) {
    let mut make = vec!["drive", "make", circuit, "--out", "made.csv"];
    if let Some(fault) = fault {
        make.extend(["--fault", fault]);
    }
    assert_eq!(desk.json(&make)["simulated"], true);
    let all = desk.json(&["drive", "features", "made.csv"]);
    let own = all.as_array().unwrap().iter().find(|one| one["kind"] == kind);
    let own: &Value = own.unwrap_or_else(|| panic!("{kind} of {all}"));
    (own["value"].as_f64().unwrap(), own["as_usual"].as_bool().unwrap())
}

#[test]
fn without_vacuum_there_is_no_boost() {
    let desk = Desk::new("made-boost");
    let boost = |fault| feature(&desk, "vacuum-wastegate", fault, "boost-held");
    assert!(boost(None).1);
    for fault in [
        "source-line/off",
        "valve/sticks closed",
        "valve/coil open",
        "actuator/rod seized",
    ] {
        let (short, usual) = boost(Some(fault));
        assert!(short < -1e4 && !usual, "{fault}: {short}");
    }
    // What leaves the rod where it belongs is not seen on a drive.
    assert!(boost(Some("valve/vent blocked")).1);
}

#[test]
fn a_weak_battery_is_seen_while_cranking() {
    let desk = Desk::new("made-cranking");
    let lowest = |fault| feature(&desk, "starter-circuit", fault, "cranking-voltage").0;
    let sound = lowest(None);
    assert!(lowest(Some("battery/weak")) < sound - 0.5, "{sound}");
}

#[test]
fn what_is_written_says_that_it_is_simulated() {
    let desk = Desk::new("made-marked");
    for (file, form) in [("a.csv", None), ("a.log", Some("--frames"))] {
        let mut make = vec!["drive", "make", "vacuum-wastegate", "--out", file];
        make.extend(form);
        assert_eq!(desk.run(&make).code, 0);
        let text = std::fs::read_to_string(desk.0.join(file)).unwrap();
        assert!(
            text.starts_with("# simulated drive, not a recording of any vehicle"),
            "{file}"
        );
        assert_eq!(desk.json(&["drive", "show", file])["simulated"], true, "{file}");
        assert!(
            desk.run(&["drive", "show", file]).out.contains("Simulated"),
            "{file}"
        );
    }
    let new = [
        "job",
        "--database",
        "shop.db",
        "new",
        "--circuit",
        "vacuum-wastegate",
    ];
    desk.json(&new);
    let given = desk.json(&["job", "--database", "shop.db", "drive", "1", "a.log"]);
    assert_eq!(given["drives"][0]["simulated"], true);
}

#[test]
fn what_cannot_be_made_is_refused() {
    let desk = Desk::new("made-refused");
    let refused = desk.run(&[
        "drive",
        "make",
        "vacuum-wastegate",
        "--fault",
        "valve/sticks opne",
    ]);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("sticks open"), "{}", refused.err);
    let refused = desk.run(&["drive", "make", "vacuum-wastegate", "--outside", "warm"]);
    assert_eq!(refused.code, 2);
    assert!(refused.out.is_empty());
}

#[test]
fn before_and_after_are_drawn_beside_each_other() {
    let desk = Desk::new("made-drawn");
    for (file, fault) in [("before.csv", Some("source-line/off")), ("after.csv", None)] {
        let mut make = vec!["drive", "make", "vacuum-wastegate", "--out", file];
        if let Some(fault) = fault {
            make.extend(["--fault", fault]);
        }
        assert_eq!(desk.run(&make).code, 0);
    }
    let drawn = desk.run(&["drive", "draw", "before.csv", "--beside", "after.csv"]);
    assert_eq!(drawn.code, 0, "{}", drawn.err);
    assert!(drawn.out.starts_with("<svg") && drawn.out.trim_end().ends_with("</svg>"));
    assert_eq!(drawn.out.matches("Simulated: made up, not driven.").count(), 2);
    // Only the first has boost that is not as usual, and the band to see it by.
    let mut pictures = drawn.out.split("<g transform").skip(1);
    let (before, after) = (pictures.next().unwrap(), pictures.next().unwrap());
    assert!(before.contains("class=\"mark odd\"") && before.contains("class=\"healthy\""));
    assert!(!after.contains("class=\"mark odd\"") && after.contains("class=\"healthy\""));
    let part = desk.run(&["drive", "draw", "before.csv", "--from", "60 s", "--to", "90 s"]);
    assert!(
        part.out.contains(">1:10<") && !part.out.contains(">5:00<"),
        "{}",
        &part.out[..400]
    );
    let refused = desk.run(&["drive", "draw", "before.csv", "--from", "soon"]);
    assert_eq!(refused.code, 2);
}
