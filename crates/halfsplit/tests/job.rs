//! A whole job on the command line, from the door to the comeback.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A shop with a database of its own.
struct Shop(PathBuf);

impl Shop {
    fn new(name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("job-{name}"));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        Self(folder.join("shop.db"))
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_halfsplit"))
            .arg("job")
            .args(arguments)
            .env("HALFSPLIT_DATABASE", &self.0)
            .env("HALFSPLIT_WHO", "Ann")
            .output()
            .unwrap()
    }

    fn json(&self, arguments: &[&str]) -> Value {
        let output = self.run(&[arguments, &["--json"]].concat());
        assert!(output.status.success(), "{arguments:?}: {}", stderr(&output));
        serde_json::from_slice(&output.stdout).unwrap()
    }

    /// Runs what must be refused as bad input: nothing on standard output.
    fn refused(&self, arguments: &[&str], why: &str) {
        let output = self.run(arguments);
        assert_eq!(
            output.status.code(),
            Some(2),
            "{arguments:?}: {}",
            stderr(&output)
        );
        assert!(output.stdout.is_empty(), "{arguments:?}");
        assert!(
            stderr(&output).contains(why),
            "{arguments:?}: {}",
            stderr(&output)
        );
    }

    fn taken_in(&self) {
        let new = [
            "new",
            "--circuit",
            "vacuum-wastegate",
            "--code",
            "p0299",
            "--vehicle",
            "invented white van",
            "--complaint",
            "no power uphill",
            "--odometer",
            "212000",
            "--altitude",
            "1600 m",
        ];
        assert_eq!(self.json(&new)["number"], 1);
    }
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

const TEED: &str = "tee:valve.source@idle = 9 inHg";

#[test]
fn from_the_door_to_the_comeback() {
    let shop = Shop::new("whole");
    shop.taken_in();
    let next = shop.json(&["next", "1"]);
    assert!(!next["cautions_to_read"].as_array().unwrap().is_empty(), "{next}");
    let check = next["next"][0]["check"].as_str().unwrap().to_owned();
    shop.json(&["caution", "1", &check]);
    let next = shop.json(&["next", "1"]);
    assert!(next["cautions_to_read"].as_array().unwrap().is_empty(), "{next}");

    shop.json(&["read", "1", TEED, "--minutes", "5"]);
    let missing = shop.run(&["prove-cause", "1"]);
    assert_eq!(missing.status.code(), Some(1));
    assert!(stderr(&missing).contains("not proven"), "{}", stderr(&missing));
    // Closing as repaired waits for the proof.
    shop.refused(&["close", "1"], "not proven");

    shop.json(&[
        "prove-cause",
        "1",
        "source-line/leaks",
        "--by-hand",
        "split seen at the clamp",
    ]);
    shop.json(&[
        "new-part",
        "1",
        "source-line",
        "--check",
        "look",
        "--read",
        "split",
        "--bad",
    ]);
    shop.refused(&["repair", "1", "source-line"], "is bad");
    shop.json(&[
        "new-part",
        "1",
        "source-line",
        "--check",
        "look",
        "--read",
        "sound",
    ]);
    shop.json(&[
        "repair",
        "1",
        "source-line",
        "--behind",
        "oil on it, seal renewed",
    ]);
    // What condemned the hose is asked for again, with what it read then.
    let proving = shop.json(&["prove", "1"]);
    let first = &proving[0];
    assert_eq!(
        (&first["check"], &first["why"]),
        (&"tee:valve.source@idle".into(), &"again".into())
    );
    assert_eq!(first["before"], "9 inHg");
    assert!(first["low"].as_f64().unwrap() > 15.0, "{proving}");
    // Half the vacuum that a sound circuit gives is no proof.
    assert_eq!(shop.json(&["prove", "1", TEED])["stage"], "repaired");
    shop.json(&["undo", "1"]);
    // A road test alone is none either: it says what is missing, and the job stays open.
    let driven = shop.json(&["prove", "1", "road test uphill = yes", "--good"]);
    assert_eq!(driven["stage"], "repaired");
    let missing = driven["proof_missing"].as_array().unwrap();
    assert!(
        missing.len() == 1 && missing[0].as_str().unwrap().contains("tee:valve.source@idle"),
        "{driven}"
    );
    shop.refused(&["close", "1"], "tee:valve.source@idle");
    let again = shop.json(&["prove", "1", "tee:valve.source@idle = 21 inHg"]);
    assert_eq!(again["stage"], "watch");
    assert!(again["proof_missing"].as_array().unwrap().is_empty(), "{again}");
    assert_eq!(shop.json(&["close", "1"])["stage"], "closed");
    shop.refused(&["read", "1", TEED], "the job is closed");

    shop.refused(&["seen-again", "1", "P0299", "--odometer", "1000"], "odometer");
    let back = shop.json(&["seen-again", "1", "P0299", "--odometer", "213000"]);
    assert_eq!(
        (&back["stage"], &back["comebacks"]),
        (&"checking".into(), &1.into())
    );
    assert_eq!(
        back["readings"].as_array().unwrap().len(),
        1,
        "its history is there"
    );
}

#[test]
fn a_withdrawn_reading_is_kept_and_not_believed() {
    let shop = Shop::new("withdrawn");
    shop.taken_in();
    let before = shop.json(&["next", "1"]);
    let after = shop.json(&["read", "1", TEED]);
    assert_ne!(before["suspects"], after["suspects"]);
    shop.json(&["undo", "1", "--because", "another gauge"]);
    let again = shop.json(&["next", "1"]);
    for what in ["suspects", "nothing_wrong", "not_listed", "next"] {
        assert_eq!(before[what], again[what], "{what}");
    }
    let readings = &shop.json(&["show", "1"])["readings"];
    assert_eq!(readings[0]["withdrawn"], true);
    assert_eq!(readings[0]["who"], "Ann");
}

#[test]
fn what_makes_no_sense_is_refused_and_nothing_is_lost() {
    let shop = Shop::new("refused");
    shop.taken_in();
    let before = shop.json(&["show", "1"]);
    shop.refused(&["read", "1", "tee:valve.sauce@idle = 9 inHg"], "valve.s");
    shop.refused(&["read", "1", "tee:valve.source@idle = 9 apples"], "apples");
    shop.refused(&["rule-out", "1", "valv", "--because", "new"], "valve");
    shop.refused(&["show", "7"], "no job");
    shop.refused(
        &["new", "--circuit", "vacuum-wastegate", "--code", "Q0299"],
        "no trouble code",
    );
    shop.refused(
        &[
            "new",
            "--circuit",
            "vacuum-wastegate",
            "--replaced",
            "hosepipe, 3 km",
        ],
        "hosepipe",
    );
    shop.refused(&["reopen", "1", "--because", "x"], "open already");
    assert_eq!(before, shop.json(&["show", "1"]));
    assert_eq!(shop.json(&["list"]).as_array().unwrap().len(), 1);
}

#[test]
fn all_that_was_written_out_is_taken_in_once() {
    let (shop, other) = (Shop::new("here"), Shop::new("there"));
    shop.taken_in();
    shop.json(&["read", "1", TEED]);
    let file = shop.0.with_extension("jsonl");
    let file = file.to_str().unwrap();
    assert!(shop.run(&["export", file]).status.success());
    assert_eq!(other.json(&["import", file])["added"], 3);
    assert_eq!(other.json(&["import", file])["already"], 3);
    assert_eq!(shop.json(&["next", "1"]), other.json(&["next", "1"]));
    // Cut short, it is refused whole.
    let text = std::fs::read_to_string(file).unwrap();
    let cut = text.lines().take(2).collect::<Vec<_>>().join("\n");
    std::fs::write(file, cut).unwrap();
    Shop::new("third").refused(&["import", file], "line");
}

#[test]
fn history_moves_the_odds_and_says_so() {
    let (plain, renewed) = (Shop::new("plain"), Shop::new("renewed"));
    plain.taken_in();
    let new = [
        "new",
        "--circuit",
        "vacuum-wastegate",
        "--code",
        "P0299",
        "--altitude",
        "1600 m",
        "--odometer",
        "212000",
        "--replaced",
        "pump, 2000 km",
    ];
    renewed.json(&new);
    let (before, after) = (plain.json(&["next", "1"]), renewed.json(&["next", "1"]));
    let share = |answer: &Value, part: &str| answer["parts"][part].as_f64().unwrap();
    assert!(
        after["moved"].as_array().unwrap().contains(&"pump".into()),
        "{after}"
    );
    // Work near the hose that joins it makes the hose likelier.
    assert!(share(&after, "source-line") > share(&before, "source-line"));
}

#[test]
fn three_good_trips_put_the_lamp_out_and_the_fault_seen_brings_the_job_back() {
    let shop = Shop::new("watch");
    shop.taken_in();
    shop.refused(&["trip", "1"], "nothing has been repaired");
    shop.json(&["repair", "1", "source-line"]);
    shop.json(&["prove", "1", "road test uphill = yes", "--good"]);
    // 40 CFR 86.1806-05(d)(1): three subsequent sequential trips in which the monitor ran without finding the fault.
    for _ in 0..2 {
        shop.json(&["trip", "1", "--from", "15 °C", "--to", "88 °C"]);
        assert!(shop.json(&["trip", "1", "--not-run"])["watch"]["lamp"]["on"].is_object());
    }
    assert_eq!(shop.json(&["trip", "1"])["watch"]["lamp"], "out");
    shop.refused(&["trip", "1", "--to", "85 bar"], "temperature");
    let back = shop.json(&["trip", "1", "--fault"]);
    assert_eq!(
        (&back["stage"], &back["comebacks"]),
        (&"checking".into(), &1.into())
    );
}

/// A person may call the repair proven, and says why.
#[test]
fn a_repair_proven_by_hand_says_so() {
    let shop = Shop::new("by-hand");
    shop.taken_in();
    shop.json(&["read", "1", TEED]);
    shop.json(&["repair", "1", "source-line"]);
    shop.refused(&["close", "1"], "by hand");
    shop.refused(&["prove", "1", "--by-hand", " "], "must not be empty");
    let proven = shop.json(&["prove", "1", "--by-hand", "customer drove 200 km, pulls"]);
    assert_eq!(proven["stage"], "watch");
    let shown = shop.run(&["show", "1"]);
    let text = String::from_utf8(shown.stdout).unwrap();
    assert!(text.contains("by hand: customer drove 200 km, pulls"), "{text}");
    assert_eq!(shop.json(&["close", "1"])["stage"], "closed");
}

/// Whoever goes on after days reads what was about to be done, the last reading, what is open or off, whether the engine was hot.
#[test]
fn a_job_left_lying_says_where_it_stood() {
    let shop = Shop::new("left");
    shop.json(&[
        "new",
        "--circuit",
        "vacuum-wastegate",
        "--code",
        "P0299",
        "--code",
        "P0243",
        "--frozen",
        "coolant = 96 °C",
    ]);
    shop.json(&["read", "1", TEED]);
    let open = [
        "stands",
        "1",
        "--open",
        "engine cover",
        "--off",
        "source-line",
        "--hot",
    ];
    let stood = shop.json(&open);
    let told = stood["stands"].to_string();
    let next = shop.json(&["next", "1"])["next"][0]["check"]
        .as_str()
        .unwrap()
        .to_owned();
    for what in [
        &*format!("About to be done: {next}, "),
        "by Ann: tee:valve.source@idle = 9 inHg.",
        "engine cover",
        "Off the vehicle",
        "The engine was hot",
    ] {
        assert!(told.contains(what), "{what}: {told}");
    }
    assert_eq!(stood["explained"][0]["by"][0], "P0243");
    assert_eq!(stood["freeze_frame"][0]["value"], "96 °C");
    let sheet = String::from_utf8(shop.run(&["report", "1"]).stdout).unwrap();
    for what in [
        "Where it stands",
        &next,
        "The engine was hot",
        "may come of P0243",
        "coolant: 96 °C",
    ] {
        assert!(sheet.contains(what), "{what}");
    }
    // What was measured before and after the repair stands side by side, for the customer in plain words.
    shop.json(&["repair", "1", "source-line"]);
    shop.json(&["prove", "1", "tee:valve.source@idle = 25.5 inHg"]);
    let customer = String::from_utf8(shop.run(&["report", "1", "--customer"]).stdout).unwrap();
    assert!(
        customer
            .contains("Vacuum at the boost control solenoid: 9 inHg before, 25.5 inHg after; healthy is "),
        "{customer}"
    );
}

#[test]
fn the_sheets_stand_alone() {
    let shop = Shop::new("sheets");
    shop.taken_in();
    shop.json(&["read", "1", TEED]);
    for page in [&["report", "1"][..], &["report", "1", "--customer"]] {
        let output = shop.run(page);
        assert!(output.status.success(), "{}", stderr(&output));
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(text.contains("no power uphill"), "{page:?}");
        assert!(!text.contains("<script") && !text.contains(" src="), "{page:?}");
    }
}

/// Paper that needs no browser: sheets of A4, and the plan from here on as a card with the job's vehicle on it.
#[cfg(feature = "pdf")]
#[test]
fn the_sheets_are_printed() {
    let shop = Shop::new("printed");
    shop.taken_in();
    shop.json(&["read", "1", TEED]);
    shop.refused(&["report", "1", "--pdf"], "--out");
    shop.refused(&["report", "1", "--card", "--customer"], "--customer");
    for (name, which) in [
        ("shop", None),
        ("customer", Some("--customer")),
        ("card", Some("--card")),
    ] {
        let file = shop.0.with_file_name(format!("{name}.pdf"));
        let mut arguments = vec!["report", "1", "--out", file.to_str().unwrap()];
        arguments.extend(which);
        let output = shop.run(&arguments);
        assert!(output.status.success(), "{}", stderr(&output));
        let written = std::fs::read(&file).unwrap();
        assert!(
            written.starts_with(b"%PDF-") && written.trim_ascii_end().ends_with(b"%%EOF"),
            "{name}"
        );
    }
    let card = String::from_utf8(shop.run(&["report", "1", "--card"]).stdout).unwrap();
    for told in [
        "job 1: invented white van",
        "212000 km",
        "Ann",
        "After 1 readings",
    ] {
        assert!(card.contains(told), "{told}");
    }
}
