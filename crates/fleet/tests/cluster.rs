//! A made-up fleet screened on this machine and on a cluster of two executors, one of which is killed while it reads.

#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use datafusion::arrow::array::{ArrayRef, Float64Array, RecordBatch};
use datafusion::parquet::arrow::ArrowWriter;
use fleet::engine::{Place, screen};
use fleet::picture::picture;
use std::fmt::Write as _;
use std::fs::OpenOptions;
use std::io::Write as _;
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::{Child, Command};
use std::sync::Arc;
use std::time::{Duration, Instant};

const DRIVES: u32 = 14;
const NAMES: [&str; 6] = [
    "time",
    "engine rpm [rpm]",
    "control module voltage [V]",
    "intake manifold pressure [kPa]",
    "boost pressure commanded [kPa]",
    "barometric pressure [kPa]",
];

/// Rows of one invented drive: key on, cranking, then running with boost asked for now and then.
fn rows(volts: f64, short_kpa: f64, crank: f64, scatter: f64) -> Vec<[f64; 6]> {
    let row = |at: u32| {
        let second = f64::from(at) * 0.1;
        let wave = scatter * f64::from(at * 7919 % 101) / 101.0;
        match at {
            0..30 => [second, 0.0, 12.5, 98.0, 98.0, 98.0],
            30..38 => [second, 210.0, crank, 96.0, 98.0, 98.0],
            _ if at % 300 < 120 => [
                second,
                2400.0,
                volts + wave,
                170.0 - short_kpa + wave,
                170.0,
                98.0,
            ],
            _ => [second, 900.0, volts - wave, 40.0, 98.0, 98.0],
        }
    };
    (0..2_400).map(row).collect()
}

fn as_csv(rows: &[[f64; 6]]) -> String {
    let mut text = NAMES.join(",") + "\n";
    for row in rows {
        let cells: Vec<String> = row.iter().map(|figure| format!("{figure:.3}")).collect();
        writeln!(text, "{}", cells.join(",")).unwrap();
    }
    text
}

fn as_parquet(rows: &[[f64; 6]]) -> Vec<u8> {
    let columns = NAMES.iter().enumerate().map(|(at, name)| {
        let column: ArrayRef = Arc::new(Float64Array::from_iter_values(rows.iter().map(|row| row[at])));
        (*name, column)
    });
    let batch = RecordBatch::try_from_iter(columns).unwrap();
    let mut bytes = Vec::new();
    let mut writer = ArrowWriter::try_new(&mut bytes, batch.schema(), None).unwrap();
    writer.write(&batch).unwrap();
    writer.close().unwrap();
    bytes
}

/// Five vehicles: two sound, one that charges less and less, one that loses boost, one whose battery cranks worse and worse.
fn made(folder: &Path) {
    for (vehicle, lost) in [
        ("sound 1", 0),
        ("sound 2", 0),
        ("charges less", 1),
        ("loses boost", 2),
        ("cranks worse", 3),
    ] {
        std::fs::create_dir_all(folder.join(vehicle)).unwrap();
        for drive in 0..DRIVES {
            let share = f64::from(drive) / f64::from(DRIVES - 1);
            // Neighbours scatter to both sides.
            let chance = f64::from((drive * 5 + lost * 3) % 7) / 6.0 - 0.5;
            let of = |own: u32| if lost == own { share } else { 0.0 };
            let rows = rows(
                14.2 - 0.9 * of(1) + 0.1 * chance,
                3.0 + 18.0 * of(2) + 2.0 * chance,
                10.4 - 1.5 * of(3) + 0.2 * chance,
                0.05,
            );
            let name = format!("drive {drive}");
            if drive % 2 == 0 {
                std::fs::write(folder.join(vehicle).join(name + ".csv"), as_csv(&rows)).unwrap();
            } else {
                std::fs::write(folder.join(vehicle).join(name + ".parquet"), as_parquet(&rows)).unwrap();
            }
        }
    }
    std::fs::write(folder.join("sound 2/torn.parquet"), b"PAR1 and no more").unwrap();
}

/// A process that ends with the test.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn started(words: &[&str]) -> Running {
    Running(
        Command::new(env!("CARGO_BIN_EXE_halfsplit-fleet"))
            .args(words)
            .spawn()
            .unwrap(),
    )
}

/// A port that is free now, as is the one after it.
fn port() -> u16 {
    loop {
        let first = TcpListener::bind("127.0.0.1:0").unwrap();
        let port = first.local_addr().unwrap().port();
        if port < u16::MAX && TcpListener::bind(("127.0.0.1", port + 1)).is_ok() {
            return port;
        }
    }
}

fn until(what: &str, done: impl Fn() -> bool) {
    let begun = Instant::now();
    while !done() {
        assert!(
            begun.elapsed() < Duration::from_mins(2),
            "{what} within two minutes"
        );
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// Whether a process has a file open.
fn holds(process: u32, file: &Path) -> bool {
    let Ok(open) = std::fs::read_dir(format!("/proc/{process}/fd")) else {
        return false;
    };
    open.flatten()
        .any(|one| std::fs::read_link(one.path()).is_ok_and(|to| to == file))
}

struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("halfsplit-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        Self(folder.canonicalize().unwrap())
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn here(folder: &Path, threads: usize) -> fleet::told::Fleet {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .unwrap();
    runtime
        .block_on(screen(folder.to_str().unwrap(), 0.01, &Place::Here(threads)))
        .unwrap()
}

#[test]
fn the_vehicles_that_drift_are_named_for_what_drifts() {
    let folder = Folder::new("fleet-here");
    made(&folder.0);
    let fleet = here(&folder.0, 2);
    let named: Vec<(&str, &str)> = fleet
        .named()
        .into_iter()
        .map(|(row, drift)| (row.vehicle.as_str(), drift.what.name()))
        .collect();
    let mut sorted = named.clone();
    sorted.sort_unstable();
    assert_eq!(
        sorted,
        [
            ("charges less", "charging voltage"),
            ("cranks worse", "voltage while cranking"),
            ("loses boost", "boost less asked boost"),
        ]
    );
    let sound = fleet.rows.iter().find(|row| row.vehicle == "sound 2").unwrap();
    assert_eq!(
        (sound.screening.drives, sound.screening.unusable),
        (u64::from(DRIVES), 1)
    );
    assert!(
        sound.screening.troubles[0].starts_with("torn.parquet: the Parquet file cannot be read"),
        "{:?}",
        sound.screening.troubles
    );
    assert_eq!(sound.screening.rows, u64::from(DRIVES) * 2_400);
    assert_eq!(picture(&fleet).matches("<circle").count(), 3 * DRIVES as usize);
    // However it is shared out, the same bits.
    assert_eq!(fleet, here(&folder.0, 1));
    assert_eq!(fleet.json().unwrap(), here(&folder.0, 5).json().unwrap());
}

#[test]
fn a_cluster_that_loses_an_executor_gives_the_same_table() {
    let folder = Folder::new("fleet-cluster");
    let recordings = folder.0.join("recordings");
    made(&recordings);
    // A recording that nobody can read to its end until it is let through: whoever reads it is in the middle of the work.
    let gate = recordings.join("sound 1/drive 4.csv");
    let text = std::fs::read(&gate).unwrap();
    std::fs::remove_file(&gate).unwrap();
    assert!(Command::new("mkfifo").arg(&gate).status().unwrap().success());
    let mut hold = OpenOptions::new().read(true).write(true).open(&gate).unwrap();

    let scheduler = format!("127.0.0.1:{}", port());
    let _scheduler = started(&["scheduler", "--listen", &scheduler, "--patience", "3"]);
    until("the scheduler listens", || {
        std::net::TcpStream::connect(&scheduler).is_ok()
    });
    let mut executors: Vec<Running> = (0..2)
        .map(|number| {
            let (listen, work) = (
                format!("127.0.0.1:{}", port()),
                folder.0.join(format!("work {number}")),
            );
            let work = work.to_str().unwrap().to_owned();
            let words = [
                "executor",
                "--scheduler",
                &scheduler,
                "--listen",
                &listen,
                "--work",
                &work,
            ];
            let started = started(&[&words[..], &["--slots", "2", "--heartbeat", "1"]].concat());
            until("the executor listens", || {
                std::net::TcpStream::connect(&listen).is_ok()
            });
            started
        })
        .collect();

    let (place, on) = (
        recordings.to_str().unwrap().to_owned(),
        Place::Cluster(scheduler.clone()),
    );
    let asked = std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .enable_all()
            .build()
            .unwrap();
        runtime.block_on(screen(&place, 0.01, &on)).unwrap()
    });
    let reading = |executors: &[Running]| executors.iter().position(|one| holds(one.0.id(), &gate));
    until("an executor reads the recording", || {
        reading(&executors).is_some()
    });
    let lost = executors.remove(reading(&executors).unwrap());
    let gone = lost.0.id();
    drop(lost);
    assert!(!asked.is_finished() && !holds(gone, &gate));
    until("the other executor reads it again", || {
        asked.is_finished() || reading(&executors).is_some()
    });
    assert!(!asked.is_finished(), "it was not read to its end yet");
    hold.write_all(&text).unwrap();
    drop(hold);
    let cluster = asked.join().unwrap();

    std::fs::remove_file(&gate).unwrap();
    std::fs::write(&gate, text).unwrap();
    let local = here(&recordings, 2);
    assert_eq!(cluster.json().unwrap(), local.json().unwrap());
    assert_eq!(cluster, local);
    assert_eq!(local.named().len(), 3);
}
