//! After a repair: the checks that prove it, with their healthy ranges.

use super::bench::{model, said};
use super::desk::Held;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::how;
use crate::page::{Answer, Page};
use ::job::{Event, Said};
use belief::{Expected, Outcome, Surroundings};
use circuit::Reads;
use engine::Model;
use serde::Serialize;

/// Samples behind a healthy range.
const SAMPLES: usize = 1_000;
/// Share of the checks made before the repair whose readings said most that are made again.
const AGAIN: usize = 3;

/// One check that proves the repair.
#[derive(Serialize)]
struct Row<'a> {
    check: &'a str,
    unit: Option<&'static str>,
    low: f64,
    median: f64,
    high: f64,
    done: bool,
}

/// The checks that prove the repair: what says that the circuit works, then those that showed the cause, then the last ones
/// made before the repair.
fn proving<'m>(held: &Held, model: &'m Model) -> Vec<&'m circuit::Check> {
    let works = model.circuit().works.iter().map(|works| works.check.clone());
    let shown = held.job.proven.iter().flat_map(|proven| proven.shown_by.clone());
    let before = held.job.readings.iter().rev();
    let counting = before.filter(|reading| reading.withdrawn.is_none());
    let last = counting.take(AGAIN).map(|reading| reading.check.clone());
    let mut checks: Vec<&circuit::Check> = Vec::new();
    for id in works.chain(shown).chain(last) {
        let found = model.checks().iter().find(|check| check.id == id);
        // A part that is swapped once is not swapped again to prove that it was good.
        let again = found.filter(|check| check.method != circuit::Method::Swap);
        if let Some(check) = again.filter(|check| !checks.contains(check)) {
            checks.push(check);
        }
    }
    checks
}

/// Lists them.
pub(crate) fn checks(held: &Held, manner: Manner) -> Result<Answer, Failure> {
    let model = model(held)?;
    let (evidence, err) = super::bench::evidence(held, &model)?;
    let done = |id: &str| held.job.proofs.iter().any(|proof| proof.check == id);
    let mut rows = Vec::new();
    let mut page = Page::new(manner.screen);
    page.heading(&format!("Proof of the repair, job {}", held.number));
    for check in proving(held, &model) {
        let Some(expected) = healthy(&model, evidence.surroundings, &check.id) else {
            continue;
        };
        let (unit, [low, median, high]) = manner.units.percentiles(check, expected.percentiles);
        page.line(&format!(
            "  {}{}   healthy {}",
            check.id,
            if done(&check.id) { "  (done)" } else { "" },
            manner.units.range(check, expected.percentiles)
        ));
        for caution in how::cautions(model.circuit(), check) {
            page.caution(
                "    CAUTION  ",
                &format!("{}: {}", caution.hazard, caution.precaution),
            );
        }
        page.paragraph("    ", &how::to_do(model.circuit(), check));
        rows.push(Row {
            check: &check.id,
            unit,
            low,
            median,
            high,
            done: done(&check.id),
        });
    }
    page.paragraph(
        "  ",
        &format!(
            "Then a road test as the complaint was: halfsplit job prove {} \"road test uphill = yes\" --good",
            held.number
        ),
    );
    let out = if manner.json { json(&rows)? } else { page.text };
    Ok(Answer { out, err })
}

fn healthy(model: &Model, surroundings: Surroundings, id: &str) -> Option<Expected> {
    let check = model.checks().iter().position(|check| check.id == id)?;
    engine::expect(model, surroundings, &[], check, SAMPLES, 1).ok()
}

/// The event of one proof: good or not by the healthy range, unless the person says.
pub(crate) fn event(held: &Held, reading: &str, good: bool, bad: bool) -> Result<Event, Failure> {
    let (check, said) = said(reading)?;
    let judged = judged(held, check, &said)?;
    let good = match (good, bad, judged) {
        (true, ..) => true,
        (_, true, _) => false,
        (.., Some(judged)) => judged,
        (.., None) => {
            return Err(Failure::bad_input(
                format!("`{check}` is no check of this circuit, so its healthy range is not known"),
                Some("say whether it was as it should be: --good or --bad".to_owned()),
            ));
        }
    };
    Ok(Event::Proof {
        check: check.to_owned(),
        said,
        good,
    })
}

/// Whether a reading is as a sound circuit gives it; `None` if that is no check of the circuit.
fn judged(held: &Held, id: &str, said: &Said) -> Result<Option<bool>, Failure> {
    let model = model(held)?;
    let Some(check) = model.checks().iter().find(|check| check.id == id) else {
        return Ok(None);
    };
    // The reading alone, under the air of the job.
    let mut text = held.job.air();
    ::job::write_reading(&mut text, id, said, None);
    let (evidence, found) = engine::evidence(&model, &text);
    crate::findings::accepted(&diag::Source::new(id, &text), &found)?;
    let read = evidence
        .as_ref()
        .and_then(|evidence| evidence.observations.first());
    let (Some(evidence), Some(read)) = (&evidence, read) else {
        return Ok(None);
    };
    let expected = healthy(&model, evidence.surroundings, id);
    Ok(expected.map(|expected| {
        let [low, middle, high] = expected.percentiles;
        match read.outcome {
            Outcome::Yes => middle >= 0.5,
            Outcome::No => middle < 0.5,
            Outcome::Value(value) => (low..=high).contains(&value),
            Outcome::Over(bound) => bound <= high && check.reads != Reads::YesNo,
            Outcome::Under(bound) => bound >= low && check.reads != Reads::YesNo,
        }
    }))
}
