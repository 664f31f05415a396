//! Recorded drives of a job: given once each, by the sum of their bytes; their cycles count for the watch where they were driven after
//! the repair.

use crate::case::{evidence, known};
use crate::columns::read_known_drive;
use crate::desk::{Desk, Held};
use crate::problem::Problem;
use diag::nearest;
use drive::{Assigned, CodeList, Cycle, CycleKind, FeatureKind, Import, Recording, Signal, TripRules};
use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;
use jiff::{SignedDuration, Timestamp};
use job::{EntryId, Event, Over, Recorded, Said, Trip};
use quantity::{Dimension, Pressure, Unit};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::io::{Read, Write};
use uuid::Builder;

/// How a packed recording is called in the store.
const MEDIA: &str = "application/gzip";
/// Most bytes that a packed recording may unpack to: as large as a recording may be.
const UNPACKED: u64 = 1 << 30;
/// Clocks of recorders may be in another zone than ours; none is further off, h.
const ZONES: i64 = 26;

/// A recording, and what a person says of it.
#[derive(Debug, Clone, Copy)]
pub struct DriveGiven<'g> {
    /// The file.
    pub bytes: &'g [u8],
    /// How it is called.
    pub name: &'g str,
    /// What its columns are, where they were not recognised: `COLUMN = SIGNAL, UNIT`.
    pub columns: &'g [String],
    /// The monitor that set the code ran to its end in every cycle; a recording does not tell.
    pub monitor_ran: bool,
    /// Whether it was driven as when the fault was found, if that is known.
    pub similar: Option<bool>,
    /// What it shows.
    pub words: &'g str,
}

/// A recording that was taken in.
#[derive(Debug)]
pub struct DriveTaken {
    /// The job with it.
    pub held: Held,
    /// What was counted and what was not, sentence by sentence.
    pub said: Vec<String>,
}

/// Takes a recording into a job: keeps it, counts its cycles, writes both down. Given again it changes nothing.
///
/// # Errors
/// It holds no recording, the job takes none now, or the store fails.
pub fn give_drive(desk: &mut Desk, held: &Held, given: &DriveGiven) -> Result<DriveTaken, Problem> {
    let hash = hex(&Sha256::digest(given.bytes));
    if held.job.knows_drive(&hash) {
        return Ok(DriveTaken {
            held: held.clone(),
            said: vec![format!(
                "`{}` was given before; it counts once, and nothing was changed.",
                given.name
            )],
        });
    }
    let known = read_known_drive(desk, given.bytes, given.name, given.columns)?;
    let recording = known.recording;
    let trips = drive::trips(&recording, &TripRules::default());
    let mut said = Vec::new();
    if let Some(source) = &known.source {
        said.push(format!(
            "Its columns were taken as confirmed on {} by `{}` (source {}).",
            source.at.strftime("%Y-%m-%d"),
            source.file,
            source.id
        ));
    }
    said.push(format!(
        "{} and {} in it.",
        counted(trips.driving_cycles, "driving cycle"),
        counted(trips.warm_up_cycles, "warm-up cycle")
    ));
    said.extend(trips.missing.iter().map(|missing| format!("{missing}.")));
    let invented = held.job.intake.invented;
    let (counting, readings) = if recording.simulated && !invented {
        said.push(
            "It is simulated and the vehicle is not: nothing of it counts as driven or as read.".to_owned(),
        );
        (Vec::new(), Vec::new())
    } else {
        let counting = counting(held, &recording, &trips.events, given, &mut said);
        (counting, readings(held, &recording, given.name, &hash, &mut said))
    };
    let kept = kept(desk, given.bytes, &mut said)?;
    let again = held
        .entries
        .iter()
        .filter(|entry| matches!(&entry.event, Event::Recorded { recording } if recording.hash == hash))
        .count();
    let name = entry_of(held, &hash, again);
    let event = Event::Recorded {
        recording: Recorded {
            hash,
            name: given.name.to_owned(),
            bytes: given.bytes.len() as u64,
            kept,
            seconds: recording.length(),
            columns: known.columns,
            driving_cycles: trips.driving_cycles,
            warm_up_cycles: trips.warm_up_cycles,
            trips: counting,
            simulated: recording.simulated,
            words: given.words.to_owned(),
        },
    };
    let events = std::iter::once(event).chain(readings).collect();
    let held = desk.write_as(held, events, Some(name))?;
    Ok(DriveTaken { held, said })
}

/// A recording from its bytes, with what a person said of its columns.
///
/// # Errors
/// It holds none, or what was said cannot be used.
pub fn read_drive(bytes: &[u8], name: &str, columns: &[String]) -> Result<Recording, Problem> {
    let assigned = columns
        .iter()
        .map(|text| column_said(text))
        .collect::<Result<_, _>>()?;
    let how = Import {
        assigned,
        ..Import::default()
    };
    drive::read(bytes, &how).map_err(|error| {
        Problem::bad_input(
            format!("`{name}` holds no recording that can be used: {error}"),
            Some("wanted is a table with a row of column names above rows of figures, for instance `time,engine rpm,coolant temp`".to_owned()),
        )
    })
}

/// What names a recording of a job and how its columns are read, for whoever keeps it in memory.
///
/// # Errors
/// The job has none with that sum.
pub fn drive_name(held: &Held, hash: &str) -> Result<String, Problem> {
    let known = recorded(held, hash)?;
    Ok(format!("{hash} {}", known.columns.join("; ")))
}

fn recorded<'h>(held: &'h Held, hash: &str) -> Result<&'h Recorded, Problem> {
    let mut known = held.job.drives.iter().map(|drive| &drive.recording);
    known
        .find(|known| known.hash == hash)
        .ok_or_else(|| Problem::not_found("this job has no such drive", None))
}

/// A recording that a job keeps.
///
/// # Errors
/// The job has none with that sum, it was too large to keep, or the store fails.
pub fn kept_drive(desk: &mut Desk, held: &Held, hash: &str) -> Result<Recording, Problem> {
    let known = recorded(held, hash)?;
    let packed = known.kept.as_ref().ok_or_else(|| {
        Problem::could_not(
            format!("`{}` was too large to keep; its cycles were counted", known.name),
            Some("the file itself can be looked at: halfsplit drive show FILE".to_owned()),
        )
    })?;
    let (packed, _) = desk.store().photo(packed)?;
    let mut bytes = Vec::new();
    GzDecoder::new(packed.as_slice())
        .take(UNPACKED)
        .read_to_end(&mut bytes)
        .map_err(|error| Problem::could_not(format!("`{}` cannot be unpacked: {error}", known.name), None))?;
    read_drive(&bytes, &known.name, &known.columns)
}

/// `COLUMN = SIGNAL, UNIT`: what a column is.
///
/// # Errors
/// What is wrong with it, and what is known.
pub fn column_said(text: &str) -> Result<Assigned, Problem> {
    let wanted = || Some("for instance --column \"channel 7 = engine speed, rpm\"".to_owned());
    let (column, what) = text
        .rsplit_once('=')
        .ok_or_else(|| Problem::bad_input(format!("`{text}` is a column, `=` and what it is"), wanted()))?;
    let (name, unit) = match what.rsplit_once(',') {
        Some((name, unit)) => (name.trim(), Some(unit.trim())),
        None => (what.trim(), None),
    };
    let column = column.trim().to_owned();
    if name.eq_ignore_ascii_case("none") {
        return Ok(Assigned {
            column,
            signal: None,
            unit: None,
        });
    }
    let signal = Signal::called(name).ok_or_else(|| {
        let hint = match nearest(name, Signal::all().map(Signal::name)) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!(
                "known are: {}",
                Signal::all().map(Signal::name).collect::<Vec<_>>().join(", ")
            ),
        };
        Problem::bad_input(format!("there is no signal `{name}`"), Some(hint))
    })?;
    let unit = unit
        .map(|unit| {
            Unit::named_for(unit, signal.dimension()).ok_or_else(|| {
                let units = Unit::all_of(signal.dimension())
                    .map(Unit::symbol)
                    .collect::<Vec<_>>()
                    .join(", ");
                Problem::bad_input(
                    format!("`{unit}` is no unit of {}", signal.dimension().name()),
                    Some(format!("known are: {units}")),
                )
            })
        })
        .transpose()?;
    Ok(Assigned {
        column,
        signal: Some(signal),
        unit,
    })
}

/// The cycles that count for the watch, and in words why others do not.
fn counting(
    held: &Held,
    recording: &Recording,
    events: &[Cycle],
    given: &DriveGiven,
    said: &mut Vec<String>,
) -> Vec<Trip> {
    let Some(repair) = held.job.repairs.last() else {
        said.push("Nothing was repaired yet, so no trip is counted for lamp and code.".to_owned());
        return Vec::new();
    };
    let length = SignedDuration::try_from_secs_f64(recording.length()).unwrap_or_default();
    // Without a date it was driven until now.
    let began = recording
        .began()
        .or_else(|| Timestamp::now().checked_sub(length).ok());
    let Some(began) = began else {
        return Vec::new();
    };
    let ended = began.checked_add(length).unwrap_or(began);
    if repair.at.duration_since(ended) > SignedDuration::from_hours(ZONES) {
        said.push(format!(
            "It was recorded on {}, before the repair: it tells nothing of it, and no trip is counted.",
            began.strftime("%Y-%m-%d")
        ));
        return Vec::new();
    }
    let cycles: Vec<&Cycle> = events
        .iter()
        .filter(|cycle| cycle.kind == CycleKind::DrivingCycle)
        .collect();
    let trips: Vec<Trip> = cycles
        .iter()
        .map(|cycle| trip(held, recording, cycle, began, given))
        .collect();
    if trips.iter().any(|trip| trip.fault_seen) {
        said.push("The module told the job's code as pending: the fault was found again.".to_owned());
    } else if !given.monitor_ran && !trips.is_empty() {
        said.push(
            "A recording does not tell whether the monitor ran to its end: none counts as a good trip for the lamp. If it ran in all of them, take this back and give it again saying so."
                .to_owned(),
        );
    }
    trips
}

/// A driving cycle as the watch counts it.
fn trip(held: &Held, recording: &Recording, cycle: &Cycle, began: Timestamp, given: &DriveGiven) -> Trip {
    // A stored code may be from before the repair; a pending one was found in this driving cycle or the last.
    let pending = |own: bool| {
        recording.codes.iter().any(|code| {
            code.list == CodeList::Pending
                && (cycle.start_s..=cycle.end_s).contains(&code.at_s)
                && held.job.codes.iter().any(|known| known.code == code.code) == own
        })
    };
    let since = SignedDuration::try_from_secs_f64(cycle.start_s).unwrap_or_default();
    let fault_seen = pending(true);
    Trip {
        at: began.checked_add(since).unwrap_or(began),
        monitor_ran: given.monitor_ran || fault_seen,
        fault_seen,
        other_fault_seen: pending(false),
        similar_conditions: given.similar,
        start_coolant: cycle.coolant.map(|(start, _)| start),
        peak_coolant: cycle.coolant.map(|(_, highest)| highest),
    }
}

/// What the recording answers of the circuit's checks, as readings. After a repair a drive proves, and is no search for the cause.
fn readings(
    held: &Held,
    recording: &Recording,
    name: &str,
    hash: &str,
    said: &mut Vec<String>,
) -> Vec<Event> {
    if !held.job.repairs.is_empty() {
        return Vec::new();
    }
    // A description that this version cannot use takes no readings; the drive is kept all the same.
    let Ok((model, _)) = known(held) else {
        return Vec::new();
    };
    let Ok((evidence, _)) = evidence(held, &model, &held.job.readings_file()) else {
        return Vec::new();
    };
    let ambient = Pressure::from_si(evidence.surroundings.ambient.pressure);
    let found = engine::drive_readings(&model, ambient, recording)
        .into_iter()
        .map(|found| {
            let check = &model.checks()[found.check];
            let read = found.feature.value;
            let value = match read.dimension() {
                Dimension::Pressure => format!("{:.1} kPa", read.si() / 1e3),
                _ => format!("{:.2} V", read.si()),
            };
            said.push(format!(
                "{} = {value}, over {} to {}: {}.",
                check.id,
                clock(found.feature.start_s),
                clock(found.feature.end_s),
                found.feature.what
            ));
            Event::Reading {
                check: check.id.clone(),
                said: Said::Value(value),
                instrument: Some(match found.feature.kind {
                    // It is right in another way than what was read at rest.
                    FeatureKind::IntakeAtLoad => format!("recording {name}, full load"),
                    _ => format!("recording {name}"),
                }),
                accuracy: Some(found.accuracy.to_owned()),
                minutes: None,
                over: Some(Over {
                    recording: hash.to_owned(),
                    start_s: found.feature.start_s,
                    end_s: found.feature.end_s,
                }),
            }
        });
    found.collect()
}

/// Seconds as minutes and seconds: `12:05`.
pub fn clock(seconds: f64) -> String {
    let whole = seconds.max(0.0).floor();
    format!("{:.0}:{:02.0}", (whole / 60.0).floor(), whole % 60.0)
}

/// Keeps the file, packed; what is too large even so is not kept, and that is said.
fn kept(desk: &mut Desk, bytes: &[u8], said: &mut Vec<String>) -> Result<Option<String>, Problem> {
    let mut packer = GzEncoder::new(Vec::new(), Compression::default());
    let packed = packer
        .write_all(bytes)
        .and_then(|()| packer.finish())
        .map_err(|error| Problem::could_not(format!("the recording cannot be packed: {error}"), None))?;
    if packed.len() > store::LARGEST_PHOTO {
        said.push(format!(
            "Packed it has {} MB and is too large to keep with the job; what was counted is kept.",
            packed.len() / 1_000_000
        ));
        return Ok(None);
    }
    Ok(Some(desk.store().put_photo(&packed, MEDIA)?))
}

/// The name of the entry that gives a recording to a job: the same for everybody who gives it. What was taken back can be given again.
fn entry_of(held: &Held, hash: &str, again: usize) -> EntryId {
    let sum = Sha256::digest(format!("recorded drive {hash} of job {}, {again}", held.job.id));
    let mut name = [0; 16];
    name.copy_from_slice(&sum[..16]);
    EntryId(Builder::from_custom_bytes(name).into_uuid())
}

fn counted(number: usize, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}
