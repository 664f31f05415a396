//! What the columns of a source are: looked at, confirmed, listed, forgotten.

use super::args::Columns;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::jobs::desk::{self, Desk};
use crate::page::{Answer, Page};
use ::desk::{Source, confirm_columns, forget_columns, read_known_drive, sources};
use ::drive::Recording;
use serde::Serialize;
use store::Location;

#[derive(Debug, Serialize)]
struct Told<'s> {
    source: &'s str,
    confirmed_by: &'s str,
    at: String,
    columns: &'s [String],
}

#[derive(Debug, Serialize)]
struct Shown<'r> {
    source: Option<String>,
    confirmed: bool,
    columns: Vec<Row<'r>>,
}

#[derive(Debug, Serialize)]
struct Row<'r> {
    column: &'r str,
    signal: Option<&'static str>,
    unit: Option<&'static str>,
    confidence: f64,
}

/// The usual shop, if there is one: looking at a recording begins none.
pub(super) fn shop() -> Result<Option<Desk>, Failure> {
    // Where no folder for data is known, there is none.
    let Ok(location) = desk::location(None) else {
        return Ok(None);
    };
    if matches!(&location, Location::File(file) if !file.is_file()) {
        return Ok(None);
    }
    desk::at(None, "").map(Some)
}

pub(super) fn run(wanted: &Columns, manner: Manner) -> Result<Answer, Failure> {
    let Some(file) = &wanted.file else {
        return match &wanted.forget {
            Some(id) => {
                let source = forget_columns(&mut desk::at(None, "")?, id)?;
                let out = format!("forgotten: {}, confirmed by `{}`\n", source.id, source.file);
                Ok(answer(if manner.json { json(&told(&source))? } else { out }))
            }
            None => list(manner),
        };
    };
    let bytes = crate::files::bytes(file, "recording", super::LARGEST)?;
    let name = file.display().to_string();
    if wanted.confirm {
        let mut desk = desk::at(None, "")?;
        let known = read_known_drive(&mut desk, &bytes, &name, &wanted.corrected)?;
        let called = file
            .file_name()
            .map_or(name, |name| name.to_string_lossy().into_owned());
        let source = confirm_columns(&mut desk, &known.recording, &called)?;
        let lines: Vec<String> = source
            .columns
            .iter()
            .map(|column| format!("  {column}"))
            .collect();
        let lines = lines.join("\n");
        let out = format!(
            "remembered for every recording with these columns (source {}):\n{lines}\n",
            source.id
        );
        return Ok(answer(if manner.json { json(&told(&source))? } else { out }));
    }
    let known = match shop()? {
        Some(mut desk) => {
            let known = read_known_drive(&mut desk, &bytes, &name, &wanted.corrected)?;
            (known.recording, known.source)
        }
        None => (::desk::read_drive(&bytes, &name, &wanted.corrected)?, None),
    };
    shown(&known.0, known.1.as_ref(), manner)
}

fn answer(out: String) -> Answer {
    Answer {
        out,
        err: String::new(),
    }
}

fn told(source: &Source) -> Told<'_> {
    Told {
        source: &source.id,
        confirmed_by: &source.file,
        at: source.at.to_string(),
        columns: &source.columns,
    }
}

fn list(manner: Manner) -> Result<Answer, Failure> {
    let known = match shop()? {
        Some(mut desk) => sources(&mut desk)?,
        None => Vec::new(),
    };
    if manner.json {
        let all: Vec<Told> = known.iter().map(told).collect();
        return Ok(answer(json(&all)?));
    }
    let mut page = Page::new(manner.screen);
    page.heading("Sources whose columns are confirmed");
    if known.is_empty() {
        page.line("  none");
    }
    for source in &known {
        page.line(&format!(
            "  {}  {}, by `{}`",
            source.id,
            source.at.strftime("%Y-%m-%d"),
            source.file
        ));
        for column in &source.columns {
            page.paragraph("      ", column);
        }
    }
    page.gap();
    page.aside("", "One that is wrong: halfsplit drive columns --forget SOURCE");
    Ok(answer(page.text))
}

fn shown(recording: &Recording, source: Option<&Source>, manner: Manner) -> Result<Answer, Failure> {
    let rows = recording.columns.iter().map(|column| Row {
        column: &column.name,
        signal: column.signal.map(::drive::Signal::name),
        unit: column.unit.map(|unit| unit.symbol()),
        confidence: column.confidence,
    });
    let shown = Shown {
        source: ::desk::source_of(recording),
        confirmed: source.is_some(),
        columns: rows.collect(),
    };
    if manner.json {
        return Ok(answer(json(&shown)?));
    }
    let mut page = Page::new(manner.screen);
    page.heading("Columns");
    for row in &shown.columns {
        let taken = match (row.signal, row.unit) {
            (Some(signal), Some(unit)) => format!("{signal}, {unit} ({:.0} % sure)", 100.0 * row.confidence),
            _ => "not known, or of no interest".to_owned(),
        };
        page.paragraph(&format!("  {:<30}  ", row.column), &taken);
    }
    page.gap();
    match (source, &shown.source) {
        (Some(source), _) => page.line(&format!(
            "Confirmed on {} by `{}` (source {}).",
            source.at.strftime("%Y-%m-%d"),
            source.file,
            source.id
        )),
        (None, Some(_)) => page.aside("", "Not confirmed yet. Where one is wrong: --column \"COLUMN = SIGNAL, UNIT\"; then --confirm remembers them."),
        (None, None) => page.line("A standard lays down what its frames say; nothing is to be confirmed."),
    }
    Ok(answer(page.text))
}
