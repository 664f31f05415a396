//! A file's bytes as a recording: its letters, its shape, its cells, its signals, its time, in this order.

mod cells;
mod clock;
#[cfg(feature = "parquet")]
mod columnar;
mod figure;
mod frames;
mod letters;
mod shape;
mod turned;

use crate::recognise::{Guess, could_be, recognise};
use crate::recording::{Column, Dropped, Finding, Recording};
use crate::signal::Signal;
use quantity::Unit;
use thiserror::Error;

/// What a person said a column is.
#[derive(Debug, Clone, PartialEq)]
pub struct Assigned {
    /// Its name in the file.
    pub column: String,
    /// What it is; `None`: nothing of interest.
    pub signal: Option<Signal>,
    /// The unit its figures are written in; `None`: the usual one.
    pub unit: Option<Unit>,
}

/// How a file is taken in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Import {
    /// What a person said of its columns; the rest is recognised.
    pub assigned: Vec<Assigned>,
    /// The signals that are wanted, besides the time; columns that by their name are none of them are left unread. `None`: all.
    pub only: Option<Vec<Signal>>,
}

impl Import {
    /// Whether a column of this name is read.
    fn wants(&self, name: &str) -> bool {
        let Some(only) = &self.only else {
            return true;
        };
        self.assigned.iter().any(|assigned| assigned.column == name)
            || could_be(name, only)
            || could_be(name, &[Signal::Time, Signal::RunTime])
    }
}

/// A file that holds no recording.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ImportError {
    /// Nothing in it.
    #[error("the file is empty")]
    Empty,
    /// No table.
    #[error(
        "no row of column names with rows of figures below it was found in the first {rows} lines; the first is `{first}`"
    )]
    NoTable {
        /// Lines looked at.
        rows: usize,
        /// The first of them, cut short.
        first: String,
    },
    /// A table without one figure.
    #[error(
        "the table has {columns} columns and not one row of figures; the first row below the names, row {row}, is `{text}`"
    )]
    NoFigures {
        /// Columns.
        columns: usize,
        /// Row of the file.
        row: usize,
        /// The row, cut short.
        text: String,
    },
    /// A log of frames in which no module answers.
    #[error(
        "{frames} frames, and not one answer in them that is known: a module answers on 7E8 to 7EF or 18DAF1xx"
    )]
    NoAnswers {
        /// Frames read.
        frames: usize,
    },
    /// A file kept column by column that cannot be used.
    #[error("the Parquet file cannot be read: {why}")]
    Parquet {
        /// What its reader says.
        why: String,
    },
    /// A file kept column by column, and no reader for it.
    #[error(
        "it is a Parquet file, and this build reads none: a program built with `--features parquet` does, or the table written as CSV"
    )]
    NoParquet,
    /// A person named a column that is not there.
    #[error("there is no column `{column}`; the file has {have}")]
    NoColumn {
        /// What was named.
        column: String,
        /// The columns that are there.
        have: String,
    },
}

/// Takes a file in.
///
/// # Errors
/// Where it holds no recording; whatever is sound in it is used, and what is not is counted.
pub fn read(bytes: &[u8], how: &Import) -> Result<Recording, ImportError> {
    if bytes.starts_with(PARQUET) {
        return parquet(bytes, how);
    }
    let (text, letters) = letters::decoded(bytes);
    if text.trim().is_empty() {
        return Err(ImportError::Empty);
    }
    let simulated = says_simulated(&text);
    if frames::is_log(&text) {
        return frames::read(&text).map(|recording| Recording {
            simulated,
            ..recording
        });
    }
    let shape = shape::of(&text)?;
    let mut findings = Vec::new();
    let mut dropped = Dropped {
        letters,
        ..Dropped::default()
    };
    if letters > 0 {
        findings.push(whole(format!(
            "{letters} letters are none in the file's encoding; they were read as unknown"
        )));
    }
    let table = cells::read(&text, &shape, how, &mut dropped, &mut findings);
    let first = || shape::short(text.lines().nth(shape.first).unwrap_or_default());
    recorded(table, (shape.first + 1, &first), how, dropped, findings).map(|recording| Recording {
        simulated,
        ..recording
    })
}

/// How a file that is kept column by column begins.
const PARQUET: &[u8] = b"PAR1";

#[cfg(feature = "parquet")]
fn parquet(bytes: &[u8], how: &Import) -> Result<Recording, ImportError> {
    let mut dropped = Dropped::default();
    let mut findings = Vec::new();
    let (table, simulated) = columnar::read(bytes, how, &mut dropped, &mut findings)?;
    recorded(table, (1, &String::new), how, dropped, findings).map(|recording| Recording {
        simulated,
        ..recording
    })
}

#[cfg(not(feature = "parquet"))]
fn parquet(_: &[u8], _: &Import) -> Result<Recording, ImportError> {
    Err(ImportError::NoParquet)
}

/// A table of figures as a recording, whatever file it stood in; `first` is the first row of figures with its text.
fn recorded(
    table: Table,
    first: (usize, &dyn Fn() -> String),
    how: &Import,
    mut dropped: Dropped,
    mut findings: Vec<Finding>,
) -> Result<Recording, ImportError> {
    let one_per_signal = turned::is_turned(&table);
    let table = if one_per_signal {
        turned::upright(&table, &mut dropped, &mut findings)
    } else {
        table
    };
    if table.rows == 0 {
        return Err(ImportError::NoFigures {
            columns: table.columns.len(),
            row: first.0,
            text: first.1(),
        });
    }
    for assigned in &how.assigned {
        if !table.columns.iter().any(|column| column.name == assigned.column) {
            let names: Vec<String> = table
                .columns
                .iter()
                .map(|column| format!("`{}`", column.name))
                .collect();
            return Err(ImportError::NoColumn {
                column: assigned.column.clone(),
                have: names.join(", "),
            });
        }
    }
    let heads = table.columns.iter().map(Raw::head).collect();
    let mut columns: Vec<Column> = table
        .columns
        .into_iter()
        .map(|raw| {
            let guess = guess(&raw, how);
            Column::new(&raw.name, guess, raw.figures)
        })
        .collect();
    contradicted(&columns, &mut findings);
    let (time, clock, began_s) = clock::order(&mut columns, &mut dropped, &mut findings, &table.at);
    let mut recording = Recording {
        time,
        clock,
        began_s,
        simulated: false,
        heads,
        columns,
        codes: Vec::new(),
        dropped,
        findings,
    };
    if one_per_signal {
        recording.hold();
    }
    Ok(recording)
}

/// Whether one of the first lines is a remark that says so.
fn says_simulated(text: &str) -> bool {
    let remarks = text.lines().take(5).filter(|line| line.starts_with('#'));
    remarks
        .into_iter()
        .any(|line| line.to_lowercase().contains("simulated"))
}

/// A column as it stands in the file.
#[derive(Debug, Clone, Default)]
pub(crate) struct Raw {
    pub(crate) name: String,
    /// As written; empty if none is.
    pub(crate) unit: String,
    /// As written but for the marks; times of day in seconds. NaN where there is no figure.
    pub(crate) figures: Vec<f64>,
    /// It holds times of day or dates.
    pub(crate) clock: bool,
}

impl Raw {
    /// `engine speed [rpm]`.
    fn head(&self) -> String {
        if self.unit.is_empty() {
            self.name.clone()
        } else {
            format!("{} [{}]", self.name, self.unit)
        }
    }

    /// Whether its name is one of these, in small letters or large.
    pub(crate) fn is_called(&self, names: &[&str]) -> bool {
        names.iter().any(|name| self.name.eq_ignore_ascii_case(name))
    }
}

/// Names of the columns that a file with one row per signal and moment has.
pub(crate) const SIGNALS: &[&str] = &["signal", "name", "pid", "parameter", "channel", "sensor"];
/// And of their figures.
pub(crate) const VALUES: &[&str] = &["value", "reading", "val"];
/// And of their units.
pub(crate) const UNITS: &[&str] = &["unit", "units"];

/// A table of figures.
#[derive(Debug, Clone, Default)]
pub(crate) struct Table {
    pub(crate) columns: Vec<Raw>,
    pub(crate) rows: usize,
    /// Row of the file that each row was, from 1.
    pub(crate) at: Vec<usize>,
    /// Names of signals, where a file has one row per signal and moment: per row.
    pub(crate) tags: Vec<Option<Tag>>,
}

/// What one row of a turned file is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Tag {
    pub(crate) name: String,
    pub(crate) unit: String,
}

pub(crate) fn whole(what: String) -> Finding {
    Finding {
        row: None,
        column: None,
        what,
    }
}

/// Says how many of something there are in all, where there are more than those told one by one already.
pub(crate) fn in_all(findings: &mut Vec<Finding>, count: usize, told: usize, what: &str) {
    if count > told {
        findings.push(whole(format!("{count} {what}")));
    }
}

/// Figures looked at to recognise a column, spread over the file.
const LOOKED_AT: usize = 512;

fn guess(raw: &Raw, how: &Import) -> Option<Guess> {
    if let Some(assigned) = how.assigned.iter().find(|assigned| assigned.column == raw.name) {
        let signal = assigned.signal?;
        let usual = || Unit::named_for(signal.known().usual, signal.dimension());
        return Some(Guess {
            signal,
            unit: assigned.unit.or_else(usual)?,
            confidence: 1.0,
        });
    }
    if raw.clock {
        return Some(Guess {
            signal: Signal::Time,
            unit: Signal::Time.dimension().si(),
            confidence: 0.9,
        });
    }
    let step = (raw.figures.len() / LOOKED_AT).max(1);
    let looked_at: Vec<f64> = raw.figures.iter().copied().step_by(step).collect();
    recognise(&raw.name, &raw.unit, &looked_at)
}

/// Says where figures cannot be what their column is taken for, and what else is odd.
fn contradicted(columns: &[Column], findings: &mut Vec<Finding>) {
    for column in columns {
        let about = |what: String| Finding {
            row: None,
            column: Some(column.name.clone()),
            what,
        };
        let count = column.count();
        if count == 0 {
            findings.push(about("holds no figure".to_owned()));
            continue;
        }
        let Some(signal) = column.signal.filter(|signal| *signal != Signal::Time) else {
            continue;
        };
        let (least, most) = signal.known().range;
        let outside =
            |value: &&f64| value.is_finite() && !(least - 1e-9..=most * (1.0 + 1e-6)).contains(*value);
        let odd = column.values.iter().filter(outside).count();
        if odd > 0 {
            findings.push(about(format!(
                "{odd} of {count} figures are beyond what {} can be{}",
                signal.name(),
                if 2 * odd > count {
                    "; is the unit right?"
                } else {
                    ""
                }
            )));
        }
    }
}
