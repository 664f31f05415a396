//! The list of jobs.

use super::desk::Desk;
use super::tell::{age, or_dash};
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use crate::words;
use ::job::Stage;
use jiff::Timestamp;
use serde::Serialize;
use store::Filter;

/// One job in a list.
#[derive(Serialize)]
struct Line<'a> {
    number: i64,
    stage: &'a str,
    vehicle: &'a str,
    complaint: &'a str,
    circuit: &'a str,
    opened: Timestamp,
    changed: Timestamp,
}

/// The shop's jobs, newest first.
pub(crate) fn list(
    desk: &mut Desk,
    searched: &[String],
    stage: Option<&str>,
    limit: usize,
    manner: Manner,
) -> Result<Answer, Failure> {
    let stage = stage.map(stage_called).transpose()?;
    let filter = Filter {
        stage,
        words: searched.join(" "),
    };
    let rows = desk.store().list(&filter, limit, None)?;
    let out = if manner.json {
        let lines = rows.iter().map(|row| Line {
            number: row.number,
            stage: row.stage.name(),
            vehicle: &row.words,
            complaint: &row.complaint,
            circuit: &row.circuit,
            opened: row.opened,
            changed: row.changed,
        });
        json(&lines.collect::<Vec<_>>())?
    } else {
        let mut page = Page::new(manner.screen);
        for row in &rows {
            page.paragraph(
                &format!(
                    "{:>5}  {:<9} {:>6}  ",
                    row.number,
                    row.stage.name(),
                    age(row.changed)
                ),
                &format!(
                    "{}: {} ({})",
                    or_dash(&row.words),
                    or_dash(&row.complaint),
                    row.circuit
                ),
            );
        }
        if rows.is_empty() {
            page.line("no jobs; halfsplit job new  begins one");
        }
        page.text
    };
    Ok(Answer {
        out,
        err: String::new(),
    })
}

fn stage_called(name: &str) -> Result<Stage, Failure> {
    let found = Stage::ALL.into_iter().find(|stage| stage.name() == name);
    found.ok_or_else(|| {
        let names: Vec<String> = Stage::ALL.iter().map(|stage| stage.name().to_owned()).collect();
        Failure::bad_input(
            format!("there is no stage `{name}`"),
            Some(format!("one of {}", words::list(&names))),
        )
    })
}
