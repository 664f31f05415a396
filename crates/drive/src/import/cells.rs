//! The cells below the names, as columns of figures.

use super::figure::{figure, moment};
use super::shape::{Shape, cells};
use super::{Import, Raw, SIGNALS, Table, Tag, UNITS, VALUES, in_all};
use crate::recording::{Dropped, Finding};

/// Findings of one sort that are told with their place; the rest is counted.
const TOLD: usize = 5;

/// Reads them; whatever is no figure is a gap, and counted.
pub(super) fn read(
    text: &str,
    shape: &Shape,
    how: &Import,
    dropped: &mut Dropped,
    findings: &mut Vec<Finding>,
) -> Table {
    let line = |at: usize| cells(text.lines().nth(at).unwrap_or_default(), shape.delimiter);
    let units = shape.units.map(line).unwrap_or_default();
    let mut columns = named(&line(shape.names), &units);
    let body = after(text, shape.first);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(shape.delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(body.as_bytes());
    let mut table = Table::default();
    let words = word_column(&columns);
    let width = columns.len();
    // Where every row names its signal, no column can be left out.
    let wanted: Vec<bool> = columns
        .iter()
        .map(|column| words.is_some() || how.wants(&column.name))
        .collect();
    let mut record = csv::StringRecord::new();
    let mut told = Told::default();
    loop {
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                dropped.rows += 1;
                told.row(
                    findings,
                    shape.first
                        + error
                            .position()
                            .map_or(0, |at| usize::try_from(at.line()).unwrap_or(0)),
                    "cannot be read and was left out",
                );
                continue;
            }
        }
        let row = shape.first
            + record
                .position()
                .map_or(0, |at| usize::try_from(at.line()).unwrap_or(0));
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        if 2 * record.len() < width {
            dropped.rows += 1;
            told.row(
                findings,
                row,
                &format!("has {} of {width} cells and was left out", record.len()),
            );
            continue;
        }
        for (at, column) in columns.iter_mut().enumerate().filter(|(at, _)| wanted[*at]) {
            let cell = record.get(at).unwrap_or_default();
            if words == Some(at) {
                column.figures.push(f64::NAN);
                continue;
            }
            let figure = told.cell(column, cell, shape.mark, (row, table.rows), dropped, findings);
            column.figures.push(figure);
        }
        table
            .tags
            .push(words.map(|at| tag(record.get(at).unwrap_or_default(), &columns, &record)));
        table.at.push(row);
        table.rows += 1;
    }
    in_all(findings, dropped.rows, TOLD, "rows in all were left out");
    in_all(findings, dropped.cells, TOLD, "cells in all hold no figure");
    let kept = columns.into_iter().zip(wanted).filter(|(_, wanted)| *wanted);
    table.columns = kept.map(|(column, _)| column).collect();
    table
}

/// The text from a line on.
fn after(text: &str, line: usize) -> &str {
    let mut rest = text;
    for _ in 0..line {
        rest = rest.split_once('\n').map_or("", |(_, rest)| rest);
    }
    rest
}

/// Columns with their names, and their units where those stand in the name or below it.
pub(super) fn named(names: &[String], units: &[String]) -> Vec<Raw> {
    let mut columns: Vec<Raw> = Vec::new();
    let last = names
        .iter()
        .rposition(|name| !name.trim().is_empty())
        .map_or(0, |last| last + 1);
    for (at, name) in names[..last].iter().enumerate() {
        let (bare, unit) = parted(name);
        let below = units
            .get(at)
            .map(|unit| unit.trim().trim_matches(['(', ')', '[', ']']).to_owned());
        let mut bare = if bare.is_empty() {
            format!("column {}", at + 1)
        } else {
            bare
        };
        let same = columns.iter().filter(|column| column.name == bare).count();
        if same > 0 {
            bare = format!("{bare} ({})", at + 1);
        }
        columns.push(Raw {
            name: bare,
            unit: below.filter(|unit| !unit.is_empty()).unwrap_or(unit),
            ..Raw::default()
        });
    }
    columns
}

/// `Engine speed (rpm)` and `Engine speed [rpm]` as name and unit.
pub(super) fn parted(name: &str) -> (String, String) {
    let name = name.trim();
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let Some((bare, rest)) = name.rsplit_once(open)
            && let Some(unit) = rest.trim_end().strip_suffix(close)
        {
            return (bare.trim().to_owned(), unit.trim().to_owned());
        }
    }
    (name.to_owned(), String::new())
}

/// The column that holds names of signals, where there is one row per signal.
pub(super) fn word_column(columns: &[Raw]) -> Option<usize> {
    let named = |names: &[&str]| columns.iter().position(|column| column.is_called(names));
    let (value, signal) = (named(VALUES)?, named(SIGNALS)?);
    (columns.len() <= 5 && value != signal).then_some(signal)
}

fn tag(name: &str, columns: &[Raw], record: &csv::StringRecord) -> Tag {
    let units = columns.iter().position(|column| column.is_called(UNITS));
    let (bare, unit) = parted(name);
    Tag {
        name: bare,
        unit: units
            .and_then(|at| record.get(at))
            .map_or(unit, |unit| unit.trim().to_owned()),
    }
}

/// What was told already.
#[derive(Debug, Default)]
pub(super) struct Told {
    rows: usize,
    cells: usize,
}

impl Told {
    fn row(&mut self, findings: &mut Vec<Finding>, row: usize, what: &str) {
        self.rows += 1;
        if self.rows <= TOLD {
            findings.push(Finding {
                row: Some(row),
                column: None,
                what: format!("the row {what}"),
            });
        }
    }

    /// The figure of a cell, or NaN.
    pub(super) fn cell(
        &mut self,
        column: &mut Raw,
        cell: &str,
        mark: char,
        (row, before): (usize, usize),
        dropped: &mut Dropped,
        findings: &mut Vec<Finding>,
    ) -> f64 {
        if (column.clock || before == 0)
            && let Some(moment) = moment(cell)
        {
            column.clock = true;
            return moment;
        }
        if let Some(figure) = figure(cell, mark) {
            return figure;
        }
        if column.is_called(UNITS) {
            return f64::NAN;
        }
        dropped.cells += 1;
        self.cells += 1;
        if self.cells <= TOLD {
            findings.push(Finding {
                row: Some(row),
                column: Some(column.name.clone()),
                what: format!(
                    "`{}` is no figure; it is left as a gap",
                    super::shape::short(cell.trim())
                ),
            });
        }
        f64::NAN
    }
}
