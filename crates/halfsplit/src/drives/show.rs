//! What is in a recording, so that a wrong guess can be seen.

use super::args::Recorded;
use super::clock;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use ::drive::{Column, Dropped, Finding, Recording};
use serde::Serialize;

#[derive(Debug, Serialize)]
struct Shown<'r> {
    rows: usize,
    seconds: f64,
    step_s: f64,
    simulated: bool,
    clock: ::drive::Clock,
    columns: Vec<Row<'r>>,
    codes: &'r [::drive::Code],
    dropped: Dropped,
    findings: &'r [Finding],
}

/// Least, middle and greatest are in `unit` where there is one, else as written.
#[derive(Debug, Serialize)]
struct Row<'r> {
    column: &'r str,
    signal: Option<&'static str>,
    unit: Option<&'static str>,
    confidence: f64,
    figures: usize,
    least: Option<f64>,
    middle: Option<f64>,
    greatest: Option<f64>,
}

pub(super) fn run(recording: &Recording, recorded: &Recorded, manner: Manner) -> Result<Answer, Failure> {
    let shown = Shown {
        rows: recording.time.len(),
        seconds: recording.length(),
        step_s: recording.step(),
        simulated: recording.simulated,
        clock: recording.clock,
        columns: recording.columns.iter().map(row).collect(),
        codes: &recording.codes,
        dropped: recording.dropped,
        findings: &recording.findings,
    };
    if manner.json {
        return Ok(Answer {
            out: json(&shown)?,
            err: String::new(),
        });
    }
    let mut page = Page::new(manner.screen);
    page.heading(&format!("Recording {}", recorded.file.display()));
    page.line(&format!(
        "  {} rows, {} minutes, a row every {:.2} s",
        shown.rows,
        clock(shown.seconds),
        shown.step_s
    ));
    if shown.simulated {
        page.line("  Simulated: made up, not driven.");
    }
    page.heading("Columns");
    let width = shown
        .columns
        .iter()
        .map(|row| row.column.chars().count())
        .max()
        .unwrap_or(0)
        .min(38);
    for row in &shown.columns {
        let figures = match (row.least, row.middle, row.greatest) {
            (Some(least), Some(middle), Some(greatest)) => {
                format!(
                    "{} · {} · {} {}",
                    short(least),
                    short(middle),
                    short(greatest),
                    row.unit.unwrap_or_default()
                )
            }
            _ => "no figure".to_owned(),
        };
        let taken = match row.signal {
            Some(signal) => format!("{signal} ({:.0} % sure)", 100.0 * row.confidence),
            None => "not known".to_owned(),
        };
        page.paragraph(
            &format!("  {:<width$}  ", row.column),
            &format!("{taken}; {}", figures.trim_end()),
        );
    }
    if !shown.codes.is_empty() {
        page.heading("Codes told on the way");
        for code in shown.codes {
            let list = match code.list {
                ::drive::CodeList::Stored => "stored",
                ::drive::CodeList::Pending => "pending",
                ::drive::CodeList::Permanent => "permanent",
            };
            page.line(&format!("  {}  {list}, at {}", code.code, clock(code.at_s)));
        }
    }
    if !shown.findings.is_empty() {
        page.heading("Worth knowing");
        for finding in shown.findings {
            let place = match (finding.row, &finding.column) {
                (Some(row), Some(column)) => format!("row {row}, `{column}`: "),
                (Some(row), None) => format!("row {row}: "),
                (None, Some(column)) => format!("`{column}`: "),
                (None, None) => String::new(),
            };
            page.paragraph("  ", &format!("{place}{}", finding.what));
        }
    }
    page.gap();
    page.aside("", "Least, middle and greatest figure stand behind each. A column taken for the wrong thing: --column \"COLUMN = SIGNAL\", or \"= none\"; halfsplit drive columns remembers it.");
    Ok(Answer {
        out: page.text,
        err: String::new(),
    })
}

fn row(column: &Column) -> Row<'_> {
    let written = |si: f64| {
        column
            .unit
            .map_or(si, |unit| (si - unit.offset()) / unit.factor())
    };
    let mut figures: Vec<f64> = column
        .values
        .iter()
        .copied()
        .filter(|value| value.is_finite())
        .map(written)
        .collect();
    figures.sort_by(f64::total_cmp);
    Row {
        column: &column.name,
        signal: column.signal.map(::drive::Signal::name),
        unit: column.unit.map(|unit| unit.symbol()),
        confidence: column.confidence,
        figures: figures.len(),
        least: figures.first().copied(),
        middle: figures.get(figures.len() / 2).copied(),
        greatest: figures.last().copied(),
    }
}

fn short(figure: f64) -> String {
    let text = format!("{figure:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
