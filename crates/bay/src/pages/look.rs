//! A circuit's text looked at: findings with their places as a browser counts them, and the drawing.

use crate::shelf::Shelf;
use crate::speech::{Heard, drawn, lower, said};
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
    pub(crate) note: String,
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
    /// `en` where something of it has no words in the page's language; programs are told everything in English.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(ignore)]
    pub(crate) lang: Option<&'static str>,
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
        None => (None, said::no_drawing_yet()),
        Some(model) if model.circuit().parts.len() > DRAWN => (None, said::drawn_when_kept()),
        Some(model) => (width.map(|width| drawing(model, width)), String::new()),
    };
    Looked {
        findings: listed,
        more,
        model,
        svg,
        note,
    }
}

fn drawing(model: &Model, width: u32) -> String {
    let layout = draw::layout(model.circuit());
    drawn(&draw::svg(
        &layout,
        model.circuit(),
        &Notes::default(),
        &Style::within(width),
    ))
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
        line,
        column,
        from: units(found.span.start),
        to: units(found.span.end),
        ..said_of(found)
    }
}

/// What a finding says, in the page's language as far as it has words; its place is not looked at.
fn said_of(found: &diag::Diagnostic) -> Finding {
    let (message, label) = (lower(&found.message), lower(&found.label));
    let hint = found.hint.as_ref().map(lower);
    let mut marks = [&message, &label].into_iter().chain(&hint);
    Finding {
        error: found.severity == Severity::Error,
        code: found.code,
        message: message.plain(),
        label: label.plain(),
        lang: marks.find_map(Heard::lang),
        hint: hint.as_ref().map(Heard::plain),
        line: 1,
        column: 1,
        from: 0,
        to: 0,
    }
}

/// A finding in a file that the text includes: told with its file and line, and underlined nowhere.
fn in_another(source: &Source, found: &diag::Diagnostic, file: &str) -> Finding {
    let (alone, found) = source.alone(found);
    let (line, column) = alone.line_column(found.span.start);
    let mut finding = said_of(&found);
    finding.message = said::in_another_file(file, line, &finding.message);
    finding.column = column;
    finding
}
