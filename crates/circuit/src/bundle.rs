//! A circuit's text with the files that it includes, as one text.
//!
//! A file is included by name, relative to the circuit's, with `include = ["vacuum-unit.toml"]` above the first table. Here it is
//! only said which files are wanted; whoever may touch files hands their texts in. They are put behind the circuit's own, so
//! that what a job keeps is whole by itself, and a [`Source`] that remembers where each began shows findings in their own
//! file. A file is taken in once, however often it is asked for: files that include one another are no circle.

use crate::codes;
use crate::fields::Fields;
use crate::kind::Catalogue;
use crate::read::{CircuitFile, read};
use crate::sheet::{Sheet, shown};
use diag::{Diagnostic, Severity, Source, Span};
use std::collections::{BTreeSet, VecDeque};

/// Files that one circuit may include, directly and through others.
const MAX_FILES: usize = 50;
/// Longest name of an included file, bytes.
const MAX_NAME: usize = 200;
/// What a file that is included may hold.
const SHARED: &[&str] = &["include", "kind"];

/// A circuit's text and all that it includes.
#[derive(Debug, Clone)]
pub struct Bundle {
    /// The whole text, which includes nothing any more, and where each file begins in it.
    pub source: Source,
    /// What is wrong with the including itself.
    pub findings: Vec<Diagnostic>,
}

/// Puts the text of a circuit and of all files that it includes together. `shown` is what the circuit's file is called in
/// findings. `fetch` hands over the text of a file, named relative to the circuit's, or says in a few words why it cannot.
pub fn bundle(shown: &str, text: &str, fetch: &mut dyn FnMut(&str) -> Result<String, String>) -> Bundle {
    let mut bundle = Bundle {
        source: Source::new(shown, text),
        findings: Vec::new(),
    };
    let mut wanted: VecDeque<(String, Span)> = bundle.take_wanted(0, false).into();
    let mut seen = BTreeSet::new();
    while let Some((name, span)) = wanted.pop_front() {
        if !seen.insert(name.clone()) {
            continue;
        }
        if seen.len() > MAX_FILES {
            let message = format!("more than {MAX_FILES} files are included");
            bundle.push(Diagnostic::error(codes::TOO_MANY_FILES, span, message).labelled("one too many"));
            break;
        }
        match fetch(&name) {
            Ok(text) => {
                let start = bundle.source.add(&name, &text);
                wanted.extend(bundle.take_wanted(start, true));
            }
            Err(why) => {
                let message = format!("`{}` cannot be included", self::shown(&name));
                bundle.push(Diagnostic::error(codes::INCLUDE_MISSING, span, message).labelled(why));
            }
        }
    }
    bundle
}

impl Bundle {
    /// Reads the circuit: all findings, those on including too. `name` becomes the circuit's name.
    pub fn read(&self, name: &str, catalogue: &Catalogue) -> CircuitFile {
        let mut file = read(name, &self.source.text, catalogue);
        if self.findings.is_empty() {
            return file;
        }
        let missing = self
            .findings
            .iter()
            .any(|found| found.code == codes::INCLUDE_MISSING);
        // Kinds may be unknown because their file is missing.
        file.findings
            .retain(|found| !(missing && found.code == codes::UNKNOWN_KIND));
        file.findings.extend(self.findings.iter().cloned());
        file.findings
            .sort_by(|a, b| (a.span, a.severity, a.code).cmp(&(b.span, b.severity, b.code)));
        if self
            .findings
            .iter()
            .any(|found| found.severity == Severity::Error)
        {
            file.circuit = None;
        }
        file
    }

    fn push(&mut self, found: Diagnostic) {
        self.findings.push(found);
    }

    /// Takes the list of included files out of the text from `start` on; spaces stay in its place, so that nothing moves.
    fn take_wanted(&mut self, start: usize, shared: bool) -> Vec<(String, Span)> {
        let text = self.source.text[start..].to_owned();
        if !shared && !text.contains("include") {
            return Vec::new();
        }
        let (mut sheet, root) = Sheet::parse(&text);
        let Some(root) = root else { return Vec::new() };
        let mut fields = Fields::of(&root, Span::new(0, 0));
        let include = fields.take("include");
        let mut wanted = Vec::new();
        for text in include
            .and_then(|field| field.texts(&mut sheet))
            .unwrap_or_default()
        {
            if legal(&mut sheet, text.text, text.span) {
                wanted.push((text.text.to_owned(), text.span.shifted(start)));
            }
        }
        if shared {
            for field in fields
                .take_all()
                .iter()
                .filter(|field| !SHARED.contains(&field.key))
            {
                let message = format!("an included file holds no `{}`", shown(field.key));
                let found = Diagnostic::error(codes::NOT_SHARED, field.key_span, message);
                sheet.push(
                    found
                        .labelled("not to be shared")
                        .hint("write it in the circuit's own file"),
                );
            }
        }
        let ours = |found: &Diagnostic| found.code != codes::SYNTAX && found.code != codes::DUPLICATE;
        for mut found in sheet.into_findings().into_iter().filter(ours) {
            found.span = found.span.shifted(start);
            self.findings.push(found);
        }
        if let Some(field) = include {
            self.source
                .blank(field.key_span.joined(field.span).shifted(start));
        }
        wanted
    }
}

/// Whether a name can be that of a file beside the circuit's.
fn legal(sheet: &mut Sheet<'_>, name: &str, span: Span) -> bool {
    let letter = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    let piece = |piece: &str| !piece.is_empty() && !piece.starts_with('.') && piece.chars().all(letter);
    let stem = name.strip_suffix(".toml");
    if name.len() <= MAX_NAME && stem.is_some_and(|stem| stem.split('/').all(piece)) {
        return true;
    }
    let message = format!("`{}` is no name of a file beside this one", shown(name));
    let found =
        Diagnostic::error(codes::INCLUDE_NAME, span, message).labelled("letters, digits, `-`, `_`, `/`");
    sheet.push(found.hint("for instance `vacuum-unit.toml` or `kinds/vacuum-unit.toml`"));
    false
}
