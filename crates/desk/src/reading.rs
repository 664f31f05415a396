//! A reading, from what a person says to events that may be written.

use crate::case::evidence;
use crate::cautions::unread;
use crate::desk::Held;
use crate::how;
use crate::problem::Problem;
use crate::shop::ShopFacts;
use circuit::Caution;
use diag::Diagnostic;
use engine::Model;
use job::{Event, Said, With};

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

/// Tries that readings can be understood beside those of the job. `instrument` is what all of them were read with, if it was
/// not the usual one: one of the shop's own is as right as the shop says, any other name as such instruments usually are.
/// `minutes` were spent on all of them together.
///
/// # Errors
/// One of them cannot be understood.
pub fn note(
    held: &Held,
    model: &Model,
    facts: &ShopFacts,
    readings: &[Reading],
    instrument: Option<&str>,
    minutes: Option<f64>,
) -> Result<Noted, Problem> {
    let instrument = instrument.map(str::trim).filter(|name| !name.is_empty());
    let mut noted = Noted {
        events: Vec::new(),
        text: held.job.readings_file(),
        warnings: Vec::new(),
        unread: Vec::new(),
    };
    for Reading { check, said } in readings {
        let known = model.checks().iter().find(|known| known.id == *check);
        let own = instrument
            .zip(known)
            .and_then(|(name, check)| facts.own(check.instrument, name));
        let name = own.map(|own| own.name.as_str()).or(instrument);
        let accuracy = own.and_then(|own| own.accuracy.as_ref()).map(ToString::to_string);
        let with = name.map(|name| With {
            name,
            accuracy: accuracy.as_deref(),
        });
        job::write_reading(&mut noted.text, check, said, with);
        if let Some(known) = known {
            let cautions = unread(held, how::cautions(model.circuit(), known));
            noted.unread.push((check.clone(), cautions));
        }
        noted.events.push(Event::Reading {
            check: check.clone(),
            said: said.clone(),
            instrument: name.map(str::to_owned),
            accuracy,
            // Said once for all of them.
            minutes: minutes.map(|all| all / readings.len() as f64),
            over: None,
        });
    }
    noted.warnings = evidence(held, model, &noted.text)?.1;
    Ok(noted)
}
