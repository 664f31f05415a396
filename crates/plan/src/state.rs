//! Where a job stands within a plan: which rows are left with which weight, which tests are used, what is set up.
//!
//! Weights are joint with everything seen on the way and never normalised: a cost times the total is already weighted with the
//! probability of getting here.

#![allow(
    clippy::float_cmp,
    reason = "a probability written as 0 or 1 is certain, one next to it is not"
)]

use crate::ground::{StandId, Stands};
use crate::key::{Key, fold, sorted_bits};
use crate::problem::{Effect, Problem, Repair, RepairId, TestId};
use crate::step::Step;

/// Weight below which a row is as good as gone: far below what double precision can tell of a sum of 1.
pub(crate) const GONE: f64 = 1e-15;

/// One state.
#[derive(Debug, Clone)]
pub(crate) struct State {
    /// Rows left, ascending, with their weights.
    pub(crate) rows: Vec<(u32, f64)>,
    /// Sum of the weights.
    pub(crate) total: f64,
    /// Tests used, one bit each.
    used: Vec<u64>,
    /// How things stand.
    pub(crate) stand: StandId,
    /// What weights depend on beyond which rows are left.
    weighed: Key,
    /// What was done until a repair last turned rows into others.
    epoch: u64,
}

/// What a test or repair does to the rows that are left afterwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Simple {
    /// Rows go or stay as they are: which are left says all.
    Removes,
    /// They weigh less, each by a factor of its own.
    Scales,
    /// Some turn into others.
    Turns,
}

/// How simple the tests and repairs of a problem are.
#[derive(Debug)]
pub(crate) struct Plain {
    tests: Vec<bool>,
    repairs: Vec<Simple>,
}

impl Simple {
    fn of(repair: &Repair) -> Self {
        let effect = |effect: &Effect| match effect.cures {
            1.0 => Self::Removes,
            _ if effect.turns != effect.row => Self::Turns,
            0.0 => Self::Removes,
            _ => Self::Scales,
        };
        let found: Vec<Self> = repair.effects.iter().map(effect).collect();
        if found.contains(&Self::Turns) {
            Self::Turns
        } else if found.contains(&Self::Scales) {
            Self::Scales
        } else {
            Self::Removes
        }
    }
}

impl Plain {
    pub(crate) fn new(problem: &Problem) -> Self {
        let sharp = |p: &f64| *p == 0.0 || *p == 1.0;
        Self {
            tests: problem
                .tests
                .iter()
                .map(|test| test.outcomes.iter().flatten().all(sharp))
                .collect(),
            repairs: problem.repairs.iter().map(Simple::of).collect(),
        }
    }

    /// `true` if every outcome of `test` is certain under every row.
    pub(crate) fn test(&self, test: TestId) -> bool {
        self.tests[test]
    }
}

impl State {
    /// The state before anything is done.
    pub(crate) fn start(problem: &Problem) -> Self {
        let rows: Vec<(u32, f64)> = (0..)
            .zip(&problem.weights)
            .filter(|(_, weight)| **weight > GONE)
            .map(|(row, weight)| (row, *weight))
            .collect();
        Self {
            total: rows.iter().map(|(_, weight)| weight).sum(),
            rows,
            used: vec![0; problem.tests.len().div_ceil(64)],
            stand: Stands::START,
            weighed: 0,
            epoch: 0,
        }
    }

    /// What stands for this state.
    pub(crate) fn key(&self) -> Key {
        self.rows_key() ^ self.weighed ^ sorted_bits(2, u64::from(self.stand))
    }

    fn rows_key(&self) -> Key {
        let rows = self.rows.iter();
        rows.fold(0, |key, (row, _)| key ^ sorted_bits(1, u64::from(*row)))
    }

    /// `true` if `test` was made.
    pub(crate) fn used(&self, test: TestId) -> bool {
        self.used[test / 64] >> (test % 64) & 1 == 1
    }

    /// `true` if `test` would tell the rows apart.
    pub(crate) fn tells(&self, problem: &Problem, test: TestId) -> bool {
        if self.used(test) {
            return false;
        }
        let Some(((first, _), rest)) = self.rows.split_first() else {
            return false;
        };
        let mut outcomes = problem.tests[test].outcomes.iter().skip(1);
        outcomes.any(|p| {
            let known = p[*first as usize];
            rest.iter().any(|(row, _)| p[*row as usize] != known)
        })
    }

    /// The state after `outcome` of `test`, things standing at `stand` then.
    pub(crate) fn after_test(
        &self,
        problem: &Problem,
        plain: &Plain,
        test: TestId,
        outcome: usize,
        stand: StandId,
    ) -> Self {
        let p = &problem.tests[test].outcomes[outcome];
        let mut total = 0.0;
        let mut rows = Vec::with_capacity(self.rows.len());
        for (row, weight) in &self.rows {
            let weight = weight * p[*row as usize];
            if weight > GONE {
                total += weight;
                rows.push((*row, weight));
            }
        }
        let mut used = self.used.clone();
        used[test / 64] |= 1 << (test % 64);
        let mut weighed = self.weighed;
        if !plain.tests[test] {
            let known = sorted_bits(self.epoch.wrapping_add(3), ((test as u64) << 16) | outcome as u64);
            weighed = weighed.wrapping_add(known);
        }
        Self {
            rows,
            total,
            used,
            stand,
            weighed,
            epoch: self.epoch,
        }
    }

    /// The state after `repair` did not cure.
    pub(crate) fn after_repair(
        &self,
        problem: &Problem,
        plain: &Plain,
        repair: RepairId,
        stand: StandId,
    ) -> Self {
        let mut effects = problem.repairs[repair].effects.iter().peekable();
        let mut rows: Vec<(u32, f64)> = Vec::with_capacity(self.rows.len());
        let mut turned: Vec<(u32, f64)> = Vec::new();
        for (row, weight) in &self.rows {
            while effects.next_if(|effect| effect.row < *row as usize).is_some() {}
            match effects.next_if(|effect| effect.row == *row as usize) {
                None => rows.push((*row, *weight)),
                Some(effect) => {
                    let left = weight * (1.0 - effect.cures);
                    if left <= GONE {
                        continue;
                    }
                    if effect.turns == *row as usize {
                        rows.push((*row, left));
                    } else {
                        turned.push((u32::try_from(effect.turns).unwrap_or(u32::MAX), left));
                    }
                }
            }
        }
        if !turned.is_empty() {
            rows.extend(turned);
            rows.sort_unstable_by_key(|(row, _)| *row);
            rows.dedup_by(|next, kept| {
                let same = next.0 == kept.0;
                if same {
                    kept.1 += next.1;
                }
                same
            });
        }
        let (mut weighed, mut epoch) = (self.weighed, self.epoch);
        match plain.repairs[repair] {
            Simple::Removes => {}
            // A row that is left weighs less by a factor: in whatever order it happens, it comes to the same.
            Simple::Scales => weighed = weighed.wrapping_add(sorted_bits(4, repair as u64)),
            // Rows weigh what other rows weighed before: which rows were left then, and which tests were made, matters from here on.
            Simple::Turns => {
                let before = self.rows_key() ^ self.weighed;
                let made = self
                    .used
                    .iter()
                    .fold(before, |key, tests| key.rotate_left(1) ^ sorted_bits(5, *tests));
                weighed = made.rotate_left(1) ^ sorted_bits(6, repair as u64);
                epoch = fold(weighed);
            }
        }
        Self {
            total: rows.iter().map(|(_, weight)| weight).sum(),
            rows,
            used: self.used.clone(),
            stand,
            weighed,
            epoch,
        }
    }

    /// Weight of every class, classes ascending.
    pub(crate) fn classes(&self, problem: &Problem, into: &mut ClassWeights) {
        into.clear();
        for (row, weight) in &self.rows {
            into.add(problem.classes[*row as usize], *weight);
        }
        into.finish();
    }
}

/// Weights by class: dense room for sums, and the classes that have any.
#[derive(Debug, Clone)]
pub(crate) struct ClassWeights {
    sums: Vec<f64>,
    /// Classes with weight, ascending, with their weights.
    pub(crate) found: Vec<(u32, f64)>,
}

impl ClassWeights {
    pub(crate) fn new(classes: usize) -> Self {
        Self {
            sums: vec![0.0; classes],
            found: Vec::new(),
        }
    }

    pub(crate) fn clear(&mut self) {
        for (class, _) in self.found.drain(..) {
            self.sums[class as usize] = 0.0;
        }
    }

    pub(crate) fn add(&mut self, class: usize, weight: f64) {
        if self.sums[class] == 0.0 {
            self.found.push((u32::try_from(class).unwrap_or(u32::MAX), 0.0));
        }
        self.sums[class] += weight;
    }

    pub(crate) fn finish(&mut self) {
        self.found.sort_unstable_by_key(|(class, _)| *class);
        for (class, weight) in &mut self.found {
            *weight = self.sums[*class as usize];
        }
    }

    /// Number of classes there is room for.
    pub(crate) fn len(&self) -> usize {
        self.sums.len()
    }

    /// Weight of a class.
    pub(crate) fn weight(&self, class: u32) -> f64 {
        self.sums[class as usize]
    }

    /// The greatest weight.
    pub(crate) fn most(&self) -> f64 {
        self.found.iter().map(|(_, weight)| *weight).fold(0.0, f64::max)
    }
}

impl State {
    /// `true` if rows of more than one class are left.
    pub(crate) fn mixed(&self, problem: &Problem) -> bool {
        let mut classes = self.rows.iter().map(|(row, _)| problem.classes[*row as usize]);
        let first = classes.next();
        classes.any(|class| Some(class) != first)
    }

    /// The end that names every class left.
    pub(crate) fn end(&self, problem: &Problem) -> Step {
        let mut classes: Vec<usize> = self
            .rows
            .iter()
            .map(|(row, _)| problem.classes[*row as usize])
            .collect();
        classes.sort_unstable();
        classes.dedup();
        Step::End { classes }
    }
}
