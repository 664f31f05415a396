//! Checks to choose from at the prompt: the quickest of every place, or those that some words name.

use crate::words;
use circuit::{Check, Circuit};
use engine::{Bay, Model};

/// Most checks in a list.
const SHOWN: usize = 12;

/// What a list shows, and how many more there are.
#[derive(Debug)]
pub(super) struct Listed {
    /// Indices of checks.
    pub(super) checks: Vec<usize>,
    /// How many were left out.
    pub(super) more: usize,
}

/// The quickest check of every place from where the bay is, quickest first.
pub(super) fn quickest(model: &Model, bay: &Bay, done: &[usize]) -> Listed {
    let circuit = model.circuit();
    let mut best: Vec<usize> = Vec::new();
    for (index, check) in model.checks().iter().enumerate() {
        if done.contains(&index) {
            continue;
        }
        match best
            .iter_mut()
            .find(|other| model.checks()[**other].place == check.place)
        {
            Some(other) if bay.minutes(circuit, check) < bay.minutes(circuit, &model.checks()[*other]) => {
                *other = index;
            }
            Some(_) => {}
            None => best.push(index),
        }
    }
    shortened(model, bay, best)
}

/// The checks that hold every one of the words in their id, their place or their manner.
pub(super) fn search(model: &Model, bay: &Bay, text: &str) -> Listed {
    let wanted: Vec<String> = text.split_whitespace().map(str::to_lowercase).collect();
    let holds = |check: &Check| {
        let text = described(model.circuit(), check).to_lowercase();
        wanted.iter().all(|word| text.contains(word))
    };
    let found = (0..model.checks().len()).filter(|index| holds(&model.checks()[*index]));
    shortened(model, bay, found.collect())
}

fn shortened(model: &Model, bay: &Bay, mut checks: Vec<usize>) -> Listed {
    let minutes = |index: &usize| bay.minutes(model.circuit(), &model.checks()[*index]);
    checks.sort_by(|a, b| minutes(a).total_cmp(&minutes(b)).then(a.cmp(b)));
    let more = checks.len().saturating_sub(SHOWN);
    checks.truncate(SHOWN);
    Listed { checks, more }
}

/// A check by its id, its manner and what the place is called.
fn described(circuit: &Circuit, check: &Check) -> String {
    format!("{} {} {}", check.id, words::manner(check), called(circuit, check))
}

/// What the place of a check is called.
pub(super) fn called(circuit: &Circuit, check: &Check) -> String {
    let part = match check.place {
        circuit::Place::Port(port, _) => port.part,
        circuit::Place::Part(part) => part,
    };
    words::part(circuit, part)
}
