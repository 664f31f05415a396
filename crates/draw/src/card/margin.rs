//! What stands above and below the plan: title, figures, cautions, how to read the card, and what comes before it.

use super::block::{Piece, Setting};
use super::data::{CardGiven, TestCard};
use super::legend::legend;
use super::scene::{Face, Mark, Scene};
use super::type_size::{SMALLEST, Type, leading};
use crate::geometry::{Point, Segment};

/// Between two things beside each other.
const APART: i32 = 140;
/// Between two things below each other.
const BELOW: i32 = 50;
/// Room to fill in by hand: the vehicle, and what is shorter.
const LONG_BLANK: i32 = 1500;
const SHORT_BLANK: i32 = 700;

/// Above the plan.
pub(crate) fn head(card: &TestCard, size: Type, width: i32) -> Piece {
    let mut scene = Scene::default();
    let figures = facts_width(&card.facts, size);
    let beside = width - figures - APART;
    let mut y = if beside >= width * 45 / 100 {
        let y = titles(&mut scene, card, size, beside);
        y.max(facts(
            &mut scene,
            &card.facts,
            size,
            Point {
                x: width - figures,
                y: 0,
            },
            width,
        ))
    } else {
        let y = titles(&mut scene, card, size, width);
        facts(&mut scene, &card.facts, size, Point { x: 0, y: y + 20 }, width)
    };
    y = blanks(&mut scene, &card.given, size, y, width);
    y = cautions(&mut scene, &card.cautions, size, y, width);
    Piece {
        scene,
        height: y + BELOW,
        width,
    }
}

/// Below it.
pub(crate) fn foot(card: &TestCard, setting: Setting, width: i32, note: Option<&str>) -> Piece {
    let mut scene = Scene::default();
    scene.marks.push(Mark::Rule {
        piece: Segment::horizontal(20, 0, width),
    });
    let top = legend(&mut scene, setting, 50, width) + 20;
    let lines = note.into_iter().chain(card.foot.iter().map(String::as_str));
    let y = lines.fold(top, |y, line| {
        scene.paragraph(line, Face::plain(SMALLEST), 0, y, width)
    });
    Piece {
        scene,
        height: y,
        width,
    }
}

fn titles(scene: &mut Scene, card: &TestCard, size: Type, width: i32) -> i32 {
    let y = scene.paragraph(&card.title, Face::bold(size.title), 0, 0, width);
    scene.paragraph(&card.subtitle, Face::plain(size.text), 0, y, width)
}

fn fact_width(fact: &(String, String), size: Type) -> i32 {
    let (name, value) = fact;
    Face::plain(SMALLEST)
        .wide(name)
        .max(Face::bold(size.heading).wide(value))
}

/// All figures side by side.
fn facts_width(facts: &[(String, String)], size: Type) -> i32 {
    let all: i32 = facts.iter().map(|fact| fact_width(fact, size) + APART).sum();
    (all - APART).max(0)
}

/// Each figure in bold below its name, side by side.
fn facts(scene: &mut Scene, facts: &[(String, String)], size: Type, at: Point, width: i32) -> i32 {
    let (small, bold) = (Face::plain(SMALLEST), Face::bold(size.heading));
    let (mut x, mut y, mut bottom) = (at.x, at.y, at.y);
    for fact in facts {
        let wide = fact_width(fact, size).min(width - at.x);
        if x > at.x && x + wide > width {
            (x, y) = (at.x, bottom + 20);
        }
        let below = scene.paragraph(&fact.0, small, x, y, wide);
        bottom = bottom.max(scene.paragraph(&fact.1, bold, x, below, wide));
        x += wide + APART;
    }
    bottom
}

/// Lines to write on, and what is written on them already.
fn blanks(scene: &mut Scene, given: &CardGiven, size: Type, top: i32, width: i32) -> i32 {
    let face = Face::plain(size.text);
    let blanks = [
        ("Vehicle", &given.vehicle, LONG_BLANK),
        ("Odometer", &given.odometer, SHORT_BLANK),
        ("Date", &given.date, SHORT_BLANK),
        ("By", &given.by, SHORT_BLANK),
    ];
    let (mut x, mut y) = (0, top + BELOW);
    for (name, words, room) in blanks {
        let named = face.wide(name) + 20;
        let wide = named + face.wide(words).max(room - 20);
        if x > 0 && x + wide > width {
            (x, y) = (0, y + leading(size.text) + BELOW);
        }
        scene.line(name, face, x, y);
        // More words than a line holds take the next ones.
        let end = (x + wide).min(width);
        let below = scene.paragraph(words, face, x + named, y, end - x - named);
        y = (below - leading(size.text)).max(y);
        let line = Segment::horizontal(y + leading(size.text), x + named, end);
        scene.marks.push(Mark::Rule { piece: line });
        x += wide + APART / 2;
    }
    y + leading(size.text) + BELOW / 2
}

fn cautions(scene: &mut Scene, cautions: &[String], size: Type, top: i32, width: i32) -> i32 {
    cautions.iter().fold(top + BELOW / 2, |y, caution| {
        scene.caution(caution, size.text, 0, y, width)
    })
}
