//! Findings on a text that is too large to be shown whole: each place with a little of its line.
//!
//! A table that a program wrote is often one line of some megabytes. Line and column are those of the whole text.

use super::{group, within};
use annotate_snippets::{Annotation, AnnotationKind, Renderer, Snippet};
use diag::{Diagnostic, Source, Span};

/// What is kept of a line on either side of a place, bytes. More than the renderer shows of a long line.
const AROUND: usize = 300;

/// A text from which pieces are shown.
#[derive(Debug)]
pub(super) struct Excerpts<'a> {
    source: &'a Source,
    /// The text's name as it stands before a place, on one line.
    name: String,
    /// Findings come in the order of the text, the places they refer to mostly do: each goes on where it was.
    culprits: Cursor<'a>,
    others: Cursor<'a>,
}

/// A piece of a line with one place in it.
#[derive(Debug)]
struct Piece<'a> {
    text: &'a str,
    inside: Span,
    /// Of the whole text.
    line: usize,
    column: usize,
}

impl<'a> Excerpts<'a> {
    pub(super) fn of(source: &'a Source) -> Self {
        let plain = |c: char| if c.is_control() { ' ' } else { c };
        Self {
            source,
            name: source.name.chars().map(plain).collect(),
            culprits: Cursor::at_start(&source.text),
            others: Cursor::at_start(&source.text),
        }
    }

    /// A finding with its culprit, and each other place, in its own piece of the text.
    pub(super) fn rendered(&mut self, renderer: &Renderer, finding: &Diagnostic) -> String {
        let text = &self.source.text;
        let mut pieces = vec![piece(text, within(self.source, finding.span), &mut self.culprits)];
        let mut snippets = vec![pieces[0].snippet(&self.name, AnnotationKind::Primary, &finding.label)];
        for other in &finding.others {
            let piece = piece(text, within(self.source, other.span), &mut self.others);
            snippets.push(piece.snippet(&self.name, AnnotationKind::Context, &other.text));
            pieces.push(piece);
        }
        let mut shown = renderer.render(&[group(finding, snippets)]);
        // The renderer knows the columns of the pieces alone.
        let mut done = 0;
        for piece in pieces {
            let place = |column: usize| format!("{}:{}:{column}", self.name, piece.line);
            let (counted, meant) = (place(piece.shown_column()), place(piece.column));
            if let Some(at) = shown[done..].find(&counted) {
                shown.replace_range(done + at..done + at + counted.len(), &meant);
                done += at + meant.len();
            }
        }
        shown
    }
}

impl<'a> Piece<'a> {
    fn snippet(&self, name: &'a str, kind: AnnotationKind, label: &'a str) -> Snippet<'a, Annotation<'a>> {
        let culprit: Annotation<'a> = kind.span(self.inside.into());
        Snippet::source(self.text)
            .path(name)
            .line_start(self.line)
            .annotation(culprit.label((!label.is_empty()).then_some(label)))
    }

    fn shown_column(&self) -> usize {
        self.text[..self.inside.start].chars().count() + 1
    }
}

/// The part of a line around `span`.
fn piece<'a>(text: &'a str, span: Span, cursor: &mut Cursor<'_>) -> Piece<'a> {
    let (line, column) = cursor.go(span.start);
    let first = text.floor_char_boundary(span.start.saturating_sub(AROUND));
    let first = text[first..span.start]
        .rfind('\n')
        .map_or(first, |newline| first + newline + 1);
    let last = text.floor_char_boundary(span.end.min(span.start + AROUND));
    let end = text.floor_char_boundary(last + AROUND);
    let end = text[last..end].find('\n').map_or(end, |newline| last + newline);
    Piece {
        text: &text[first..end],
        inside: Span::new(span.start - first, last - first),
        line,
        column,
    }
}

/// A place in a text with its line and column, both from 1; columns count characters.
#[derive(Debug)]
struct Cursor<'a> {
    text: &'a str,
    at: usize,
    line: usize,
    column: usize,
}

impl<'a> Cursor<'a> {
    fn at_start(text: &'a str) -> Self {
        Self {
            text,
            at: 0,
            line: 1,
            column: 1,
        }
    }

    /// Line and column of a place between two characters.
    fn go(&mut self, to: usize) -> (usize, usize) {
        if to < self.at {
            *self = Self::at_start(self.text);
        }
        let passed = &self.text[self.at..to];
        self.line += passed.bytes().filter(|byte| *byte == b'\n').count();
        self.column = match passed.rfind('\n') {
            Some(newline) => passed[newline + 1..].chars().count() + 1,
            None => self.column + passed.chars().count(),
        };
        self.at = to;
        (self.line, self.column)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str, span: Span) -> Piece<'_> {
        piece(text, span, &mut Cursor::at_start(text))
    }

    #[test]
    fn a_piece_is_part_of_one_line() {
        let check = |text: &str, span: Span, expected: &str| {
            let piece = cut(text, span);
            assert_eq!(piece.text, expected);
            assert_eq!(piece.text.get(piece.inside.range()), text.get(span.range()));
        };
        check("a\nbc d\ne", Span::new(3, 4), "bc d");
        check("a\nbc d\ne", Span::new(0, 1), "a");
        check("a\nbc d\ne", Span::new(7, 8), "e");
        let long = format!("{}é{}", "<".repeat(1000), ">".repeat(1000));
        check(&long, Span::new(1000, 1002), &long[1000 - AROUND..1002 + AROUND]);
    }

    #[test]
    fn a_long_culprit_is_cut() {
        let long = "é".repeat(1000);
        let piece = cut(&long, Span::new(0, long.len()));
        assert_eq!(
            (piece.text.len(), piece.inside),
            (2 * AROUND, Span::new(0, AROUND))
        );
    }

    #[test]
    fn the_column_is_that_of_the_whole_line() {
        let text = format!("first\n{}wrong{}", "é".repeat(2000), "<".repeat(90_000));
        let source = Source::new("long.json", text);
        let start = 6 + "é".len() * 2000;
        let finding = Diagnostic::error("S001", start..start + 5, "this is wrong")
            .labelled("here")
            .other(1..2, "there");
        let shown = Excerpts::of(&source).rendered(&Renderer::plain(), &finding);
        assert!(shown.contains("--> long.json:2:2001\n"), "{shown}");
        assert!(shown.contains("::: long.json:1:2\n"), "{shown}");
        assert!(shown.contains("^^^^^ here") && shown.len() < 1500, "{shown}");
    }

    /// The same as the slow way through the whole text.
    #[test]
    fn a_cursor_counts_as_a_source_does() {
        let source = Source::new("x", "aé\n\nb±c\nd");
        let mut cursor = Cursor::at_start(&source.text);
        for to in [0, 1, 3, 4, 5, 6, 8, 9, 10, 11, 5, 1, 8] {
            assert_eq!(cursor.go(to), source.line_column(to), "{to}");
        }
    }
}
