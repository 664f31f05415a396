//! The yardstick beyond tables: tests of several outcomes, repairs that cure several causes, may fail, or leave something behind,
//! rows of one class. The definition itself, walked through until what is left is too rare to matter: the optimum lies between
//! two figures, one for "the rest costs nothing" and one for "the rest costs as much as trying everything in turn".

use std::collections::BTreeMap;

use super::NEVER;

/// What an action needs: things that stay, and one that excludes its like.
#[derive(Debug, Clone, Default)]
pub(crate) struct Needs {
    pub(crate) lasting: Vec<usize>,
    pub(crate) exclusive: Option<usize>,
}

#[derive(Debug, Clone)]
pub(crate) struct WideTest {
    pub(crate) cost: f64,
    pub(crate) needs: Needs,
    /// Probability of each outcome under each row: `outcomes[outcome][row]`.
    pub(crate) outcomes: Vec<Vec<f64>>,
}

#[derive(Debug, Clone)]
pub(crate) struct WideRepair {
    pub(crate) cost: f64,
    pub(crate) needs: Needs,
    /// Row, probability of cure, and what the row is otherwise.
    pub(crate) effects: Vec<(usize, f64, usize)>,
}

/// When it is over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum End {
    /// One class is left, or no test tells rows apart.
    Apart,
    /// Whenever one likes, at this price for a wrong name.
    Named(f64),
    /// It works.
    Cured,
}

#[derive(Debug, Clone)]
pub(crate) struct Wide {
    pub(crate) weights: Vec<f64>,
    pub(crate) classes: Vec<usize>,
    pub(crate) tests: Vec<WideTest>,
    pub(crate) repairs: Vec<WideRepair>,
    /// Cost of each thing that stays, and of each that excludes its like.
    pub(crate) lasting: Vec<f64>,
    pub(crate) exclusive: Vec<f64>,
    /// How things stand at the start.
    pub(crate) stand: Stand,
    pub(crate) end: End,
}

/// How things stand: what is open (as bits), and which of those that exclude each other.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Stand {
    pub(crate) open: u64,
    pub(crate) current: Option<usize>,
}

/// What is left: weights of rows, tests made, how things stand.
#[derive(Debug, Clone)]
pub(crate) struct Left {
    pub(crate) weights: Vec<f64>,
    pub(crate) used: u64,
    pub(crate) stand: Stand,
}

impl Left {
    pub(crate) fn total(&self) -> f64 {
        self.weights.iter().sum()
    }
}

impl Wide {
    pub(crate) fn start(&self) -> Left {
        Left {
            weights: self.weights.clone(),
            used: 0,
            stand: self.stand,
        }
    }

    /// What meeting `needs` costs, and how things stand then.
    pub(crate) fn meet(&self, mut stand: Stand, needs: &Needs) -> (f64, Stand) {
        let mut cost = 0.0;
        for &thing in &needs.lasting {
            if stand.open >> thing & 1 == 0 {
                stand.open |= 1 << thing;
                cost += self.lasting[thing];
            }
        }
        if let Some(thing) = needs.exclusive
            && stand.current != Some(thing)
        {
            stand.current = Some(thing);
            cost += self.exclusive[thing];
        }
        (cost, stand)
    }

    /// Cost of a test, times the probability of getting to it, and what is left after each outcome.
    pub(crate) fn test(&self, number: usize, left: &Left) -> (f64, Vec<Left>) {
        let test = &self.tests[number];
        let (entering, stand) = self.meet(left.stand, &test.needs);
        let after = |p: &Vec<f64>| Left {
            weights: left.weights.iter().zip(p).map(|(w, p)| w * p).collect(),
            used: left.used | 1 << number,
            stand,
        };
        (
            (entering + test.cost) * left.total(),
            test.outcomes.iter().map(after).collect(),
        )
    }

    /// Cost of a repair, times the probability of getting to it, and what is left if it does not cure.
    pub(crate) fn repair(&self, number: usize, left: &Left) -> (f64, Left) {
        let repair = &self.repairs[number];
        let (entering, stand) = self.meet(left.stand, &repair.needs);
        let mut after = Left {
            stand,
            ..left.clone()
        };
        for (row, ..) in &repair.effects {
            after.weights[*row] = 0.0;
        }
        for (row, cures, turns) in &repair.effects {
            after.weights[*turns] += left.weights[*row] * (1.0 - cures);
        }
        ((entering + repair.cost) * left.total(), after)
    }

    pub(crate) fn tells_apart(&self, number: usize, left: &Left) -> bool {
        let possible = |p: &[f64]| -> Vec<f64> {
            left.weights
                .iter()
                .zip(p)
                .filter(|(w, _)| **w > NEVER)
                .map(|(_, p)| *p)
                .collect()
        };
        self.tests[number]
            .outcomes
            .iter()
            .any(|p| possible(p).windows(2).any(|pair| pair[0] != pair[1]))
    }

    /// Weight of each class.
    pub(crate) fn class_weights(&self, left: &Left) -> Vec<f64> {
        let count = self.classes.iter().max().map_or(0, |class| class + 1);
        let mut found = vec![0.0; count];
        for (class, weight) in self.classes.iter().zip(&left.weights) {
            found[*class] += weight;
        }
        found
    }

    /// Cost of ending here, if that is allowed.
    pub(crate) fn ending(&self, left: &Left) -> Option<f64> {
        let classes = self.class_weights(left);
        match self.end {
            End::Cured => None,
            End::Named(wrong) => Some(wrong * (left.total() - classes.iter().copied().fold(0.0, f64::max))),
            End::Apart => {
                let one = classes.iter().filter(|weight| **weight > NEVER).count() <= 1;
                let telling = |test: usize| left.used >> test & 1 == 0 && self.tells_apart(test, left);
                (one || !(0..self.tests.len()).any(telling)).then_some(0.0)
            }
        }
    }
}

/// Weight below which only the two figures for the rest are taken.
const RARE: f64 = 1e-9;

/// Two figures between which the least expected cost lies.
pub(crate) fn between(problem: &Wide) -> (f64, f64) {
    let mut search = Search {
        problem,
        rest: trying_everything(problem),
        known: BTreeMap::new(),
    };
    search.value(&problem.start())
}

/// Expected cost at most, for one unit of weight, of making all tests and then all repairs round after round.
pub(crate) fn trying_everything(problem: &Wide) -> f64 {
    let opening: f64 = problem.lasting.iter().chain(&problem.exclusive).sum();
    let actions = problem.tests.len() + problem.repairs.len();
    let costs: f64 = problem
        .tests
        .iter()
        .map(|test| test.cost)
        .chain(problem.repairs.iter().map(|repair| repair.cost))
        .sum();
    let cures = problem
        .repairs
        .iter()
        .flat_map(|repair| &repair.effects)
        .map(|(_, cures, _)| *cures);
    let least = cures.filter(|cures| *cures > 0.0).fold(1.0, f64::min);
    (costs + opening * actions as f64) * (1.0 + problem.weights.len() as f64 / least)
}

/// Weights to twelve digits, tests used, how things stand.
type Key = (Vec<u64>, u64, Stand);

struct Search<'p> {
    problem: &'p Wide,
    rest: f64,
    known: BTreeMap<Key, (f64, f64)>,
}

impl Search<'_> {
    fn value(&mut self, left: &Left) -> (f64, f64) {
        let total = left.total();
        if total < RARE {
            return (0.0, total * self.rest);
        }
        // Repairs taken in another order round otherwise; the last bits of a weight are not worth a state of their own.
        let rounded = |weight: &f64| weight.to_bits() & !0xfff;
        let key = (left.weights.iter().map(rounded).collect(), left.used, left.stand);
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let stop = self.problem.ending(left).unwrap_or(f64::INFINITY);
        let mut best = (stop, stop);
        for number in 0..self.problem.tests.len() {
            if left.used >> number & 1 == 0 && self.problem.tells_apart(number, left) {
                let (cost, after) = self.problem.test(number, left);
                let later = after
                    .iter()
                    .map(|left| self.value(left))
                    .fold((0.0, 0.0), |sum, next| (sum.0 + next.0, sum.1 + next.1));
                best = (best.0.min(cost + later.0), best.1.min(cost + later.1));
            }
        }
        for number in 0..self.problem.repairs.len() {
            let (cost, after) = self.problem.repair(number, left);
            let moved: f64 = left
                .weights
                .iter()
                .zip(&after.weights)
                .map(|(a, b)| (a - b).abs())
                .sum();
            // What changes next to nothing comes back to where it was, and would do so for ever.
            if moved > 1e-7 * total {
                let later = self.value(&after);
                best = (best.0.min(cost + later.0), best.1.min(cost + later.1));
            }
        }
        self.known.insert(key, best);
        best
    }
}
