//! One finding, and all findings of a text.

use crate::Span;

/// Does a finding stop the work?
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The text cannot be used as it stands.
    Error,
    /// The text can be used; something in it looks unintended.
    Warning,
}

/// A remark on another place that belongs to a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// The place.
    pub span: Span,
    /// The remark, a few words.
    pub text: String,
}

/// A finding pinned on a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Permanent code: `C012`.
    pub code: &'static str,
    /// Does it stop the work?
    pub severity: Severity,
    /// What is wrong. First line at most 80 columns, the user's own text in backticks, no period at the end.
    pub message: String,
    /// The culprit.
    pub span: Span,
    /// A few words beside the culprit; may be empty.
    pub label: String,
    /// Other places that belong to it.
    pub others: Vec<Label>,
    /// What to do, in words that can be typed.
    pub hint: Option<String>,
}

impl Diagnostic {
    /// A finding that stops the work.
    pub fn error(code: &'static str, span: impl Into<Span>, message: impl Into<String>) -> Self {
        Self::new(Severity::Error, code, span.into(), message.into())
    }

    /// A finding that does not stop the work.
    pub fn warning(code: &'static str, span: impl Into<Span>, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, code, span.into(), message.into())
    }

    fn new(severity: Severity, code: &'static str, span: Span, message: String) -> Self {
        Self {
            code,
            severity,
            message,
            span,
            label: String::new(),
            others: Vec::new(),
            hint: None,
        }
    }

    /// With a few words beside the culprit.
    #[must_use]
    pub fn labelled(mut self, text: impl Into<String>) -> Self {
        self.label = text.into();
        self
    }

    /// With a remark on another place.
    #[must_use]
    pub fn other(mut self, span: impl Into<Span>, text: impl Into<String>) -> Self {
        self.others.push(Label {
            span: span.into(),
            text: text.into(),
        });
        self
    }

    /// With advice that can be typed.
    #[must_use]
    pub fn hint(mut self, text: impl Into<String>) -> Self {
        self.hint = Some(text.into());
        self
    }

    /// With advice if there is any.
    #[must_use]
    pub fn maybe_hint(mut self, text: Option<impl Into<String>>) -> Self {
        self.hint = text.map(Into::into).or(self.hint);
        self
    }
}

/// All findings of a text.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Diagnostics {
    found: Vec<Diagnostic>,
}

impl Diagnostics {
    /// None yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a finding.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.found.push(diagnostic);
    }

    /// `true` if one of them stops the work.
    pub fn has_errors(&self) -> bool {
        self.found.iter().any(|found| found.severity == Severity::Error)
    }

    /// `true` if there are none, not even warnings.
    pub fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// How many.
    pub fn len(&self) -> usize {
        self.found.len()
    }

    /// In the order they were added.
    pub fn iter(&self) -> std::slice::Iter<'_, Diagnostic> {
        self.found.iter()
    }

    /// In the order of the text; at one place, errors first, then by code.
    #[must_use]
    pub fn sorted(mut self) -> Self {
        self.found
            .sort_by_key(|found| (found.span, found.severity, found.code));
        self
    }

    /// As a plain list.
    pub fn into_vec(self) -> Vec<Diagnostic> {
        self.found
    }
}

impl Extend<Diagnostic> for Diagnostics {
    fn extend<T: IntoIterator<Item = Diagnostic>>(&mut self, found: T) {
        self.found.extend(found);
    }
}

impl FromIterator<Diagnostic> for Diagnostics {
    fn from_iter<T: IntoIterator<Item = Diagnostic>>(found: T) -> Self {
        Self {
            found: found.into_iter().collect(),
        }
    }
}

impl IntoIterator for Diagnostics {
    type Item = Diagnostic;
    type IntoIter = std::vec::IntoIter<Diagnostic>;

    fn into_iter(self) -> Self::IntoIter {
        self.found.into_iter()
    }
}

impl<'a> IntoIterator for &'a Diagnostics {
    type Item = &'a Diagnostic;
    type IntoIter = std::slice::Iter<'a, Diagnostic>;

    fn into_iter(self) -> Self::IntoIter {
        self.found.iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_finding_is_told_in_one_chain() {
        let found = Diagnostic::error("C012", 20..25, "`-60 V` is not a pressure")
            .labelled("a pressure is wanted here")
            .other(3..9, "this port carries air")
            .hint("write a pressure, for instance `40 kPa abs`");
        assert_eq!(found.severity, Severity::Error);
        assert_eq!(found.span, Span::new(20, 25));
        assert_eq!(found.label, "a pressure is wanted here");
        assert_eq!(
            found.others,
            [Label {
                span: Span::new(3, 9),
                text: "this port carries air".into()
            }]
        );
        assert_eq!(
            found.hint.as_deref(),
            Some("write a pressure, for instance `40 kPa abs`")
        );
    }

    #[test]
    fn no_advice_leaves_earlier_advice_alone() {
        let found = Diagnostic::warning("C020", 0..1, "odd")
            .hint("look again")
            .maybe_hint(None::<String>);
        assert_eq!(found.hint.as_deref(), Some("look again"));
        assert_eq!(found.maybe_hint(Some("or not")).hint.as_deref(), Some("or not"));
    }

    #[test]
    fn findings_come_in_the_order_of_the_text() {
        let findings: Diagnostics = [
            Diagnostic::warning("C003", 8..9, "third"),
            Diagnostic::error("C009", 2..4, "second"),
            Diagnostic::error("C001", 0..4, "first"),
            Diagnostic::error("C002", 8..9, "before the warning at the same place"),
        ]
        .into_iter()
        .collect();
        let codes: Vec<_> = findings.sorted().iter().map(|found| found.code).collect();
        assert_eq!(codes, ["C001", "C009", "C002", "C003"]);
    }

    #[test]
    fn a_warning_does_not_stop_the_work() {
        let mut findings = Diagnostics::new();
        assert!(findings.is_empty() && !findings.has_errors());
        findings.push(Diagnostic::warning("C020", 0..1, "odd"));
        assert!(!findings.has_errors());
        findings.extend([Diagnostic::error("C001", 0..1, "wrong")]);
        assert!(findings.has_errors());
        assert_eq!(findings.len(), 2);
        assert_eq!(findings.into_vec()[1].message, "wrong");
    }
}
