//! A recording: time and columns as figures in SI, with what was dropped on the way.

use crate::recognise::Guess;
use crate::signal::Signal;
use quantity::Unit;
use serde::Serialize;

/// A column of a recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its name as it stands in the file.
    pub name: String,
    /// What it is, if that is known.
    pub signal: Option<Signal>,
    /// The unit its figures were written in; `None` if the column is no known signal.
    pub unit: Option<Unit>,
    /// How sure `signal` is, 0 to 1; 1 where a person said so.
    pub confidence: f64,
    /// One figure per row, SI where the signal is known and as written else; NaN where there is none.
    pub values: Vec<f64>,
}

/// What could not be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Dropped {
    /// Rows that are no rows: too short, unreadable.
    pub rows: usize,
    /// Rows that were there already, at the same time with the same figures.
    pub repeated: usize,
    /// Rows whose time runs backwards.
    pub backwards: usize,
    /// Cells that hold something that is no figure.
    pub cells: usize,
    /// Letters that are none in the file's encoding.
    pub letters: usize,
}

/// Something worth knowing about a file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Row of the file, from 1; `None` if it is about the whole.
    pub row: Option<usize>,
    /// Column of the file, by its name.
    pub column: Option<String>,
    /// What it is, and what was done about it.
    pub what: String,
}

/// A recorded drive.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Recording {
    /// Seconds from the first row, rising, one per row.
    pub time: Vec<f64>,
    /// How `time` was made.
    pub clock: Clock,
    /// Time of the first row as the file says it, s; of a date, since 1970.
    pub began_s: f64,
    /// The file says that it was made up, not driven.
    pub simulated: bool,
    /// The columns as the file heads them, each with the unit written there: what tells one source of recordings from another. Empty
    /// where the file has no heads.
    pub heads: Vec<String>,
    /// All columns, known or not, each as long as `time`.
    pub columns: Vec<Column>,
    /// Trouble codes that a module told on the way.
    pub codes: Vec<Code>,
    /// What could not be used.
    pub dropped: Dropped,
    /// What is worth knowing.
    pub findings: Vec<Finding>,
}

/// A trouble code that a module told.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Code {
    /// By SAE J2012: `P0299`.
    pub code: String,
    /// In which list it stood.
    pub list: CodeList,
    /// When it was first told, s from the first row.
    pub at_s: f64,
}

/// A list of codes that a module keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CodeList {
    /// Confirmed.
    Stored,
    /// Seen, not yet confirmed.
    Pending,
    /// That nobody but the module itself can erase.
    Permanent,
}

/// A year in the mean, s.
const YEAR: f64 = 365.2425 * 86_400.0;
/// A signal asked for in turn is held over so many of its own steps.
const HELD_STEPS: f64 = 3.0;
/// And at least so long, s.
const HELD_LEAST: f64 = 1.0;

/// Where the time of the rows is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Clock {
    /// A column of times.
    #[default]
    Recorded,
    /// The engine's own running time, rows within one second spread over it.
    RunTime,
    /// One second a row: the file says nothing of time.
    Rows,
}

impl Recording {
    /// The figures of a signal, SI; the surest column if several are taken for it.
    pub fn values(&self, signal: Signal) -> Option<&[f64]> {
        self.column(signal).map(|column| column.values.as_slice())
    }

    /// The column of a signal.
    pub fn column(&self, signal: Signal) -> Option<&Column> {
        let own = self.columns.iter().filter(|column| column.signal == Some(signal));
        own.reduce(|best, next| {
            if next.confidence > best.confidence {
                next
            } else {
                best
            }
        })
    }

    /// Where signals are read one after the other, each stands until it is read again; a signal that stays away longer than three
    /// of its usual steps is missing.
    pub(crate) fn hold(&mut self) {
        for column in &mut self.columns {
            let rows: Vec<usize> = (0..column.values.len())
                .filter(|row| column.values[*row].is_finite())
                .collect();
            let mut steps: Vec<f64> = rows
                .windows(2)
                .map(|pair| self.time[pair[1]] - self.time[pair[0]])
                .collect();
            let held = crate::statistics::median(&mut steps)
                .map_or(HELD_LEAST, |step| (HELD_STEPS * step).max(HELD_LEAST));
            for (place, row) in rows.iter().enumerate() {
                let next = rows.get(place + 1).copied().unwrap_or(column.values.len());
                for later in row + 1..next {
                    if self.time[later] - self.time[*row] > held {
                        break;
                    }
                    column.values[later] = column.values[*row];
                }
            }
        }
    }

    /// When it began, where its times are dates; one without a zone is taken for UTC.
    pub fn began(&self) -> Option<jiff::Timestamp> {
        let dated = self.clock == Clock::Recorded
            && (2000.0 * YEAR..2100.0 * YEAR).contains(&(self.began_s + 1970.0 * YEAR));
        dated
            .then(|| jiff::SignedDuration::try_from_secs_f64(self.began_s).ok())
            .flatten()
            .and_then(|since| jiff::Timestamp::from_duration(since).ok())
    }

    /// How long it is, s.
    pub fn length(&self) -> f64 {
        self.time.last().copied().unwrap_or_default()
    }

    /// Usual time between two rows, s; 0 with fewer than two.
    pub fn step(&self) -> f64 {
        let mut steps: Vec<f64> = self.time.windows(2).map(|pair| pair[1] - pair[0]).collect();
        crate::statistics::median(&mut steps).unwrap_or_default()
    }
}

impl Column {
    pub(crate) fn new(name: &str, guess: Option<Guess>, mut values: Vec<f64>) -> Self {
        let unit = guess.map(|guess| guess.unit);
        if let Some(unit) = unit {
            for value in &mut values {
                *value = *value * unit.factor() + unit.offset();
            }
        }
        Self {
            name: name.to_owned(),
            signal: guess.map(|guess| guess.signal),
            unit,
            confidence: guess.map_or(0.0, |guess| guess.confidence),
            values,
        }
    }

    /// Figures that are there.
    pub fn count(&self) -> usize {
        self.values.iter().filter(|value| value.is_finite()).count()
    }
}
