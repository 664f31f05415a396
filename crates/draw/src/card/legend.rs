//! How to read a card: what its outlines and labels mean, and words that would stand in many boxes, said once.

use super::block::{ASK, Setting, asking};
use super::data::CardAction;
use super::scene::{Face, Mark, Scene};
use super::type_size::{SMALLEST, leading};
use crate::geometry::Rect;

/// Width of a sample.
const SAMPLE: i32 = 200;
/// Between a sample and its words.
const BESIDE: i32 = 40;
/// Between two entries.
const APART: i32 = 90;

/// A sample.
enum Key {
    Step(CardAction),
    Found,
    Ask,
}

/// Draws the entries side by side, in as many lines as they need; returns where they end.
pub(crate) fn legend(scene: &mut Scene, setting: Setting, top: i32, width: i32) -> i32 {
    let face = Face::plain(SMALLEST);
    let indent = SAMPLE + BESIDE;
    let (mut x, mut y, mut bottom) = (0, top, top);
    for (key, words) in entries(setting) {
        let wide = (indent + face.wide(&words)).min(width);
        if x > 0 && x + wide > width {
            (x, y) = (0, bottom + 30);
        }
        sample(scene, &key, Rect::new(x, y, SAMPLE, leading(SMALLEST)));
        let below = scene.paragraph(&words, face, x + indent, y, wide - indent);
        bottom = bottom.max(below).max(y + leading(SMALLEST));
        x += wide + APART;
    }
    bottom
}

fn entries(setting: Setting) -> Vec<(Key, String)> {
    let after = match setting.common {
        Some((cured, end)) => format!("replace, then prove; {cured} – {end}"),
        None => "replace, then prove".to_owned(),
    };
    let mut entries = vec![
        (Key::Step(CardAction::Check), "check".to_owned()),
        (Key::Step(CardAction::Replace), after),
        (Key::Step(CardAction::LookBeyond), "look beyond".to_owned()),
        (Key::Found, "found: tick it; % of those at that step".to_owned()),
    ];
    entries.extend(setting.asks.map(|words| (Key::Ask, words.to_owned())));
    entries
}

fn sample(scene: &mut Scene, key: &Key, at: Rect) {
    match key {
        Key::Step(action) => scene.marks.push(Mark::Frame {
            at,
            action: *action,
            steps: Vec::new(),
        }),
        Key::Found => {
            let side = at.height - 28;
            scene.marks.push(Mark::Tab { at });
            scene.marks.push(Mark::Tick {
                at: Rect::new(at.x + 25, at.y + 14, side, side),
            });
        }
        Key::Ask => {
            let face = Face::plain(SMALLEST);
            asking(scene, ASK, face, at.x, at.y);
        }
    }
}
