//! A circuit out of composed kinds, at the command line: the example of the documents, findings in included files, a job that
//! keeps everything it needs.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::Desk;
use std::fs;
use std::path::Path;

const CIRCUIT: &str = include_str!("../../../docs/two-stages.toml");
const KINDS: &str = include_str!("../../../docs/kinds/vacuum-unit.toml");

fn desk(name: &str, circuit: &str, kinds: &str) -> Desk {
    let desk = Desk::new(name);
    fs::create_dir_all(desk.0.join("kinds")).unwrap();
    desk.put("two-stages.toml", circuit)
        .put("kinds/vacuum-unit.toml", kinds);
    desk
}

/// From anywhere: the included file lies beside the circuit, not beside who asks.
#[test]
fn the_documented_example_works_with_every_command() {
    let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/two-stages.toml");
    let circuit = docs.to_str().unwrap();
    let desk = Desk::new("composed-example");
    let described = desk.json(&["describe", circuit]);
    let ids: Vec<&str> = described["parts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|part| part["id"].as_str().unwrap())
        .collect();
    assert!(
        ids.contains(&"low.valve") && ids.contains(&"high.actuator"),
        "{ids:?}"
    );
    assert_eq!(ids.len(), 14);
    // The stiffer spring was given from outside: its actuator moves less at the same vacuum.
    let travel = |unit: &str| {
        desk.json(&[
            "expect",
            circuit,
            "--check",
            &format!("travel:{unit}.actuator.rod@idle"),
        ])["median"]
            .as_f64()
            .unwrap()
    };
    assert!(
        travel("high") < travel("low"),
        "{} {}",
        travel("high"),
        travel("low")
    );
    let suspects = desk.json(&[
        "suspects",
        circuit,
        "--reading",
        "travel:low.actuator.rod@idle = 0 mm",
        "--reading",
        "tee:low.actuator.nipple@idle = 20 inHg",
    ]);
    let first = suspects["suspects"][0]["faults"][0].as_str().unwrap().to_owned();
    assert!(
        first.starts_with("low.actuator/") || first.starts_with("low-flap/"),
        "{first}"
    );
    let drawn = desk.run(&["draw", circuit]);
    assert!(
        drawn.out.contains("low.actuator") && drawn.out.contains("high.hose"),
        "{}",
        drawn.out
    );
}

#[test]
fn findings_are_shown_in_their_own_file() {
    let kinds = KINDS.replace("coil = \"14.5 ohm ± 8 %\"", "coil = \"14.5 V\"");
    let given = desk("composed-findings", CIRCUIT, &kinds).run(&["describe", "two-stages.toml"]);
    assert_eq!((given.code, given.out.as_str()), (2, ""));
    insta::assert_snapshot!(given.err);
    // What the kind shows to the outside is looked at where it is used.
    let circuit = CIRCUIT.replace("preload = \"75 N\"", "preload = \"75 V\"");
    let given = desk("composed-use", &circuit, KINDS).run(&["describe", "two-stages.toml"]);
    assert!(
        given.code == 2 && given.err.contains("two-stages.toml:38:15"),
        "{}",
        given.err
    );
}

#[test]
fn what_is_not_there_is_told_where_it_is_asked_for() {
    let circuit = CIRCUIT.replace("kinds/vacuum-unit.toml", "kinds/vacum-unit.toml");
    let given = desk("composed-missing", &circuit, KINDS).run(&["describe", "two-stages.toml"]);
    assert_eq!((given.code, given.out.as_str()), (2, ""));
    assert!(
        given.err.contains("`kinds/vacum-unit.toml` cannot be included"),
        "{}",
        given.err
    );
    assert!(given.err.contains("two-stages.toml:3:13"), "{}", given.err);
    assert!(!given.err.contains("unknown kind"), "{}", given.err);
    let circuit = CIRCUIT.replace("kinds/vacuum-unit.toml", "../kinds/vacuum-unit.toml");
    let given = desk("composed-outside", &circuit, KINDS).run(&["describe", "two-stages.toml"]);
    assert!(given.code == 2 && given.err.contains("C084"), "{}", given.err);
    // Bytes that are no text.
    let desk = desk("composed-bytes", CIRCUIT, KINDS);
    desk.put("kinds/vacuum-unit.toml", [0xff, 0xfe, 0x41]);
    let given = desk.run(&["describe", "two-stages.toml"]);
    assert!(
        given.code == 2 && given.err.contains("C085") && given.err.contains("UTF-8"),
        "{}",
        given.err
    );
}

/// The job keeps the kinds too: the shared file may change or go.
#[test]
fn a_job_keeps_what_it_included() {
    let desk = desk("composed-job", CIRCUIT, KINDS);
    let store = desk.0.join("jobs.db");
    let database = format!("sqlite:{}", store.display());
    let at = ["--database", database.as_str()];
    let new = [
        &[
            "job",
            "new",
            "--circuit",
            "two-stages.toml",
            "--vehicle",
            "van",
            "--complaint",
            "weak",
        ],
        &at[..],
    ]
    .concat();
    let given = desk.run(&new);
    assert_eq!(given.code, 0, "{}", given.err);
    fs::remove_dir_all(desk.0.join("kinds")).unwrap();
    fs::remove_file(desk.0.join("two-stages.toml")).unwrap();
    let read = [
        &["job", "read", "1", "travel:low.actuator.rod@idle = 1 mm"],
        &at[..],
    ]
    .concat();
    let given = desk.run(&read);
    assert_eq!(given.code, 0, "{}", given.err);
    let next = desk.run(&[&["job", "next", "1"], &at[..]].concat());
    assert!(
        next.code == 0 && next.out.contains("low."),
        "{}{}",
        next.out,
        next.err
    );
}
