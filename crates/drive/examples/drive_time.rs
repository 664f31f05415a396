//! How long a long drive takes: `cargo run --release -p drive --example drive_time [FILE]`.
//!
//! Two hours of forty signals, ten rows a second, simulated: the speed cycle over and over, and signals that are known by nothing but
//! their column. It is read, its features and its trips are found, and every signal is made as coarse as a screen; the least of several
//! tries is told, a JSON line for each. With FILE the table is kept there, so that other readers can be set beside this one.

#![allow(clippy::print_stdout, reason = "an example that tells figures")]
#![allow(clippy::unwrap_used, reason = "an example may stop at once")]

use drive::made::{Journey, Response, as_table, drive};
use drive::{Import, TripRules, features, read, reduced, trips};
use quantity::{Pressure, Temperature};
use std::fmt::Write as _;
use std::hint::black_box;
use std::time::Instant;

const ROWS: usize = 72_000;
const SIGNALS: usize = 40;
const TRIES: usize = 25;

fn main() {
    let text = long();
    if let Some(file) = std::env::args().nth(1) {
        std::fs::write(file, &text).unwrap();
    }
    let import = Import::default();
    let recording = read(text.as_bytes(), &import).unwrap();
    println!(
        "# {} rows, {} columns, {:.1} MB",
        recording.time.len(),
        recording.columns.len(),
        text.len() as f64 / 1e6
    );
    told("csv, own reader, threads: 1", || {
        black_box(read(text.as_bytes(), &import).unwrap());
    });
    told("features of two hours, 40 signals, 10 Hz", || {
        black_box(features(&recording));
    });
    told("trips of the same", || {
        black_box(trips(&recording, &TripRules::default()));
    });
    told("all its signals at 1600 steps", || {
        for column in &recording.columns {
            black_box(reduced(
                &recording.time,
                &column.values,
                (0.0, recording.length()),
                1_600,
            ));
        }
    });
}

fn told(what: &str, mut work: impl FnMut()) {
    let least = (0..TRIES)
        .map(|_| {
            let begun = Instant::now();
            work();
            begun.elapsed()
        })
        .min()
        .unwrap();
    println!(
        r#"{{"name": "{what}", "millis": {:.1}}}"#,
        1e3 * least.as_secs_f64()
    );
}

/// The table of one cycle, its rows over and over with a clock that goes on, and further columns behind them.
fn long() -> String {
    let table = as_table(&drive(&Journey {
        response: Response::default(),
        barometer: Pressure::from_si(98_000.0),
        outside: Temperature::from_celsius(15.0),
        seed: 1,
        words: "bench".to_owned(),
    }));
    let mut lines = table.lines();
    let remark = lines.next().unwrap();
    let names = lines.next().unwrap();
    let rows: Vec<&str> = lines.map(|line| line.split_once(',').unwrap().1).collect();
    let known = names.split(',').count();
    let mut text = format!("{remark}\n{names}");
    for number in known..=SIGNALS {
        write!(text, ",channel {number}").unwrap();
    }
    text.push('\n');
    for row in 0..ROWS {
        write!(text, "{:.1},{}", row as f64 * 0.1, rows[row % rows.len()]).unwrap();
        for number in known..=SIGNALS {
            write!(text, ",{:.2}", (row as f64 * 0.01 + number as f64).sin() * 100.0).unwrap();
        }
        text.push('\n');
    }
    text
}
