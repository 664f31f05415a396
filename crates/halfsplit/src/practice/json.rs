//! The results of many jobs as JSON. Field names are a contract.

use super::OURS;
use engine::practice::{Contest, Score};
use serde::Serialize;

/// All jobs, and the same for every circuit.
#[derive(Debug, Serialize)]
pub(super) struct Answer<'a> {
    #[serde(flatten)]
    all: Results<'a>,
    circuits: Vec<Circuit<'a>>,
}

#[derive(Debug, Serialize)]
struct Circuit<'a> {
    name: &'a str,
    #[serde(flatten)]
    results: Results<'a>,
}

#[derive(Debug, Serialize)]
struct Results<'a> {
    jobs: usize,
    /// Jobs whose cause is one of the circuit's faults.
    listed: usize,
    seed: u64,
    strategies: Vec<Strategy<'a>>,
    /// Of the plan's probabilities; null where it played no job.
    calibration: Option<Calibration>,
}

#[derive(Debug, Serialize)]
struct Strategy<'a> {
    name: &'a str,
    mean_cost: f64,
    median_cost: f64,
    p95_cost: f64,
    first_repair_right: f64,
    wrong_parts_per_job: f64,
    checks_per_job: f64,
    given_up: usize,
}

#[derive(Debug, Serialize)]
struct Calibration {
    error: f64,
    brier: f64,
    log_score: f64,
    table: Vec<Bin>,
}

#[derive(Debug, Serialize)]
struct Bin {
    said: f64,
    was: f64,
    jobs: usize,
}

/// The results as JSON sees them.
pub(super) fn answer(contest: &Contest, jobs: usize, seed: u64) -> Answer<'_> {
    Answer {
        all: results(&contest.all, jobs, seed),
        circuits: contest
            .circuits
            .iter()
            .map(|(name, scores)| Circuit {
                name,
                results: results(scores, scores.first().map_or(0, |score| score.jobs), seed),
            })
            .collect(),
    }
}

fn results(scores: &[Score], jobs: usize, seed: u64) -> Results<'_> {
    let ours = scores.iter().find(|score| score.name == OURS);
    Results {
        jobs,
        listed: scores.first().map_or(0, |score| score.listed),
        seed,
        strategies: scores.iter().map(strategy).collect(),
        calibration: ours.and_then(|score| score.calibration.as_ref()).map(calibration),
    }
}

fn strategy(score: &Score) -> Strategy<'_> {
    Strategy {
        name: score.name,
        mean_cost: score.mean_cost,
        median_cost: score.median_cost,
        p95_cost: score.p95_cost,
        first_repair_right: score.first_repair_right,
        wrong_parts_per_job: score.wrong_parts_per_job,
        checks_per_job: score.checks_per_job,
        given_up: score.given_up,
    }
}

fn calibration(calibration: &engine::practice::Calibration) -> Calibration {
    Calibration {
        error: calibration.error,
        brier: calibration.brier,
        log_score: calibration.log_score,
        table: calibration
            .table
            .iter()
            .map(|bin| Bin {
                said: bin.said,
                was: bin.was,
                jobs: bin.jobs,
            })
            .collect(),
    }
}
