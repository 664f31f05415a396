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
fn show(name: &str, start: Instant) {
    println!(
        r#"{{"name": "{name}", "millis": {:.2}}}"#,
        start.elapsed().as_secs_f64() * 1e3
    );
}

fn main() {
    let shipped = shipped_called("vacuum-wastegate").map_or("", |shipped| shipped.text);
    let start = Instant::now();
    let loaded = load("vacuum-wastegate", shipped);
    let Some(model) = loaded.model else { return };
    show("circuit read and made ready", start);
    let all = evidence(&model, READINGS).0.unwrap_or_default();
    for count in 0..=all.observations.len() {
        let some = Evidence {
            observations: all.observations[..count].to_vec(),
            ..all.clone()
        };
        let start = Instant::now();
        let believed = belief(&model, &some, Effort::default());
        show(&format!("belief after {count} readings"), start);
        let middle = Instant::now();
        let ranked = next(&outlook(&believed), &some, &Shop::default(), &Bay::default());
        show(&format!("next check after {count} readings"), middle);
        show(&format!("belief and next check after {count} readings"), start);
        assert!(!ranked.is_empty());
        eprintln!("{:?}", believed.work());
    }
}
