//! A reading, from what a person says to events that may be written.

use crate::case::evidence;
use crate::cautions::unread;
use crate::desk::Held;
use crate::how;
use crate::problem::Problem;
use circuit::Caution;
use diag::Diagnostic;
use engine::Model;
use job::{Event, Said};

/// One reading as it was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Id of the check.
    pub check: String,
    /// What was read.
    pub said: Said,
}

/// Readings that were understood, not written yet.
#[derive(Debug)]
pub struct Noted {
    /// The events.
    pub events: Vec<Event>,
    /// The readings file that they make with those of the job.
    pub text: String,
    /// What was odd in it, without hindering.
    pub warnings: Vec<Diagnostic>,
    /// Per reading, the cautions of its check that nobody has read in this job.
    pub unread: Vec<(String, Vec<&'static Caution>)>,
}

/// What was read, by how it is written: a bound begins with a comparison, an answer with a letter.
pub fn said(what: &str) -> Said {
    let what = what.trim().to_owned();
    if what.starts_with(['<', '>', '≤', '≥']) {
        Said::Bound(what)
    } else if what.starts_with(char::is_alphabetic) {
        Said::Answer(what)
    } else {
        Said::Value(what)
    }
}

/// Tries that readings can be understood beside those of the job. `minutes` were spent on all of them together.
///
/// # Errors
/// One of them cannot be understood.
pub fn note(
    held: &Held,
    model: &Model,
    readings: &[Reading],
    instrument: Option<&str>,
    minutes: Option<f64>,
) -> Result<Noted, Problem> {
    let mut noted = Noted {
        events: Vec::new(),
        text: held.job.readings_file(),
        warnings: Vec::new(),
        unread: Vec::new(),
    };
    for Reading { check, said } in readings {
        job::write_reading(&mut noted.text, check, said, instrument);
        if let Some(known) = model.checks().iter().find(|known| known.id == *check) {
            let cautions = unread(held, how::cautions(model.circuit(), known));
            noted.unread.push((check.clone(), cautions));
        }
        noted.events.push(Event::Reading {
            check: check.clone(),
            said: said.clone(),
            instrument: instrument.map(str::to_owned),
            // Said once for all of them.
            minutes: minutes.map(|all| all / readings.len() as f64),
        });
    }
    noted.warnings = evidence(held, model, &noted.text)?.1;
    Ok(noted)
}
