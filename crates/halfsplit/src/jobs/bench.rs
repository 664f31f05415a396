//! What a job believes, what it should do next, and what is missing to call the cause proven.

use super::desk::{Desk, Held};
use crate::card;
use crate::case::{Case, Manner, split_reading};
use crate::commands::json;
use crate::failure::Failure;
use crate::findings;
use crate::how;
use crate::page::{Answer, Page};
use ::desk::{Problem, Reading, Sort};
use ::job::{Event, Said};
use circuit::{Caution, Circuit, PartId};
use diag::{Diagnostic, Source};
use engine::{History, Model};
use serde::Serialize;
use std::fmt::Write as _;

/// The circuit as the job knows it: the description it began with, its odds moved by what is known of the vehicle.
pub(crate) fn model(held: &Held) -> Result<Model, Failure> {
    Ok(::desk::known(held)?.0)
}

/// What of the vehicle's history moves the odds, and what of it could not be used.
fn moved(history: &History, circuit: &Circuit, page: &mut Page) {
    if !history.learnt.is_empty() {
        page.heading("What closed jobs found here");
    }
    for learnt in &history.learnt {
        let part = &circuit.parts[learnt.part.0];
        let fault = learnt.fault.map_or("", |fault| part.kind.faults[fault].name);
        page.paragraph("  ", &format!("{}/{fault}: {}", part.id, learnt.why));
    }
    if !history.moved.is_empty() {
        page.heading("What is known of this vehicle");
    }
    for moved in &history.moved {
        let part = &circuit.parts[moved.part.0].id;
        page.paragraph("  ", &format!("{part}: {}", moved.why));
    }
    for not_used in &history.not_used {
        let better = not_used
            .better
            .as_ref()
            .map_or_else(String::new, |near| format!(" Did you mean `{near}`?"));
        page.paragraph(
            "  not used  ",
            &format!("{}: {}{better}", not_used.said, not_used.why),
        );
    }
}

/// What was odd in readings, with their lines.
pub(crate) fn shown(held: &Held, text: &str, found: &[Diagnostic]) -> String {
    findings::rendered(
        &Source::new(format!("readings of job {}", held.number), text),
        found,
    )
}

/// The job as a case: its circuit with what counts as read, the vehicle as it stands; and warnings.
pub(crate) fn case<'m>(held: &Held, model: &'m Model, manner: Manner) -> Result<(Case<'m>, String), Failure> {
    let (case, found) = ::desk::Case::of(held, model, manner.units)?;
    let warnings = shown(held, &held.job.readings_file(), &found);
    Ok((Case::on(case, manner.screen), warnings))
}

/// Suspects and the next check, with the cautions that a person has not read in this job first.
pub(crate) fn next(held: &Held, manner: Manner) -> Result<Answer, Failure> {
    let (model, history) = ::desk::known(held)?;
    let (case, err) = case(held, &model, manner)?;
    let outlook = engine::outlook(&case.belief);
    let ranked = case.next(&outlook);
    let first = ranked.first().map(|next| &model.checks()[next.check]);
    let unread = ranked
        .first()
        .map_or_else(Vec::new, |next| case.unread(held, next.check));
    let moved_parts = history.moved.iter();
    let out = if manner.json {
        json(&Next {
            job: held.number,
            stage: held.job.stage.name(),
            moved: moved_parts
                .map(|moved| model.circuit().parts[moved.part.0].id.as_str())
                .collect(),
            learnt: history
                .learnt
                .iter()
                .map(|moved| {
                    let part = &model.circuit().parts[moved.part.0];
                    let fault = moved.fault.map_or("", |fault| part.kind.faults[fault].name);
                    format!("{}/{fault}", part.id)
                })
                .collect(),
            cautions_to_read: unread.iter().map(|caution| ::desk::sentence(caution)).collect(),
            believed: ::desk::told(&case, &ranked),
        })?
    } else {
        let mut page = Page::new(manner.screen);
        moved(&history, model.circuit(), &mut page);
        let mut text = crate::suspects::text(&case, &outlook, &ranked) + &page.text;
        text.push_str(&told_first(
            &unread,
            held.number,
            first.map(|check| check.id.as_str()),
        ));
        text
    };
    Ok(Answer { out, err })
}

#[derive(Serialize)]
struct Next<'a, T: Serialize> {
    job: i64,
    stage: &'a str,
    moved: Vec<&'a str>,
    learnt: Vec<String>,
    cautions_to_read: Vec<String>,
    #[serde(flatten)]
    believed: T,
}

/// Writes readings down, after trying that they can be understood; with a warning where cautions were not read.
pub(crate) fn read(
    desk: &mut Desk,
    held: &Held,
    readings: &[String],
    instrument: Option<&str>,
    minutes: Option<f64>,
) -> Result<(Held, String), Failure> {
    let model = model(held)?;
    let said = readings.iter().map(|reading| {
        let (check, said) = said(reading)?;
        Ok(Reading {
            check: check.to_owned(),
            said,
        })
    });
    let said: Vec<Reading> = said.collect::<Result<_, Failure>>()?;
    let facts = ::desk::shop_facts(desk)?;
    let noted = ::desk::note(held, &model, &facts, &said, instrument, minutes)?;
    let mut warnings = shown(held, &noted.text, &noted.warnings);
    for (check, cautions) in &noted.unread {
        warnings.push_str(&told(cautions, held.number, check));
    }
    let held = desk.write(held, noted.events)?;
    Ok((held, warnings))
}

/// `CHECK = WHAT` as it is kept.
pub(crate) fn said(reading: &str) -> Result<(&str, Said), Failure> {
    let (check, _, what) = split_reading(reading)?;
    Ok((check, ::desk::said(what)))
}

/// Cautions of renewing a part that nobody has read in this job.
pub(crate) fn unread_of_work(held: &Held, model: &Model, part: PartId) -> Vec<&'static Caution> {
    ::desk::unread(held, how::cautions_of_work(model.circuit(), part))
}

/// A warning that cautions were not read before.
pub(crate) fn told(cautions: &[&'static Caution], number: i64, of: &str) -> String {
    let mut text = String::new();
    for caution in cautions {
        let _ = writeln!(text, "CAUTION  {}", ::desk::sentence(caution));
    }
    if !cautions.is_empty() {
        let _ = writeln!(text, "         read: halfsplit job caution {number} {of}");
    }
    text
}

fn told_first(cautions: &[&'static Caution], number: i64, of: Option<&str>) -> String {
    let Some(of) = of.filter(|_| !cautions.is_empty()) else {
        return String::new();
    };
    format!(
        "\nBefore this check, say once in this job that its {} {} read: halfsplit job caution {number} {of}\n",
        if cautions.len() == 1 {
            "caution"
        } else {
            "cautions"
        },
        if cautions.len() == 1 { "was" } else { "were" },
    )
}

/// The events that say that cautions were read: of a check, of the renewal of a part, or of the next check.
pub(crate) fn acknowledged(held: &Held, of: Option<&str>, manner: Manner) -> Result<Vec<Event>, Failure> {
    if let Some(of) = of {
        return Ok(::desk::acknowledge(held, of)?);
    }
    let model = model(held)?;
    let (case, _) = case(held, &model, manner)?;
    let next = case.next(&engine::outlook(&case.belief));
    let Some(next) = next.first() else {
        return Ok(Vec::new());
    };
    Ok(::desk::acknowledge(held, case.id(next.check))?)
}

/// The event that calls a cause proven, or what is still missing and what to type next.
pub(crate) fn proven(held: &Held, faults: &[String], by_hand: Option<&str>) -> Result<Event, Failure> {
    Ok(::desk::prove(held, faults, by_hand).map_err(|problem| {
        if problem.sort != Sort::NotYet {
            return problem;
        }
        let next = match &problem.hint {
            Some(missing) => format!(
                "{missing}\nhalfsplit job next {}  says which check comes first",
                held.number
            ),
            None => "go on measuring, or say why it counts all the same: --by-hand REASON".to_owned(),
        };
        Problem {
            hint: Some(next),
            ..problem
        }
    })?)
}

/// Writes the card of the next check for a person at the prompt.
pub(crate) fn card(case: &Case, page: &mut Page) -> Option<usize> {
    let outlook = engine::outlook(&case.belief);
    let next = case.next(&outlook);
    crate::suspects::proof(case, &next, page);
    card::next(case, &outlook, &next, page);
    next.first().map(|next| next.check)
}
