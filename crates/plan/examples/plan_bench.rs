//! Times the planner on abstract tables: one JSON line for each figure.
//!
//! - `plan to proof`: tables of `references/`, those of one kind and size together, as the peers in `scripts/bench_peers` solve them;
//!   beside it the plain exact program of the tests.
//! - `plan in time`: drawn tables, each planned anew for every time allowed; what the plan costs then, and its gap to the bound.
#![allow(clippy::print_stdout, reason = "its output is its purpose")]
#![allow(clippy::unwrap_used, reason = "the tables belong to the repository")]

#[path = "../tests/exact/mod.rs"]
mod exact;
#[path = "../tests/planner/mod.rs"]
mod planner;

use std::collections::BTreeMap;
use std::hint::black_box;
use std::time::Instant;

use exact::draw::{Kind, draw_sized};
use exact::read::{list, problem, reference};
use exact::walk::worth;
use exact::{Problem, optimum};
use plan::{Progress, sequence};
use serde_json::json;

/// Odd, so that the median is a run that happened.
const RUNS: usize = 5;

/// Seconds that a plan is allowed.
const ALLOWED: [f64; 7] = [0.0, 0.001, 0.01, 0.05, 0.2, 1.0, 5.0];

fn main() {
    for (name, problems) in reference_tables() {
        to_proof(&name, &problems);
    }
    let drawn = [
        (Kind::Isolate, 12, 12),
        (Kind::Isolate, 20, 20),
        (Kind::Isolate, 50, 50),
        (Kind::Isolate, 200, 200),
        (Kind::Noisy, 8, 9),
        (Kind::Noisy, 20, 20),
        (Kind::Noisy, 50, 50),
        (Kind::RepairsAndTests, 10, 10),
        (Kind::RepairsAndTests, 20, 20),
        (Kind::RepairsAndTests, 50, 50),
        (Kind::RepairsAndNoisyTests, 6, 5),
        (Kind::RepairsAndNoisyTests, 20, 20),
    ];
    for (kind, causes, tests) in drawn {
        in_time(
            &format!("{} {causes} x {tests}", words(kind)),
            &draw_sized(kind, causes, tests, 1),
        );
    }
}

fn words(kind: Kind) -> &'static str {
    match kind {
        Kind::Noisy => "isolate with error",
        Kind::RepairsAndTests => "repair",
        Kind::RepairsAndNoisyTests => "repair with error",
        _ => "isolate",
    }
}

/// The tables of the references, by kind and size.
fn reference_tables() -> BTreeMap<String, Vec<Problem>> {
    let mut groups: BTreeMap<String, Vec<Problem>> = BTreeMap::new();
    for file in ["sequencing.json", "sequencing_trees.json"] {
        for case in list(&reference(file)["cases"]) {
            let table = problem(&case["input"]);
            let (causes, tests) = (table.priors.len(), table.tests.len());
            let mut name = case["kind"].as_str().unwrap().to_owned();
            if file == "sequencing_trees.json" {
                name = format!("trees {name} {causes:02} x {tests:02}");
            }
            groups.entry(name).or_default().push(table);
        }
    }
    groups
}

fn to_proof(name: &str, problems: &[Problem]) {
    let tables: Vec<plan::Table> = problems.iter().map(planner::table).collect();
    let micros = median(|| {
        for table in &tables {
            let found = black_box(sequence(black_box(table), &mut |_| true)).unwrap();
            assert!(found.optimal);
        }
    });
    let plain = median(|| {
        for problem in problems {
            black_box(optimum(black_box(problem)));
        }
    });
    let count = problems.len();
    println!(
        "{}",
        json!({ "name": format!("plan to proof, {name}"), "micros": shown(micros), "tables": count })
    );
    println!(
        "{}",
        json!({ "name": format!("plain exact program, {name}"), "micros": shown(plain), "tables": count })
    );
}

fn in_time(name: &str, problem: &Problem) {
    let table = planner::table(problem);
    let mut runs = Vec::new();
    for allowed in ALLOWED {
        let (mut nodes, start) = (0, Instant::now());
        let mut keep_going = |now: &Progress| {
            nodes = now.nodes;
            start.elapsed().as_secs_f64() < allowed
        };
        let found = sequence(&table, &mut keep_going).unwrap();
        let seconds = start.elapsed().as_secs_f64();
        let cost = worth(problem, &planner::plan(problem, &found.tree)).unwrap().cost;
        runs.push(json!({
            "allowed_s": allowed,
            "took_s": shown(seconds),
            "nodes": nodes,
            "cost": shown(cost),
            "gap": shown(cost / found.lower_bound - 1.0),
            "proven": found.optimal,
        }));
        if found.optimal {
            break;
        }
    }
    println!(
        "{}",
        json!({ "name": format!("plan in time, {name}"), "runs": runs })
    );
}

/// Median time of one run, in microseconds.
fn median(mut work: impl FnMut()) -> f64 {
    let mut micros: Vec<f64> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64() * 1e6
        })
        .collect();
    micros.sort_by(f64::total_cmp);
    micros[RUNS / 2]
}

/// Five significant digits.
fn shown(value: f64) -> f64 {
    format!("{value:.4e}").parse().unwrap()
}
