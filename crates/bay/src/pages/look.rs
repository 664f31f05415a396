//! A circuit's text looked at: findings with their places as a browser counts them, and the drawing.

use crate::shelf::Shelf;
use diag::{Severity, Source};
use draw::{Notes, Style};
use engine::{Loaded, Model};
use serde::Serialize;
use utoipa::ToSchema;

/// Parts beyond which the drawing is not made while one types: placing them would be felt.
const DRAWN: usize = 120;
/// Findings listed; a text with more is told how many.
const LISTED: usize = 100;

/// A text looked at.
#[derive(Debug)]
pub(crate) struct Looked {
    pub(crate) findings: Vec<Finding>,
    /// Findings beyond those listed.
    pub(crate) more: usize,
    /// The circuit, if there are no errors.
    pub(crate) model: Option<Model>,
    pub(crate) svg: Option<String>,
    /// Why there is no drawing.
    pub(crate) note: &'static str,
}

/// A finding on a text.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Finding {
    /// An error; else a warning.
    pub(crate) error: bool,
    /// For good: never used for anything else.
    pub(crate) code: &'static str,
    pub(crate) message: String,
    /// Of the place.
    pub(crate) label: String,
    /// What to write instead.
    pub(crate) hint: Option<String>,
    /// Counted from 1.
    pub(crate) line: usize,
    /// Counted from 1.
    pub(crate) column: usize,
    /// Where the culprit begins, in UTF-16 units from the beginning of the text.
    pub(crate) from: usize,
    /// Where it ends.
    pub(crate) to: usize,
}

/// Looks at a text, whose lines end with LF, with the files that it includes from the `shelf`; with its drawing, if that is
/// wanted, so many drawing units wide.
pub(crate) fn looked(name: &str, text: &str, shelf: &Shelf, width: Option<u32>) -> Looked {
    let Loaded {
        source,
        model,
        findings,
    } = engine::load_bundle(name, &shelf.bundle("this text", text));
    let more = findings.len().saturating_sub(LISTED);
    let mut listed: Vec<Finding> = findings
        .iter()
        .take(LISTED)
        .map(|found| finding(&source, found))
        .collect();
    listed.sort_by_key(|finding| (finding.from, !finding.error));
    let (svg, note) = match &model {
        None => (None, "No drawing while there are errors."),
        Some(model) if model.circuit().parts.len() > DRAWN => {
            (None, "So many parts are drawn once the circuit is kept.")
        }
        Some(model) => (width.map(|width| drawn(model, width)), ""),
    };
    Looked {
        findings: listed,
        more,
        model,
        svg,
        note,
    }
}

fn drawn(model: &Model, width: u32) -> String {
    let drawing = draw::layout(model.circuit());
    draw::svg(
        &drawing,
        model.circuit(),
        &Notes::default(),
        &Style::within(width),
    )
}

fn finding(source: &Source, found: &diag::Diagnostic) -> Finding {
    let (file, stretch) = source.file(found.span.start);
    if stretch.start > 0 {
        return in_another(source, found, file);
    }
    let (line, column) = source.line_column(found.span.start);
    let units = |end: usize| {
        let end = source.text.floor_char_boundary(end);
        source.text[..end].encode_utf16().count()
    };
    Finding {
        error: found.severity == Severity::Error,
        code: found.code,
        message: found.message.clone(),
        label: found.label.clone(),
        hint: found.hint.clone(),
        line,
        column,
        from: units(found.span.start),
        to: units(found.span.end),
    }
}

/// A finding in a file that the text includes: told with its file and line, and underlined nowhere.
fn in_another(source: &Source, found: &diag::Diagnostic, file: &str) -> Finding {
    let (alone, found) = source.alone(found);
    let (line, column) = alone.line_column(found.span.start);
    Finding {
        error: found.severity == Severity::Error,
        code: found.code,
        message: format!("in {file}, line {line}: {}", found.message),
        label: found.label,
        hint: found.hint,
        line: 1,
        column,
        from: 0,
        to: 0,
    }
}
