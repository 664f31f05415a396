//! A drive that is made up.

use super::args::Make;
use super::clock;
use crate::case::{self, Manner};
use crate::commands::expect::{faults, surroundings};
use crate::commands::json;
use crate::failure::Failure;
use crate::page::Answer;
use ::drive::made::{Journey, as_frames, as_table, drive};
use ::drive::{Import, read};
use engine::NoDrive;
use quantity::{Dimension, Pressure, Temperature};
use serde::Serialize;

#[derive(Debug, Serialize)]
struct Written<'a> {
    simulated: bool,
    file: Option<String>,
    words: &'a str,
    seconds: f64,
    rows: usize,
    bytes: usize,
}

pub(super) fn run(wanted: &Make, manner: Manner) -> Result<Answer, Failure> {
    let opened = case::open(&wanted.circuit)?;
    let model = &opened.model;
    let circuit = model.circuit();
    let around = wanted
        .altitude
        .as_deref()
        .map_or(Ok(belief::Surroundings::default()), surroundings)?;
    let given: Vec<_> = faults(circuit, &wanted.faults)?
        .into_iter()
        .map(|(id, severity)| {
            let typical = || circuit.fault_spec(id).severity.map_or(1.0, |spec| spec.typical);
            (id, severity.unwrap_or_else(typical))
        })
        .collect();
    let response = engine::drive_response(model, around, &given).map_err(|error| match error {
        NoDrive::NoSignal => Failure::bad_input(
            error,
            Some("for instance: halfsplit drive make vacuum-wastegate".to_owned()),
        ),
        NoDrive::NoBalance(_) => Failure::could_not(error, None),
    })?;
    let names: Vec<String> = given.iter().map(|(id, _)| circuit.fault_name(*id)).collect();
    let words = if names.is_empty() {
        format!("invented van, circuit {} sound", circuit.name)
    } else {
        format!(
            "invented van, circuit {} with {}",
            circuit.name,
            names.join(" and ")
        )
    };
    let outside = super::given(&wanted.outside, Dimension::Temperature, "20 °C")?;
    let made = drive(&Journey {
        response,
        barometer: Pressure::from_si(around.ambient.pressure),
        outside: Temperature::from_si(outside),
        seed: wanted.seed,
        words: words.clone(),
    });
    let text = if wanted.frames {
        as_frames(&made)
    } else {
        as_table(&made)
    };
    let Some(file) = &wanted.out else {
        return Ok(Answer {
            out: text,
            err: opened.warnings,
        });
    };
    let recording = read(text.as_bytes(), &Import::default())
        .map_err(|error| Failure::could_not(format!("what was made cannot be read back: {error}"), None))?;
    crate::files::write(file, &text)?;
    let written = Written {
        simulated: true,
        file: Some(file.display().to_string()),
        words: &words,
        seconds: recording.length(),
        rows: recording.time.len(),
        bytes: text.len(),
    };
    let out = if manner.json {
        json(&written)?
    } else {
        format!(
            "simulated drive in {}: {words}; {} minutes, {} rows\n",
            file.display(),
            clock(written.seconds),
            written.rows
        )
    };
    Ok(Answer {
        out,
        err: opened.warnings,
    })
}
