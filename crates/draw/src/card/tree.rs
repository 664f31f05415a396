//! The steps of a card as a forest of boxes: what hangs below what, and which repairs share a box.
//!
//! Any numbers may stand in a card, also wrong ones: a step that is led to twice, or from below itself, is drawn once and
//! named by number elsewhere; a step that nothing leads to begins a tree of its own.

use super::data::{CardAction, CardBranch, CardStep, CardTarget};
use std::collections::VecDeque;

/// A box: one step, or a row of repairs each tried when the one before did not cure.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    /// Indices of its steps.
    pub(crate) steps: Vec<usize>,
    /// What can come of it: of its last step, if it is a row. What stands inside the box ([`Trial`]) is left out.
    pub(crate) arms: Vec<Arm>,
}

/// One outcome.
#[derive(Debug, Clone)]
pub(crate) struct Arm {
    pub(crate) words: String,
    pub(crate) share: f64,
    pub(crate) end: End,
}

/// Where an outcome leads.
#[derive(Debug, Clone)]
pub(crate) enum End {
    /// A box drawn below; its index is higher than that of the box it hangs on.
    Node(usize),
    /// A step drawn elsewhere.
    Number(usize),
    Done(String),
    Ask(String),
}

/// All boxes; those of `roots` hang on nothing.
#[derive(Debug, Clone, Default)]
pub(crate) struct Forest {
    pub(crate) nodes: Vec<Node>,
    pub(crate) roots: Vec<Root>,
}

/// The first box of a tree.
#[derive(Debug, Clone)]
pub(crate) struct Root {
    pub(crate) node: usize,
    /// What leads to it, where the tree was cut off another.
    pub(crate) from: Option<String>,
}

impl Forest {
    /// The steps as trees, as far as they are trees.
    pub(crate) fn tree(steps: &[CardStep]) -> Self {
        let mut forest = Self::default();
        let mut taken = vec![false; steps.len()];
        for root in 0..steps.len() {
            if !taken[root] {
                forest.grow(steps, root, &mut taken);
            }
        }
        forest
    }

    /// Every step on its own, outcomes naming the next by its number.
    pub(crate) fn list(steps: &[CardStep]) -> Self {
        let alone = |index: usize| Node {
            steps: vec![index],
            arms: match trial(&steps[index]) {
                Some(_) => Vec::new(),
                None => steps[index]
                    .branches
                    .iter()
                    .map(|branch| arm(branch, None))
                    .collect(),
            },
        };
        Self {
            nodes: (0..steps.len()).map(alone).collect(),
            roots: (0..steps.len()).map(Root::first).collect(),
        }
    }

    fn grow(&mut self, steps: &[CardStep], root: usize, taken: &mut [bool]) {
        let mut open = VecDeque::new();
        let root = self.take(root, taken, &mut open);
        self.roots.push(Root::first(root));
        while let Some(node) = open.pop_front() {
            let mut last = self.nodes[node].steps[0];
            while let Some(next) = next_in_row(steps, last).filter(|next| !taken[*next]) {
                taken[next] = true;
                self.nodes[node].steps.push(next);
                last = next;
            }
            let inside = trial(&steps[last]).is_some();
            for branch in &steps[last].branches {
                let child = target(steps, &branch.to).filter(|step| !taken[*step]);
                let child = child.map(|step| self.take(step, taken, &mut open));
                if child.is_some() || !inside {
                    self.nodes[node].arms.push(arm(branch, child));
                }
            }
        }
    }

    fn take(&mut self, step: usize, taken: &mut [bool], open: &mut VecDeque<usize>) -> usize {
        taken[step] = true;
        self.nodes.push(Node {
            steps: vec![step],
            arms: Vec::new(),
        });
        open.push_back(self.nodes.len() - 1);
        self.nodes.len() - 1
    }
}

impl Forest {
    /// The box and the outcome on which `node` hangs.
    pub(crate) fn parent(&self, node: usize) -> Option<(usize, usize)> {
        let arms = self.nodes[..node].iter().enumerate().flat_map(|(index, parent)| {
            let arms = parent.arms.iter().enumerate();
            arms.map(move |(place, arm)| (index, place, arm))
        });
        let mut leads = arms.filter(|(_, _, arm)| matches!(arm.end, End::Node(to) if to == node));
        leads.next().map(|(index, place, _)| (index, place))
    }

    /// How many boxes hang below `node`, itself counted.
    pub(crate) fn below(&self, node: usize) -> usize {
        let mut open = vec![node];
        let mut count = 0;
        while let Some(node) = open.pop() {
            count += 1;
            open.extend(self.nodes[node].arms.iter().filter_map(|arm| match arm.end {
                End::Node(below) => Some(below),
                _ => None,
            }));
        }
        count
    }

    /// Makes `node` the first box of a tree of its own. Returns where it hung; `None` if on nothing.
    pub(crate) fn cut(&mut self, node: usize) -> Option<(usize, usize)> {
        let (parent, place) = self.parent(node)?;
        let number = self.nodes[node].steps[0] + 1;
        let last = self.nodes[parent].steps.last().map_or(0, |step| step + 1);
        let arm = &mut self.nodes[parent].arms[place];
        arm.end = End::Number(number);
        let from = format!("from step {last}: {}", arm.words);
        let order = self.roots.partition_point(|root| root.node < node);
        let root = Root {
            node,
            from: Some(from),
        };
        self.roots.insert(order, root);
        Some((parent, place))
    }
}

impl Root {
    fn first(node: usize) -> Self {
        Self { node, from: None }
    }
}

fn arm(branch: &CardBranch, child: Option<usize>) -> Arm {
    let end = match (&branch.to, child) {
        (_, Some(node)) => End::Node(node),
        (CardTarget::Step(number), None) => End::Number(*number),
        (CardTarget::Done(words), None) => End::Done(words.clone()),
        (CardTarget::Ask(words), None) => End::Ask(words.clone()),
    };
    Arm {
        words: branch.words.clone(),
        share: branch.share,
        end,
    }
}

/// The index of the step that `to` names, if there is one.
fn target(steps: &[CardStep], to: &CardTarget) -> Option<usize> {
    match to {
        CardTarget::Step(number) => number.checked_sub(1).filter(|index| *index < steps.len()),
        CardTarget::Done(_) | CardTarget::Ask(_) => None,
    }
}

/// A repair that either cures and ends there, or fails and leads on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Trial<'a> {
    pub(crate) cured: &'a CardBranch,
    /// What to do when cured.
    pub(crate) end: &'a str,
    pub(crate) failed: &'a CardBranch,
}

/// `step` as a trial, if it is one.
pub(crate) fn trial(step: &CardStep) -> Option<Trial<'_>> {
    let [a, b] = step.branches.as_slice() else {
        return None;
    };
    let (cured, failed) = match (&a.to, &b.to) {
        (CardTarget::Done(_), _) => (a, b),
        _ => (b, a),
    };
    let CardTarget::Done(end) = &cured.to else {
        return None;
    };
    (step.action == CardAction::Replace).then_some(Trial { cured, end, failed })
}

/// What is the same in every trial of a card, and so is said once: the word for success, and what to do then.
pub(crate) fn common_end(steps: &[CardStep]) -> Option<(&str, &str)> {
    let mut ends = steps
        .iter()
        .filter_map(trial)
        .map(|trial| (trial.cured.words.as_str(), trial.end));
    let first = ends.next()?;
    ends.all(|end| end == first).then_some(first)
}

/// What leads back to the program, where it reads the same in all outcomes that do, and they are more than one.
pub(crate) fn common_ask(steps: &[CardStep]) -> Option<&str> {
    let mut asks = steps
        .iter()
        .flat_map(|step| &step.branches)
        .filter_map(|branch| match &branch.to {
            CardTarget::Ask(words) => Some(words.as_str()),
            _ => None,
        });
    let first = asks.next()?;
    let second = asks.next()?;
    (second == first && asks.all(|words| words == first)).then_some(first)
}

/// The repair that follows `index` in the same box: what can come of it reads the same but for where it leads in the end.
fn next_in_row(steps: &[CardStep], index: usize) -> Option<usize> {
    let words = |trial: &Trial| {
        (
            trial.cured.words.clone(),
            trial.end.to_owned(),
            trial.failed.words.clone(),
        )
    };
    let here = trial(&steps[index])?;
    let next = target(steps, &here.failed.to)?;
    let there = trial(&steps[next])?;
    (words(&here) == words(&there)).then_some(next)
}
