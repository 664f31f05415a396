//! How time and memory grow with the number of parts: JSON lines, `{"name", "parts", …}`.
//!
//! The circuit is invented: a trunk of hoses from one pump, and at every joint of it a unit of valve, hose, actuator and flap, as a
//! composed kind, so that five parts more make the network five parts larger and no denser. Standard input says what is
//! measured, `200 solve` or `200 belief`: one size in one process, so that its memory is its own and what takes too long can be cut off.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench prints, and stops where it cannot go on"
)]

use engine::{Ambient, Effort, Model, belief, evidence, load};
use physics::Vehicle;
use std::fmt::Write as _;
use std::time::{Duration, Instant};

/// Solves are repeated for this long.
const LONG: Duration = Duration::from_millis(400);

const UNIT: &str = r#"
[kind.unit.part.trunk]
kind = "tube"
bore = "6 mm"
length = "0.3 m"
to = "valve.source"
[kind.unit.part.valve]
kind = "3/2 solenoid valve"
[kind.unit.part.hose]
kind = "tube"
bore = "3 mm"
length = "0.5 m"
from = "valve.output"
to = "can.nipple"
[kind.unit.part.can]
kind = "diaphragm actuator"
rod = "flap.lever"
[kind.unit.part.flap]
kind = "wastegate flap"
[kind.unit.port]
from = "trunk.from"
to = "trunk.to"
"#;

fn circuit(parts: usize) -> String {
    let mut text = format!(
        "[circuit]\ntitle = \"growth\"\ninvented = true\n{UNIT}[part.pump]\nkind = \"vane pump\"\nswept = \"400 cm3/rev\"\n"
    );
    let units = parts / 5;
    for index in 0..units {
        let before = if index == 0 {
            "pump.inlet".to_owned()
        } else {
            format!("u{}.to", index - 1)
        };
        let _ = writeln!(text, "[part.u{index}]\nkind = \"unit\"\nfrom = \"{before}\"");
    }
    let commands: Vec<String> = (0..units)
        .map(|index| format!("\"u{index}.valve\" = \"70 %\""))
        .collect();
    let _ = writeln!(
        text,
        "[condition.idle]\nengine = \"800 rpm\"\nsupply = \"14 V\"\ncommand = {{ {} }}",
        commands.join(", ")
    );
    text
}

/// Microseconds of one solve of the network behind `check`, and the Newton steps of one.
fn solve(model: &Model, check: usize, cold: bool) -> (f64, f64) {
    let mut probe = model.probe();
    let mut vehicle = Vehicle::typical(model.circuit(), Ambient::default());
    probe.predict(check, &vehicle).unwrap();
    let (before, typical) = ((probe.work.steps, probe.solves), vehicle.values.clone());
    let start = Instant::now();
    let (mut count, mut state) = (0_u32, 0.5_f64);
    while count < 3 || start.elapsed() < LONG {
        // Every value up to 2 % either way, the same in each run.
        for (value, typical) in vehicle.values.iter_mut().zip(&typical) {
            state = (state + 0.618_033_988_75).fract();
            *value = typical * (1.0 + 0.04 * (state - 0.5));
        }
        if cold {
            probe.cold();
        }
        std::hint::black_box(probe.predict(check, &vehicle).unwrap());
        count += 1;
    }
    let steps = f64::from(probe.work.steps - before.0) / (probe.solves - before.1).max(1) as f64;
    (start.elapsed().as_secs_f64() * 1e6 / f64::from(count), steps)
}

fn measure(parts: usize, believe: bool) {
    let text = circuit(parts);
    let start = Instant::now();
    let loaded = load("growth", &text);
    let model = loaded.model.unwrap();
    let read = start.elapsed().as_secs_f64() * 1e3;
    let last = parts / 5 - 1;
    let reading = format!("tee:u{last}.can.nipple@idle");
    let check = model.check(&reading).unwrap();
    if !believe {
        let (warm, warm_steps) = solve(&model, check, false);
        let (cold, cold_steps) = solve(&model, check, true);
        println!(
            r#"{{"name": "growth, solve", "parts": {}, "faults": {}, "checks": {}, "read_millis": {read:.2}, "warm_micros": {warm:.1}, "warm_steps": {warm_steps:.2}, "cold_micros": {cold:.1}, "cold_steps": {cold_steps:.2}}}"#,
            model.circuit().parts.len(),
            model.circuit().faults().len(),
            model.checks().len(),
        );
        return;
    }
    let told = format!("[[reading]]\ncheck = \"{reading}\"\nvalue = \"5 inHg\"\n");
    let taken = evidence(&model, &told).0.unwrap();
    let start = Instant::now();
    let believed = belief(&model, &taken, Effort::brisk());
    let millis = start.elapsed().as_secs_f64() * 1e3;
    let (suspects, samples) = believed.work();
    println!(
        r#"{{"name": "growth, belief", "parts": {}, "millis": {millis:.0}, "suspects": {suspects}, "samples": {samples}}}"#,
        model.circuit().parts.len()
    );
}

fn main() {
    let mut line = String::new();
    std::io::stdin().read_line(&mut line).unwrap();
    let (size, what) = line.trim().split_once(' ').unwrap();
    measure(size.parse().unwrap(), what == "belief");
}
