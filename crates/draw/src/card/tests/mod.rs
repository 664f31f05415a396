//! Tests of the test card: laws of the layout, and a sample to look at.

mod laws;
mod picture;
mod sample;

use crate::{CardAction, CardBranch, CardGiven, CardStep, CardTarget, TestCard};

/// A repair that leads on to itself, its good end without words, beside checks with long and short ends: the square without
/// words must not pull the next one up onto the heading.
#[test]
fn an_outcome_without_words_takes_its_line() {
    let branch = |words: &str, share: f64, to: CardTarget| CardBranch {
        words: words.into(),
        share,
        to,
    };
    let step = |action, heading: &str, branches: Vec<CardBranch>| CardStep {
        action,
        heading: heading.into(),
        lines: Vec::new(),
        caution: None,
        branches,
    };
    let long = "unbreakable".repeat(9);
    let done = || CardTarget::Done("works".into());
    let mut steps = vec![step(
        CardAction::Replace,
        "renew the hose from the pump to the valve",
        vec![branch("", f64::NAN, done()), branch("", 0.0, CardTarget::Step(0))],
    )];
    steps.extend((0..4).map(|_| step(CardAction::Check, "", Vec::new())));
    let ends = vec![
        branch("akmm", 0.7, done()),
        branch("d jz", 0.8, CardTarget::Ask("rarer: ask".into())),
        branch("g", 0.95, CardTarget::Ask(format!("y {long} 5 {long}"))),
        branch(&long, 0.7, done()),
    ];
    steps.push(step(CardAction::Check, "", ends));
    laws::check(&TestCard {
        title: String::new(),
        subtitle: String::new(),
        given: CardGiven::default(),
        facts: Vec::new(),
        cautions: Vec::new(),
        steps,
        foot: vec!["wdbi".into(), format!("v {long} 7")],
    });
}
