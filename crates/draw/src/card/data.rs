//! What stands on a test card, as plain words: the room that makes a plan fills this in, this room only draws it.

/// A plan of diagnosis on one sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TestCard {
    /// The circuit, in large letters.
    pub title: String,
    /// What the plan stands on: codes, altitude, readings so far.
    pub subtitle: String,
    /// What is written on the lines at the top; what is empty is left to be filled in by hand.
    pub given: CardGiven,
    /// Name and value of each figure worth knowing: expected cost, lower bound, gap, cost of parts first.
    pub facts: Vec<(String, String)>,
    /// What can hurt anywhere on the card; above the first step.
    pub cautions: Vec<String>,
    /// Step `n` is `steps[n - 1]`; step 1 is where to begin.
    pub steps: Vec<CardStep>,
    /// Below the plan: what comes before it, and what it is not.
    pub foot: Vec<String>,
}

/// What stands on the lines at the top of a card.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CardGiven {
    /// The vehicle, in the shop's words.
    pub vehicle: String,
    /// Distance driven.
    pub odometer: String,
    /// When.
    pub date: String,
    /// Who works.
    pub by: String,
}

/// One numbered thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct CardStep {
    /// Its kind: outline and number show it.
    pub action: CardAction,
    /// What to do, in a line or two.
    pub heading: String,
    /// How, with what, how long.
    pub lines: Vec<String>,
    /// What can hurt; written above the heading.
    pub caution: Option<String>,
    /// What can come of it, in the order in which to show it. None: the card ends here.
    pub branches: Vec<CardBranch>,
}

/// Kinds of step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CardAction {
    /// Measure, look, listen.
    Check,
    /// Replace, reseat, clean: then prove.
    Replace,
    /// Nothing more to find in this circuit.
    LookBeyond,
}

/// One outcome of a step.
#[derive(Debug, Clone, PartialEq)]
pub struct CardBranch {
    /// The outcome as it is read or seen: `under 3 inHg`, `not cured`.
    pub words: String,
    /// How often, 0 to 1, of the vehicles that come to this step. Not finite: not shown.
    pub share: f64,
    /// Where it leads.
    pub to: CardTarget,
}

/// Where an outcome leads.
#[derive(Debug, Clone, PartialEq)]
pub enum CardTarget {
    /// To step `n`, counted from 1. A step is drawn below the first outcome that leads to it; others name its number.
    Step(usize),
    /// The end: `works: finish with the proof`.
    Done(String),
    /// The end of the card, not of the job: `rarer: ask the program again`.
    Ask(String),
}
