//! After a repair: the checks that prove it with what they read before and what is healthy, and what is still missing.

use super::bench::{case, model, said};
use super::desk::Held;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::how;
use crate::page::{Answer, Page};
use ::desk::{Problem, Why};
use ::job::Event;
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
    let mut rows = Vec::new();
    let mut page = Page::new(manner.screen);
    page.heading(&format!("Proof of the repair, job {}", held.number));
    let proving = ::desk::to_prove(held, &case);
    for (why, heading) in [
        (
            Why::Again,
            "Made before the repair; make it again, at the same place and in the same state:",
        ),
        (Why::Works, "Says that the circuit works:"),
    ] {
        if proving.iter().any(|row| row.why == why) {
            page.paragraph("  ", heading);
        }
        for row in proving.iter().filter(|row| row.why == why) {
            let (check, expected) = (row.check, &row.healthy);
            let (unit, [low, median, high]) = manner.units.percentiles(check, expected.percentiles);
            let before = row.before.clone();
            let told = before
                .as_ref()
                .map_or_else(String::new, |before| format!("   before {before}"));
            page.line(&format!(
                "  {}{}{told}   healthy {}",
                check.id,
                if row.done { "  (done)" } else { "" },
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
                done: row.done,
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
    for sentence in ::desk::repair_standing(held) {
        page.paragraph("  ", &sentence);
    }
    let out = if manner.json { json(&rows)? } else { page.text };
    Ok(Answer { out, err })
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
    let verdict = (good || bad).then_some(good);
    Ok(
        ::desk::proof_of(held, check, said, verdict, manner.units).map_err(|problem| Problem {
            hint: problem.hint.map(|hint| format!("{hint}: --good or --bad")),
            ..problem
        })?,
    )
}
