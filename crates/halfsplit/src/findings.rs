//! Findings on a text, shown with the lines they are about.

use crate::failure::Failure;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use diag::{Diagnostic, Severity, Source, Span};

/// The findings as text, in the order given; coloured, for a stream that strips colours where they are not wanted.
pub(crate) fn rendered(source: &Source, findings: &[Diagnostic]) -> String {
    let renderer = Renderer::styled();
    let mut text = String::new();
    for finding in findings {
        text.push_str(&renderer.render(&[group(source, finding)]));
        text.push_str("\n\n");
    }
    text
}

/// Errors end the command; warnings alone are text for standard error.
pub(crate) fn accepted(source: &Source, findings: &[Diagnostic]) -> Result<String, Failure> {
    let text = rendered(source, findings);
    if engine::has_errors(findings) {
        let errors = findings
            .iter()
            .filter(|finding| finding.severity == Severity::Error)
            .count();
        let things = if errors == 1 {
            "1 thing".to_owned()
        } else {
            format!("{errors} things")
        };
        return Err(Failure {
            code: 2,
            text: format!("{text}{things} to put right in `{}`\n", source.name),
        });
    }
    Ok(text)
}

/// One finding on one argument.
pub(crate) fn argument(name: &str, text: &str, finding: Diagnostic) -> Failure {
    Failure {
        code: 2,
        text: rendered(&Source::new(name, text), &[finding]),
    }
}

fn group<'a>(source: &'a Source, finding: &'a Diagnostic) -> Group<'a> {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
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
    let snippet = Snippet::source(source.text.as_str())
        .path(source.name.as_str())
        .annotation(culprit)
        .annotations(others);
    let group = level
        .primary_title(finding.message.as_str())
        .id(finding.code)
        .element(snippet);
    match &finding.hint {
        Some(hint) => group.element(Level::HELP.message(hint.as_str())),
        None => group,
    }
}

/// A span that lies in the text and between characters, whatever it was.
fn within(source: &Source, span: Span) -> Span {
    let start = source.text.floor_char_boundary(span.start);
    let end = source.text.ceil_char_boundary(span.end.max(span.start));
    Span::new(start, end.max(start))
}
