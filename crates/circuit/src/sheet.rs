//! A text being read, and what has been found in it so far.
//!
//! Shared by the reader of circuit files and the reader of readings files. Keeps findings few enough to be read, drops
//! those that may be echoes of a syntax error, and words the hints that all of them share.

use crate::codes;
use diag::{Diagnostic, Severity, Span};
use toml::de::DeTable;

/// Largest text that is read, bytes. The longest circuit anyone would write is a hundredth of it.
const MAX_BYTES: usize = 1 << 20;
/// Findings kept. Whoever has more of them mends some and reads again.
const MAX_FINDINGS: usize = 200;
/// Syntax errors shown: the parser recovers, and what it finds later is often an echo.
const MAX_SYNTAX: usize = 3;
/// What the parser says of a name written twice.
const DUPLICATE: &str = "duplicate key";
/// Longest word for which a nearest spelling is sought, bytes.
const MAX_WORD: usize = 60;
/// Longest piece of the author's own text repeated in a message, characters.
const MAX_SHOWN: usize = 40;

/// A text, its findings, and the places where its syntax is broken.
#[derive(Debug)]
pub(crate) struct Sheet<'a> {
    text: &'a str,
    findings: Vec<Diagnostic>,
    more: usize,
    broken_lines: Vec<Span>,
}

impl<'a> Sheet<'a> {
    /// The parsed text, with its syntax errors noted. `None` if it is too large to be read.
    pub(crate) fn parse(text: &'a str) -> (Self, Option<DeTable<'a>>) {
        let mut sheet = Self {
            text,
            findings: Vec::new(),
            more: 0,
            broken_lines: Vec::new(),
        };
        if text.len() > MAX_BYTES {
            let start = text.floor_char_boundary(MAX_BYTES);
            let message = format!("the file has {} bytes; at most {MAX_BYTES} are read", text.len());
            sheet.push(
                Diagnostic::error(codes::TOO_LARGE, Span::new(start, start), message).labelled("the limit"),
            );
            return (sheet, None);
        }
        let (table, errors) = DeTable::parse_recoverable(text);
        sheet.note_syntax(&errors);
        (sheet, Some(table.into_inner()))
    }

    fn note_syntax(&mut self, errors: &[toml::de::Error]) {
        let mut errors: Vec<_> = errors
            .iter()
            .map(|error| (self.clamped(error.span()), error.message()))
            .collect();
        errors.sort_unstable();
        self.broken_lines = errors.iter().map(|(span, _)| self.lines(*span)).collect();
        let mut repeated = None;
        for (span, message) in errors {
            if self.findings.len() < MAX_SYNTAX && !self.echoes(repeated, span, message) {
                self.findings
                    .push(syntax_finding(self.slice(span), span, message));
            }
            let header = self.slice(self.lines(span)).trim_start().starts_with('[');
            if header && message == DUPLICATE {
                repeated = Some(span);
            }
        }
    }

    /// `true` for a key written twice only because its table is.
    fn echoes(&self, repeated: Option<Span>, span: Span, message: &str) -> bool {
        let between = repeated.map(|table| self.slice(Span::new(table.end, span.start)));
        message == DUPLICATE && between.is_some_and(|between| !between.contains("\n["))
    }

    /// A span inside the text and at character boundaries, whatever came in.
    fn clamped(&self, span: Option<std::ops::Range<usize>>) -> Span {
        let span = span.unwrap_or(0..0);
        let start = self.text.floor_char_boundary(span.start);
        Span::new(start, self.text.ceil_char_boundary(span.end).max(start))
    }

    /// The whole lines that `span` touches.
    fn lines(&self, span: Span) -> Span {
        let start = self.text[..span.start]
            .rfind('\n')
            .map_or(0, |newline| newline + 1);
        let end = self.text[span.end..]
            .find('\n')
            .map_or(self.text.len(), |newline| span.end + newline);
        Span::new(start, end)
    }

    /// The author's own text at `span`.
    pub(crate) fn slice(&self, span: Span) -> &'a str {
        self.text.get(span.range()).unwrap_or_default()
    }

    /// `true` if the text is not even TOML, so that whatever seems to be missing may be there.
    pub(crate) fn broken(&self) -> bool {
        !self.broken_lines.is_empty()
    }

    /// `true` if something found so far stops the work.
    pub(crate) fn has_errors(&self) -> bool {
        self.more > 0
            || self
                .findings
                .iter()
                .any(|found| found.severity == Severity::Error)
    }

    /// How many of the findings so far stop the work.
    pub(crate) fn errors(&self) -> usize {
        let errors = self
            .findings
            .iter()
            .filter(|found| found.severity == Severity::Error);
        self.more + errors.count()
    }

    /// Adds a finding, unless it may be the echo of a syntax error.
    pub(crate) fn push(&mut self, found: Diagnostic) {
        if self.findings.len() >= MAX_FINDINGS {
            self.more += usize::from(!self.broken());
            return;
        }
        let lines = self.lines(self.clamped(Some(found.span.range())));
        let touches = |broken: &Span| broken.start <= lines.end && lines.start <= broken.end;
        if self.broken() && (codes::needs_the_whole(found.code) || self.broken_lines.iter().any(touches)) {
            return;
        }
        self.findings.push(found);
    }

    /// The nearest of `known` to `word`, as a hint; else what there is to choose from.
    pub(crate) fn suggest<'k>(&self, word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<String> {
        let known: Vec<&str> = known.into_iter().collect();
        match self.nearest(word, known.iter().copied()) {
            Some(near) => Some(format!("did you mean `{near}`?")),
            None => listed(&known).map(|list| format!("known here: {list}")),
        }
    }

    /// The nearest of `known` to `word`. Not sought for overlong words and where nobody would read it any more.
    pub(crate) fn nearest<'k>(
        &self,
        word: &str,
        known: impl IntoIterator<Item = &'k str>,
    ) -> Option<&'k str> {
        if word.len() > MAX_WORD || self.findings.len() >= MAX_FINDINGS {
            return None;
        }
        diag::nearest(word, known)
    }

    /// All findings in the order of the text.
    pub(crate) fn into_findings(mut self) -> Vec<Diagnostic> {
        self.findings
            .sort_by(|a, b| (a.span, a.severity, a.code).cmp(&(b.span, b.severity, b.code)));
        if self.more > 0 {
            let end = Span::new(self.text.len(), self.text.len());
            self.findings.push(Diagnostic::error(
                codes::MORE,
                end,
                format!("{} more findings", self.more),
            ));
        }
        self.findings
    }
}

const QUOTE: &str = "close the text with the quote it began with";
const LIST: &str = "is the list before this place closed with `]`, and do commas stand between its members?";

/// What the parser says, what that means to an author (empty: just that), and what to do.
const KNOWN: &[(&str, &str, &str)] = &[
    (
        "string values must be quoted",
        "a value needs quotes",
        "write the value in quotes: `key = \"value\"`",
    ),
    ("invalid basic string", "a text is not closed", QUOTE),
    ("invalid literal string", "a text is not closed", QUOTE),
    (
        "unclosed array table",
        "a header is not closed",
        "write `[[name]]`",
    ),
    ("unclosed table", "a header is not closed", "write `[name]`"),
    ("array", "", LIST),
];

/// A syntax error in our words where the parser's are about its own workings.
fn syntax_finding(culprit: &str, span: Span, message: &str) -> Diagnostic {
    if message == DUPLICATE {
        let message = format!("`{}` is written twice", shown(culprit));
        return Diagnostic::error(codes::DUPLICATE, span, message)
            .labelled("here again")
            .hint("give it another name, or join the two; for several values write a list in `[ ]`");
    }
    let known = KNOWN.iter().find(|(said, ..)| message.contains(said));
    let (meant, hint) = known.map_or(("", None), |(_, meant, hint)| (*meant, Some(*hint)));
    let message = if meant.is_empty() {
        message.chars().take(80).collect()
    } else {
        meant.to_owned()
    };
    Diagnostic::error(codes::SYNTAX, span, message)
        .labelled("not TOML")
        .maybe_hint(hint)
}

/// Some of the author's text for a message: one line, not too long.
pub(crate) fn shown(text: &str) -> String {
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
pub(crate) fn listed(names: &[&str]) -> Option<String> {
    const MOST: usize = 8;
    let first: Vec<_> = names
        .iter()
        .take(MOST)
        .map(|name| format!("`{}`", shown(name)))
        .collect();
    let rest = if names.len() > MOST {
        format!(" and {} more", names.len() - MOST)
    } else {
        String::new()
    };
    (!names.is_empty()).then(|| first.join(", ") + &rest)
}

/// A noun with its article.
pub(crate) fn article(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {noun}")
}
