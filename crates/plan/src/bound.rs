//! What the rest of a job costs at least: bounds that no plan can beat, so that a search knows what it need not look at.
//!
//! Telling apart: a tree of tests is a code, so its expected depth is at least that of the best code of the weights (Huffman,
//! Proc. IRE 40 (1952) 1098), and depth e costs at least the e cheapest tests (Pattipati and Alexandridis, IEEE Trans. SMC 20
//! (1990) 872); and each class pays the dearest of the cheapest tests that tell it from another. Naming: Fano's inequality, with
//! the capacity of a look. Repairing: see [`cure`](crate::cure).

#![allow(
    clippy::float_cmp,
    reason = "two probabilities written alike are alike: a test tells rows apart or not"
)]

use crate::cure::Cure;
use crate::ground::Stands;
use crate::key::{ByKey, Key, sorted_bits};
use crate::problem::{Ending, Problem, TestId};
use crate::state::{ClassWeights, GONE, Plain, State};

/// Tests that still tell something in a state, with what they cost there.
#[derive(Debug, Default)]
pub(crate) struct Telling {
    /// The tests.
    pub(crate) tests: Vec<TestId>,
    /// Their own costs, ascending.
    costs: Vec<f64>,
    /// Least cost per bit that one look can bring.
    per_bit: f64,
}

/// Most classes for which every pair's cheapest test is kept.
const PAIRS: usize = 256;
/// Most work for finding them.
const PAIR_WORK: usize = 100_000_000;

/// What a problem's bounds are made from.
#[derive(Debug)]
pub(crate) struct Bounds {
    ending: Ending,
    /// Cheapest test that tells two classes apart, row after row; empty where there are too many.
    apart: Apart,
    cure: Option<Cure>,
    /// Classes that nothing tells apart, by the first of them.
    together: Vec<u32>,
    /// `true` if every test is certain under every row.
    sharp: bool,
    /// Most outcomes of a test.
    outcomes: usize,
    /// Bits one look at a test brings at most.
    capacity: Vec<f64>,
}

/// Cheapest tests between classes.
#[derive(Debug)]
pub(crate) struct Apart {
    classes: usize,
    costs: Vec<f64>,
    /// Over all pairs.
    least: f64,
}

impl Apart {
    fn new(problem: &Problem) -> Self {
        let classes = problem.class_count();
        let least = problem
            .tests
            .iter()
            .map(|test| test.cost)
            .fold(f64::INFINITY, f64::min);
        let mut apart = Self {
            classes,
            costs: Vec::new(),
            least,
        };
        let single = classes == problem.weights.len();
        if single && classes <= PAIRS && classes * classes * problem.tests.len() <= PAIR_WORK {
            apart.costs = vec![f64::INFINITY; classes * classes];
            for test in &problem.tests {
                apart.lower_pairs(problem, test);
            }
        }
        apart
    }

    fn lower_pairs(&mut self, problem: &Problem, test: &crate::problem::Test) {
        for (i, a) in problem.classes.iter().enumerate() {
            for (j, b) in problem.classes.iter().enumerate() {
                let cost = &mut self.costs[a * self.classes + b];
                if test.cost < *cost && test.outcomes.iter().any(|p| p[i] != p[j]) {
                    *cost = test.cost;
                }
            }
        }
    }

    /// Cost of the cheapest test that tells two classes apart.
    pub(crate) fn cost(&self, a: usize, b: usize) -> f64 {
        if self.costs.is_empty() {
            self.least
        } else {
            self.costs[a * self.classes + b]
        }
    }

    /// `true` if every pair has a figure of its own.
    pub(crate) fn by_pair(&self) -> bool {
        !self.costs.is_empty()
    }
}

impl Bounds {
    pub(crate) fn new(problem: &Problem, plain: &Plain) -> Self {
        let apart = Apart::new(problem);
        let cure = (problem.ending == Ending::Cured).then(|| Cure::new(problem, &apart));
        Self {
            ending: problem.ending,
            apart,
            cure,
            together: if problem.ending == Ending::Apart {
                together(problem)
            } else {
                Vec::new()
            },
            sharp: (0..problem.tests.len()).all(|test| plain.test(test)),
            outcomes: problem
                .tests
                .iter()
                .map(|test| test.outcomes.len())
                .max()
                .unwrap_or(2),
            capacity: problem
                .tests
                .iter()
                .map(|test| capacity(&test.outcomes))
                .collect(),
        }
    }

    /// The tests that tell something in `state`.
    pub(crate) fn telling(&self, problem: &Problem, state: &State) -> Telling {
        let tests: Vec<TestId> = (0..problem.tests.len())
            .filter(|test| state.tells(problem, *test))
            .collect();
        let mut costs: Vec<f64> = tests.iter().map(|test| problem.tests[*test].cost).collect();
        costs.sort_by(f64::total_cmp);
        let per_bit = tests
            .iter()
            .map(|test| problem.tests[*test].cost / self.capacity[*test])
            .fold(f64::INFINITY, f64::min);
        Telling {
            tests,
            costs,
            per_bit,
        }
    }

    /// What the rest costs at least, times the probability of `state`. `telling` may be that of a state before it.
    pub(crate) fn lower(
        &mut self,
        problem: &Problem,
        state: &State,
        classes: &ClassWeights,
        telling: &Telling,
        stands: &mut Stands,
    ) -> f64 {
        match (self.ending, &mut self.cure) {
            (Ending::Cured, Some(cure)) => cure.lower(problem, state, classes, &self.apart, stands),
            (Ending::Named(wrong), _) => naming(classes, state.total, telling, wrong),
            _ => self.telling_apart(state, classes, telling),
        }
    }

    fn telling_apart(&self, state: &State, classes: &ClassWeights, telling: &Telling) -> f64 {
        let found = &classes.found;
        if found.len() < 2 || !self.sharp {
            return 0.0;
        }
        let mut by_pair = 0.0;
        if self.apart.by_pair() {
            for (a, weight) in found {
                let others = found.iter().filter(|(b, _)| a != b);
                let dearest = others
                    .map(|(b, _)| self.apart.cost(*a as usize, *b as usize))
                    .filter(|cost| cost.is_finite())
                    .fold(0.0, f64::max);
                by_pair += weight * dearest;
            }
        }
        // Classes that nothing tells apart end in one leaf and count as one.
        let mut together: Vec<(u32, f64)> = found
            .iter()
            .map(|(class, w)| (self.together[*class as usize], *w))
            .collect();
        together.sort_unstable_by_key(|(first, _)| *first);
        together.dedup_by(|next, kept| {
            let same = next.0 == kept.0;
            kept.1 += if same { next.1 } else { 0.0 };
            same
        });
        let depth = if self.outcomes <= 2 {
            huffman(together.iter().map(|(_, weight)| *weight).collect()) / state.total
        } else {
            entropy(&together, state.total) / (self.outcomes as f64).log2()
        };
        by_pair.max(state.total * cheapest(&telling.costs, depth))
    }
}

/// Fano: with error e at the end, the looks must bring H − h(e) − e log2(n − 1) bits; the best e is known in closed form.
fn naming(classes: &ClassWeights, total: f64, telling: &Telling, wrong: f64) -> f64 {
    let stop = wrong * (total - classes.most()).max(0.0);
    let Some(cheapest) = telling.costs.first() else {
        return stop;
    };
    let n = classes.found.len() as f64;
    let r = telling.per_bit;
    let fano = if r > 0.0 {
        let rest = ((n - 1.0) * (-wrong / r).exp2()).ln_1p() / std::f64::consts::LN_2;
        r * (entropy(&classes.found, total) - rest)
    } else {
        0.0
    };
    stop.min(total * fano.max(*cheapest).max(0.0))
}

/// The first of the classes that `class` was joined with.
fn root(parent: &mut [usize], mut class: usize) -> usize {
    while parent[class] != class {
        parent[class] = parent[parent[class]];
        class = parent[class];
    }
    class
}

/// For every class the first of those it cannot be told from by any test, through however many between.
fn together(problem: &Problem) -> Vec<u32> {
    let mut parent: Vec<usize> = (0..problem.class_count()).collect();
    let mut by_answers: ByKey<Key, usize> = ByKey::default();
    for (row, class) in problem
        .classes
        .iter()
        .enumerate()
        .filter(|(row, _)| problem.weights[*row] > GONE)
    {
        let mut answers: Key = 0;
        for (test, spec) in problem.tests.iter().enumerate() {
            for p in spec.outcomes.iter().skip(1) {
                answers = answers.rotate_left(1) ^ sorted_bits(test as u64, p[row].to_bits());
            }
        }
        let first = *by_answers.entry(answers).or_insert(*class);
        let (a, b) = (root(&mut parent, first), root(&mut parent, *class));
        parent[a.max(b)] = a.min(b);
    }
    (0..parent.len())
        .map(|class| u32::try_from(root(&mut parent, class)).unwrap_or(u32::MAX))
        .collect()
}

/// Cost of a path of `depth` tests at least: the cheapest of them, the last in part.
fn cheapest(costs: &[f64], depth: f64) -> f64 {
    let mut left = depth;
    let mut sum = 0.0;
    for cost in costs {
        if left <= 0.0 {
            break;
        }
        sum += cost * left.min(1.0);
        left -= 1.0;
    }
    sum
}

/// Entropy in bits of weights that sum to `total`.
fn entropy(found: &[(u32, f64)], total: f64) -> f64 {
    let shares = found.iter().map(|(_, weight)| weight / total);
    shares
        .filter(|share| *share > 0.0)
        .map(|share| -share * share.log2())
        .sum()
}

/// Sum over all weights of their depth in the best binary code, times weight: the sum of all merged weights.
fn huffman(mut weights: Vec<f64>) -> f64 {
    weights.sort_by(f64::total_cmp);
    let mut merged = std::collections::VecDeque::new();
    let mut leaves = weights.into_iter().peekable();
    let mut sum = 0.0;
    loop {
        let mut smallest = || match (leaves.peek(), merged.front()) {
            (Some(leaf), Some(inner)) if leaf > inner => merged.pop_front(),
            (Some(_), _) => leaves.next(),
            (None, _) => merged.pop_front(),
        };
        let (Some(a), Some(b)) = (smallest(), smallest()) else {
            return sum;
        };
        sum += a + b;
        merged.push_back(a + b);
    }
}

/// Bits that one look brings at most. Two outcomes: the capacity of the channel between the least and the greatest
/// probability; more: the logarithm of their number.
fn capacity(outcomes: &[Vec<f64>]) -> f64 {
    let [_, second] = outcomes else {
        return (outcomes.len().max(2) as f64).log2();
    };
    let low = second.iter().copied().fold(f64::INFINITY, f64::min);
    let high = second.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if high <= low {
        return f64::MIN_POSITIVE;
    }
    // Two inputs, two outputs: with z = (h(b) - h(a)) / (b - a) the best mix gives log2(1 + 2^z) - z (1 - a) - h(a) bits.
    let h = |p: f64| {
        let terms = [p, 1.0 - p].into_iter().filter(|p| *p > 0.0);
        terms.map(|p| -p * p.log2()).sum::<f64>()
    };
    let z = (h(high) - h(low)) / (high - low);
    let c = (1.0 + z.exp2()).log2() - z * (1.0 - low) - h(low);
    c.clamp(f64::MIN_POSITIVE, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Six states of a published problem's kind: priors .70 .01 .02 .10 .05 .12; Huffman 1.59 (computed).
    #[test]
    fn the_best_code_of_the_worked_example() {
        let depth = huffman(vec![0.70, 0.01, 0.02, 0.10, 0.05, 0.12]);
        assert!((depth - 1.59).abs() < 1e-12, "{depth}");
    }

    /// A symmetric channel of error 5 % carries 1 − h(.05) bits; a perfect test carries one.
    #[test]
    fn a_look_brings_what_the_channel_carries() {
        let noisy = capacity(&[vec![0.95, 0.05], vec![0.05, 0.95]]);
        let h = -(0.05f64 * 0.05f64.log2() + 0.95 * 0.95f64.log2());
        assert!((noisy - (1.0 - h)).abs() < 1e-12, "{noisy}");
        assert!((capacity(&[vec![1.0, 0.0], vec![0.0, 1.0]]) - 1.0).abs() < 1e-12);
        // One certain outcome, the other a coin: log2(5/4), the classic figure of the Z channel.
        let z = capacity(&[vec![1.0, 0.5], vec![0.0, 0.5]]);
        assert!((z - 1.25f64.log2()).abs() < 1e-12, "{z}");
    }
}
