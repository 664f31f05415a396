//! Times a store with many jobs, each closed with a lesson but one in a thousand:
//! `cargo run --release -p store --example store_bench [address [jobs]]`; without an address a new file is used.
//!
//! A JSON line for each figure. Every job here is invented.

#![allow(clippy::print_stdout, reason = "a measurement to read")]

use jiff::{SignedDuration, Timestamp};
use job::{Closing, Described, Entry, EntryId, Event, FORMAT, Intake, JobId, Said, Stage, Vehicle};
use life::{Cause, Ended, Found, Lesson, Service, Spent};
use serde_json::json;
use std::time::Instant;
use store::{Filter, Location, Store, StoreError, Taught, open};
use uuid::Uuid;

const READINGS: u64 = 40;
const JOBS: usize = 1_000_000;
const AT_ONCE: usize = 10_000;
const CIRCUITS: [&str; 3] = ["vacuum-wastegate", "vacuum-variable-geometry", "starter-circuit"];
/// Jobs that are still open: one in so many.
const OPEN: usize = 1000;

fn entry(job: JobId, turn: u64, at: Timestamp, event: Event) -> Entry {
    Entry {
        format: FORMAT,
        id: EntryId(Uuid::now_v7()),
        job,
        turn,
        at,
        who: "A".to_owned(),
        device: "bench".to_owned(),
        event,
    }
}

fn taken_in(number: usize, at: Timestamp) -> Entry {
    let intake = Intake {
        vehicle: Vehicle {
            words: format!("white van {number}"),
            odometer_km: Some(120_000.0),
            engine_hours: None,
        },
        complaint: if number.is_multiple_of(2) {
            "no power uphill"
        } else {
            "whistles when cold"
        }
        .to_owned(),
        circuit: Described {
            name: CIRCUITS[number % CIRCUITS.len()].to_owned(),
            text: "invented".to_owned(),
        },
        ..Intake::default()
    };
    entry(JobId(Uuid::now_v7()), 0, at, Event::TakenIn { intake })
}

fn reading(job: JobId, turn: u64) -> Entry {
    let event = Event::Reading {
        check: format!("check-{turn}"),
        said: Said::Value("21.5 inHg".to_owned()),
        instrument: None,
        accuracy: None,
        minutes: Some(3.0),
        over: None,
    };
    entry(job, turn, Timestamp::now(), event)
}

/// As a job of a shipped circuit teaches: kinds of parts at the vehicle's distance, seven checks with their minutes.
fn lesson(number: usize) -> Lesson {
    let km = (30_000 + number * 7919 % 250_000) as f64;
    let kinds = [
        "tube",
        "wire",
        "vane pump",
        "3/2 solenoid valve",
        "diaphragm actuator",
        "wastegate flap",
        "fuse",
    ];
    let good = kinds.iter().map(|kind| Service {
        kind: (*kind).to_owned(),
        distance_km: Some(km),
        age_days: None,
        ended: Ended::StillGood,
        count: 2,
    });
    let of = |ended: Ended, km: f64| Service {
        kind: kinds[number % kinds.len()].to_owned(),
        distance_km: Some(km),
        age_days: None,
        ended,
        count: 1,
    };
    let spent = |place: usize| Spent {
        check: format!("tee:part{}.source@idle", (number + place) % 20),
        method: "tee".to_owned(),
        minutes: ((number + place) % 25 + 2) as f64,
    };
    Lesson {
        circuit: CIRCUITS[number % CIRCUITS.len()].to_owned(),
        found: Found::Cause,
        causes: vec![Cause {
            part: format!("part{}", number % 14),
            fault: "leaks".to_owned(),
        }],
        parts: good
            .chain([of(Ended::Failed, km), of(Ended::StillGood, 0.0)])
            .collect(),
        checks: (0..7).map(spent).collect(),
    }
}

fn told(at: &Location, what: &str, figure: f64, unit: &str) {
    let kind = match at {
        Location::File(_) => "SQLite",
        Location::Server(_) => "PostgreSQL",
    };
    let line = json!({"name": format!("store, {kind}: {what}"), "figure": figure, "unit": unit});
    println!("{line}");
}

/// Milliseconds of the middle one of `times` runs.
fn middle(times: usize, mut run: impl FnMut() -> Result<(), StoreError>) -> Result<f64, StoreError> {
    let mut all = Vec::new();
    for _ in 0..times {
        let start = Instant::now();
        run()?;
        all.push(start.elapsed().as_secs_f64() * 1e3);
    }
    all.sort_by(f64::total_cmp);
    Ok(all[times / 2])
}

fn appending(store: &mut dyn Store, at: &Location) -> Result<(), StoreError> {
    let first = taken_in(0, Timestamp::now());
    let job = first.job;
    let filled: Vec<Entry> = (1..READINGS).map(|turn| reading(job, turn)).collect();
    store.append(&[first])?;
    store.append(&filled)?;
    let mut turn = READINGS;
    let time = middle(41, || {
        turn += 1;
        store.append(&[reading(job, turn)]).map(drop)
    })?;
    told(at, "append to a job of 40 entries, on the disk", time, "ms");
    Ok(())
}

fn taking_in(store: &mut dyn Store, at: &Location, jobs: usize) -> Result<(), StoreError> {
    let begin = Timestamp::now();
    let (mut entering, mut teaching) = (0.0, 0.0);
    let numbers: Vec<usize> = (1..=jobs).collect();
    for part in numbers.chunks(AT_ONCE) {
        let (mut entries, mut lessons) = (Vec::new(), Vec::new());
        for &number in part {
            // A second apart, as far as a list is concerned.
            let moment = begin
                .checked_add(SignedDuration::from_secs(
                    i64::try_from(number).unwrap_or_default(),
                ))
                .unwrap_or(begin);
            let first = taken_in(number, moment);
            let job = first.job;
            entries.push(first);
            if !number.is_multiple_of(OPEN) {
                let how = Closing::NothingWrong;
                entries.push(entry(job, 1, moment, Event::Closed { how }));
                lessons.push(Taught {
                    job,
                    seen: 2,
                    lesson: Some(lesson(number)),
                });
            }
        }
        let start = Instant::now();
        store.append(&entries)?;
        entering += start.elapsed().as_secs_f64();
        let start = Instant::now();
        store.teach(&lessons)?;
        teaching += start.elapsed().as_secs_f64();
    }
    told(
        at,
        &format!("{jobs} jobs of two entries taken in, 10,000 a transaction"),
        entering,
        "s",
    );
    told(at, "as many lessons kept, with their sums", teaching, "s");
    Ok(())
}

fn listing(store: &mut dyn Store, at: &Location) -> Result<(), StoreError> {
    for (what, stage, words) in [
        ("newest", None, ""),
        ("of a frequent stage", Some(Stage::Closed), ""),
        ("of a rare stage", Some(Stage::Checking), ""),
        ("of a stage that none is at", Some(Stage::Quoted), ""),
        ("with a word that all have", None, "white"),
        ("with two frequent words", None, "white power"),
        ("with a frequent and a rare word", None, "white 4711"),
        (
            "with a frequent word, of a rare stage",
            Some(Stage::Checking),
            "white",
        ),
        (
            "with two frequent words, of a stage that none is at",
            Some(Stage::Quoted),
            "white power",
        ),
        (
            "with two frequent words that no job has both",
            None,
            "uphill cold",
        ),
    ] {
        let filter = Filter {
            stage,
            words: words.to_owned(),
        };
        let time = middle(11, || store.list(&filter, 50, None).map(drop))?;
        told(at, &format!("list 50 {what}"), time, "ms");
    }
    let time = middle(3, || store.count(&Filter::default()).map(drop))?;
    told(at, "count all", time, "ms");
    Ok(())
}

fn learning(store: &mut dyn Store, at: &Location) -> Result<(), Box<dyn std::error::Error>> {
    let before = memory();
    let start = Instant::now();
    let sums = store.relearn()?;
    for seen in sums.kinds.values() {
        life::fit_classes(&seen.distance.counts(), None)?;
    }
    told(
        at,
        &format!("{} lessons summed anew and all lives fitted", sums.jobs()),
        start.elapsed().as_secs_f64(),
        "s",
    );
    if let (Some(before), Some(after)) = (before, memory()) {
        told(at, "memory it took", (after - before).max(0.0), "MB");
    }
    let time = middle(11, || store.learnt(None).map(drop))?;
    told(at, "what the next job takes from it", time, "ms");
    Ok(())
}

/// Greatest memory so far, MB, where the system says.
fn memory() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.split_whitespace()
        .next()?
        .parse()
        .ok()
        .map(|kb: f64| kb / 1024.0)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let own = std::env::temp_dir().join(format!("store-bench-{}", Uuid::now_v7()));
    let address = arguments.next().unwrap_or_default();
    let location = if address.is_empty() {
        Location::File(own.join("shop.db"))
    } else {
        Location::parse(&address)
    };
    let jobs = arguments
        .next()
        .and_then(|jobs| jobs.parse().ok())
        .unwrap_or(JOBS);
    let mut store = open(&location)?;
    appending(&mut *store, &location)?;
    taking_in(&mut *store, &location, jobs)?;
    listing(&mut *store, &location)?;
    learning(&mut *store, &location)?;
    drop(store);
    // Only the file made here; a server's database is its owner's.
    let _ = std::fs::remove_dir_all(own);
    Ok(())
}
