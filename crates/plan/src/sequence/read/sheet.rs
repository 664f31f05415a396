//! What has been found in a table so far, and the words that findings share.
//!
//! Keeps findings few enough to be read, and the search for the nearest spelling short enough not to be noticed.

use super::codes;
use diag::{Diagnostic, Severity, Span};

/// Findings kept. Whoever has more of them mends some and reads again.
const MAX_FINDINGS: usize = 200;
/// Findings counted beyond those. After so many the rest is not looked for: it would only cost time.
const MAX_COUNTED: usize = 10_000;
/// Longest word for which a nearest spelling is sought, and longest that is offered, bytes.
const MAX_WORD: usize = 60;
/// Words compared in one file: a few hundred names against a few hundred others, or a fraction of a second.
const MAX_COMPARED: usize = 50_000;
/// Longest piece of the author's own text repeated in a message, characters.
const MAX_SHOWN: usize = 32;

/// A text and its findings.
#[derive(Debug)]
pub(super) struct Sheet<'a> {
    text: &'a str,
    findings: Vec<Diagnostic>,
    more: usize,
    errors: bool,
    compared: usize,
}

impl<'a> Sheet<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        Self {
            text,
            findings: Vec::new(),
            more: 0,
            errors: false,
            compared: 0,
        }
    }

    pub(super) fn text(&self) -> &'a str {
        self.text
    }

    /// The author's own text at `span`.
    pub(super) fn slice(&self, span: Span) -> &'a str {
        self.text.get(span.range()).unwrap_or_default()
    }

    /// `true` if something found so far stops the work.
    pub(super) fn has_errors(&self) -> bool {
        self.errors
    }

    /// `true` if nobody is helped by more findings.
    pub(super) fn enough(&self) -> bool {
        self.more >= MAX_COUNTED
    }

    pub(super) fn push(&mut self, found: Diagnostic) {
        self.errors |= found.severity == Severity::Error;
        if self.findings.len() < MAX_FINDINGS {
            self.findings.push(found);
        } else {
            self.more += 1;
        }
    }

    /// The nearest of `known` to `word`, as a hint; else what there is to choose from.
    pub(super) fn suggest<'k>(
        &mut self,
        word: &str,
        known: impl Iterator<Item = &'k str> + Clone,
    ) -> Option<String> {
        if self.findings.len() >= MAX_FINDINGS {
            return None;
        }
        match self.nearest(word, known.clone()) {
            Some(near) => Some(format!("did you mean `{}`?", shown(near))),
            None => listed(known).map(|list| format!("known here: {list}")),
        }
    }

    /// The nearest of `known` to `word`. Not sought for overlong words and where nobody would read it any more.
    pub(super) fn nearest<'k>(
        &mut self,
        word: &str,
        known: impl Iterator<Item = &'k str>,
    ) -> Option<&'k str> {
        if word.len() > MAX_WORD || self.findings.len() >= MAX_FINDINGS {
            return None;
        }
        let left = MAX_COMPARED - self.compared;
        let known = known.filter(|known| known.len() <= MAX_WORD).take(left);
        let compared = &mut self.compared;
        diag::nearest(word, known.inspect(|_| *compared += 1))
    }

    /// All findings in the order of the text.
    pub(super) fn into_findings(mut self) -> Vec<Diagnostic> {
        self.findings
            .sort_by(|a, b| (a.span, a.severity, a.code).cmp(&(b.span, b.severity, b.code)));
        if self.more > 0 {
            let end = Span::new(self.text.len(), self.text.len());
            let at_least = if self.more < MAX_COUNTED { "" } else { "at least " };
            let message = format!("{at_least}{} more findings", self.more);
            let told = if self.errors {
                Diagnostic::error
            } else {
                Diagnostic::warning
            };
            self.findings.push(told(codes::MORE, end, message));
        }
        self.findings
    }
}

/// Some of the author's text for a message: one line, not too long.
pub(super) fn shown(text: &str) -> String {
    let line: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(MAX_SHOWN + 1)
        .collect();
    match line.char_indices().nth(MAX_SHOWN) {
        Some((cut, _)) => format!("{}…", &line[..cut]),
        None => line,
    }
}

/// Up to eight names in backticks; `None` of nothing.
pub(super) fn listed<'k>(names: impl Iterator<Item = &'k str> + Clone) -> Option<String> {
    const MOST: usize = 8;
    let first: Vec<_> = names
        .clone()
        .take(MOST)
        .map(|name| match name {
            "" => "one without a name".to_owned(),
            name => format!("`{}`", shown(name)),
        })
        .collect();
    let rest = names.count().saturating_sub(MOST);
    let rest = if rest > 0 {
        format!(" and {rest} more")
    } else {
        String::new()
    };
    (!first.is_empty()).then(|| first.join(", ") + &rest)
}
