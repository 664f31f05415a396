//! Where everything goes: blocks below each other on pages of A4, tables with their head again on every page.
//!
//! Lengths are points, 1/72 inch, from the top left corner of a page.

use super::type_set::{Fonts, Line};
use crate::page::{Block, Words};
use krilla::tagging::{ListNumbering, Tag, TagKind};
use std::num::NonZeroU16;

/// A4 (ISO 216: 210 mm by 297 mm).
pub(super) const WIDTH: f32 = 595.276;
pub(super) const HEIGHT: f32 = 841.89;
/// 15 mm, as on the pages for the browser.
pub(super) const MARGIN: f32 = 42.52;
/// Where a page ends for what flows; below it is the foot.
pub(super) const BOTTOM: f32 = HEIGHT - MARGIN - 18.0;
/// Width between the margins.
pub(super) const ROOM: f32 = WIDTH - 2.0 * MARGIN;
/// Height between the heads and the foot.
pub(super) const HIGH: f32 = BOTTOM - TOP;
/// Where a page begins below its running head.
const TOP: f32 = MARGIN + 18.0;

/// Sizes of type.
const TEXT: f32 = 10.0;
const HEADING: f32 = 12.5;
const TITLE: f32 = 16.0;
/// From one line to the next, in sizes.
pub(super) const LEADING: f32 = 1.35;
/// From a line's top to where its letters stand, in sizes: in the middle of the leading.
pub(super) const BASELINE: f32 = 1.02;
/// Above and below a drawing.
const AROUND: f32 = 6.0;
/// Inside a frame.
const PAD: f32 = 7.0;

/// Something on a page.
pub(super) struct Mark {
    /// The leaf of the tree of meaning it belongs to; `None` for ornament.
    pub(super) leaf: Option<usize>,
    pub(super) ink: Ink,
}

/// What is drawn.
pub(super) enum Ink {
    /// A line of words; `y` is where its letters stand.
    Words { x: f32, y: f32, size: f32, line: Line },
    /// A line from the left to the right.
    Rule { x: f32, y: f32, width: f32 },
    /// A heavy frame.
    Frame { x: f32, y: f32, width: f32, height: f32 },
    /// A drawing, by its place among the drawings.
    Picture {
        drawing: usize,
        x: f32,
        y: f32,
        width: f32,
        height: f32,
    },
}

/// What the marks mean, for whoever has the page read aloud.
pub(super) struct Meaning {
    pub(super) kind: TagKind,
    pub(super) parts: Vec<Meaning>,
    pub(super) leaf: Option<usize>,
}

/// Pages in the making.
pub(super) struct Flow<'f> {
    pub(super) fonts: &'f Fonts,
    pub(super) pages: Vec<Vec<Mark>>,
    pub(super) meaning: Vec<Meaning>,
    /// Said before what can hurt.
    caution: &'f str,
    /// Sizes of the drawings, in the order in which they come.
    sizes: &'f [(f32, f32)],
    drawings: usize,
    /// Drawings that had no room yet: which, its leaf, its width and height.
    waiting: Vec<(usize, usize, (f32, f32))>,
    leaves: usize,
    pub(super) y: f32,
}

impl<'f> Flow<'f> {
    pub(super) fn new(fonts: &'f Fonts, sizes: &'f [(f32, f32)], caution: &'f str) -> Self {
        Self {
            fonts,
            pages: vec![Vec::new()],
            meaning: Vec::new(),
            caution,
            sizes,
            drawings: 0,
            waiting: Vec::new(),
            leaves: 0,
            // The first page has its title instead of a running head.
            y: MARGIN,
        }
    }

    /// Number of leaves of the tree of meaning.
    pub(super) fn leaves(&self) -> usize {
        self.leaves
    }

    pub(super) fn title(&mut self, text: &str) {
        let leaf = self.leaf();
        self.text(&Words::strong(text), TITLE, 0.0, ROOM, leaf);
        self.y += 4.0;
        self.mean(heading(1, text), leaf);
    }

    /// A block, and the one that comes after it.
    pub(super) fn block(&mut self, block: &Block, next: Option<&Block>) {
        match block {
            Block::Heading(text) => {
                // Not alone at the foot of a page.
                self.y += 9.0;
                let follows = match next {
                    Some(Block::Table { head, rows }) => self.beginning(head, rows),
                    _ => 3.0 * TEXT * LEADING,
                };
                self.room_for(HEADING * LEADING + 2.0 + follows);
                let leaf = self.leaf();
                self.text(&Words::strong(text.as_str()), HEADING, 0.0, ROOM, leaf);
                self.y += 2.0;
                self.mean(heading(2, text), leaf);
            }
            Block::Text(words) => {
                let leaf = self.leaf();
                self.text(words, TEXT, 0.0, ROOM, leaf);
                self.y += 2.5;
                self.mean(Tag::P, leaf);
            }
            Block::List(lines) => self.list(lines),
            Block::Table { head, rows } => self.table(head, rows),
            Block::Caution(text) => self.caution(text),
            Block::Drawing(_) => self.drawing(),
        }
    }

    pub(super) fn leaf(&mut self) -> usize {
        self.leaves += 1;
        self.leaves - 1
    }

    fn mean(&mut self, kind: impl Into<TagKind>, leaf: usize) {
        self.meaning.push(Meaning {
            kind: kind.into(),
            parts: Vec::new(),
            leaf: Some(leaf),
        });
    }

    pub(super) fn put(&mut self, leaf: Option<usize>, ink: Ink) {
        if let Some(page) = self.pages.last_mut() {
            page.push(Mark { leaf, ink });
        }
    }

    /// The next page with room below the drawing that may begin it.
    pub(super) fn next_page(&mut self) {
        loop {
            self.pages.push(Vec::new());
            self.y = TOP;
            self.draw();
            if self.y + 5.0 * TEXT * LEADING <= BOTTOM {
                return;
            }
        }
    }

    /// A new page unless `height` is left on this one.
    pub(super) fn room_for(&mut self, height: f32) {
        if self.y + height > BOTTOM && self.y > TOP {
            self.next_page();
        }
    }

    /// Words below what is there, line by line over the end of a page.
    fn text(&mut self, words: &Words, size: f32, indent: f32, width: f32, leaf: usize) {
        for line in self.fonts.lines(words, width / size) {
            self.room_for(size * LEADING);
            let y = self.y + size * BASELINE;
            self.put(
                Some(leaf),
                Ink::Words {
                    x: MARGIN + indent,
                    y,
                    size,
                    line,
                },
            );
            self.y += size * LEADING;
        }
    }

    fn list(&mut self, lines: &[Words]) {
        let mut items = Vec::new();
        for words in lines {
            self.room_for(TEXT * LEADING);
            let (page, y) = (self.pages.len() - 1, self.y + TEXT * BASELINE);
            let label = self.leaf();
            let bullet = self.fonts.lines(&Words::from("•"), ROOM).remove(0);
            self.put(
                Some(label),
                Ink::Words {
                    x: MARGIN + 3.0,
                    y,
                    size: TEXT,
                    line: bullet,
                },
            );
            debug_assert_eq!(page + 1, self.pages.len());
            let body = self.leaf();
            self.text(words, TEXT, 13.0, ROOM - 13.0, body);
            self.y += 1.5;
            items.push(Meaning {
                kind: Tag::LI.into(),
                leaf: None,
                parts: vec![
                    Meaning {
                        kind: Tag::Lbl.into(),
                        parts: Vec::new(),
                        leaf: Some(label),
                    },
                    Meaning {
                        kind: Tag::LBody.into(),
                        parts: Vec::new(),
                        leaf: Some(body),
                    },
                ],
            });
        }
        self.y += 2.0;
        self.meaning.push(Meaning {
            kind: Tag::L(ListNumbering::Disc).into(),
            parts: items,
            leaf: None,
        });
    }

    /// A frame is not parted unless it is higher than a page.
    fn caution(&mut self, text: &Words) {
        let words = Words::strong(format!("{} ", self.caution)).and(text);
        let lines = self.fonts.lines(&words, (ROOM - 2.0 * PAD) / TEXT);
        let leaf = self.leaf();
        self.y += 4.0;
        let most = ((HIGH - 2.0 * PAD) / (TEXT * LEADING)).floor();
        for part in lines.chunks(whole(most)) {
            let high = count(part.len()) * TEXT * LEADING + 2.0 * PAD;
            self.room_for(high);
            self.put(
                None,
                Ink::Frame {
                    x: MARGIN,
                    y: self.y,
                    width: ROOM,
                    height: high,
                },
            );
            for (number, line) in part.iter().enumerate() {
                let y = self.y + PAD + TEXT * (BASELINE + count(number) * LEADING);
                self.put(
                    Some(leaf),
                    Ink::Words {
                        x: MARGIN + PAD,
                        y,
                        size: TEXT,
                        line: line.clone(),
                    },
                );
            }
            self.y += high;
        }
        self.y += 5.0;
        self.mean(Tag::P, leaf);
    }

    /// As wide as the page, and never higher. If it has no room here, the words below go on and it stands on the next page.
    fn drawing(&mut self) {
        let Some(&(width, height)) = self.sizes.get(self.drawings) else {
            return;
        };
        let scale = (ROOM / width).min((HIGH - 2.0 * AROUND) / height);
        let size = (width * scale, height * scale);
        let drawing = self.drawings;
        self.drawings += 1;
        let leaf = self.leaf();
        self.waiting.push((drawing, leaf, size));
        if self.y + size.1 + 2.0 * AROUND <= BOTTOM {
            self.draw();
        }
        let about = "The circuit as a drawing, with the readings at their places and how suspect each part is; both stand below in words.";
        self.mean(Tag::Figure(Some(about.to_owned())), leaf);
    }

    /// The first drawing that waits, here.
    fn draw(&mut self) {
        if self.waiting.is_empty() {
            return;
        }
        let (drawing, leaf, (width, height)) = self.waiting.remove(0);
        let (x, y) = (MARGIN + (ROOM - width) / 2.0, self.y + AROUND);
        self.put(
            Some(leaf),
            Ink::Picture {
                drawing,
                x,
                y,
                width,
                height,
            },
        );
        self.y = y + height + AROUND;
    }

    /// Ends the last page: drawings that still wait come on pages of their own.
    pub(super) fn end(&mut self) {
        while !self.waiting.is_empty() {
            self.pages.push(Vec::new());
            self.y = TOP;
            self.draw();
        }
    }
}

fn heading(level: u16, text: &str) -> TagKind {
    Tag::Hn(
        NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN),
        Some(text.to_owned()),
    )
    .into()
}

/// A count as a length.
#[expect(clippy::cast_precision_loss, reason = "counts of lines and columns are small")]
pub(super) fn count(number: usize) -> f32 {
    number as f32
}

/// A number of lines, at least one.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "at least one, and small"
)]
fn whole(number: f32) -> usize {
    number.max(1.0) as usize
}
