//! Times a belief on a shipped circuit: the first one, and the one after each further reading with its next checks.
//! One JSON line per figure: `{"name", "millis"}`.

use engine::{Bay, Effort, Evidence, Shop, belief, evidence, load, next, outlook, shipped_called};
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
}
