//! The yardstick of the planner: a plain, slow, exact dynamic program over test-and-repair problems, written apart from it.
//!
//! It tries everything in every state and remembers what each state costs. No bound, no order, no shortcut; the only economy
//! is that a test without error need not be remembered once done, since every cause that is left agrees with its outcome.
//! Costs are weighted with the probability of getting there. Model: Pattipati and Alexandridis, IEEE Trans. SMC 20(4)
//! 872-887, 1990, with set-ups, noise and repairs added; a repair here may cure several causes.
#![allow(dead_code, reason = "each test program uses a part of it")]
#![allow(clippy::unwrap_used, reason = "tests")]
#![allow(
    clippy::float_cmp,
    reason = "a test without error has outcomes of exactly 0 and 1"
)]

pub(crate) mod draw;
pub(crate) mod examples;
pub(crate) mod read;
pub(crate) mod walk;
pub(crate) mod wide;

use std::collections::HashMap;

use walk::Plan;

/// Joint probabilities below this count as "cannot happen", as in `references/scripts/exact.py`.
pub(crate) const NEVER: f64 = 1e-15;

/// A test-and-repair problem. Repairs given: least cost until it works. None given: name the cause.
#[derive(Debug, Clone)]
pub(crate) struct Problem {
    pub(crate) priors: Vec<f64>,
    pub(crate) tests: Vec<Test>,
    pub(crate) repairs: Vec<Repair>,
    /// What entering each set-up costs.
    pub(crate) setups: Vec<f64>,
    /// `true`: a set-up once entered stays. `false`: one at a time.
    pub(crate) stays: bool,
    /// Cost of the errorless check after each repair.
    pub(crate) verify: f64,
    /// Without repairs: what a wrong name costs; `None`: go on as far as the tests tell causes apart.
    pub(crate) wrong_cost: Option<f64>,
}

#[derive(Debug, Clone)]
pub(crate) struct Test {
    pub(crate) cost: f64,
    pub(crate) setup: Option<usize>,
    /// Probability of a positive outcome under each cause.
    pub(crate) positive: Vec<f64>,
}

#[derive(Debug, Clone)]
pub(crate) struct Repair {
    pub(crate) cost: f64,
    pub(crate) setup: Option<usize>,
    pub(crate) cures: Vec<usize>,
}

impl Problem {
    /// Isolation with these priors, costs and outcomes, one list of outcomes a test; nothing else.
    pub(crate) fn isolate(priors: &[f64], costs: &[f64], positive: &[Vec<f64>]) -> Self {
        let test = |(cost, positive): (&f64, &Vec<f64>)| Test {
            cost: *cost,
            setup: None,
            positive: positive.clone(),
        };
        Self {
            priors: priors.to_vec(),
            tests: costs.iter().zip(positive).map(test).collect(),
            repairs: Vec::new(),
            setups: Vec::new(),
            stays: true,
            verify: 0.0,
            wrong_cost: None,
        }
    }

    /// The same with a repair for each cause.
    pub(crate) fn with_repairs(mut self, costs: &[f64]) -> Self {
        let repair = |(cause, cost): (usize, &f64)| Repair {
            cost: *cost,
            setup: None,
            cures: vec![cause],
        };
        self.repairs = costs.iter().enumerate().map(repair).collect();
        self
    }

    /// Cost of entering `setup`, and the set-ups (as bits) that are open afterwards.
    pub(crate) fn enter(&self, open: u64, setup: Option<usize>) -> (f64, u64) {
        match setup {
            Some(setup) if open >> setup & 1 == 0 => {
                let kept = if self.stays { open } else { 0 };
                (self.setups[setup], kept | 1 << setup)
            }
            _ => (0.0, open),
        }
    }

    /// `true` if this test's outcome under each cause is certain.
    pub(crate) fn without_error(&self, test: usize) -> bool {
        self.tests[test].positive.iter().all(|&p| p == 0.0 || p == 1.0)
    }
}

/// Least expected cost of a problem.
pub(crate) fn optimum(problem: &Problem) -> f64 {
    Search::new(problem).value(&State::start(problem))
}

/// A plan of least expected cost.
pub(crate) fn best_plan(problem: &Problem) -> Plan {
    let mut search = Search::new(problem);
    search.value(&State::start(problem));
    search.plan(&State::start(problem))
}

/// States that a search for [`optimum`] goes through: the size of a problem.
pub(crate) fn states(problem: &Problem) -> usize {
    let mut search = Search::new(problem);
    search.value(&State::start(problem));
    search.known.len()
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Answer {
    None,
    Positive,
    Negative,
}

/// What is known on the way: the causes left (as bits), the answers of tests that can err, the set-ups open.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
struct State {
    left: u64,
    answers: Vec<Answer>,
    open: u64,
}

impl State {
    fn start(problem: &Problem) -> Self {
        Self {
            left: (0..problem.priors.len()).fold(0, |bits, cause| bits | 1 << cause),
            answers: vec![Answer::None; problem.tests.len()],
            open: 0,
        }
    }
}

/// The step that is best in a state, with what follows it.
#[derive(Debug, Clone)]
enum Step {
    Stop,
    Test(usize, [State; 2]),
    Repair(usize, State),
}

struct Search<'p> {
    problem: &'p Problem,
    without_error: Vec<bool>,
    known: HashMap<State, (f64, Step)>,
}

impl<'p> Search<'p> {
    fn new(problem: &'p Problem) -> Self {
        let without_error = (0..problem.tests.len())
            .map(|test| problem.without_error(test))
            .collect();
        Self {
            problem,
            without_error,
            known: HashMap::new(),
        }
    }

    fn value(&mut self, state: &State) -> f64 {
        if let Some((cost, _)) = self.known.get(state) {
            return *cost;
        }
        let weights = self.weights(state);
        let total: f64 = weights.iter().sum();
        let mut best = (0.0, Step::Stop);
        if total >= NEVER {
            best.0 = self.stop(state, &weights);
            self.try_tests(state, &weights, &mut best);
            self.try_repairs(state, &weights, &mut best);
        }
        let cost = best.0;
        self.known.insert(state.clone(), best);
        cost
    }

    /// Joint probability of what was seen and each cause.
    fn weights(&self, state: &State) -> Vec<f64> {
        let weight = |cause: usize| {
            let mut weight = self.problem.priors[cause];
            for (test, answer) in self.problem.tests.iter().zip(&state.answers) {
                match answer {
                    Answer::None => {}
                    Answer::Positive => weight *= test.positive[cause],
                    Answer::Negative => weight *= 1.0 - test.positive[cause],
                }
            }
            if state.left >> cause & 1 == 1 { weight } else { 0.0 }
        };
        (0..self.problem.priors.len()).map(weight).collect()
    }

    /// Cost of ending here; infinite where that is not allowed.
    fn stop(&self, state: &State, weights: &[f64]) -> f64 {
        if !self.problem.repairs.is_empty() {
            return f64::INFINITY;
        }
        if let Some(wrong) = self.problem.wrong_cost {
            let likeliest = weights.iter().copied().fold(0.0, f64::max);
            return wrong * (weights.iter().sum::<f64>() - likeliest);
        }
        let told_apart =
            |(test, answer): (&Test, &Answer)| *answer == Answer::None && tells_apart(test, weights);
        if self.problem.tests.iter().zip(&state.answers).any(told_apart) {
            f64::INFINITY
        } else {
            0.0
        }
    }

    fn try_tests(&mut self, state: &State, weights: &[f64], best: &mut (f64, Step)) {
        let problem = self.problem;
        let total: f64 = weights.iter().sum();
        for (number, test) in problem.tests.iter().enumerate() {
            let positive: f64 = weights.iter().zip(&test.positive).map(|(w, p)| w * p).sum();
            let negative: f64 = weights
                .iter()
                .zip(&test.positive)
                .map(|(w, p)| w * (1.0 - p))
                .sum();
            let done = state.answers[number] != Answer::None;
            if done || positive < NEVER || negative < NEVER {
                continue;
            }
            let (entering, open) = problem.enter(state.open, test.setup);
            let after =
                [Answer::Positive, Answer::Negative].map(|answer| self.after(state, number, answer, open));
            let later = self.value(&after[0]) + self.value(&after[1]);
            let cost = (entering + test.cost) * total + later;
            if cost < best.0 {
                *best = (cost, Step::Test(number, after));
            }
        }
    }

    fn after(&self, state: &State, number: usize, answer: Answer, open: u64) -> State {
        let mut after = State {
            open,
            ..state.clone()
        };
        if self.without_error[number] {
            let agrees = if answer == Answer::Positive { 1.0 } else { 0.0 };
            for (cause, positive) in self.problem.tests[number].positive.iter().enumerate() {
                if *positive != agrees {
                    after.left &= !(1 << cause);
                }
            }
        } else {
            after.answers[number] = answer;
        }
        after
    }

    fn try_repairs(&mut self, state: &State, weights: &[f64], best: &mut (f64, Step)) {
        let problem = self.problem;
        let total: f64 = weights.iter().sum();
        for (number, repair) in problem.repairs.iter().enumerate() {
            let cured: f64 = repair.cures.iter().map(|&cause| weights[cause]).sum();
            if cured < NEVER {
                continue;
            }
            let (entering, open) = problem.enter(state.open, repair.setup);
            let left = repair
                .cures
                .iter()
                .fold(state.left, |left, cause| left & !(1 << cause));
            let after = State {
                left,
                open,
                answers: state.answers.clone(),
            };
            let cost = (entering + repair.cost + problem.verify) * total + self.value(&after);
            if cost < best.0 {
                *best = (cost, Step::Repair(number, after));
            }
        }
    }

    /// The plan from a state that [`Search::value`] has been through.
    fn plan(&self, state: &State) -> Plan {
        let weights = self.weights(state);
        match &self.known[state].1 {
            Step::Stop => Plan::Causes(self.named(&weights)),
            Step::Test(test, [positive, negative]) => Plan::Test {
                test: *test,
                positive: Box::new(self.plan(positive)),
                negative: Box::new(self.plan(negative)),
            },
            Step::Repair(repair, after) => {
                let over = self.weights(after).iter().sum::<f64>() < NEVER;
                Plan::Repair {
                    repair: *repair,
                    otherwise: (!over).then(|| Box::new(self.plan(after))),
                }
            }
        }
    }

    /// The likeliest cause where a wrong name costs; otherwise all that are left.
    fn named(&self, weights: &[f64]) -> Vec<usize> {
        let left = (0..weights.len()).filter(|&cause| weights[cause] > NEVER);
        if self.problem.wrong_cost.is_some() {
            left.max_by(|&a, &b| weights[a].total_cmp(&weights[b]))
                .into_iter()
                .collect()
        } else {
            left.collect()
        }
    }
}

/// `true` if the causes that can still be do not all answer `test` alike.
pub(crate) fn tells_apart(test: &Test, weights: &[f64]) -> bool {
    let possible = weights
        .iter()
        .zip(&test.positive)
        .filter(|(weight, _)| **weight > NEVER);
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for (_, &positive) in possible {
        least = least.min(positive);
        most = most.max(positive);
    }
    least < most
}
