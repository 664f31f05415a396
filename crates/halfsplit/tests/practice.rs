//! Practice as somebody at a terminal or another program calls it.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{BENCH, Desk, list, number, text};
use serde_json::Value;

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
