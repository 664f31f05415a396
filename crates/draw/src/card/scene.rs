//! A card before it is written as SVG: marks with their places, in tenths of a point.

use super::data::CardAction;
use super::letters::wide;
use super::type_size::{baseline, leading, wrapped};
use crate::geometry::{Point, Rect, Segment};

/// One thing on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Mark {
    /// A line of words.
    Words {
        at: Rect,
        baseline: i32,
        size: i32,
        bold: bool,
        white: bool,
        words: String,
    },
    /// A box around steps.
    Frame {
        at: Rect,
        action: CardAction,
        steps: Vec<usize>,
    },
    /// What stands behind a repair's number.
    Block { at: Rect },
    /// What stands behind an outcome's words.
    Tab { at: Rect },
    /// Around the words that say where a tree comes from.
    Origin { at: Rect },
    /// A square to tick.
    Tick { at: Rect },
    /// A piece of the tree.
    Branch { piece: Segment },
    /// The end of a branch.
    Arrow { tip: Point, down: bool },
    /// A thin line between things, or to write on.
    Rule { piece: Segment },
    /// The triangle that stands before what can hurt.
    Warning { at: Rect },
    /// Around the words that lead back to the program.
    Dashes { at: Rect },
}

/// Marks, and the corner from which the next are placed.
#[derive(Debug, Clone, Default)]
pub(crate) struct Scene {
    pub(crate) marks: Vec<Mark>,
}

/// How words are set.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Face {
    pub(crate) size: i32,
    pub(crate) bold: bool,
    pub(crate) white: bool,
}

impl Face {
    pub(crate) fn plain(size: i32) -> Self {
        Self {
            size,
            bold: false,
            white: false,
        }
    }

    pub(crate) fn bold(size: i32) -> Self {
        Self {
            bold: true,
            ..Self::plain(size)
        }
    }

    pub(crate) fn white(self) -> Self {
        Self { white: true, ..self }
    }

    pub(crate) fn wide(self, text: &str) -> i32 {
        wide(text, self.size, self.bold)
    }

    pub(crate) fn lines(self, text: &str, room: i32) -> Vec<String> {
        wrapped(text, self.size, self.bold, room)
    }
}

impl Scene {
    /// One line; returns where the next begins.
    pub(crate) fn line(&mut self, words: &str, face: Face, x: i32, y: i32) -> i32 {
        let height = leading(face.size);
        self.marks.push(Mark::Words {
            at: Rect::new(x, y, face.wide(words), height),
            baseline: y + baseline(face.size),
            size: face.size,
            bold: face.bold,
            white: face.white,
            words: words.to_owned(),
        });
        y + height
    }

    /// `text` in as many lines as it needs; returns where the next begins.
    pub(crate) fn paragraph(&mut self, text: &str, face: Face, x: i32, y: i32, room: i32) -> i32 {
        let lines = face.lines(text, room);
        lines.iter().fold(y, |y, words| self.line(words, face, x, y))
    }

    /// What can hurt, behind its triangle; returns where the next begins.
    pub(crate) fn caution(&mut self, text: &str, size: i32, x: i32, y: i32, room: i32) -> i32 {
        let side = leading(size);
        self.marks.push(Mark::Warning {
            at: Rect::new(x, y + side / 20, side, side * 9 / 10),
        });
        let indent = side + size / 3;
        self.paragraph(text, Face::bold(size), x + indent, y, room - indent)
            .max(y + side)
    }

    /// Everything of `other`, moved.
    pub(crate) fn add(&mut self, other: Self, x: i32, y: i32) {
        self.marks
            .extend(other.marks.into_iter().map(|mark| mark.moved(x, y)));
    }
}

fn rect(at: Rect, x: i32, y: i32) -> Rect {
    Rect {
        x: at.x + x,
        y: at.y + y,
        ..at
    }
}

fn point(at: Point, x: i32, y: i32) -> Point {
    Point {
        x: at.x + x,
        y: at.y + y,
    }
}

fn segment(piece: Segment, x: i32, y: i32) -> Segment {
    Segment {
        a: point(piece.a, x, y),
        b: point(piece.b, x, y),
    }
}

impl Mark {
    fn moved(mut self, x: i32, y: i32) -> Self {
        match &mut self {
            Self::Words { at, baseline, .. } => {
                *at = rect(*at, x, y);
                *baseline += y;
            }
            Self::Frame { at, .. }
            | Self::Block { at }
            | Self::Tab { at }
            | Self::Origin { at }
            | Self::Tick { at }
            | Self::Warning { at }
            | Self::Dashes { at } => *at = rect(*at, x, y),
            Self::Branch { piece } | Self::Rule { piece } => *piece = segment(*piece, x, y),
            Self::Arrow { tip, .. } => *tip = point(*tip, x, y),
        }
        self
    }
}
