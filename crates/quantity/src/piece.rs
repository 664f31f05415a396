//! A stretch of the text being parsed that knows where it lies.

use std::ops::Range;

#[derive(Debug, Clone, Copy)]
pub(crate) struct Piece<'t> {
    text: &'t str,
    start: usize,
}

impl<'t> Piece<'t> {
    pub(crate) fn new(text: &'t str) -> Self {
        Self { text, start: 0 }
    }

    pub(crate) fn text(self) -> &'t str {
        self.text
    }

    pub(crate) fn is_empty(self) -> bool {
        self.text.is_empty()
    }

    pub(crate) fn span(self) -> Range<usize> {
        self.start..self.start + self.text.len()
    }

    /// Without the blanks around it.
    pub(crate) fn trimmed(self) -> Self {
        let kept = self.text.trim_start();
        Self {
            text: kept.trim_end(),
            start: self.start + self.text.len() - kept.len(),
        }
    }

    /// Before and from the byte `at`, which must lie between two characters.
    pub(crate) fn split_at(self, at: usize) -> (Self, Self) {
        let (before, after) = self.text.split_at(at);
        (
            Self { text: before, ..self },
            Self {
                text: after,
                start: self.start + at,
            },
        )
    }

    /// Its first word; empty if there is none.
    pub(crate) fn first_word(self) -> Self {
        let piece = self.trimmed();
        let end = piece.text.find(char::is_whitespace).unwrap_or(piece.text.len());
        piece.split_at(end).0
    }

    /// Its last word and what stands before it, both trimmed. `None` if it is a single word.
    pub(crate) fn split_last_word(self) -> Option<(Self, Self)> {
        let piece = self.trimmed();
        let (at, blank) = piece.text.char_indices().rfind(|(_, c)| c.is_whitespace())?;
        let (before, word) = piece.split_at(at + blank.len_utf8());
        Some((before.trimmed(), word))
    }
}
