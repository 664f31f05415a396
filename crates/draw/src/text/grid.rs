//! A grid of characters in which lines join, branch and cross by themselves.

use crate::sheet::Sheet;
use circuit::{Circuit, JointId, Medium};

/// Which characters lines are drawn with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pen {
    /// Box-drawing characters.
    Drawn,
    /// ASCII.
    Ascii,
}

const LEFT: u8 = 1;
const RIGHT: u8 = 2;
const UP: u8 = 4;
const DOWN: u8 = 8;

/// Characters by the directions that meet, as a sum of the four constants above.
const LIGHT: [char; 16] = [
    ' ', '─', '─', '─', '│', '┘', '└', '┴', '│', '┐', '┌', '┬', '│', '┤', '├', '┼',
];
const DOUBLE: [char; 16] = [
    ' ', '═', '═', '═', '║', '╝', '╚', '╩', '║', '╗', '╔', '╦', '║', '╣', '╠', '╬',
];
const BROKEN: [char; 16] = [
    ' ', '╌', '╌', '╌', '╎', '┘', '└', '┴', '╎', '┐', '┌', '┬', '╎', '┤', '├', '┼',
];
const HEAVY: [char; 16] = [
    ' ', '━', '━', '━', '┃', '┛', '┗', '┻', '┃', '┓', '┏', '┳', '┃', '┫', '┣', '╋',
];
const ASCII_HEAVY: [char; 16] = [
    ' ', '#', '#', '#', 'H', '+', '+', '*', 'H', '+', '+', '*', 'H', '*', '*', '*',
];
const ASCII_LIGHT: [char; 16] = [
    ' ', '-', '-', '-', '|', '+', '+', '*', '|', '+', '+', '*', '|', '*', '*', '*',
];
const ASCII_DOUBLE: [char; 16] = [
    ' ', '=', '=', '=', 'I', '+', '+', '*', 'I', '+', '+', '*', 'I', '*', '*', '*',
];
const ASCII_BROKEN: [char; 16] = [
    ' ', '~', '~', '~', ':', '+', '+', '*', ':', '+', '+', '*', ':', '*', '*', '*',
];

impl Pen {
    fn set(self, medium: Medium) -> &'static [char; 16] {
        match (self, medium) {
            (Self::Drawn, Medium::Air) => &DOUBLE,
            (Self::Drawn, Medium::Electric) => &LIGHT,
            (Self::Drawn, Medium::Rod) => &BROKEN,
            (Self::Drawn, Medium::Liquid) => &HEAVY,
            (Self::Ascii, Medium::Liquid) => &ASCII_HEAVY,
            (Self::Ascii, Medium::Air) => &ASCII_DOUBLE,
            (Self::Ascii, Medium::Electric) => &ASCII_LIGHT,
            (Self::Ascii, Medium::Rod) => &ASCII_BROKEN,
        }
    }

    /// A piece of a level line.
    pub(super) fn level(self, medium: Medium) -> char {
        self.set(medium)[usize::from(LEFT | RIGHT)]
    }

    /// The mark of the next check.
    pub(super) fn spot(self) -> char {
        if self == Self::Drawn { '◉' } else { '@' }
    }
}

/// `true` for a character that only carries a line on downwards.
pub(super) fn is_upright(letter: char, pen: Pen) -> bool {
    [Medium::Air, Medium::Electric, Medium::Rod, Medium::Liquid]
        .iter()
        .any(|medium| pen.set(*medium)[usize::from(UP | DOWN)] == letter)
}

/// One place of the grid.
#[derive(Debug, Clone, Default)]
struct Place {
    /// A character drawn over whatever runs here.
    over: Option<char>,
    /// Joints whose lines run here, with their directions.
    lines: Vec<(JointId, Medium, u8)>,
}

/// See the module's header.
pub(super) struct Grid {
    width: usize,
    places: Vec<Place>,
    pub(super) pen: Pen,
}

impl Grid {
    pub(super) fn new(sheet: &Sheet, pen: Pen) -> Self {
        let size = |length: i32| usize::try_from(length).unwrap_or(0) + 2;
        let (width, height) = (size(sheet.width), size(sheet.height));
        Self {
            width,
            places: vec![Place::default(); width * height],
            pen,
        }
    }

    fn index(&self, x: i32, y: i32) -> Option<usize> {
        let (x, y) = (usize::try_from(x).ok()?, usize::try_from(y).ok()?);
        let index = y * self.width + x;
        (x < self.width && index < self.places.len()).then_some(index)
    }

    /// Draws the lines of all joints.
    pub(super) fn lines(&mut self, circuit: &Circuit, sheet: &Sheet) {
        for (id, pieces) in sheet.lines.iter().enumerate() {
            let joint = (JointId(id), circuit.joints[id].medium);
            for piece in pieces {
                for x in piece.left()..piece.right() {
                    self.join(x, piece.a.y, joint, RIGHT);
                    self.join(x + 1, piece.a.y, joint, LEFT);
                }
                for y in piece.top()..piece.bottom() {
                    self.join(piece.a.x, y, joint, DOWN);
                    self.join(piece.a.x, y + 1, joint, UP);
                }
            }
        }
    }

    fn join(&mut self, x: i32, y: i32, (joint, medium): (JointId, Medium), direction: u8) {
        let Some(index) = self.index(x, y) else { return };
        let lines = &mut self.places[index].lines;
        match lines.iter_mut().find(|line| line.0 == joint) {
            Some(line) => line.2 |= direction,
            None => lines.push((joint, medium, direction)),
        }
    }

    /// Draws a level line of a part.
    pub(super) fn level(&mut self, x: i32, y: i32, length: i32, medium: Medium) {
        for x in x..x + length {
            self.put(x, y, self.pen.level(medium));
        }
    }

    /// Puts a character.
    pub(super) fn put(&mut self, x: i32, y: i32, letter: char) {
        if let Some(index) = self.index(x, y) {
            self.places[index].over = Some(letter);
        }
    }

    /// Writes a word.
    pub(super) fn write(&mut self, x: i32, y: i32, word: &str) {
        for (offset, letter) in (0..).zip(word.chars()) {
            self.put(x + offset, y, letter);
        }
    }

    /// The joint whose line runs level through a place.
    pub(super) fn joint_at(&self, x: i32, y: i32) -> Option<JointId> {
        let place = &self.places[self.index(x, y)?];
        place
            .lines
            .iter()
            .find(|line| line.2 & (LEFT | RIGHT) != 0)
            .map(|line| line.0)
    }

    /// The characters of a row from `from` to before `to`.
    pub(super) fn row(&self, y: i32, from: i32, to: i32) -> String {
        (from..to)
            .map(|x| {
                self.index(x, y)
                    .map_or(' ', |index| self.letter(&self.places[index]))
            })
            .collect()
    }

    fn letter(&self, place: &Place) -> char {
        if let Some(letter) = place.over {
            return letter;
        }
        // Where lines of two joints cross, the upright one hides the level one: a gap, no branch.
        let upright = place.lines.iter().find(|line| line.2 & (UP | DOWN) != 0);
        upright
            .or(place.lines.first())
            .map_or(' ', |line| self.pen.set(line.1)[usize::from(line.2 & 15)])
    }
}
