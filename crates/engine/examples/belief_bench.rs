//! Times a belief on a shipped circuit: the first one, and the one after each further reading with its next checks. Then the first
//! belief on every shipped circuit, cold: its description read, and what says that it works read once on a vehicle with its
//! likeliest fault.
//! One JSON line per figure: `{"name", "millis"}`.

use engine::{
    Bay, Effort, Evidence, Observation, Scene, Shipped, Shop, Surroundings, belief, evidence, load, next,
    outlook, shipped_called,
};
use std::time::Instant;

const READINGS: &str = r#"
[[reading]]
check = "deadhead:valve.source@idle"
value = "27 inHg"
[[reading]]
check = "tee:valve.source@idle"
value = "9 inHg"
[[reading]]
check = "tee:actuator.nipple@idle"
value = "8 inHg"
"#;

#[allow(clippy::print_stdout, reason = "the figures are the program's output")]
fn show(name: &str, start: Instant, (suspects, samples): (usize, usize)) {
    let millis = start.elapsed().as_secs_f64() * 1e3;
    println!(r#"{{"name": "{name}", "millis": {millis:.2}, "suspects": {suspects}, "samples": {samples}}}"#);
}

fn main() {
    let shipped = shipped_called("vacuum-wastegate").map_or("", |shipped| shipped.text);
    let start = Instant::now();
    let Some(model) = load("vacuum-wastegate", shipped).model else {
        return;
    };
    show("circuit read and made ready", start, (0, 0));
    let all = evidence(&model, READINGS).0.unwrap_or_default();
    for count in 0..=all.observations.len() {
        let some = Evidence {
            observations: all.observations[..count].to_vec(),
            ..all.clone()
        };
        let start = Instant::now();
        let believed = belief(&model, &some, Effort::default());
        show(&format!("belief after {count} readings"), start, believed.work());
        let ranked = next(&outlook(&believed), &some, &Shop::default(), &Bay::default());
        assert!(!ranked.is_empty(), "there is always a check left");
        show(
            &format!("belief and next check after {count} readings"),
            start,
            believed.work(),
        );
        let start = Instant::now();
        let brisk = belief(&model, &some, Effort::brisk());
        show(
            &format!("brisk belief after {count} readings"),
            start,
            brisk.work(),
        );
    }
    engine::shipped().iter().for_each(first);
}

/// One circuit from its text to its first belief.
fn first(shipped: &Shipped) {
    let start = Instant::now();
    let Some(model) = load(shipped.name, shipped.text).model else {
        return;
    };
    let circuit = model.circuit();
    let works = circuit.works.as_ref().and_then(|works| model.check(&works.check));
    let likeliest = circuit.faults().into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let (Some(check), Some((fault, _))) = (works, likeliest) else {
        return;
    };
    let severity = circuit
        .fault_spec(fault)
        .severity
        .map_or(1.0, |spec| spec.typical);
    let mut scene = Scene::new(&model, Surroundings::default(), &[(fault, severity)], 1);
    let Ok(outcome) = scene.read(check) else { return };
    let evidence = Evidence {
        observations: vec![Observation {
            check,
            outcome,
            instrument: None,
        }],
        ..Evidence::default()
    };
    let believed = belief(&model, &evidence, Effort::default());
    show(&format!("first belief, {}", shipped.name), start, believed.work());
}
