//! Recorded drives: what is in them, the trips they hold, what a technician looks for.

pub(crate) mod args;
mod columns;
mod draw;
mod features;
mod make;
mod show;

use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use ::drive::{Recording, Signal, TripRules};
use args::{Drive, Recorded, What};
use quantity::{Dimension, Quantity, Temperature, parse};
use std::fmt::Write as _;
use std::path::Path;

/// Most bytes of one recording: two hours of forty signals ten times a second are some 20 MB.
pub(crate) const LARGEST: u64 = 1 << 30;

/// Does it.
pub(crate) fn run(arguments: &Drive, manner: Manner) -> Result<Answer, Failure> {
    match &arguments.what {
        What::Show(recorded) => show::run(&taken(recorded)?, recorded, manner),
        What::Columns(wanted) => columns::run(wanted, manner),
        What::Trips(wanted) => trips(wanted, manner),
        What::Draw(wanted) => draw::run(wanted, manner),
        What::Make(wanted) => make::run(wanted, manner),
        What::Features(recorded) => features::run(&taken(recorded)?, manner),
    }
}

fn taken(recorded: &Recorded) -> Result<Recording, Failure> {
    read(&recorded.file, &recorded.columns)
}

/// A recording with what the shop remembers of its source, where there is a shop, and with what is said now.
fn read(file: &Path, columns: &[String]) -> Result<Recording, Failure> {
    let bytes = crate::files::bytes(file, "recording", LARGEST)?;
    let name = file.display().to_string();
    Ok(match columns::shop()? {
        Some(mut desk) => ::desk::read_known_drive(&mut desk, &bytes, &name, columns)?.recording,
        None => ::desk::read_drive(&bytes, &name, columns)?,
    })
}

fn trips(wanted: &args::Trips, manner: Manner) -> Result<Answer, Failure> {
    let recording = taken(&wanted.recorded)?;
    let mut rules = TripRules::default();
    if let Some(warm) = &wanted.warm {
        rules.warm = Temperature::from_si(given(warm, Dimension::Temperature, "80 °C")?);
    }
    if let Some(rise) = &wanted.rise {
        rules.rise_kelvin = given(rise, Dimension::TemperatureDifference, "22 K")?;
    }
    let trips = ::drive::trips(&recording, &rules);
    if trips.driving_cycles == 0
        && !trips.missing.is_empty()
        && recording.column(Signal::EngineSpeed).is_none()
    {
        return Err(Failure::could_not(
            trips.missing.join("; "),
            Some(format!(
                "halfsplit drive show {}  tells what each column is taken for",
                wanted.recorded.file.display()
            )),
        ));
    }
    let mut err = String::new();
    for missing in &trips.missing {
        // Writing to a String cannot fail.
        let _ = writeln!(err, "warning: {missing}");
    }
    if manner.json {
        return Ok(Answer {
            out: json(&trips)?,
            err,
        });
    }
    let mut page = Page::new(manner.screen);
    page.heading("Trips");
    page.line(&format!("  driving cycles  {}", trips.driving_cycles));
    page.line(&format!("  warm-up cycles  {}", trips.warm_up_cycles));
    for event in &trips.events {
        let name = match event.kind {
            ::drive::CycleKind::DrivingCycle => "driving cycle",
            ::drive::CycleKind::WarmUpCycle => "warm-up cycle",
        };
        page.paragraph(
            &format!("  {name:<14}"),
            &format!(
                "{} to {}: {}",
                clock(event.start_s),
                clock(event.end_s),
                event.reason
            ),
        );
    }
    page.gap();
    page.aside("", "By 40 CFR 86.1803-01, 86.010-2 and 86.010-18(a)(4); other markets may ask for other temperatures: --warm, --rise.");
    Ok(Answer { out: page.text, err })
}

fn given(text: &str, dimension: Dimension, example: &str) -> Result<f64, Failure> {
    parse(text, &[dimension])
        .map(|parsed| parsed.quantity.si())
        .map_err(|error| Failure::bad_input(error.to_string(), Some(format!("for instance {example}"))))
}

/// Seconds as minutes and seconds: `12:05`.
pub(crate) fn clock(seconds: f64) -> String {
    let whole = seconds.max(0.0).floor();
    format!("{:.0}:{:02.0}", (whole / 60.0).floor(), whole % 60.0)
}

/// A figure in the person's units; a share of rows and a count are plain.
fn shown(manner: Manner, value: Quantity) -> String {
    manner.units.plain(value.dimension(), value.si())
}
