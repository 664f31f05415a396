//! What holds for every card, also for cards that no planner would make.
#![allow(clippy::unwrap_used, reason = "tests")]

use super::super::scene::Mark;
use super::super::{SMALLEST, Sheet, sheet, tree::Forest, written};
use super::sample;
use crate::geometry::{Point, Rect, Segment};
use crate::{
    CardAction, CardBranch, CardGiven, CardStep, CardTarget, TestCard, card_fits, fullest_card, test_card,
};
use proptest::collection::vec;
use proptest::prelude::*;

/// Every law on one card.
pub(super) fn check(card: &TestCard) {
    let sheet = sheet(card);
    on_the_page(&sheet);
    words_apart(&sheet);
    boxes_apart(&sheet);
    lines_keep_clear(&sheet);
    large_enough(&sheet);
    nothing_missing(card, &sheet);
    joined(&sheet);
    well_formed(&written(card, &sheet));
}

/// What a mark covers.
fn cover(mark: &Mark) -> Rect {
    match mark {
        Mark::Words { at, .. }
        | Mark::Frame { at, .. }
        | Mark::Block { at }
        | Mark::Tab { at }
        | Mark::Origin { at }
        | Mark::Tick { at }
        | Mark::Warning { at }
        | Mark::Dashes { at } => *at,
        Mark::Branch { piece } | Mark::Rule { piece } => Rect {
            x: piece.a.x,
            y: piece.a.y,
            width: piece.b.x - piece.a.x,
            height: piece.b.y - piece.a.y,
        },
        Mark::Arrow { tip, down } => {
            let (x, y) = if *down { (32, 55) } else { (55, 32) };
            let right = if *down { 32 } else { 0 };
            let below = if *down { 0 } else { 32 };
            Rect {
                x: tip.x - x,
                y: tip.y - y,
                width: x + right,
                height: y + below,
            }
        }
    }
}

fn inside(inner: &Rect, outer: &Rect) -> bool {
    inner.x >= outer.x
        && inner.y >= outer.y
        && inner.right() <= outer.right()
        && inner.bottom() <= outer.bottom()
}

/// Printers leave a margin of five millimetres at most everywhere; nothing is drawn there.
fn on_the_page(sheet: &Sheet) {
    let printed = Rect {
        x: 142,
        y: 142,
        width: sheet.width - 284,
        height: sheet.height - 284,
    };
    for mark in &sheet.scene.marks {
        assert!(inside(&cover(mark), &printed), "{mark:?} leaves {printed:?}");
    }
}

fn of(sheet: &Sheet, kind: fn(&Mark) -> bool) -> Vec<(&Mark, Rect)> {
    let marks = sheet.scene.marks.iter().filter(|mark| kind(mark));
    marks.map(|mark| (mark, cover(mark))).collect()
}

fn apart(marks: &[(&Mark, Rect)]) {
    for (place, (mark, at)) in marks.iter().enumerate() {
        for (other, there) in &marks[..place] {
            assert!(!at.overlaps(there), "{mark:?} on {other:?}");
        }
    }
}

/// No words on words, squares, triangles or arrows; words are in the box whose edge they cross.
fn words_apart(sheet: &Sheet) {
    let small = |mark: &Mark| {
        matches!(
            mark,
            Mark::Words { .. } | Mark::Tick { .. } | Mark::Warning { .. } | Mark::Arrow { .. }
        )
    };
    apart(&of(sheet, small));
    let words = of(sheet, |mark| matches!(mark, Mark::Words { .. }));
    let around = of(sheet, |mark| {
        matches!(
            mark,
            Mark::Frame { .. }
                | Mark::Block { .. }
                | Mark::Tab { .. }
                | Mark::Origin { .. }
                | Mark::Dashes { .. }
        )
    });
    for (mark, at) in &words {
        for (other, there) in &around {
            assert!(
                !at.overlaps(there) || inside(at, there),
                "{mark:?} over the edge of {other:?}"
            );
        }
    }
    // White words only on black.
    for (mark, at) in &words {
        let Mark::Words { white, .. } = mark else { continue };
        let dark = |(mark, there): &(&Mark, Rect)| {
            matches!(mark, Mark::Block { .. } | Mark::Tab { .. }) && inside(at, there)
        };
        assert_eq!(*white, around.iter().any(dark), "{mark:?}");
    }
}

fn boxes_apart(sheet: &Sheet) {
    apart(&of(sheet, |mark| {
        matches!(mark, Mark::Frame { .. } | Mark::Tab { .. } | Mark::Origin { .. })
    }));
}

/// The tree's lines run through no box, label or word.
fn lines_keep_clear(sheet: &Sheet) {
    let solid = of(sheet, |mark| {
        matches!(
            mark,
            Mark::Words { .. }
                | Mark::Frame { .. }
                | Mark::Tab { .. }
                | Mark::Tick { .. }
                | Mark::Dashes { .. }
        )
    });
    for piece in branches(sheet) {
        for (mark, at) in &solid {
            assert!(!at.crossed_by(&piece), "{piece:?} through {mark:?}");
        }
    }
}

fn branches(sheet: &Sheet) -> Vec<Segment> {
    let marks = sheet.scene.marks.iter();
    marks
        .filter_map(|mark| match mark {
            Mark::Branch { piece } => Some(*piece),
            _ => None,
        })
        .collect()
}

fn large_enough(sheet: &Sheet) {
    for mark in &sheet.scene.marks {
        if let Mark::Words { size, .. } = mark {
            assert!(*size >= SMALLEST, "{mark:?}");
        }
    }
}

/// Letters of all words on the sheet, in the order drawn, without spaces.
fn letters(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace()).collect()
}

/// Every step has its box once, and every heading, line and caution stands in it whole.
fn nothing_missing(card: &TestCard, sheet: &Sheet) {
    let mut drawn: Vec<usize> = Vec::new();
    for mark in &sheet.scene.marks {
        let Mark::Frame { at, steps, .. } = mark else {
            continue;
        };
        drawn.extend(steps);
        let words = of(sheet, |mark| matches!(mark, Mark::Words { .. }));
        let text: String = words
            .iter()
            .filter(|(_, there)| inside(there, at))
            .map(|(mark, _)| match mark {
                Mark::Words { words, .. } => letters(words),
                _ => String::new(),
            })
            .collect();
        for index in steps {
            let step = &card.steps[*index];
            let said = step.lines.iter().chain(&step.caution).chain([&step.heading]);
            for words in said {
                assert!(
                    text.contains(&letters(words)),
                    "step {}: `{words}` not in `{text}`",
                    index + 1
                );
            }
            assert!(text.contains(&(index + 1).to_string()));
        }
    }
    drawn.sort_unstable();
    assert_eq!(drawn, (0..card.steps.len()).collect::<Vec<_>>());
}

/// Every label that leads to a box has an arrow at it, and every arrow hangs, by the tree's lines, on a box.
fn joined(sheet: &Sheet) {
    let tabs: Vec<Rect> = labels(sheet);
    let arrows = sheet.scene.marks.iter().filter_map(|mark| match mark {
        Mark::Arrow { tip, .. } => Some(*tip),
        _ => None,
    });
    let arrows: Vec<Point> = arrows.collect();
    assert_eq!(arrows.len(), tabs.len(), "as many arrows as labels");
    for tab in &tabs {
        let at_edge = |tip: &&Point| {
            let top = tip.y == tab.y && (tab.x..=tab.right()).contains(&tip.x);
            let left = tip.x == tab.x && (tab.y..=tab.bottom()).contains(&tip.y);
            top || left
        };
        assert_eq!(arrows.iter().filter(at_edge).count(), 1, "an arrow at {tab:?}");
    }
    let frames = of(sheet, |mark| matches!(mark, Mark::Frame { .. }));
    let pieces = branches(sheet);
    for tip in arrows {
        let mut reached: Vec<Segment> = pieces.iter().filter(|piece| piece.holds(tip)).copied().collect();
        loop {
            let touching = |piece: &&Segment| {
                !reached.contains(piece) && reached.iter().any(|other| touch(other, piece))
            };
            let Some(next) = pieces.iter().find(touching) else {
                break;
            };
            reached.push(*next);
        }
        let hangs = |piece: &Segment| {
            frames
                .iter()
                .any(|(_, at)| piece.a.y == at.bottom() && (at.x..at.right()).contains(&piece.a.x))
        };
        assert_eq!(
            reached.iter().filter(|piece| hangs(piece)).count(),
            1,
            "{tip:?} hangs on one box"
        );
    }
}

fn touch(a: &Segment, b: &Segment) -> bool {
    a.holds(b.a) || a.holds(b.b) || b.holds(a.a) || b.holds(a.b)
}

/// Labels of outcomes: all but the one of the legend, which is the last of all.
fn labels(sheet: &Sheet) -> Vec<Rect> {
    let mut tabs: Vec<Rect> = of(sheet, |mark| matches!(mark, Mark::Tab { .. }))
        .iter()
        .map(|(_, at)| *at)
        .collect();
    tabs.pop();
    tabs
}

/// Every tag that opens closes, and words from outside are written out.
fn well_formed(svg: &str) {
    let opened = svg.matches("<text").count();
    assert_eq!(opened, svg.matches("</text>").count());
    assert!(!svg.contains("<script"));
    let entities = ["&amp;", "&lt;", "&gt;", "&quot;", "&#39;"];
    for (at, _) in svg.match_indices('&') {
        assert!(entities.iter().any(|entity| svg[at..].starts_with(entity)));
    }
}

#[test]
fn the_sample() {
    check(&sample::vacuum());
}

#[test]
fn nothing_at_all() {
    check(&TestCard::default());
    assert!(card_fits(&TestCard::default()));
}

/// Numbers that lead nowhere, back, or twice to the same step are drawn as numbers; no step is lost.
#[test]
fn wrong_numbers() {
    let branch = |number: usize| CardBranch {
        words: format!("to {number}"),
        share: 0.5,
        to: CardTarget::Step(number),
    };
    let step = |numbers: &[usize]| CardStep {
        action: CardAction::Check,
        heading: "Look".to_owned(),
        lines: vec![],
        caution: None,
        branches: numbers.iter().map(|number| branch(*number)).collect(),
    };
    let card = TestCard {
        steps: vec![step(&[2, 0, 1]), step(&[1, 9, 3]), step(&[2]), step(&[4])],
        ..TestCard::default()
    };
    check(&card);
    let page = test_card(&card);
    assert_eq!(page.matches("go on at step").count(), 6, "{page}");
}

/// Repairs tried one after the other share a box, in order; a check between them parts them.
#[test]
fn repairs_in_a_row() {
    let forest = Forest::tree(&sample::vacuum().steps);
    let rows: Vec<Vec<usize>> = forest
        .nodes
        .iter()
        .map(|node| node.steps.clone())
        .filter(|row| row.len() > 1)
        .collect();
    assert_eq!(rows, [vec![2, 3], vec![9, 10], vec![23, 26]]);
}

/// A plan too long for a sheet is drawn whole on a longer one, and says so.
#[test]
fn too_much_for_one_sheet() {
    let mut card = sample::vacuum();
    let more = card.steps.clone();
    card.steps.extend(more.iter().cycle().take(100).cloned());
    assert!(!card_fits(&card));
    check(&card);
    assert!(test_card(&card).contains("longer than one sheet"));
}

/// A tree too deep for the sheet is cut: where it goes on by number, the other piece says where it comes from.
#[test]
fn a_deep_tree_goes_on_in_another_column() {
    let card = sample::chain();
    assert!(card_fits(&card));
    check(&card);
    let page = test_card(&card);
    let from = page.matches("from step ").count();
    assert!((1..=4).contains(&from), "{from} pieces");
    assert_eq!(from, page.matches("go on at step ").count());
    assert!(
        !test_card(&sample::vacuum()).contains("from step "),
        "fits whole, stays whole"
    );
}

/// The fullest card that fits is found, and one step more does not fit.
#[test]
fn as_much_as_fits() {
    let all = sample::vacuum();
    let make = |most: usize| TestCard {
        steps: all.steps.iter().cycle().take(most).cloned().collect(),
        ..all.clone()
    };
    let card = fullest_card(45, make).unwrap();
    assert!(card_fits(&card));
    assert!(card.steps.len() < 45 && !card_fits(&make(card.steps.len() + 1)));
}

fn words(most: usize) -> impl Strategy<Value = String> {
    let word = prop_oneof![
        8 => "[a-z]{1,9}",
        2 => "[0-9]{1,3}",
        1 => "[A-Z<&\"' ]{1,4}",
        1 => "[äß字Ж–½…\u{7}]{1,3}",
        1 => Just("unbreakable".repeat(9)),
    ];
    vec(word, 0..=most).prop_map(|words| words.join(" "))
}

fn any_step(most: usize) -> impl Strategy<Value = CardStep> {
    let target = prop_oneof![
        6 => (0..most + 2).prop_map(CardTarget::Step),
        2 => Just(CardTarget::Done("works".to_owned())),
        1 => words(5).prop_map(CardTarget::Done),
        2 => Just(CardTarget::Ask("rarer: ask".to_owned())),
        1 => words(5).prop_map(CardTarget::Ask),
    ];
    let share = prop_oneof![9 => 0.0..1.0, 1 => Just(f64::NAN)];
    let branch = (words(3), share, target).prop_map(|(words, share, to)| CardBranch { words, share, to });
    let action = proptest::sample::select(vec![
        CardAction::Check,
        CardAction::Replace,
        CardAction::LookBeyond,
    ]);
    let step = (
        action,
        words(12),
        vec(words(9), 0..3),
        proptest::option::weighted(0.2, words(8)),
        vec(branch, 0..6),
    );
    step.prop_map(|(action, heading, lines, caution, branches)| CardStep {
        action,
        heading,
        lines,
        caution,
        branches,
    })
}

fn any_card() -> impl Strategy<Value = TestCard> {
    let steps = (0_usize..36).prop_flat_map(|most| vec(any_step(most), most));
    (
        words(9),
        words(20),
        [words(9), words(2), words(2), words(3)],
        vec((words(4), words(3)), 0..5),
        vec(words(14), 0..4),
        steps,
        vec(words(20), 0..4),
    )
        .prop_map(
            |(title, subtitle, given, facts, cautions, steps, foot)| TestCard {
                title,
                subtitle,
                given: {
                    let [vehicle, odometer, date, by] = given;
                    CardGiven {
                        vehicle,
                        odometer,
                        date,
                        by,
                    }
                },
                facts,
                cautions,
                steps,
                foot,
            },
        )
}

/// Steps that make a tree as planners make them: every step is led to by one before it.
fn any_tree() -> impl Strategy<Value = TestCard> {
    (any_card(), vec(0_usize..1000, 40)).prop_map(|(mut card, dice)| {
        for step in &mut card.steps {
            for branch in &mut step.branches {
                if matches!(branch.to, CardTarget::Step(_)) {
                    branch.to = CardTarget::Ask("rarer: ask".to_owned());
                }
            }
        }
        for (index, die) in (1..card.steps.len()).zip(&dice) {
            let parent = index - 1 - die % index.min(4);
            let branches = &mut card.steps[parent].branches;
            let free = branches
                .iter()
                .position(|branch| !matches!(branch.to, CardTarget::Step(_)));
            let to = CardTarget::Step(index + 1);
            match free {
                Some(free) => branches[free].to = to,
                None => branches.push(CardBranch {
                    words: "else".to_owned(),
                    share: 0.1,
                    to,
                }),
            }
        }
        card
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_card_at_all(card in any_card()) {
        check(&card);
    }

    #[test]
    fn any_plan(card in any_tree()) {
        check(&card);
    }
}
