//! What stands inside a box of a given width, and an outcome's label: drawn at the origin, with its height.

use super::data::{CardAction, CardStep, CardTarget};
use super::scene::{Face, Mark, Scene};
use super::tree::{Arm, End, Node, Trial, trial};
use super::type_size::{SMALLEST, Type, leading};
use crate::geometry::{Rect, Segment};
use crate::words::percent;

/// No box is narrower than some twenty letters.
pub(crate) fn narrowest(size: Type) -> i32 {
    size.text * 16
}

/// No line is longer than is read easily.
pub(crate) fn widest(size: Type) -> i32 {
    size.text * 57
}

/// No end without a box is narrower.
pub(crate) fn narrowest_end(size: Type) -> i32 {
    size.text * 14
}

/// Between repairs in one box, twice.
const ROW: i32 = 18;
/// Between a square to tick and its words, a number and its words.
const TICK: i32 = 20;
/// Between words and the next square to tick.
const APART: i32 = 50;
/// Between an outcome's label and the words beside it.
const BESIDE: i32 = 40;

/// Something drawn at the origin.
#[derive(Debug, Clone, Default)]
pub(crate) struct Piece {
    pub(crate) scene: Scene,
    pub(crate) height: i32,
    pub(crate) width: i32,
}

/// Stands for the words that lead back to the program, where they are the same everywhere.
pub(crate) const ASK: &str = "ask";

/// What every box is drawn with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Setting<'a> {
    pub(crate) steps: &'a [CardStep],
    pub(crate) size: Type,
    /// Said once for all repairs ([`super::tree::common_end`]).
    pub(crate) common: Option<(&'a str, &'a str)>,
    /// Said once where the card leads back to the program ([`super::tree::common_ask`]).
    pub(crate) asks: Option<&'a str>,
}

/// The box of `node`.
pub(crate) fn block(setting: Setting, node: &Node, width: i32) -> Piece {
    let mut inside = Inside {
        scene: Scene::default(),
        width: width.min(widest(setting.size)),
        setting,
    };
    let height = match node.steps.as_slice() {
        [only] => inside.single(*only, node),
        row => inside.row(row, node),
    };
    let frame = Mark::Frame {
        at: Rect::new(0, 0, inside.width, height),
        action: setting.steps[node.steps[0]].action,
        steps: node.steps.clone(),
    };
    let mut scene = Scene { marks: vec![frame] };
    scene.add(inside.scene, 0, 0);
    Piece {
        scene,
        height,
        width: inside.width,
    }
}

/// A box being filled.
struct Inside<'a> {
    scene: Scene,
    width: i32,
    setting: Setting<'a>,
}

impl Inside<'_> {
    /// One step: number at the left, words beside it. Returns the height.
    fn single(&mut self, index: usize, node: &Node) -> i32 {
        let size = self.setting.size;
        let step = &self.setting.steps[index];
        let beside = self.badge(index, step.action, size.number, size.pad);
        let below = self.words(step, size.pad, !node.arms.is_empty());
        below.max(beside) + size.pad
    }

    /// Repairs one after the other.
    fn row(&mut self, row: &[usize], node: &Node) -> i32 {
        let size = self.setting.size;
        let order = "In this order, prove after each:";
        let room = self.width - 2 * size.pad;
        let mut y = self
            .scene
            .paragraph(order, Face::plain(size.text), size.pad, size.pad, room);
        for (place, index) in row.iter().enumerate() {
            y += ROW;
            let rule = Segment::horizontal(y, size.pad, self.width - size.pad);
            self.scene.marks.push(Mark::Rule { piece: rule });
            y += ROW;
            let step = &self.setting.steps[*index];
            let beside = self.badge(*index, step.action, size.number * 8 / 10, y);
            let led_on = place + 1 < row.len() || !node.arms.is_empty();
            y = self.words(step, y, led_on).max(beside);
        }
        y + size.pad
    }

    /// Caution, heading, lines, and for a repair what can come of it; `led_on` if the box shows where failing leads.
    fn words(&mut self, step: &CardStep, top: i32, led_on: bool) -> i32 {
        let size = self.setting.size;
        let left = size.pad + size.numbers;
        let room = self.width - left - size.pad;
        let plain = Face::plain(size.text);
        let mut y = top;
        if let Some(caution) = &step.caution {
            y = self.scene.caution(caution, size.text, left, y, room);
        }
        y = self
            .scene
            .paragraph(&step.heading, Face::bold(size.heading), left, y, room);
        let mut flow = Flow {
            left,
            x: left,
            y,
            room,
        };
        for line in &step.lines {
            flow.y = y;
            y = self.scene.paragraph(line, plain, left, y, room);
            if let Some(last) = plain.lines(line, room).last() {
                flow.x = left + plain.wide(last) + APART;
                flow.y = y - leading(plain.size);
            }
        }
        for chip in self.chips(step, led_on) {
            y = self.chip(&chip, &mut flow).max(y);
        }
        y
    }

    /// What can come of a repair, as far as it stands inside its box.
    fn chips(&self, step: &CardStep, led_on: bool) -> Vec<Chip> {
        let Some(trial) = trial(step) else {
            return Vec::new();
        };
        let mut cured = with_share(&trial.cured.words, trial.cured.share);
        if self.setting.common.is_none() {
            cured = format!("{cured}: {}", trial.end);
        }
        let mut chips = vec![Chip {
            words: cured,
            asks: false,
        }];
        if !led_on {
            let failed = trial.failed_words();
            let asks = matches!(&trial.failed.to, CardTarget::Ask(words) if self.setting.asks == Some(words.as_str()));
            let words = match &trial.failed.to {
                CardTarget::Step(number) => format!("{failed}: go on at step {number}"),
                CardTarget::Ask(_) if asks => failed,
                CardTarget::Done(words) | CardTarget::Ask(words) => format!("{failed}: {words}"),
            };
            chips.push(Chip { words, asks });
        }
        chips
    }

    /// A square to tick and words, behind what stands in the line if there is room. Returns where the next line begins.
    fn chip(&mut self, chip: &Chip, flow: &mut Flow) -> i32 {
        let face = Face::plain(self.setting.size.text);
        let tick = face.size * 8 / 10;
        let tail = if chip.asks {
            asking_width(face) + 2 * TICK
        } else {
            0
        };
        let wide = tick + TICK + face.wide(&chip.words) + tail;
        if flow.x > flow.left && flow.x + wide > flow.left + flow.room {
            flow.x = flow.left;
            flow.y += leading(face.size);
        }
        let at = Rect::new(flow.x, flow.y + (leading(face.size) - tick) / 2, tick, tick);
        self.scene.marks.push(Mark::Tick { at });
        let x = flow.x + tick + TICK;
        let mut below = self
            .scene
            .paragraph(&chip.words, face, x, flow.y, flow.left + flow.room - x)
            // A square without words still takes its line.
            .max(flow.y + leading(face.size));
        if chip.asks {
            // Words too long for one line have the rest of the sheet's words below them.
            let beside = flow.x + wide <= flow.left + flow.room;
            let x = if beside {
                x + face.wide(&chip.words) + 2 * TICK
            } else {
                x
            };
            let y = if beside { flow.y } else { below };
            below = asking(&mut self.scene, ASK, face, x, y).max(below);
        }
        flow.x += wide + APART;
        flow.y = below - leading(face.size);
        below
    }

    /// A step's number; returns where it ends.
    fn badge(&mut self, index: usize, action: CardAction, digits: i32, top: i32) -> i32 {
        let size = self.setting.size;
        let room = size.numbers - TICK;
        let number = (index + 1).to_string();
        let mut face = Face::bold(digits);
        while face.wide(&number) > room && face.size > SMALLEST {
            face.size -= 5;
        }
        if action == CardAction::Replace {
            self.scene.marks.push(Mark::Block {
                at: Rect::new(size.pad, top, room, leading(face.size)),
            });
            face = face.white();
        }
        let x = size.pad + (room - face.wide(&number)) / 2;
        self.scene.line(&number, face, x, top)
    }
}

/// What can come of a repair, with a square to tick.
struct Chip {
    words: String,
    /// The card's words for going back to the program follow.
    asks: bool,
}

/// `words` within dashes; returns where the next line begins.
pub(crate) fn asking(scene: &mut Scene, words: &str, face: Face, x: i32, y: i32) -> i32 {
    let below = scene.line(words, face, x + TICK, y);
    scene.marks.push(Mark::Dashes {
        at: Rect::new(x, y, face.wide(words) + 2 * TICK, below - y),
    });
    below
}

fn asking_width(face: Face) -> i32 {
    face.wide(ASK) + 2 * TICK
}

/// Where the next words of a line go.
struct Flow {
    left: i32,
    x: i32,
    y: i32,
    room: i32,
}

impl Trial<'_> {
    /// The words for failing; its share only where it is not what is left of the other.
    fn failed_words(&self) -> String {
        let left = (self.cured.share + self.failed.share - 1.0).abs() < 0.005;
        let share = if left { f64::NAN } else { self.failed.share };
        with_share(&self.failed.words, share)
    }
}

/// `under 3 inHg 12 %`.
fn with_share(words: &str, share: f64) -> String {
    match percent(share) {
        Some(figure) => format!("{words} {figure}"),
        None => words.to_owned(),
    }
}

/// The label of an outcome: a square to tick, the words, how often.
pub(crate) fn tab(setting: Setting, arm: &Arm, room: i32) -> Piece {
    let size = setting.size;
    let face = Face::bold(size.text).white();
    let side = size.text * 8 / 10;
    let left = 25 + side + 25;
    let lines = face.lines(&with_share(&arm.words, arm.share), room - left - 25);
    let mut scene = Scene::default();
    let longest = lines.iter().map(|line| face.wide(line)).max().unwrap_or(0);
    let rows = i32::try_from(lines.len()).unwrap_or(1).max(1);
    let height = rows * leading(face.size) + 14;
    let width = left + longest + 25;
    scene.marks.push(Mark::Tab {
        at: Rect::new(0, 0, width, height),
    });
    scene.marks.push(Mark::Tick {
        at: Rect::new(25, 7 + (leading(face.size) - side) / 2, side, side),
    });
    let share = percent(arm.share).unwrap_or_default();
    let last = lines.len().saturating_sub(1);
    let mut y = 7;
    for (place, line) in lines.iter().enumerate() {
        match line
            .strip_suffix(&share)
            .filter(|_| place == last && !share.is_empty())
        {
            Some(words) => {
                scene.line(words.trim_end(), face, left, y);
                let share_face = Face::plain(size.text).white();
                y = scene.line(&share, share_face, left + face.wide(words), y);
            }
            None => y = scene.line(line, face, left, y),
        }
    }
    Piece { scene, height, width }
}

/// An outcome that leads to no box: its label and the words, beside it where there is room.
pub(crate) fn end(setting: Setting, arm: &Arm, room: i32) -> Piece {
    let size = setting.size;
    let mut piece = tab(setting, arm, room);
    let (words, face, dashed) = match &arm.end {
        End::Node(_) => return piece,
        End::Number(number) => (format!("go on at step {number}"), Face::bold(size.text), false),
        End::Done(words) => (words.clone(), Face::plain(size.text), false),
        End::Ask(words) if setting.asks == Some(words.as_str()) => {
            (ASK.to_owned(), Face::plain(size.text), true)
        }
        End::Ask(words) => (words.clone(), Face::plain(size.text), true),
    };
    let inset = if dashed { 25 } else { 0 };
    let left_over = room - piece.width - BESIDE - 2 * inset;
    let beside = left_over >= face.wide(&words).min(narrowest_end(size));
    let (x, y, space) = if beside {
        (piece.width + BESIDE, 7, left_over)
    } else {
        (BESIDE, piece.height + 15, room - BESIDE - 2 * inset)
    };
    let longest = face.lines(&words, space).iter().map(|line| face.wide(line)).max();
    let below = piece.scene.paragraph(&words, face, x + inset, y, space);
    if dashed {
        let width = longest.unwrap_or(0) + 2 * inset;
        piece.scene.marks.push(Mark::Dashes {
            at: Rect::new(x, y - 7, width, below - y + 14),
        });
    }
    piece.height = piece.height.max(below + 7);
    piece
}

/// What leads to a tree that was cut off another.
pub(crate) fn origin(setting: Setting, from: &str, room: i32) -> Piece {
    let face = Face::plain(setting.size.text);
    let mut scene = Scene::default();
    let lines = face.lines(from, room - 50);
    let width = lines.iter().map(|line| face.wide(line)).max().unwrap_or(0) + 50;
    let height = scene.paragraph(from, face, 25, 7, room - 50) + 7;
    scene.marks.push(Mark::Origin {
        at: Rect::new(0, 0, width, height),
    });
    Piece { scene, height, width }
}
