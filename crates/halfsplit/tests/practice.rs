//! Practice as somebody at a terminal or another program calls it.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{BENCH, Desk, list, number, text};
use serde_json::Value;
use std::io::Write;
use std::process::Stdio;

fn desk(name: &str) -> Desk {
    let desk = Desk::new(name);
    desk.put("bench.toml", BENCH);
    desk
}

fn check_results(results: &Value, jobs: f64) {
    assert!((number(results, "jobs") - jobs).abs() < 0.5, "{results}");
    let strategies = list(results, "strategies");
    for strategy in strategies {
        let share = number(strategy, "first_repair_right");
        assert!((0.0..=1.0).contains(&share), "{strategy}");
        assert!(
            number(strategy, "mean_cost") > 0.0 && number(strategy, "median_cost") > 0.0,
            "{strategy}"
        );
        assert!(
            number(strategy, "p95_cost") >= number(strategy, "median_cost"),
            "{strategy}"
        );
        assert!(number(strategy, "wrong_parts_per_job") >= 0.0 && number(strategy, "checks_per_job") >= 0.0);
    }
    let named = |name: &str| strategies.iter().any(|strategy| text(strategy, "name") == name);
    assert!(
        named("habit") && named("parts") && named("information"),
        "{strategies:?}"
    );
    let calibration = &results["calibration"];
    if named("plan") {
        let bins = list(calibration, "table");
        let counted: f64 = bins.iter().map(|bin| number(bin, "jobs")).sum();
        // A job that ended with a look beyond has no first repair.
        assert!(counted > 0.0 && counted <= jobs, "{calibration}");
        for bin in bins {
            assert!((0.0..=1.0).contains(&number(bin, "said")) && (0.0..=1.0).contains(&number(bin, "was")));
        }
        assert!(number(calibration, "error") >= 0.0 && number(calibration, "brier") >= 0.0);
        assert!(number(calibration, "log_score") >= 0.0);
    }
}

#[test]
fn many_jobs_give_one_row_a_strategy_and_a_circuit() {
    let desk = desk("practice-many");
    let results = desk.json(&["practice", "bench.toml", "--jobs", "12", "--seed", "3"]);
    check_results(&results, 12.0);
    assert_eq!(results["seed"], 3);
    let circuits = list(&results, "circuits");
    assert_eq!(circuits.len(), 1);
    assert_eq!(text(&circuits[0], "name"), "bench");
    check_results(&circuits[0], 12.0);
}

#[test]
fn the_same_seed_gives_the_same_results() {
    let desk = desk("practice-seed");
    let run = |seed: &str| {
        desk.run(&["practice", "bench.toml", "--jobs", "6", "--seed", seed])
            .out
    };
    assert_eq!(run("5"), run("5"));
    assert_ne!(run("5"), run("6"));
}

#[test]
fn what_makes_no_sense_is_refused() {
    let desk = desk("practice-refused");
    for arguments in [
        &["practice"][..],
        &["practice", "--all"],
        &["practice", "bench.toml", "--all", "--jobs", "3"],
        &["practice", "bench.toml", "--jobs", "0"],
        &["practice", "bench.toml", "--jobs", "many"],
        &["practice", "nothing.toml", "--jobs", "3"],
    ] {
        let given = desk.run(arguments);
        assert_eq!(
            (given.code, given.out.as_str()),
            (2, ""),
            "{arguments:?}: {}",
            given.err
        );
    }
}

/// Plays at the prompt with `lines` typed.
fn typed(desk: &Desk, seed: &str, lines: &str) -> String {
    let mut command = desk.command(&["practice", "bench.toml", "--seed", seed]);
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

/// Every part renewed and a look beyond: whatever was hidden is gone in the end, unless a new part was bad.
fn everything() -> String {
    let parts = ["pump", "source-hose", "filter", "signal-hose", "actuator", "flap"];
    parts.map(|part| format!("renew {part} bench\n")).concat() + "beyond\n"
}

#[test]
fn a_job_at_the_prompt_is_told_from_complaint_to_account() {
    let desk = desk("practice-prompt");
    let told = typed(&desk, "4", &format!("tee:filter.to@idle\n{}", everything()));
    for part in [
        "complaint",
        "weak below 2,000 rpm",
        "P0299",
        "The end",
        "What was hidden",
        "you",
    ] {
        assert!(told.contains(part), "{part} is missing in\n{told}");
    }
    assert!(
        told.contains("the complaint is gone") || told.contains("the cause was there"),
        "{told}"
    );
    assert!(!told.contains('\u{1b}'), "no colours into a pipe");
    assert_eq!(
        told,
        typed(&desk, "4", &format!("tee:filter.to@idle\n{}", everything())),
        "the same seed, the same job"
    );
}

/// The usual caution comes before the step and the step before its reading.
#[test]
fn cautions_stand_before_the_reading() {
    let told = typed(&desk("practice-caution"), "4", "tee:filter.to@idle\nquit\n");
    let at = |text: &str| {
        told.find(text)
            .unwrap_or_else(|| panic!("{text} is missing in\n{told}"))
    };
    assert!(
        at("CAUTION") < at("Put a tee in") && at("Put a tee in") < at("READ"),
        "{told}"
    );
}

#[test]
fn whatever_is_typed_is_answered() {
    let desk = desk("practice-odd");
    let told = typed(
        &desk,
        "4",
        "\nhelp\nchecks\n99\n0\nrenew\nrenew pmp\nzebra\nreadings\nparts\n\u{7}\u{1b}[31m\n18446744073709551616\n",
    );
    for answer in [
        "no such number",
        "which part?",
        "did you mean `pump`?",
        "no check has these words",
        "nothing yet",
    ] {
        assert!(told.contains(answer), "{answer} is missing in\n{told}");
    }
    // The lines ended before the job did.
    assert!(
        told.contains("Left before the end") && told.contains("What was hidden"),
        "{told}"
    );
    let refused = desk.refused(&["practice", "bench.toml", "--json"], 2);
    assert!(refused.contains("--jobs"), "{refused}");
}

/// A number chooses from the list that was shown last.
#[test]
fn a_number_makes_the_check_that_stands_beside_it() {
    let told = typed(&desk("practice-number"), "4", "deadhead filter\n1\nquit\n");
    let listed = told
        .lines()
        .find(|line| line.trim_start().starts_with("1  deadhead:"))
        .unwrap();
    let id = listed.split_whitespace().nth(1).unwrap();
    assert!(
        told.lines().any(|line| line.starts_with(&format!("{id}   ("))),
        "{told}"
    );
}
