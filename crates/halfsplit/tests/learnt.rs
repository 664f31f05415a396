//! What closed jobs teach, on the command line. Every job here is invented.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use jiff::Timestamp;
use job::{Behind, Closing, Described, Entry, EntryId, Event, FORMAT, Intake, JobId, Mended, Said, Vehicle};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use store::{Sqlite, Store};
use uuid::Uuid;

const WASTEGATE: &str = "vacuum-wastegate";

/// A shop with a database of its own.
struct Shop(PathBuf);

impl Shop {
    fn new(name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("learnt-{name}"));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        Self(folder.join("shop.db"))
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_halfsplit"))
            .args(arguments)
            .env("HALFSPLIT_DATABASE", &self.0)
            .env("HALFSPLIT_WHO", "Ann")
            .output()
            .unwrap()
    }

    fn text(&self, arguments: &[&str]) -> String {
        let output = self.run(arguments);
        assert!(output.status.success(), "{arguments:?}: {}", stderr(&output));
        String::from_utf8(output.stdout).unwrap()
    }

    fn json(&self, arguments: &[&str]) -> Value {
        serde_json::from_str(&self.text(&[arguments, &["--json"]].concat())).unwrap()
    }

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

    /// Puts closed jobs in the store whose program stopped before they could teach.
    fn closed_jobs(&self, faults: &[&str]) {
        let mut store = Sqlite::open(&self.0).unwrap();
        for (number, fault) in faults.iter().enumerate() {
            store.append(&closed_job(number as u64, fault)).unwrap();
        }
    }

    fn file(&self, name: &str) -> String {
        self.0.with_file_name(name).to_str().unwrap().to_owned()
    }

    fn new_job(&self) -> i64 {
        let new = ["job", "new", "--circuit", WASTEGATE, "--odometer", "120000"];
        self.json(&new)["number"].as_i64().unwrap()
    }
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn closed_job(number: u64, fault: &str) -> Vec<Entry> {
    let circuit = engine::shipped_called(WASTEGATE).unwrap();
    let part = fault.split_once('/').unwrap().0.to_owned();
    let intake = Intake {
        vehicle: Vehicle {
            words: "invented van of a customer called Okonkwo".to_owned(),
            odometer_km: Some(80_000.0 + 3_000.0 * number as f64),
            engine_hours: None,
        },
        complaint: "no power uphill".to_owned(),
        circuit: Described {
            name: circuit.name.to_owned(),
            text: circuit.text.to_owned(),
        },
        ..Intake::default()
    };
    let said = |text: &str| Said::Answer(text.to_owned());
    let events = [
        Event::TakenIn { intake },
        Event::Reading {
            check: "tee:valve.source@idle".to_owned(),
            said: Said::Value("9 inHg".to_owned()),
            instrument: None,
            accuracy: None,
            minutes: Some(30.0),
            over: None,
        },
        Event::CauseProven {
            faults: vec![fault.to_owned()],
            shown_by: Vec::new(),
            probability: 0.97,
            by_hand: None,
        },
        Event::Repaired {
            part,
            how: Mended::Renewed,
            grade: None,
            price: None,
            minutes: None,
            behind: Behind::NotFound,
        },
        Event::Proof {
            check: "road test uphill".to_owned(),
            said: said("yes"),
            good: true,
        },
        Event::Closed {
            how: Closing::Repaired,
        },
    ];
    let job = JobId(Uuid::from_u128((u128::from(number) + 1) << 96));
    let entry = |(turn, event): (u64, Event)| Entry {
        format: FORMAT,
        id: EntryId(Uuid::from_u128(u128::from(number) * 100 + u128::from(turn) + 1)),
        job,
        turn,
        at: Timestamp::from_second(1_780_000_000 + i64::try_from(number * 100 + turn).unwrap()).unwrap(),
        who: "Ann".to_owned(),
        device: "bench".to_owned(),
        event,
    };
    (0..).zip(events).map(entry).collect()
}

/// Forty jobs, thirty of them with one cause that ships among the rarer ones.
fn forty() -> Vec<&'static str> {
    [vec!["flap/stiff"; 30], vec!["pump/worn"; 10]].concat()
}

#[test]
fn forty_jobs_make_their_cause_likelier_in_the_next() {
    let (plain, shop) = (Shop::new("plain"), Shop::new("forty"));
    shop.closed_jobs(&forty());
    let (before, after) = (plain.new_job().to_string(), shop.new_job().to_string());
    let share = |answer: &Value, fault: &str| {
        let suspects = answer["suspects"].as_array().unwrap();
        let of = suspects
            .iter()
            .find(|suspect| suspect["faults"] == serde_json::json!([fault]));
        of.unwrap()["probability"].as_f64().unwrap()
    };
    // The first twenty teach by the way, the others when they are asked for.
    let told = shop.json(&["learnt", WASTEGATE]);
    let (before, after) = (
        plain.json(&["job", "next", &before]),
        shop.json(&["job", "next", &after]),
    );
    assert!(
        share(&before, "flap/stiff") < 0.05 && share(&after, "flap/stiff") > 0.3,
        "{after}"
    );
    assert!(share(&after, "flap/seized") < share(&before, "flap/seized"));
    assert_eq!(before["learnt"], serde_json::json!([]));
    assert_eq!(after["learnt"], serde_json::json!(["pump/worn", "flap/stiff"]));
    // Slower than shipped, so the plan allows more.
    let minutes = |told: &Value| {
        let check = &told["checks"][0];
        (
            check["check"].as_str().unwrap().to_owned(),
            check["minutes"].as_f64().unwrap(),
        )
    };
    let (check, learnt) = minutes(&told);
    assert_eq!(check, "tee:valve.source@idle");
    assert!(learnt > 1.5 * told["checks"][0]["shipped_minutes"].as_f64().unwrap());
    // With how sure that is.
    assert_eq!(told["jobs"], 40);
    let first = &told["causes"][0];
    let figure = |name: &str| first[name].as_f64().unwrap();
    assert_eq!(
        (&first["what"], &first["seen"]),
        (&"flap/stiff".into(), &30.into())
    );
    assert!(figure("low") < figure("share") && figure("share") < figure("high"));
    assert!(figure("low") > 0.3 && figure("high") < 0.65, "{first}");
    let text = shop.text(&["learnt", WASTEGATE]);
    for part in [
        "flap/stiff",
        "true share, 9 times in 10",
        "wastegate flap: 30 failed",
        "access open",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let overview = shop.json(&["learnt"]);
    assert_eq!(
        (&overview["jobs"], &overview["own_jobs"]),
        (&40.into(), &40.into())
    );
}

#[test]
fn a_job_teaches_once_and_takes_it_back_when_it_is_reopened() {
    let shop = Shop::new("once");
    let job = shop.new_job().to_string();
    let job = job.as_str();
    let step = |arguments: &[&str]| shop.json(&[&["job"], arguments].concat());
    let repaired = |fault: &str, part: &str| {
        step(&["prove-cause", job, fault, "--by-hand", "seen"]);
        step(&["repair", job, part]);
        step(&["prove", job, "road test = yes", "--good"]);
        step(&["close", job]);
    };
    let found = || {
        let told = shop.json(&["learnt", WASTEGATE]);
        let causes = told["causes"].as_array().unwrap().clone();
        let seen = causes.into_iter().filter(|cause| cause["seen"] != 0);
        let names: Vec<String> = seen
            .map(|cause| cause["what"].as_str().unwrap().to_owned())
            .collect();
        (told["jobs"].as_u64().unwrap(), names)
    };
    repaired("pump/worn", "pump");
    assert_eq!(found(), (1, vec!["pump/worn".to_owned()]));
    shop.refused(&["job", "close", job], "the job is closed");
    assert_eq!(found().0, 1);
    // What a job taught does not come back to it.
    assert_eq!(step(&["next", job])["learnt"], serde_json::json!([]));
    step(&[
        "reopen",
        job,
        "--because",
        "no power again",
        "--comeback",
        "--odometer",
        "120300",
    ]);
    assert_eq!(found(), (0, Vec::new()));
    repaired("valve/sticks open", "valve");
    assert_eq!(found(), (1, vec!["valve/sticks open".to_owned()]));
    // An invented vehicle teaches nothing.
    let shown = step(&["new", "--circuit", WASTEGATE, "--invented"])["number"].to_string();
    step(&["close", &shown, "--nothing-wrong"]);
    assert_eq!(found().0, 1);
}

#[test]
fn what_a_stopped_program_left_is_taught_at_the_next_opening() {
    let shop = Shop::new("stopped");
    shop.closed_jobs(&["pump/worn"]);
    let job = shop.new_job().to_string();
    assert_eq!(
        shop.json(&["job", "next", &job])["learnt"],
        serde_json::json!(["pump/worn"])
    );
}

#[test]
fn shops_add_their_sums() {
    let (ours, theirs) = (Shop::new("ours"), Shop::new("theirs"));
    ours.closed_jobs(&["pump/worn"]);
    theirs.closed_jobs(&forty());
    let file = theirs.file("sums.jsonl");
    let said = theirs.text(&["learnt", "--export", &file]);
    assert!(said.starts_with("sums of 40 closed jobs on 1 circuit"), "{said}");
    let text = std::fs::read_to_string(&file).unwrap();
    for private in ["Okonkwo", "invented van", "Ann", "uphill", "bench"] {
        assert!(!text.contains(private), "{private}");
    }
    let jobs = || {
        let overview = ours.json(&["learnt"]);
        (
            overview["jobs"].as_u64().unwrap(),
            overview["own_jobs"].as_u64().unwrap(),
        )
    };
    assert_eq!(ours.json(&["learnt", "--add", &file])["became"], "new");
    assert_eq!(jobs(), (41, 1));
    assert_eq!(ours.json(&["learnt", "--add", &file])["became"], "already");
    assert_eq!(jobs(), (41, 1), "added twice, counted once");
    // Written again an hour later, it takes the place of the first.
    theirs.text(&["learnt", "--export", &file]);
    assert_eq!(ours.json(&["learnt", "--add", &file])["became"], "newer");
    assert_eq!(jobs(), (41, 1));
    // What was added is not handed on as one's own.
    let own = ours.file("own.jsonl");
    assert!(
        ours.text(&["learnt", "--export", &own])
            .starts_with("sums of 1 closed job ")
    );
    ours.refused(&["learnt", "--add", &own], "own sums");
    // A file that is not as it was written.
    let spoilt = ours.file("spoilt.jsonl");
    let add = |text: String, why: &str| {
        std::fs::write(&spoilt, text).unwrap();
        ours.refused(&["learnt", "--add", &spoilt], why);
    };
    add(text.replace("\"flap/stiff\":30", "\"flap/stiff\":31"), "checksum");
    add(text.lines().take(2).collect::<Vec<_>>().join("\n"), "cut off");
    add(text[..text.len() / 2].to_owned(), "cut off");
    add(
        text.replace("\"format\":1", "\"format\":9"),
        "newer version of halfsplit",
    );
    add(
        "{\"halfsplit\":\"jobs\",\"format\":1}\n".to_owned(),
        "not exported sums",
    );
    add("not JSON".to_owned(), "line 1");
    assert_eq!(jobs(), (41, 1));
    let shop = ours.json(&["learnt"])["shops"][0]["shop"]
        .as_str()
        .unwrap()
        .to_owned();
    ours.refused(&["learnt", "--leave-out", "x"], "no shop");
    ours.text(&["learnt", "--leave-out", &shop[..8]]);
    assert_eq!(jobs(), (1, 1));
}

#[test]
fn a_shop_moves_with_what_it_has_learnt() {
    let shop = Shop::new("moves");
    shop.closed_jobs(&["pump/worn", "flap/stiff"]);
    shop.new_job();
    let there = Shop(shop.0.with_file_name("there.db"));
    let to = there.0.to_str().unwrap();
    let moved = shop.json(&["job", "move", "--to", to]);
    assert_eq!((&moved["jobs"], &moved["added"]), (&3.into(), &13.into()));
    assert_eq!(shop.json(&["learnt"]), there.json(&["learnt"]));
    assert_eq!(
        shop.json(&["job", "next", "3"]),
        there.json(&["job", "next", "3"])
    );
    assert!(
        shop.text(&["job", "move", "--to", to])
            .contains("13 were there already")
    );
    let here = shop.0.to_str().unwrap();
    shop.refused(&["job", "move", "--to", here], "is where the jobs are already");
    let other = Shop::new("other");
    other.new_job();
    shop.refused(
        &["job", "move", "--to", other.0.to_str().unwrap()],
        "other jobs in the new place",
    );
}
