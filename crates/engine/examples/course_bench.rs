//! Times the plan of a whole job on every shipped circuit: for every time allowed what it costs, what is proven, and how many
//! nodes were looked into. One JSON line per circuit: `{"name", "runs": [{"allowed_s", ..}, ..]}`.
//!
//! Every run plans on the same samples and is paid on the same fresh ones, so that costs can be compared.

use engine::{Bay, Effort, Evidence, Question, Shop, belief, course, load, shipped};
use std::time::{Duration, Instant};

/// Seconds that the search is allowed.
const ALLOWED: [f64; 7] = [0.0, 0.1, 0.3, 1.0, 2.0, 5.0, 20.0];

#[allow(clippy::print_stdout, reason = "the figures are the program's output")]
fn main() {
    for circuit in shipped() {
        let Some(model) = load(circuit.name, circuit.text).model else {
            return;
        };
        let evidence = Evidence::default();
        let believed = belief(&model, &evidence, Effort::default());
        let runs: Vec<String> = ALLOWED
            .iter()
            .map(|allowed| run(&believed, &evidence, Duration::from_secs_f64(*allowed)))
            .collect();
        println!(
            r#"{{"name": "course, {}", "runs": [{}]}}"#,
            circuit.name,
            runs.join(", ")
        );
    }
}

/// One plan; the time of the search runs from its first question whether to go on.
fn run(believed: &engine::Belief, evidence: &Evidence, allowed: Duration) -> String {
    let question = Question {
        haste: engine::Haste::InTime,
        unit: &|_| 1.0,
        instead: None,
    };
    let start = Instant::now();
    let (mut began, mut took, mut nodes) = (None, Duration::ZERO, 0);
    let plan = course(
        believed,
        evidence,
        &Shop::default(),
        &Bay::default(),
        &question,
        &mut |progress| {
            let search = *began.get_or_insert_with(Instant::now);
            (took, nodes) = (search.elapsed(), progress.nodes);
            took < allowed
        },
    );
    format!(
        r#"{{"allowed_s": {}, "all_s": {:.3}, "search_s": {:.4}, "nodes": {nodes}, "planned": {:.2}, "fresh": {:.2}, "lower": {:.2}}}"#,
        allowed.as_secs_f64(),
        start.elapsed().as_secs_f64(),
        took.as_secs_f64(),
        plan.planned_cost,
        plan.expected_cost,
        plan.lower_bound,
    )
}
