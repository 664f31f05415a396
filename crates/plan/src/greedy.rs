//! Plans made by always taking the test with the most information for its cost.

use crate::ground::{StandId, Stands};
use crate::problem::{Problem, TestId};
use crate::state::{ClassWeights, GONE, Plain, State};
use crate::step::{Branch, Step};

/// Bits that `test` tells about the classes of `state`, times its probability.
pub(crate) fn information(problem: &Problem, state: &State, test: TestId, sums: &mut ClassWeights) -> f64 {
    if problem.classes.len() == sums.len() {
        return by_row(problem, state, test);
    }
    let mut gain = xlogx(state.total);
    // H(class) is the same before every test; what is counted is how far it falls.
    state.classes(problem, sums);
    gain -= sums.found.iter().map(|(_, weight)| xlogx(*weight)).sum::<f64>();
    for p in &problem.tests[test].outcomes {
        sums.clear();
        let mut total = 0.0;
        for (row, weight) in &state.rows {
            let weight = weight * p[*row as usize];
            if weight > 0.0 {
                total += weight;
                sums.add(problem.classes[*row as usize], weight);
            }
        }
        sums.finish();
        gain += sums.found.iter().map(|(_, weight)| xlogx(*weight)).sum::<f64>() - xlogx(total);
    }
    gain.max(0.0)
}

/// The same where every row is a class of its own.
fn by_row(problem: &Problem, state: &State, test: TestId) -> f64 {
    let mut gain = xlogx(state.total);
    for p in &problem.tests[test].outcomes {
        let (mut sum, mut given) = (0.0, 0.0);
        for (row, weight) in &state.rows {
            let p = p[*row as usize];
            sum += weight * p;
            if p > 0.0 && p < 1.0 {
                given += weight * xlogx(p);
            }
        }
        gain += given - xlogx(sum);
    }
    gain.max(0.0)
}

fn xlogx(x: f64) -> f64 {
    if x > 0.0 { x * x.log2() } else { 0.0 }
}

/// A test to make, what it costs with its set-up, and how things stand then.
type Pick = (TestId, f64, StandId);

fn best(problem: &Problem, state: &State, stands: &mut Stands, sums: &mut ClassWeights) -> Option<Pick> {
    let mut best: Option<(f64, Pick)> = None;
    for (test, spec) in problem.tests.iter().enumerate() {
        if state.used(test) {
            continue;
        }
        let gain = information(problem, state, test, sums);
        if gain <= 1e-12 * state.total && !state.tells(problem, test) {
            continue;
        }
        let (entering, stand) = stands.meet(state.stand, spec.needs);
        let cost = entering + spec.cost;
        let ratio = gain / cost.max(1e-12);
        if best.is_none_or(|(most, _)| ratio > most) {
            best = Some((ratio, (test, cost, stand)));
        }
    }
    best.map(|(_, pick)| pick)
}

/// What one plan may look at, rows times tests, before it takes the tests in a fixed order.
const WORK: usize = 200_000_000;

/// The plan that tells classes apart, and what it costs times the probability of `state`.
pub(crate) fn greedy(problem: &Problem, plain: &Plain, state: &State, stands: &mut Stands) -> (f64, Step) {
    let mut greedy = Greedy {
        problem,
        plain,
        work: WORK,
        order: Vec::new(),
        sums: ClassWeights::new(problem.class_count()),
    };
    greedy.step(state, stands, 0)
}

struct Greedy<'p> {
    problem: &'p Problem,
    plain: &'p Plain,
    work: usize,
    /// The fixed order, once it is needed.
    order: Vec<TestId>,
    sums: ClassWeights,
}

impl Greedy<'_> {
    /// `from`: place in the fixed order up to which no test tells anything any more.
    fn step(&mut self, state: &State, stands: &mut Stands, mut from: usize) -> (f64, Step) {
        let work = state.rows.len() * self.problem.tests.len();
        let pick = if !state.mixed(self.problem) {
            None
        } else if work <= self.work {
            self.work -= work;
            best(self.problem, state, stands, &mut self.sums)
        } else {
            self.work = 0;
            self.in_order(state, stands, &mut from)
        };
        let Some((test, cost, stand)) = pick else {
            return (0.0, state.end(self.problem));
        };
        let mut sum = cost * state.total;
        let mut branches = Vec::new();
        for outcome in 0..self.problem.tests[test].outcomes.len() {
            let after = state.after_test(self.problem, self.plain, test, outcome, stand);
            if after.total > GONE {
                let (cost, then) = self.step(&after, stands, from);
                sum += cost;
                branches.push(Branch {
                    outcome,
                    weight: after.total,
                    then,
                });
            }
        }
        (sum, Step::Test { test, branches })
    }

    /// The next test that tells something, cheapest first: each is looked at once on any path.
    fn in_order(&mut self, state: &State, stands: &mut Stands, from: &mut usize) -> Option<Pick> {
        let tests = &self.problem.tests;
        if self.order.is_empty() {
            self.order = (0..tests.len()).collect();
            self.order
                .sort_by(|a, b| tests[*a].cost.total_cmp(&tests[*b].cost).then(a.cmp(b)));
        }
        while let Some(test) = self.order.get(*from).copied() {
            *from += 1;
            if state.tells(self.problem, test) {
                let (entering, stand) = stands.meet(state.stand, tests[test].needs);
                return Some((test, entering + tests[test].cost, stand));
            }
        }
        None
    }
}

/// Tests of one plan that ends by naming a cause.
const LOOKS: usize = 8;
/// Rows times tests up to which the search needs no such plan: it finds a better one as fast.
const SMALL: usize = 5_000;

/// The plan that looks where a wrong name would cost most and ends by naming the likeliest cause, with its cost.
pub(crate) fn named(
    problem: &Problem,
    plain: &Plain,
    state: &State,
    stands: &mut Stands,
    wrong: f64,
) -> (f64, Step) {
    let mut sums = ClassWeights::new(problem.class_count());
    let mut looks = vec![Look::end(problem, state.clone(), wrong)];
    let budget = if problem.weights.len() * problem.tests.len() <= SMALL {
        0
    } else {
        LOOKS
    };
    for _ in 0..budget {
        let open = looks.iter().enumerate().filter(|(_, look)| look.open);
        let Some((place, _)) = open.max_by(|a, b| a.1.stop.total_cmp(&b.1.stop)) else {
            break;
        };
        looks[place].open = false;
        if looks[place].stop <= 1e-9 * wrong * state.total {
            break;
        }
        let here = looks[place].state.clone();
        let Some((test, cost, stand)) = best(problem, &here, stands, &mut sums) else {
            continue;
        };
        let mut kids = Vec::new();
        for outcome in 0..problem.tests[test].outcomes.len() {
            let after = here.after_test(problem, plain, test, outcome, stand);
            if after.total > GONE {
                kids.push((outcome, looks.len()));
                looks.push(Look::end(problem, after, wrong));
            }
        }
        looks[place].then = Some((test, cost * here.total, kids));
    }
    let cost = Look::fold(&mut looks, 0);
    (cost, Look::step(&looks, 0))
}

/// A test made there: the test, its cost, and by outcome the place of what follows.
type Then = (TestId, f64, Vec<(usize, usize)>);

/// A state in such a plan.
struct Look {
    state: State,
    /// Cost of naming the likeliest class here.
    stop: f64,
    likeliest: usize,
    open: bool,
    then: Option<Then>,
}

impl Look {
    fn end(problem: &Problem, state: State, wrong: f64) -> Self {
        let mut sums = std::collections::BTreeMap::new();
        for (row, weight) in &state.rows {
            *sums.entry(problem.classes[*row as usize]).or_insert(0.0) += weight;
        }
        let (likeliest, most) =
            sums.into_iter().fold(
                (0, 0.0),
                |best, (class, sum)| if sum > best.1 { (class, sum) } else { best },
            );
        Self {
            stop: wrong * (state.total - most).max(0.0),
            state,
            likeliest,
            open: true,
            then: None,
        }
    }

    /// Cost from `place` on; tests that do not pay are taken back.
    fn fold(looks: &mut [Self], place: usize) -> f64 {
        let Some((test, cost, kids)) = looks[place].then.take() else {
            return looks[place].stop;
        };
        let sum = cost + kids.iter().map(|(_, kid)| Self::fold(looks, *kid)).sum::<f64>();
        if sum < looks[place].stop {
            looks[place].then = Some((test, cost, kids));
            sum
        } else {
            looks[place].stop
        }
    }

    fn step(looks: &[Self], place: usize) -> Step {
        let here = &looks[place];
        match &here.then {
            None => Step::End {
                classes: vec![here.likeliest],
            },
            Some((test, _, kids)) => Step::Test {
                test: *test,
                branches: kids
                    .iter()
                    .map(|(outcome, kid)| Branch {
                        outcome: *outcome,
                        weight: looks[*kid].state.total,
                        then: Self::step(looks, *kid),
                    })
                    .collect(),
            },
        }
    }
}
