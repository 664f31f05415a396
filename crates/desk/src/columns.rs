//! What the columns of a source of recordings are: confirmed by a person once, remembered with the shop, used the next time without
//! asking, shown and taken back.
//!
//! A source is known by the heads of its columns, units included: another recorder, or the same with other signals or units, is another
//! source and is asked about anew.

use crate::desk::Desk;
use crate::drives::{column_said, read_drive};
use crate::problem::Problem;
use drive::{Column, Recording};
use jiff::Timestamp;
use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// How its setting is called, before the source's name.
const KEY: &str = "drive.columns.";
/// Letters of a source's name.
const LETTERS: usize = 10;
/// Sources at most: a shop has a few recorders.
const MOST: usize = 200;

/// A source whose columns a person confirmed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Its name, from its heads.
    pub id: String,
    /// The recording by which it was confirmed.
    pub file: String,
    /// When.
    pub at: Timestamp,
    /// What each column is: `COLUMN = SIGNAL, UNIT`.
    pub columns: Vec<String>,
}

/// The name of a recording's source; `None` where its file has no heads, as a log of frames.
pub fn source_of(recording: &Recording) -> Option<String> {
    if recording.heads.is_empty() {
        return None;
    }
    let sum = Sha256::digest(recording.heads.join("\n"));
    let mut id = String::new();
    for byte in sum {
        // Writing to a String cannot fail.
        let _ = write!(id, "{byte:02x}");
    }
    id.truncate(LETTERS);
    Some(id)
}

/// What is remembered of a recording's source, if a person confirmed it.
///
/// # Errors
/// The store fails.
pub fn known_source(desk: &mut Desk, recording: &Recording) -> Result<Option<Source>, Problem> {
    let id = source_of(recording);
    let mut all = sources(desk)?.into_iter();
    Ok(all.find(|source| Some(&source.id) == id.as_ref()))
}

/// What a column was taken for, as a person says it: `SIGNAL, UNIT`; `None` where it was recognised as nothing.
pub fn taken_for(column: &Column) -> Option<String> {
    let signal = column.signal?.name();
    let unit = column.unit.map(|unit| unit.symbol());
    Some(match unit.filter(|symbol| !symbol.is_empty()) {
        Some(unit) => format!("{signal}, {unit}"),
        None => signal.to_owned(),
    })
}

/// What is remembered, the latest first. What nobody can read any more is left out.
///
/// # Errors
/// The store fails.
pub fn sources(desk: &mut Desk) -> Result<Vec<Source>, Problem> {
    let all = desk.store().settings()?;
    let mut known: Vec<Source> = all
        .iter()
        .filter_map(|(key, value)| kept(key.strip_prefix(KEY)?, value))
        .collect();
    known.sort_by(|a, b| b.at.cmp(&a.at).then_with(|| a.id.cmp(&b.id)));
    Ok(known)
}

fn kept(id: &str, value: &str) -> Option<Source> {
    let mut lines = value.lines();
    let at = lines.next()?.parse().ok()?;
    let file = lines.next()?.to_owned();
    let columns: Vec<String> = lines.map(str::to_owned).collect();
    columns
        .iter()
        .all(|column| column_said(column).is_ok())
        .then_some(Source {
            id: id.to_owned(),
            file,
            at,
            columns,
        })
}

/// A recording read with what is remembered of its source and with what is said now, which goes before.
#[derive(Debug)]
pub struct KnownDrive {
    /// The recording.
    pub recording: Recording,
    /// With which columns it was read: `COLUMN = SIGNAL, UNIT`.
    pub columns: Vec<String>,
    /// The source, where a person confirmed it.
    pub source: Option<Source>,
}

/// Reads a recording so.
///
/// # Errors
/// It holds none, what was said cannot be used, or the store fails.
pub fn read_known_drive(
    desk: &mut Desk,
    bytes: &[u8],
    name: &str,
    columns: &[String],
) -> Result<KnownDrive, Problem> {
    let recording = read_drive(bytes, name, columns)?;
    let Some(source) = known_source(desk, &recording)? else {
        return Ok(KnownDrive {
            recording,
            columns: columns.to_vec(),
            source: None,
        });
    };
    let all = together(&source.columns, columns)?;
    Ok(KnownDrive {
        recording: read_drive(bytes, name, &all)?,
        columns: all,
        source: Some(source),
    })
}

/// What is remembered but for the columns of which something is said now, and that.
fn together(remembered: &[String], said: &[String]) -> Result<Vec<String>, Problem> {
    let mut all = Vec::new();
    let mut named = Vec::new();
    for text in said {
        named.push(column_said(text)?.column);
    }
    for text in remembered {
        if !named.contains(&column_said(text)?.column) {
            all.push(text.clone());
        }
    }
    all.extend(said.iter().cloned());
    Ok(all)
}

/// Remembers what each column of `recording` was taken for, for every recording with the same heads.
///
/// # Errors
/// Its file has no heads, there are too many sources, or the store fails.
pub fn confirm_columns(desk: &mut Desk, recording: &Recording, file: &str) -> Result<Source, Problem> {
    let id = source_of(recording).ok_or_else(|| {
        Problem::bad_input(
            format!("`{file}` has no columns that could be confirmed: what its frames say is laid down by a standard"),
            None,
        )
    })?;
    let known = sources(desk)?;
    if known.len() >= MOST && !known.iter().any(|source| source.id == id) {
        return Err(Problem::bad_input(
            format!("more than {MOST} sources cannot be remembered"),
            Some("halfsplit drive columns --forget SOURCE  takes one back".to_owned()),
        ));
    }
    let columns = recording.columns.iter().map(|column| {
        let taken = taken_for(column);
        format!("{} = {}", column.name, taken.as_deref().unwrap_or("none"))
    });
    let source = Source {
        id,
        file: file.lines().collect::<Vec<_>>().join(" "),
        at: Timestamp::now(),
        // A name over several lines cannot be kept in one; it is recognised anew each time.
        columns: columns.filter(|column| !column.contains(['\n', '\r'])).collect(),
    };
    let value = format!("{}\n{}\n{}", source.at, source.file, source.columns.join("\n"));
    desk.store().set(&format!("{KEY}{}", source.id), Some(&value))?;
    Ok(source)
}

/// Forgets a source: its columns are recognised anew.
///
/// # Errors
/// None is called so, or the store fails.
pub fn forget_columns(desk: &mut Desk, id: &str) -> Result<Source, Problem> {
    let known = sources(desk)?.into_iter().find(|source| source.id == id);
    let source = known.ok_or_else(|| {
        Problem::not_found(
            format!("no source `{id}` is remembered"),
            Some("halfsplit drive columns  lists them".to_owned()),
        )
    })?;
    desk.store().set(&format!("{KEY}{id}"), None)?;
    Ok(source)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_now_goes_before_what_is_remembered() {
        let remembered = ["a = engine speed, rpm".to_owned(), "b = none".to_owned()];
        let all = together(&remembered, &["a = coolant temperature, °C".to_owned()]).unwrap_or_default();
        assert_eq!(all, ["b = none", "a = coolant temperature, °C"]);
    }

    #[test]
    fn a_source_is_told_by_its_heads() {
        let of = |text: &str| source_of(&read_drive(text.as_bytes(), "a.csv", &[]).unwrap_or_default());
        let one = of("time,engine rpm,channel 7 (V)\n0,800,1\n1,820,2\n");
        assert_eq!(one.as_ref().map(String::len), Some(LETTERS));
        assert_eq!(one, of("time;engine rpm;channel 7 (V)\n5;900;7\n6;820;2\n"));
        assert_ne!(one, of("time,engine rpm,channel 7 (mV)\n0,800,1\n1,820,2\n"));
    }
}
