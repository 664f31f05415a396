//! Seconds that a million invented lessons take: adding, writing and reading the sums, fitting all lives again.
//!
//! `cargo run --release -p life --example many`

#![allow(clippy::print_stdout, reason = "a measurement to read")]

use life::{Cause, Ended, Found, Lesson, Prior, Service, Spent, Sums, Weibull, fit_classes};
use std::time::Instant;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let kinds = [
        "hose",
        "valve",
        "pump",
        "relay",
        "filter",
        "sensor",
        "connector",
        "motor",
    ];
    let lessons: Vec<Lesson> = (0..1000u32).map(|number| lesson(number, &kinds)).collect();
    let start = Instant::now();
    let mut sums = Sums::default();
    for _ in 0..1000 {
        for lesson in &lessons {
            sums.add(lesson)?;
        }
    }
    println!("adding {} lessons: {:?}", sums.jobs(), start.elapsed());
    let lines: Vec<String> = lessons.iter().map(Lesson::write).collect();
    let start = Instant::now();
    let mut read = Sums::default();
    for _ in 0..1000 {
        for line in &lines {
            read.add_line(line)?;
        }
    }
    println!(
        "the same from lines of {} bytes: {:?}",
        lines[0].len(),
        start.elapsed()
    );
    let start = Instant::now();
    let text = serde_json::to_string(&sums)?;
    let sums = Sums::read(&text)?;
    println!("writing and reading {} bytes: {:?}", text.len(), start.elapsed());
    let weibull = Weibull::new(150_000.0, 2.0).ok_or("a shipped life")?;
    let prior = Prior {
        weibull,
        failures: 10.0,
    };
    let start = Instant::now();
    for (kind, seen) in &sums.kinds {
        let fitted = fit_classes(&seen.distance.counts(), Some(&prior))?;
        println!("{kind}: {:?}", fitted.weibull);
    }
    println!("refitting {} kinds: {:?}", sums.kinds.len(), start.elapsed());
    Ok(())
}

/// One of a thousand invented jobs: ten parts and four checks on one of twenty circuits.
fn lesson(number: u32, kinds: &[&str; 8]) -> Lesson {
    let part = |i: u32| {
        let distance = f64::from((number * 7919 + i * 104_729) % 250_000) + 500.0;
        Service {
            kind: kinds[((number + i) % 8) as usize].to_owned(),
            distance_km: Some(distance),
            age_days: Some(distance / 50.0),
            ended: if i == 0 { Ended::Failed } else { Ended::StillGood },
            count: 1,
        }
    };
    let spent = |i: u32| Spent {
        check: format!("tee:hose{i}.end@idle"),
        method: "tee".to_owned(),
        minutes: f64::from((number + i) % 20 + 1),
    };
    let cause = Cause {
        part: kinds[(number % 8) as usize].to_owned(),
        fault: "worn".to_owned(),
    };
    Lesson {
        circuit: format!("circuit{}", number % 20),
        found: Found::Cause,
        causes: vec![cause],
        parts: (0..10).map(part).collect(),
        checks: (0..4).map(spent).collect(),
    }
}
