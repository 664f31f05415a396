//! The test card: a whole plan as a tree on one sheet of A4, in black and white.
//!
//! Boxes say what to do, black labels what can come of it; lines lead from one to the other. The type is as large as the
//! sheet allows, never below 7.5 pt. This room breaks lines and finds places; every word and figure is handed to it.

mod block;
mod columns;
mod data;
mod ink;
mod legend;
mod letters;
mod margin;
mod place;
mod scene;
mod tree;
mod type_size;

#[cfg(test)]
mod tests;

pub use data::{CardAction, CardBranch, CardStep, CardTarget, TestCard};

use block::Setting;
use margin::{foot, head};
use place::Plan;
use scene::Scene;
use tree::{Forest, common_ask, common_end};
use type_size::{LARGEST, SMALLEST, Type};

/// A4 (ISO 216: 210 mm by 297 mm) in tenths of a point.
const SHORT: i32 = 5953;
const LONG: i32 = 8419;
/// Ten millimetres that printers leave white.
const MARGIN: i32 = 284;
/// More steps than this are never legible on one sheet, so they are not tried.
const MOST_STEPS: usize = 120;

/// A card laid out.
struct Sheet {
    scene: Scene,
    width: i32,
    height: i32,
}

/// The card as a standalone SVG, A4 upright or lying, whichever lets the type be larger.
///
/// A card that does not fit ([`card_fits`]) is never cut: it is drawn on a longer sheet that says so.
pub fn test_card(card: &TestCard) -> String {
    written(card, &sheet(card))
}

/// `true` if the card fits on one sheet of A4 in type that can be read.
pub fn card_fits(card: &TestCard) -> bool {
    one_sheet(card).is_some()
}

/// The fullest card that fits: `make(n)` is the card with at most `n` steps drawn, the rarest outcomes folded into
/// [`CardTarget::Ask`]. Tried from `most` downwards; `None` if not even one step fits.
pub fn fullest_card(most: usize, make: impl Fn(usize) -> TestCard) -> Option<TestCard> {
    (1..=most.min(MOST_STEPS)).rev().map(make).find(card_fits)
}

fn written(card: &TestCard, sheet: &Sheet) -> String {
    let about = format!(
        "Test card: {} numbered steps as a tree. Begin at step 1; black labels are what can be found, lines lead to the next step.",
        card.steps.len()
    );
    ink::svg(&sheet.scene, sheet.width, sheet.height, &card.title, &about)
}

fn sheet(card: &TestCard) -> Sheet {
    one_sheet(card).unwrap_or_else(|| long_sheet(card))
}

/// The largest type at which the card fits, upright before lying.
fn one_sheet(card: &TestCard) -> Option<Sheet> {
    if card.steps.len() > MOST_STEPS {
        return None;
    }
    let forest = Forest::tree(&card.steps);
    let (mut fits, mut too_large) = (None, LARGEST + 1);
    let mut low = SMALLEST;
    while low < too_large {
        let size = if fits.is_none() {
            SMALLEST
        } else {
            i32::midpoint(low, too_large)
        };
        let sheet = [(SHORT, LONG), (LONG, SHORT)]
            .into_iter()
            .find_map(|(width, height)| a4(card, &forest, Type::new(size), width, height));
        match sheet {
            Some(sheet) => (fits, low) = (Some(sheet), size + 1),
            None => too_large = size,
        }
    }
    fits
}

fn setting(card: &TestCard, size: Type) -> Setting<'_> {
    Setting {
        steps: &card.steps,
        size,
        common: common_end(&card.steps),
        asks: common_ask(&card.steps),
    }
}

fn a4(card: &TestCard, forest: &Forest, size: Type, width: i32, height: i32) -> Option<Sheet> {
    let inside = width - 2 * MARGIN;
    let (head, foot) = (
        head(card, size, inside),
        foot(card, setting(card, size), inside, None),
    );
    let room = height - 2 * MARGIN - head.height - foot.height;
    let plan = Plan::new(setting(card, size), forest, inside);
    plan.height().filter(|needed| *needed <= room)?;
    let mut scene = Scene::default();
    scene.add(head.scene, MARGIN, MARGIN);
    scene.add(plan.draw(), MARGIN, MARGIN + head.height);
    scene.add(foot.scene, MARGIN, height - MARGIN - foot.height);
    Some(Sheet { scene, width, height })
}

/// A sheet as long as the card needs; without lines, only numbers, where even the width is too little.
fn long_sheet(card: &TestCard) -> Sheet {
    let inside = SHORT - 2 * MARGIN;
    let size = Type::new(SMALLEST);
    let mut forest = Forest::list(&card.steps);
    if card.steps.len() <= MOST_STEPS {
        let tree = Forest::tree(&card.steps);
        if Plan::new(setting(card, size), &tree, inside).height().is_some() {
            forest = tree;
        }
    }
    let plan = Plan::new(setting(card, size), &forest, inside);
    let head = head(card, size, inside);
    let foot = foot(
        card,
        setting(card, size),
        inside,
        Some("This plan is longer than one sheet."),
    );
    let needed = plan.height().unwrap_or(0);
    let height = 2 * MARGIN + head.height + needed + foot.height;
    let mut scene = Scene::default();
    scene.add(head.scene, MARGIN, MARGIN);
    scene.add(plan.draw(), MARGIN, MARGIN + head.height);
    scene.add(foot.scene, MARGIN, height - MARGIN - foot.height);
    Sheet {
        scene,
        width: SHORT,
        height,
    }
}
