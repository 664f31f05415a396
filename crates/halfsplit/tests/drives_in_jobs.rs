//! Recorded drives given to a job: each counts once, and only what was driven after the repair counts for lamp and code.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod common;

use common::Desk;
use serde_json::Value;
use std::fmt::Write as _;

/// Cold start to warm and off again on `day` of March 2026, a row every two seconds.
fn drive(day: u32, from: f64, to: f64) -> String {
    let mut text = "date time,engine rpm,coolant temperature (°C)\n".to_owned();
    for row in 0..300_u32 {
        let rpm = if (5..295).contains(&row) { 1500 } else { 0 };
        let coolant = from + (to - from) * (f64::from(row) / 250.0).min(1.0);
        let (minute, second) = (row / 30, 2 * (row % 30));
        writeln!(
            text,
            "2026-03-{day:02} 08:{minute:02}:{second:02},{rpm},{coolant:.0}"
        )
        .unwrap();
    }
    text
}

fn shop(name: &str) -> Desk {
    let desk = Desk::new(name);
    let new = [
        "new",
        "--circuit",
        "vacuum-wastegate",
        "--code",
        "P0299",
        "--vehicle",
        "invented white van",
        "--complaint",
        "no power uphill",
    ];
    desk.json(&job(&new));
    desk
}

fn job<'a>(arguments: &[&'a str]) -> Vec<&'a str> {
    let mut all = vec!["job", "--database", "shop.db"];
    all.extend(arguments);
    all
}

fn repaired(desk: &Desk) {
    desk.json(&job(&[
        "prove-cause",
        "1",
        "source-line/leaks",
        "--by-hand",
        "seen torn",
    ]));
    desk.json(&job(&[
        "new-part",
        "1",
        "source-line",
        "--check",
        "look",
        "--read",
        "whole",
    ]));
    desk.json(&job(&["repair", "1", "source-line"]));
}

fn lamp(job: &Value) -> (&Value, &Value) {
    (&job["watch"]["lamp"], &job["watch"]["code"]["stored"]["warm_ups"])
}

#[test]
fn a_week_of_drives_puts_the_lamp_out_and_each_counts_once() {
    let desk = shop("drives-week");
    repaired(&desk);
    // Later than any clock that runs this: a recorder's date decides only where it is before the repair.
    let day = |day| drive(day, 20.0, 88.0).replace("2026-03", "2096-03");
    for at in 1..=4 {
        let name = format!("day{at}.csv");
        desk.put(&name, day(at));
        desk.json(&job(&["drive", "1", &name, "--ran"]));
    }
    let four = desk.json(&job(&["show", "1"]));
    assert_eq!(four["drives"].as_array().unwrap().len(), 4);
    assert_eq!(four["drives"][0]["counted"], 1);
    // Three good trips put the lamp out; the fourth is the first warm-up cycle after that.
    assert_eq!(lamp(&four).0, "out");
    assert_eq!(lamp(&four).1, 1);

    // The same file again, under another name.
    desk.put("copy.csv", day(4));
    let again = desk.run(&job(&["drive", "1", "copy.csv", "--ran"]));
    assert_eq!(again.code, 0);
    assert!(again.err.contains("it counts once"), "{}", again.err);
    let same = desk.json(&job(&["show", "1"]));
    assert_eq!(same["watch"], four["watch"]);
    assert_eq!(same["drives"], four["drives"]);

    // Taken back, it is as if it had not been given; it can be given again.
    let back = desk.json(&job(&["undo", "1"]));
    assert_eq!(lamp(&back).1, 0);
    let given = desk.json(&job(&["drive", "1", "day4.csv", "--ran"]));
    assert_eq!(given["watch"], four["watch"]);

    // Written out and taken in elsewhere it is the same job, recordings and all.
    desk.run(&job(&["export", "all.jsonl"]));
    let other = ["job", "--database", "other.db"];
    assert_eq!(desk.run(&[&other[..], &["import", "all.jsonl"]].concat()).code, 0);
    let moved = desk.json(&[&other[..], &["show", "1"]].concat());
    assert_eq!(
        (&moved["watch"], &moved["drives"]),
        (&four["watch"], &given["drives"])
    );
}

#[test]
fn what_was_driven_before_the_repair_tells_nothing_of_it() {
    let desk = shop("drives-before");
    desk.put("complaint.csv", drive(1, 20.0, 88.0));
    let before = desk.run(&job(&["drive", "1", "complaint.csv", "--ran"]));
    assert_eq!(before.code, 0, "{}", before.err);
    assert!(before.err.contains("Nothing was repaired yet"), "{}", before.err);
    repaired(&desk);
    desk.put("forgotten.csv", drive(2, 20.0, 88.0));
    let late = desk.run(&job(&["drive", "1", "forgotten.csv", "--ran"]));
    assert!(late.err.contains("2026-03-02, before the repair"), "{}", late.err);
    let shown = desk.json(&job(&["show", "1"]));
    assert_eq!(shown["watch"]["lamp"]["on"]["good_trips"], 0);
    assert_eq!(shown["drives"][1]["driving_cycles"], 1);
    assert_eq!(shown["drives"][1]["counted"], 0);
}

#[test]
fn without_a_word_on_the_monitor_no_trip_is_a_good_one() {
    let desk = shop("drives-monitor");
    repaired(&desk);
    desk.put("a.csv", drive(1, 20.0, 88.0).replace("2026", "2096"));
    let given = desk.run(&job(&["drive", "1", "a.csv"]));
    assert!(
        given.err.contains("does not tell whether the monitor ran"),
        "{}",
        given.err
    );
    let shown = desk.json(&job(&["show", "1"]));
    assert_eq!(shown["watch"]["lamp"]["on"]["good_trips"], 0);
    assert_eq!(shown["drives"][0]["counted"], 1);
}

/// Frames of a drive in which a module tells a code by service 07 (47) or 03 (43); ISO 15765-4, SAE J1979.
fn frames(answer: &str) -> String {
    let mut text = String::new();
    for second in 0..120_u32 {
        let rpm = if (5..115).contains(&second) { 4 * 900 } else { 0 };
        writeln!(text, "({second}.01) can0 7E8#04410C{rpm:04X}").unwrap();
        writeln!(text, "({second}.11) can0 7E8#034105{:02X}", 60 + second / 2).unwrap();
        if second == 60 {
            writeln!(text, "({second}.21) can0 7E8#{answer}").unwrap();
        }
    }
    text
}

#[test]
fn a_pending_code_in_the_recording_is_the_fault_seen_again() {
    let desk = shop("drives-pending");
    repaired(&desk);
    // P0299 stored: the module keeps it until it erases it, so it says nothing of this drive.
    desk.put("kept.log", frames("0443010299"));
    let kept = desk.json(&job(&["drive", "1", "kept.log"]));
    assert_eq!(
        (&kept["comebacks"], &kept["stage"]),
        (&0.into(), &"repaired".into())
    );
    // Pending: it was found on this drive or the one before.
    desk.put("again.log", frames("0447010299"));
    let back = desk.json(&job(&["drive", "1", "again.log"]));
    assert_eq!(back["comebacks"], 1);
    assert_eq!(back["stage"], "checking");
}

#[test]
fn what_is_no_recording_is_refused_and_nothing_is_written() {
    let desk = shop("drives-refused");
    desk.put("letter.txt", "Dear customer,\nyour van is ready.\n")
        .put("empty.csv", "");
    for (file, why) in [
        ("letter.txt", "no recording"),
        ("empty.csv", "empty"),
        ("gone.csv", "gone.csv"),
    ] {
        let refused = desk.run(&job(&["drive", "1", file]));
        assert_ne!(refused.code, 0, "{file}");
        assert!(refused.out.is_empty(), "{}", refused.out);
        assert!(refused.err.contains(why), "{}", refused.err);
    }
    desk.put("a.csv", drive(1, 20.0, 88.0));
    let refused = desk.run(&job(&[
        "drive",
        "1",
        "a.csv",
        "--column",
        "engine rpm = enigne speed",
    ]));
    assert_eq!(refused.code, 2);
    assert!(
        refused.err.contains("did you mean `engine speed`?"),
        "{}",
        refused.err
    );
    assert_eq!(
        desk.json(&job(&["show", "1"]))["drives"]
            .as_array()
            .unwrap()
            .len(),
        0
    );
}

/// An invented vehicle that hardly cranks, and a simulated drive of it with a weak battery.
fn weak_battery(name: &str, invented: bool) -> Desk {
    let desk = Desk::new(name);
    let mut new = vec![
        "new",
        "--circuit",
        "starter-circuit",
        "--complaint",
        "cranks slowly",
    ];
    if invented {
        new.push("--invented");
    }
    desk.json(&job(&new));
    let make = [
        "drive",
        "make",
        "starter-circuit",
        "--fault",
        "battery/weak",
        "--out",
        "slow.csv",
    ];
    assert_eq!(desk.run(&make).code, 0);
    desk
}

#[test]
fn what_a_drive_shows_of_the_circuit_is_a_reading_like_any_other() {
    let desk = weak_battery("drives-evidence", true);
    let battery = |next: &Value| next["parts"]["battery"].as_f64().unwrap();
    let before = battery(&desk.json(&job(&["next", "1"])));
    let given = desk.json(&job(&["drive", "1", "slow.csv"]));
    let reading = &given["readings"][0];
    assert_eq!(reading["check"], "volts:battery.positive@cranking");
    // Over the seconds in which the starter turned, of this recording.
    let over = &reading["over"];
    assert_eq!(over["recording"], given["drives"][0]["hash"]);
    let (start, end) = (over["start_s"].as_f64().unwrap(), over["end_s"].as_f64().unwrap());
    assert!((5.5..7.5).contains(&start) && end > start && end < 9.0, "{over}");
    let after = battery(&desk.json(&job(&["next", "1"])));
    assert!(after > before + 0.05, "{before} to {after}");

    // Typed by hand with an instrument as right as that, it moves the belief just as far.
    let text = format!(
        "[[reading]]\ncheck = \"volts:battery.positive@cranking\"\nvalue = \"{}\"\ninstrument = \"recording slow.csv\"\naccuracy = \"1 % + 200 mV\"\n",
        reading["read"].as_str().unwrap()
    );
    desk.put("readings.toml", text);
    let typed = desk.json(&["suspects", "starter-circuit", "--readings", "readings.toml"]);
    let typed = battery(&typed);
    assert!((typed - after).abs() < 0.02, "{typed} and {after}");
}

#[test]
fn a_simulated_drive_is_no_evidence_on_a_vehicle_that_exists() {
    let desk = weak_battery("drives-simulated", false);
    let given = desk.run(&job(&["drive", "1", "slow.csv"]));
    assert!(
        given.err.contains("It is simulated and the vehicle is not"),
        "{}",
        given.err
    );
    let shown = desk.json(&job(&["show", "1"]));
    assert_eq!(shown["readings"].as_array().unwrap().len(), 0);
    assert_eq!(shown["drives"][0]["simulated"], true);
}
