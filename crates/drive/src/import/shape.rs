//! The shape of a table in a text: what parts the cells, what marks decimals, where the names and the units stand.

use super::ImportError;
use super::figure::{figure, moment};

/// Lines in which the names are looked for.
const HEAD: usize = 60;

/// How a table is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Shape {
    pub(super) delimiter: u8,
    /// Before decimals.
    pub(super) mark: char,
    /// Line of the names, from 0.
    pub(super) names: usize,
    /// Line of the units, if they have one of their own.
    pub(super) units: Option<usize>,
    /// First line of figures.
    pub(super) first: usize,
}

/// The shape that explains the head of a text best.
pub(super) fn of(text: &str) -> Result<Shape, ImportError> {
    let lines: Vec<&str> = text.lines().take(HEAD).collect();
    let mut best: Option<(usize, Shape)> = None;
    for delimiter in [b',', b';', b'\t', b'|'] {
        for mark in ['.', ','] {
            if mark == ',' && delimiter == b',' {
                continue;
            }
            let Some((score, shape)) = fitted(&lines, delimiter, mark) else {
                continue;
            };
            if best.as_ref().is_none_or(|(most, _)| score > *most) {
                best = Some((score, shape));
            }
        }
    }
    best.map(|(_, shape)| shape).ok_or_else(|| ImportError::NoTable {
        rows: lines.len(),
        first: short(lines.first().copied().unwrap_or_default()),
    })
}

/// The names stand in the row of words that most figures stand below, in as many cells.
fn fitted(lines: &[&str], delimiter: u8, mark: char) -> Option<(usize, Shape)> {
    let rows: Vec<Vec<String>> = lines.iter().map(|line| cells(line, delimiter)).collect();
    let figures: Vec<usize> = rows
        .iter()
        .map(|row| row.iter().filter(|cell| holds_figure(cell, mark)).count())
        .collect();
    let mut best: Option<(usize, Shape)> = None;
    for (at, row) in rows.iter().enumerate() {
        let names = row.iter().filter(|cell| !cell.trim().is_empty()).count();
        let width = row.len();
        // Names are words, one or more; a row with a figure in it is none.
        if names == 0 || figures[at] > 0 {
            continue;
        }
        let mut first = at + 1;
        let mut units = None;
        if rows.get(first).is_some_and(|row| is_units(row, mark)) {
            units = Some(first);
            first += 1;
        }
        while rows
            .get(first)
            .is_some_and(|row| row.iter().all(|cell| cell.trim().is_empty()))
        {
            first += 1;
        }
        let below = first.min(rows.len())..rows.len();
        let all = below.len();
        // A row may end with an empty cell.
        let fits = |at: &usize| figures[*at] > 0 && (names..=names.max(width) + 1).contains(&rows[*at].len());
        let fitting: Vec<usize> = below.filter(fits).collect();
        if fitting.is_empty() || 2 * fitting.len() < all {
            continue;
        }
        let inside: usize = fitting.iter().map(|at| figures[*at]).sum();
        let shape = Shape {
            delimiter,
            mark,
            names: at,
            units,
            first,
        };
        // More cells of figures explain more; so does a wider table.
        let score = inside * 4 + names;
        if best.as_ref().is_none_or(|(most, _)| score > *most) {
            best = Some((score, shape));
        }
    }
    best
}

fn holds_figure(cell: &str, mark: char) -> bool {
    figure(cell, mark).is_some_and(f64::is_finite) || moment(cell).is_some()
}

/// A row in which every cell is short and at least one is a unit.
fn is_units(row: &[String], mark: char) -> bool {
    let words = row.iter().map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
    let mut known = 0;
    for word in words {
        if holds_figure(word, mark) || word.chars().count() > 12 {
            return false;
        }
        let bare = word.trim_matches(['(', ')', '[', ']']);
        known += usize::from(quantity::Unit::named(crate::recognise::spelled(bare)).is_some());
    }
    known > 0
}

/// The cells of one line.
pub(super) fn cells(line: &str, delimiter: u8) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(line.as_bytes());
    let record = reader.records().next().and_then(Result::ok);
    record.map_or_else(Vec::new, |record| record.iter().map(str::to_owned).collect())
}

/// A line as an error shows it.
pub(super) fn short(line: &str) -> String {
    let mut shown: String = line
        .chars()
        .take(60)
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect();
    if line.chars().count() > 60 {
        shown.push('…');
    }
    shown
}
