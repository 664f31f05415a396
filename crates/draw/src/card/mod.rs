//! The test card: a whole plan as a tree on one sheet of A4, in black and white.
//!
//! Boxes say what to do, black labels what can come of it; lines lead from one to the other. Repairs tried one after the
//! other share a box. A tree that is too deep goes on in another column. The type is as large as the sheet allows, never
//! below 7.5 pt. This room breaks lines and finds places; every word and figure is handed to it.

mod block;
mod columns;
mod data;
mod heights;
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

pub use data::{CardAction, CardBranch, CardGiven, CardStep, CardTarget, TestCard};

use block::{Piece, Setting};
use heights::{MOST_CUTS, Plan};
use margin::{foot, head};

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
/// It asks to be printed without margins, which stand on the sheet already; so do lines for the vehicle, the date and who.
///
/// A card that does not fit ([`card_fits`]) is never cut: it is drawn on a longer sheet that says so.
pub fn test_card(card: &TestCard) -> String {
    written(card, &sheet(card))
}

/// `true` if the card fits on one sheet of A4 in type that can be read.
pub fn card_fits(card: &TestCard) -> bool {
    smallest(card).is_some()
}

/// The fullest card that fits: `make(n)` is the card with at most `n` steps drawn, the rarest outcomes folded into
/// [`CardTarget::Ask`]. `None` if not even one step fits.
///
/// Found by halving, at most `most` steps: more steps need more room, so from where one does not fit none is tried. Where a cut
/// should make it otherwise, the card found fits all the same, and the same with one step more does not.
pub fn fullest_card(most: usize, make: impl Fn(usize) -> TestCard) -> Option<TestCard> {
    let mut found = None;
    let (mut fits, mut too_many) = (0, most.min(MOST_STEPS) + 1);
    while fits + 1 < too_many {
        let steps = usize::midpoint(fits, too_many);
        let card = make(steps);
        if card_fits(&card) {
            (found, fits) = (Some(card), steps);
        } else {
            too_many = steps;
        }
    }
    found
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

/// The card on one sheet in the largest type that fits: as one tree if that can be, or else cut as often as it must be.
fn one_sheet(card: &TestCard) -> Option<Sheet> {
    let (mut best, cuts) = smallest(card)?;
    let (mut fits, mut too_large) = (SMALLEST, LARGEST + 1);
    while fits + 1 < too_large {
        let size = i32::midpoint(fits, too_large);
        match at_size(card, size, cuts) {
            Some((sheet, _)) => (best, fits) = (sheet, size),
            None => too_large = size,
        }
    }
    Some(best)
}

/// The card on one sheet in the smallest type, and how often its tree had to be cut.
fn smallest(card: &TestCard) -> Option<(Sheet, usize)> {
    let small = card.steps.len() <= MOST_STEPS;
    let whole = small.then(|| at_size(card, SMALLEST, 0)).flatten();
    whole.or_else(|| small.then(|| at_size(card, SMALLEST, MOST_CUTS)).flatten())
}

/// The card on one sheet in running text of `size`, upright before lying, its tree cut at most `cuts` times; and how often
/// it was.
fn at_size(card: &TestCard, size: i32, cuts: usize) -> Option<(Sheet, usize)> {
    [(SHORT, LONG), (LONG, SHORT)]
        .into_iter()
        .find_map(|(width, height)| {
            let page = Page::new(card, Type::new(size), width, None);
            let room = height - page.around();
            let plan = Plan::new(page.setting, Forest::tree(&card.steps), page.inside);
            if plan.too_much(room) {
                return None;
            }
            let plan = plan.cut_to(room, cuts)?;
            Some((page.filled(&plan, height), plan.cuts()))
        })
}

/// A sheet as long as the card needs; without lines, only numbers, where even the width is too little.
fn long_sheet(card: &TestCard) -> Sheet {
    let page = Page::new(
        card,
        Type::new(SMALLEST),
        SHORT,
        Some("This plan is longer than one sheet."),
    );
    let tree = (card.steps.len() <= MOST_STEPS)
        .then(|| Plan::new(page.setting, Forest::tree(&card.steps), page.inside))
        .filter(|plan| plan.height().is_some());
    let plan = tree.unwrap_or_else(|| Plan::new(page.setting, Forest::list(&card.steps), page.inside));
    let needed = plan.height().unwrap_or(0);
    let height = page.around() + needed;
    page.filled(&plan, height)
}

/// A sheet before the plan is on it.
struct Page<'a> {
    setting: Setting<'a>,
    width: i32,
    /// Width between the margins.
    inside: i32,
    head: Piece,
    foot: Piece,
}

impl<'a> Page<'a> {
    fn new(card: &'a TestCard, size: Type, width: i32, note: Option<&str>) -> Self {
        let setting = Setting {
            steps: &card.steps,
            size,
            common: common_end(&card.steps),
            asks: common_ask(&card.steps),
        };
        let inside = width - 2 * MARGIN;
        Self {
            setting,
            width,
            inside,
            head: head(card, size, inside),
            foot: foot(card, setting, inside, note),
        }
    }

    /// Height that is not the plan's.
    fn around(&self) -> i32 {
        2 * MARGIN + self.head.height + self.foot.height
    }

    fn filled(self, plan: &Plan, height: i32) -> Sheet {
        let mut scene = Scene::default();
        scene.add(self.head.scene, MARGIN, MARGIN);
        scene.add(plan.draw(), MARGIN, MARGIN + self.head.height);
        scene.add(self.foot.scene, MARGIN, height - MARGIN - self.foot.height);
        Sheet {
            scene,
            width: self.width,
            height,
        }
    }
}
