//! Times the layout and the drawing of a described vehicle of growing size: one line for each.
#![allow(clippy::print_stdout, reason = "its output is its purpose")]
#![allow(clippy::unwrap_used, reason = "the descriptions are made here")]

#[path = "../src/tests/described.rs"]
mod described;

use draw::{Notes, Style, layout, svg};
use std::time::{Duration, Instant};

/// Odd, so that the median is a run that happened.
const RUNS: usize = 5;

fn main() {
    for (branches, sensors, plugs) in [(3, 2, 4), (8, 6, 8), (16, 16, 16), (33, 32, 32)] {
        let circuit = described::read("vehicle", &described::vehicle(branches, sensors, plugs));
        let mut times: Vec<(Duration, Duration)> = (0..RUNS)
            .map(|_| {
                let start = Instant::now();
                let drawing = layout(&circuit);
                let laid_out = start.elapsed();
                let start = Instant::now();
                let page = svg(&drawing, &circuit, &Notes::default(), &Style::default());
                assert!(!page.is_empty());
                (laid_out, start.elapsed())
            })
            .collect();
        times.sort_unstable();
        let (laid_out, drawn) = times[RUNS / 2];
        println!(
            "{} parts: layout {laid_out:.1?}, drawing {drawn:.1?}, {} crossings",
            circuit.parts.len(),
            layout(&circuit).crossings()
        );
    }
}
