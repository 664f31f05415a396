//! A text with a name, and stretches of it.

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
}

impl Source {
    /// A text with its name.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            text: text.into(),
        }
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
