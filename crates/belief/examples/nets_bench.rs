//! Times exact posteriors of discrete nets: one JSON line per case, the median of many runs in microseconds.
#![allow(clippy::print_stdout, reason = "its output is its purpose")]
#![allow(clippy::unwrap_used, reason = "the nets belong to the repository")]

#[path = "../tests/published/mod.rs"]
mod published;

use std::hint::black_box;
use std::time::Instant;

use belief::sets::{Growth, grow};
use published::{bayes_net, noisy_or_cases, reference};

/// Odd, so that the median is a run that happened.
const RUNS: usize = 301;

fn main() {
    for case in noisy_or_cases() {
        let name = |what: &str| format!("noisy-or 30x20 {} {} bad, {what}", case.name, case.bad_readings());
        time(&name("all posteriors"), || {
            case.net
                .posteriors(black_box(&case.readings))
                .unwrap()
                .ln_evidence
        });
        let model = case.net.case(&case.readings).unwrap();
        time(&name("grown sets"), || {
            grow(black_box(&model), &Growth::default())
                .unwrap()
                .ln_evidence_kept
        });
    }
    let asia = bayes_net(&reference("networks.json")["asia"]["nodes"]);
    let evidence = [
        (asia.variable("asia").unwrap(), true),
        (asia.variable("dysp").unwrap(), true),
    ];
    time("asia, all posteriors", || {
        asia.posteriors(black_box(&evidence)).unwrap().ln_evidence
    });
}

fn time(name: &str, mut work: impl FnMut() -> f64) {
    let mut micros: Vec<f64> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            black_box(work());
            start.elapsed().as_secs_f64() * 1e6
        })
        .collect();
    micros.sort_by(f64::total_cmp);
    println!(
        "{}",
        serde_json::json!({ "name": name, "micros": (micros[RUNS / 2] * 100.0).round() / 100.0 })
    );
}
