//! A text with a name, and stretches of it.

use crate::{Diagnostic, Label};
use std::ops::Range;

/// A stretch of a text: bytes from `start` up to, not including, `end`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// Byte after the last one.
    pub end: usize,
}

impl Span {
    /// The bytes from `start` up to, not including, `end`.
    pub fn new(start: usize, end: usize) -> Self {
        Self { start, end }
    }

    /// `true` if it covers no byte: a place between two characters.
    pub fn is_empty(self) -> bool {
        self.end <= self.start
    }

    /// The same stretch in a text that has `bytes` more in front.
    ///
    /// A value is often parsed on its own; this puts what was found in it back into the file it came from.
    #[must_use]
    pub fn shifted(self, bytes: usize) -> Self {
        Self::new(self.start + bytes, self.end + bytes)
    }

    /// The shortest stretch that covers both.
    #[must_use]
    pub fn joined(self, other: Self) -> Self {
        Self::new(self.start.min(other.start), self.end.max(other.end))
    }

    /// As a range of bytes.
    pub fn range(self) -> Range<usize> {
        self.start..self.end
    }
}

impl From<Range<usize>> for Span {
    fn from(range: Range<usize>) -> Self {
        Self::new(range.start, range.end)
    }
}

impl From<Span> for Range<usize> {
    fn from(span: Span) -> Self {
        span.range()
    }
}

/// A text and the name it is known by, most often a path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Its name.
    pub name: String,
    /// The text.
    pub text: String,
    /// Texts of other files that were put behind the first.
    added: Vec<Added>,
}

/// The text of another file behind the first.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Added {
    /// Where the one before ends: a line that names the file lies between.
    end_before: usize,
    start: usize,
    name: String,
}

impl Source {
    /// A text with its name.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            text: text.into(),
            added: Vec::new(),
        }
    }

    /// Puts the text of another file behind, under a line that names it; where it begins.
    pub fn add(&mut self, name: &str, text: &str) -> usize {
        let end_before = self.text.len();
        let plain: String = name.chars().filter(|c| !c.is_control()).collect();
        for piece in ["\n# from ", plain.as_str(), "\n"] {
            self.text.push_str(piece);
        }
        let start = self.text.len();
        self.text.push_str(text);
        self.added.push(Added {
            end_before,
            start,
            name: name.to_owned(),
        });
        start
    }

    /// Puts spaces in place of a stretch. Lines stay, and so does whatever stands behind.
    pub fn blank(&mut self, span: Span) {
        let (start, end) = (self.boundary(span.start), self.boundary(span.end));
        if let Some(stretch) = self.text.get(start..end) {
            let space = |byte: u8| if byte == b'\n' { '\n' } else { ' ' };
            let blank: String = stretch.bytes().map(space).collect();
            self.text.replace_range(start..end, &blank);
        }
    }

    /// The name of the file in which `offset` lies, and the stretch of that file.
    pub fn file(&self, offset: usize) -> (&str, Span) {
        let behind = self.added.iter().position(|added| added.start > offset);
        let behind = behind.unwrap_or(self.added.len());
        let end = self
            .added
            .get(behind)
            .map_or(self.text.len(), |added| added.end_before);
        match behind.checked_sub(1).and_then(|at| self.added.get(at)) {
            Some(added) => (&added.name, Span::new(added.start, end)),
            None => (&self.name, Span::new(0, end)),
        }
    }

    /// A finding beside the one file that it is about. Remarks on places in other files become words with their lines.
    pub fn alone(&self, finding: &Diagnostic) -> (Self, Diagnostic) {
        let (name, file) = self.file(finding.span.start);
        let back = |span: Span| {
            let inside = |at: usize| at.clamp(file.start, file.end) - file.start;
            Span::new(inside(span.start), inside(span.end))
        };
        let mut alone = finding.clone();
        alone.span = back(finding.span);
        alone.others.clear();
        for other in &finding.others {
            let (elsewhere, stretch) = self.file(other.span.start);
            if stretch == file {
                alone.others.push(Label {
                    span: back(other.span),
                    text: other.text.clone(),
                });
            } else {
                let (line, _) =
                    Self::new(elsewhere, self.slice(stretch)).line_column(other.span.start - stretch.start);
                alone.label = format!("{} ({}: {elsewhere}, line {line})", alone.label, other.text);
            }
        }
        (Self::new(name, self.slice(file)), alone)
    }

    /// `true` if texts of other files were put behind the first.
    pub fn has_several(&self) -> bool {
        !self.added.is_empty()
    }

    /// Line and column of the byte at `offset`, both from 1; columns count characters.
    ///
    /// An offset inside a character is that character's column; one past the end is the place after the last character.
    pub fn line_column(&self, offset: usize) -> (usize, usize) {
        let before = &self.text[..self.boundary(offset)];
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let line = before.matches('\n').count() + 1;
        (line, before[line_start..].chars().count() + 1)
    }

    /// The text of a stretch; what lies outside the text is left off.
    pub fn slice(&self, span: Span) -> &str {
        let start = self.boundary(span.start);
        let end = self.boundary(span.end);
        self.text.get(start..end).unwrap_or_default()
    }

    /// The nearest place at or before `offset` that lies between two characters.
    fn boundary(&self, offset: usize) -> usize {
        self.text.floor_char_boundary(offset)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn check(text: &str, offset: usize, expected: (usize, usize)) {
        assert_eq!(
            Source::new("valve.toml", text).line_column(offset),
            expected,
            "{text:?} at {offset}"
        );
    }

    #[test]
    fn lines_and_columns_count_from_one() {
        check("", 0, (1, 1));
        check("coil = 1", 0, (1, 1));
        check("coil = 1", 7, (1, 8));
        check("a\nbc\n", 2, (2, 1));
        check("a\nbc\n", 3, (2, 2));
        check("a\nbc\n", 5, (3, 1));
    }

    #[test]
    fn a_column_is_a_character_not_a_byte() {
        check("32 Ω ±", "32 Ω ".len(), (1, 6));
        // The second byte of the sign still belongs to it.
        check("Ω±", 1, (1, 1));
    }

    #[test]
    fn past_the_end_is_the_end() {
        check("ab", 99, (1, 3));
        assert_eq!(Source::new("x", "ab").slice(Span::new(1, 99)), "b");
        assert_eq!(Source::new("x", "ab").slice(Span::new(5, 2)), "");
    }

    #[test]
    fn a_value_parsed_alone_is_found_again_in_its_file() {
        let source = Source::new("valve.toml", "coil = \"32 oms\"");
        assert_eq!(source.slice(Span::from(3..6).shifted(8)), "oms");
        assert_eq!(
            source.slice(Span::new(0, 4).joined(Span::new(8, 10))),
            "coil = \"32"
        );
    }

    proptest! {
        /// Lines and columns name the same place as the byte offset does.
        #[test]
        fn line_and_column_lead_back_to_the_offset(text in "(\\PC|\n){0,40}", at in 0_usize..60) {
            let source = Source::new("any", text.clone());
            let offset = text.floor_char_boundary(at);
            let (line, column) = source.line_column(offset);
            let back: usize = text.split_inclusive('\n').take(line - 1).map(str::len).sum();
            let inside: usize = text[back..].chars().take(column - 1).map(char::len_utf8).sum();
            prop_assert_eq!(back + inside, offset);
        }
    }
}
