//! Times a reading in a long job on a shipped circuit: belief and next checks as a job forms them, after ever more readings
//! of a made-up vehicle, all checks in turn or two checks over and over.
//! One JSON line per figure: `{"name", "millis", "belief", "fit", "suspects", "samples"}`.

use engine::{
    Bay, Effort, Evidence, Model, Observation, Scene, Shop, Surroundings, belief, load, next, outlook,
    shipped_called,
};
use std::time::Instant;

/// Readings after which the clock is looked at.
const LENGTHS: [usize; 7] = [1, 2, 3, 5, 10, 20, 40];

#[allow(clippy::print_stdout, reason = "the figures are the program's output")]
fn main() {
    let jobs = [
        ("vacuum-wastegate", "forty checks", 40),
        ("vacuum-wastegate", "two checks over and over", 2),
        ("vacuum-variable-geometry", "forty checks", 40),
        ("starter-circuit", "forty checks", 40),
    ];
    for (circuit, manner, distinct) in jobs {
        let text = shipped_called(circuit).map_or("", |shipped| shipped.text);
        let Some(model) = load(circuit, text).model else {
            continue;
        };
        let read = read(&model, distinct);
        for count in LENGTHS {
            let evidence = Evidence {
                observations: read[..count].to_vec(),
                ..Evidence::default()
            };
            let start = Instant::now();
            let believed = belief(&model, &evidence, Effort::brisk());
            let formed = millis(start);
            next(&outlook(&believed), &evidence, &Shop::default(), &Bay::default());
            let all = millis(start);
            let start = Instant::now();
            believed.fit();
            let (suspects, samples) = believed.work();
            println!(
                r#"{{"name": "{circuit}, {manner}, {count} readings", "millis": {all:.1}, "belief": {formed:.1}, "fit": {:.1}, "suspects": {suspects}, "samples": {samples}}}"#,
                millis(start),
            );
        }
    }
}

fn millis(start: Instant) -> f64 {
    start.elapsed().as_secs_f64() * 1e3
}

/// Forty readings of a vehicle with the circuit's first fault that has a severity: the first `distinct` of those our own ranking
/// asks for, then the same again.
fn read(model: &Model, distinct: usize) -> Vec<Observation> {
    let circuit = model.circuit();
    let faults = circuit.faults().into_iter();
    let hidden = faults.filter_map(|(fault, _)| Some((fault, circuit.fault_spec(fault).severity?.typical)));
    let hidden: Vec<_> = hidden.take(1).collect();
    let mut scene = Scene::new(model, Surroundings::default(), &hidden, 5);
    let mut some = Evidence::default();
    let mut all: Vec<Observation> = Vec::new();
    while all.len() < 40 {
        let ranked = if all.len() < distinct {
            let believed = belief(model, &some, Effort::brisk());
            next(&outlook(&believed), &some, &Shop::default(), &Bay::default())
        } else {
            Vec::new()
        };
        let again = || all[all.len() % distinct.min(all.len())].check;
        let check = ranked.first().map_or_else(again, |first| first.check);
        if let Ok(outcome) = scene.read(check) {
            all.push(Observation {
                check,
                outcome,
                instrument: None,
            });
        }
        some.observations.clone_from(&all);
        some.observations.truncate(distinct);
    }
    all
}
