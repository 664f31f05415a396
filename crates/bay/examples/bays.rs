//! Fifty bays for a minute at a shop's own door: each takes made-up vehicles in, reads checks on them and looks at pages, as
//! forms and browsers do it. Then one slider dragged over every shipped circuit.
//! `bays PROGRAM [SECONDS [BAYS [PAUSE]]]`: the built program, how long, how many, mean pause of a bay between requests, s.
//! One JSON line per figure: `{"name", "count", "p50", "p99", "most"}` in ms, then memory and errors.

#![allow(clippy::print_stdout, reason = "the figures are the program's output")]

use engine::{Model, Outcome, Scene, Surroundings};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};
use uuid::Uuid;

/// Circuits that vehicles come in on, in turn.
const CIRCUITS: [&str; 4] = [
    "vacuum-wastegate",
    "vacuum-variable-geometry",
    "starter-circuit",
    "vacuum-wastegate",
];
/// Readings after which a bay takes the next vehicle in.
const READINGS: usize = 8;

type Error = Box<dyn std::error::Error + Send + Sync>;

fn main() -> Result<(), Error> {
    let mut arguments = std::env::args().skip(1);
    let program = arguments.next().ok_or("bays PROGRAM [SECONDS [BAYS [PAUSE]]]")?;
    let mut number = |otherwise: f64| arguments.next().map_or(Ok(otherwise), |text| text.parse::<f64>());
    let (seconds, bays, pause) = (number(60.0)?, number(50.0)?, number(8.0)?);
    let folder = std::env::temp_dir().join(format!("bays-{}", Uuid::now_v7()));
    std::fs::create_dir_all(&folder)?;
    let shop = Open::new(&program, &folder)?;
    let told = Arc::new(Mutex::new(Told::default()));
    let end = Instant::now() + Duration::from_secs_f64(seconds);
    let threads: Vec<_> = (0..10_000_u32)
        .take_while(|bay| f64::from(*bay) < bays)
        .map(|bay| {
            let (address, told) = (shop.address.clone(), told.clone());
            std::thread::spawn(move || {
                let mut bay = Bay {
                    number: bay,
                    address,
                    pause,
                    told,
                    turn: 0,
                };
                bay.works(end);
            })
        })
        .collect();
    for thread in threads {
        thread.join().map_err(|_| "a bay stopped")?;
    }
    drag(&shop.address, &told)?;
    let memory = shop.memory()?;
    drop(shop);
    std::fs::remove_dir_all(&folder)?;
    let told = told.lock().map_err(|_| "a bay stopped")?;
    for (name, times) in [
        ("page", &told.pages),
        ("reading with its new belief", &told.readings),
        ("vehicle taken in", &told.intakes),
        ("what-if step", &told.steps),
        ("what-if step, on the server", &told.solved),
    ] {
        println!("{}", figures(name, times));
    }
    println!("{{\"name\": \"most memory\", \"megabytes\": {memory:.0}}}");
    println!("{{\"name\": \"errors\", \"count\": {}}}", told.errors.len());
    for error in told.errors.iter().take(10) {
        println!("{{\"error\": {error:?}}}");
    }
    Ok(())
}

/// What was measured, ms.
#[derive(Default)]
struct Told {
    pages: Vec<f64>,
    readings: Vec<f64>,
    intakes: Vec<f64>,
    steps: Vec<f64>,
    solved: Vec<f64>,
    errors: Vec<String>,
}

fn figures(name: &str, times: &[f64]) -> String {
    let mut sorted = times.to_vec();
    sorted.sort_by(f64::total_cmp);
    // The value that so many of a hundred do not exceed.
    let at = |percent: usize| {
        let index = (sorted.len() * percent).div_ceil(100).saturating_sub(1);
        sorted.get(index).copied().unwrap_or(f64::NAN)
    };
    format!(
        "{{\"name\": \"{name}\", \"count\": {}, \"p50\": {:.1}, \"p99\": {:.1}, \"most\": {:.1}}}",
        sorted.len(),
        at(50),
        at(99),
        at(100)
    )
}

/// The program, serving.
struct Open {
    child: Child,
    address: String,
}

impl Open {
    fn new(program: &str, folder: &std::path::Path) -> Result<Self, Error> {
        let mut child = Command::new(program)
            .args(["serve", "--no-browser", "--listen", "127.0.0.1:0", "--database"])
            .arg(folder.join("shop.db"))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()?;
        let mut out = BufReader::new(child.stdout.take().ok_or("no output")?);
        let mut line = String::new();
        while out.read_line(&mut line)? > 0 {
            if let Some(address) = line
                .split_whitespace()
                .find_map(|word| word.strip_prefix("http://"))
            {
                let address = address.trim_end_matches('/').to_owned();
                // Whatever else it says is read, so that it never waits to say it.
                std::thread::spawn(move || std::io::copy(&mut out, &mut std::io::sink()));
                return Ok(Self { child, address });
            }
            line.clear();
        }
        Err("the program does not say where it serves".into())
    }

    /// The most memory it had, megabytes.
    fn memory(&self) -> Result<f64, Error> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id()))?;
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kilobytes: f64 = line
            .ok_or("no VmHWM")?
            .trim()
            .trim_end_matches(" kB")
            .trim()
            .parse()?;
        Ok(kilobytes / 1000.0)
    }
}

impl Drop for Open {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// One bay.
struct Bay {
    number: u32,
    address: String,
    pause: f64,
    told: Arc<Mutex<Told>>,
    turn: u32,
}

/// Where things are noted.
type Place = fn(&mut Told) -> &mut Vec<f64>;

impl Bay {
    /// Vehicle after vehicle until `end`.
    fn works(&mut self, end: Instant) {
        // Not all at once in the morning.
        self.waits();
        while Instant::now() < end {
            if let Err(error) = self.vehicle(end)
                && let Ok(mut told) = self.told.lock()
            {
                told.errors.push(format!("bay {}: {error}", self.number));
            }
        }
    }

    fn vehicle(&mut self, end: Instant) -> Result<(), Error> {
        let circuit = CIRCUITS[self.turn as usize % CIRCUITS.len()];
        let shipped = engine::shipped_called(circuit).ok_or("no such circuit")?;
        let model = engine::load(circuit, shipped.text).model.ok_or("no circuit")?;
        let mut scene = self.scene(&model);
        let form = format!(
            "job={}&circuit={circuit}&vehicle=bay+{}&invented=true",
            Uuid::now_v7(),
            self.number
        );
        let job = self.timed(
            |told| &mut told.intakes,
            |bay| {
                let job = bay.sent("/new", &form)?;
                bay.page(&job).map(|_| job)
            },
        )?;
        for _ in 0..READINGS {
            self.waits();
            if Instant::now() >= end {
                return Ok(());
            }
            let page = self.timed(|told| &mut told.pages, |bay| bay.page(&job))?;
            let Some(check) = between(&page, "data-keep=\"", "\"", |name| model.check(name)) else {
                return Ok(());
            };
            self.waits();
            let id = model.checks()[check].id.clone();
            self.timed(
                |told| &mut told.pages,
                |bay| bay.page(&format!("{job}/checks/{id}")),
            )?;
            self.waits();
            let form = format!(
                "entry={}&form=reading&check={id}&{}",
                Uuid::now_v7(),
                said(&model, check, scene.read(check).ok())
            );
            self.timed(
                |told| &mut told.readings,
                |bay| {
                    let to = bay.sent(&format!("{job}/readings"), &form)?;
                    bay.page(&to)
                },
            )?;
            self.turn += 1;
            let part = &model.circuit().parts[self.turn as usize % model.circuit().parts.len()].id;
            self.waits();
            let other = match self.turn % 3 {
                0 => "/".to_owned(),
                1 => format!("{job}/checks"),
                _ => format!("{job}/parts/{part}"),
            };
            self.timed(|told| &mut told.pages, |bay| bay.page(&other))?;
        }
        Ok(())
    }

    /// A vehicle with one fault, another one each time.
    fn scene<'m>(&self, model: &'m Model) -> Scene<'m> {
        let faults = model.circuit().faults();
        let index = (self.number * 7 + self.turn) as usize % faults.len();
        let fault = faults[index].0;
        let severity = model
            .circuit()
            .fault_spec(fault)
            .severity
            .map_or(1.0, |spec| spec.typical);
        Scene::new(model, Surroundings::default(), &[(fault, severity)], self.number)
    }

    /// From half the mean pause to one and a half of it.
    fn waits(&self) {
        let share = f64::from(u32::from(Uuid::now_v7().as_bytes()[15])) / 255.0;
        std::thread::sleep(Duration::from_secs_f64(self.pause * (0.5 + share)));
    }

    fn timed<T>(&self, place: Place, work: impl FnOnce(&Self) -> Result<T, Error>) -> Result<T, Error> {
        let begun = Instant::now();
        let done = work(self)?;
        let took = 1e3 * begun.elapsed().as_secs_f64();
        place(&mut *self.told.lock().map_err(|_| "a bay stopped")?).push(took);
        Ok(done)
    }

    fn page(&self, path: &str) -> Result<String, Error> {
        let (status, _, body) = asked(&self.address, "GET", path, "")?;
        if status == 200 {
            Ok(body)
        } else {
            Err(format!("GET {path}: {status}").into())
        }
    }

    /// Sends a form; where it leads.
    fn sent(&self, path: &str, form: &str) -> Result<String, Error> {
        let (status, head, body) = asked(&self.address, "POST", path, form)?;
        let to = head.lines().find_map(|line| line.strip_prefix("location: "));
        match (status, to) {
            (303, Some(to)) => Ok(to.to_owned()),
            _ => Err(format!("POST {path}: {status} {}", body.len()).into()),
        }
    }
}

/// A request on a connection of its own: status, head, body.
fn asked(address: &str, method: &str, path: &str, form: &str) -> Result<(u16, String, String), Error> {
    let mut stream = TcpStream::connect(address)?;
    stream.set_nodelay(true)?;
    write!(
        stream,
        "{method} {path} HTTP/1.1\r\nHost: {address}\r\nOrigin: http://{address}\r\nAccept: text/html\r\nConnection: close\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{form}",
        form.len()
    )?;
    let mut heard = Vec::new();
    stream.read_to_end(&mut heard)?;
    let heard = String::from_utf8_lossy(&heard).into_owned();
    let (head, body) = heard.split_once("\r\n\r\n").ok_or("no answer")?;
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|status| status.parse().ok())
        .unwrap_or(0);
    Ok((status, head.to_owned(), body.to_owned()))
}

/// The first piece between two texts that means something.
fn between<T>(text: &str, before: &str, after: &str, meant: impl Fn(&str) -> Option<T>) -> Option<T> {
    let pieces = text.split(before).skip(1);
    pieces
        .filter_map(|piece| piece.split(after).next())
        .find_map(meant)
}

/// What was read, as the form says it.
fn said(model: &Model, check: usize, read: Option<Outcome>) -> String {
    let unit = model.checks()[check]
        .reads
        .dimension()
        .map_or("", quantity::Dimension::si_unit);
    match read {
        Some(Outcome::Yes) => "sort=yes".to_owned(),
        Some(Outcome::No) => "sort=no".to_owned(),
        Some(Outcome::Value(value)) => format!("sort=is&figure={value:.6}&unit={}", unit.replace('/', "%2F")),
        _ => "sort=not+done".to_owned(),
    }
}

/// A slider dragged: every fault of every circuit at a few places.
fn drag(address: &str, told: &Arc<Mutex<Told>>) -> Result<(), Error> {
    for shipped in engine::shipped() {
        let model = engine::load(shipped.name, shipped.text)
            .model
            .ok_or("no circuit")?;
        let circuit = model.circuit();
        for (fault, _) in circuit.faults().into_iter().take(6) {
            for place in [10, 50, 90] {
                let path = format!(
                    "/what-if/{}/solve?fault={}&severity={place}",
                    shipped.name,
                    circuit.fault_name(fault).replace(' ', "+")
                );
                let begun = Instant::now();
                let (status, _, body) = asked(address, "GET", &path, "")?;
                let took = 1e3 * begun.elapsed().as_secs_f64();
                let mut told = told.lock().map_err(|_| "a bay stopped")?;
                let solved = body
                    .split("\"took_ms\":")
                    .nth(1)
                    .and_then(|rest| rest.split(',').next()?.parse().ok());
                match (status, solved) {
                    (200, Some(solved)) => {
                        told.steps.push(took);
                        told.solved.push(solved);
                    }
                    _ => told.errors.push(format!("{path}: {status}")),
                }
            }
        }
    }
    Ok(())
}
