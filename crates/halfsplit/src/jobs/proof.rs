//! After a repair: the checks that prove it with what they read before and what is healthy, and what is still missing.

use super::again::{self, Why};
use super::bench::{case, model, said};
use super::desk::Held;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::how;
use crate::page::{Answer, Page};
use ::job::{BY_HAND, Event, Said};
use serde::Serialize;

/// One check that proves the repair.
#[derive(Serialize)]
struct Row<'a> {
    check: &'a str,
    why: &'static str,
    unit: Option<&'static str>,
    low: f64,
    median: f64,
    high: f64,
    before: Option<String>,
    done: bool,
}

/// Lists them.
pub(crate) fn checks(held: &Held, manner: Manner) -> Result<Answer, Failure> {
    let model = model(held)?;
    let (case, err) = case(held, &model, manner)?;
    let done = |id: &str| {
        held.job
            .proofs
            .iter()
            .any(|proof| proof.good && proof.check == id)
    };
    let mut rows = Vec::new();
    let mut page = Page::new(manner.screen);
    page.heading(&format!("Proof of the repair, job {}", held.number));
    let proving = again::proving(held, &case);
    for (why, heading) in [
        (
            Why::Again,
            "Made before the repair; make it again, at the same place and in the same state:",
        ),
        (Why::Works, "Says that the circuit works:"),
    ] {
        if proving.iter().any(|(_, own)| *own == why) {
            page.paragraph("  ", heading);
        }
        for (check, _) in proving.iter().filter(|(_, own)| *own == why) {
            let Some(expected) = again::healthy(&case, check) else {
                continue;
            };
            let (unit, [low, median, high]) = manner.units.percentiles(check, expected.percentiles);
            let before = held
                .job
                .read_before_repair()
                .filter(|reading| reading.check == check.id)
                .last();
            let before = before.map(|reading| again::shown(held, &case, check, &reading.said, manner));
            let told = before
                .as_ref()
                .map_or_else(String::new, |before| format!("   before {before}"));
            page.line(&format!(
                "  {}{}{told}   healthy {}",
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
                why: if why == Why::Again { "again" } else { "works" },
                unit,
                low,
                median,
                high,
                before,
                done: done(&check.id),
            });
        }
    }
    page.paragraph(
        "  ",
        &format!(
            "Then a road test as the complaint was, one drives and another reads: halfsplit job prove {} \"road test uphill = yes\" --good",
            held.number
        ),
    );
    page.heading("Where the proof stands");
    for sentence in standing(held) {
        page.paragraph("  ", &sentence);
    }
    let out = if manner.json { json(&rows)? } else { page.text };
    Ok(Answer { out, err })
}

/// What the repair still lacks, as sentences; one that says so if nothing.
pub(crate) fn standing(held: &Held) -> Vec<String> {
    let job = &held.job;
    let missing = job.missing_proof();
    let mut sentences: Vec<String> = missing
        .iter()
        .map(|missing| format!("Still missing: {missing}."))
        .collect();
    if job.repairs.is_empty() {
        sentences.push("Nothing has been repaired yet.".to_owned());
    } else if missing.is_empty() {
        sentences.push(match job.proof_by_hand() {
            Some(reason) => format!("The repair was called proven by hand: {reason}."),
            None => "The repair is proven: what was wrong reads healthy, and it was driven.".to_owned(),
        });
    }
    sentences
}

/// The event of one proof: good or not by the healthy range, unless the person says.
pub(crate) fn event(
    held: &Held,
    reading: &str,
    good: bool,
    bad: bool,
    manner: Manner,
) -> Result<Event, Failure> {
    let (check, said) = said(reading)?;
    let judged = judged(held, check, &said, manner)?;
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

/// The event that calls the repair proven, for a reason.
pub(crate) fn by_hand(reason: &str) -> Event {
    Event::Proof {
        check: BY_HAND.to_owned(),
        said: Said::Answer(reason.to_owned()),
        good: true,
    }
}

/// Whether a reading is as a sound circuit gives it; `None` if that is no check of the circuit.
fn judged(held: &Held, id: &str, said: &Said, manner: Manner) -> Result<Option<bool>, Failure> {
    let model = model(held)?;
    let Some(check) = again::known(&model, id) else {
        return Ok(None);
    };
    // What cannot be read as this check reads is refused here.
    again::outcome(held, &model, check, said)?;
    let (case, _) = case(held, &model, manner)?;
    Ok(again::judged(held, &case, check, said))
}
