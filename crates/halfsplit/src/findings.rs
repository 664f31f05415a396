//! Findings on a text, shown with the lines they are about.

mod excerpt;

use crate::failure::Failure;
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Renderer, Snippet};
use diag::{Diagnostic, Severity, Source, Span};
use excerpt::Excerpts;

/// Largest text that is handed to the renderer whole, bytes: it goes through all of it for every finding.
const WHOLE: usize = 64 << 10;

/// The findings as text, in the order given; coloured, for a stream that strips colours where they are not wanted.
pub(crate) fn rendered(source: &Source, findings: &[Diagnostic]) -> String {
    if source.has_several() {
        let alone = findings.iter().map(|finding| source.alone(finding));
        return alone.map(|(file, finding)| rendered(&file, &[finding])).collect();
    }
    let renderer = Renderer::styled();
    let mut excerpts = (source.text.len() > WHOLE).then(|| Excerpts::of(source));
    let mut text = String::new();
    for finding in findings {
        let shown = match &mut excerpts {
            Some(excerpts) => excerpts.rendered(&renderer, finding),
            None => renderer.render(&[group(finding, vec![whole(source, finding)])]),
        };
        text.push_str(&shown);
        text.push_str("\n\n");
    }
    text
}

/// Errors end the command; warnings alone are text for standard error.
pub(crate) fn accepted(source: &Source, findings: &[Diagnostic]) -> Result<String, Failure> {
    if engine::has_errors(findings) {
        return Err(Failure {
            code: 2,
            text: with_count(source, findings),
        });
    }
    Ok(rendered(source, findings))
}

/// Findings, and how many of them are to be put right.
pub(crate) fn with_count(source: &Source, findings: &[Diagnostic]) -> String {
    let errors = findings
        .iter()
        .filter(|finding| finding.severity == Severity::Error)
        .count();
    let things = if errors == 1 {
        "1 thing".to_owned()
    } else {
        format!("{errors} things")
    };
    format!(
        "{}{things} to put right in `{}`\n",
        rendered(source, findings),
        source.name
    )
}

/// One finding on one argument.
pub(crate) fn argument(name: &str, text: &str, finding: Diagnostic) -> Failure {
    Failure {
        code: 2,
        text: rendered(&Source::new(name, text), &[finding]),
    }
}

/// What is said, around the places it is about.
fn group<'a>(finding: &'a Diagnostic, places: Vec<Snippet<'a, Annotation<'a>>>) -> Group<'a> {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let title = level.primary_title(finding.message.as_str()).id(finding.code);
    let group = title.elements(places);
    match &finding.hint {
        Some(hint) => group.element(Level::HELP.message(hint.as_str())),
        None => group,
    }
}

/// The whole text with everything underlined in it.
fn whole<'a>(source: &'a Source, finding: &'a Diagnostic) -> Snippet<'a, Annotation<'a>> {
    let culprit = AnnotationKind::Primary.span(within(source, finding.span).into());
    let culprit = if finding.label.is_empty() {
        culprit
    } else {
        culprit.label(finding.label.as_str())
    };
    let others = finding.others.iter().map(|other| {
        AnnotationKind::Context
            .span(within(source, other.span).into())
            .label(other.text.as_str())
    });
    Snippet::source(source.text.as_str())
        .path(source.name.as_str())
        .annotation(culprit)
        .annotations(others)
}

/// A span that lies in the text and between characters, whatever it was.
fn within(source: &Source, span: Span) -> Span {
    let start = source.text.floor_char_boundary(span.start);
    let end = source.text.ceil_char_boundary(span.end.max(span.start));
    Span::new(start, end.max(start))
}
