//! Walks a plan from its first step to every leaf: is it a legal plan for the problem, and what does it cost on average?
//!
//! The cost is that of the plan as it stands, from the problem alone; nothing a planner says about its plan is believed.

use super::{NEVER, Problem, tells_apart};

/// A plan: what to do first, and then depending on the outcome.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Plan {
    Test {
        test: usize,
        positive: Box<Plan>,
        negative: Box<Plan>,
    },
    Repair {
        repair: usize,
        otherwise: Option<Box<Plan>>,
    },
    Causes(Vec<usize>),
}

/// What a plan comes to.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Worth {
    /// Expected cost of everything: tests, set-ups, repairs with their checks, wrong names.
    pub(crate) cost: f64,
    /// Expected cost of the tests without their set-ups.
    pub(crate) tests: f64,
    /// Expected number of tests.
    pub(crate) looks: f64,
    /// Probability that the name at the end is wrong.
    pub(crate) wrong: f64,
}

/// Probability below which it does not matter how a plan ends: a hundred causes, each just below [`NEVER`].
const HARDLY_EVER: f64 = 100.0 * NEVER;

/// What the plan comes to, or in words why it is none.
pub(crate) fn worth(problem: &Problem, plan: &Plan) -> Result<Worth, String> {
    let mut walk = Walk {
        problem,
        worth: Worth::default(),
    };
    let start = Place {
        weights: problem.priors.clone(),
        done: vec![false; problem.tests.len()],
        repaired: vec![false; problem.repairs.len()],
        open: 0,
    };
    walk.step(plan, &start)?;
    Ok(walk.worth)
}

/// Where the walk stands.
#[derive(Clone)]
struct Place {
    /// Joint probability of getting here and each cause not yet cured.
    weights: Vec<f64>,
    done: Vec<bool>,
    repaired: Vec<bool>,
    open: u64,
}

impl Place {
    fn total(&self) -> f64 {
        self.weights.iter().sum()
    }
}

struct Walk<'p> {
    problem: &'p Problem,
    worth: Worth,
}

impl Walk<'_> {
    fn step(&mut self, plan: &Plan, place: &Place) -> Result<(), String> {
        match plan {
            Plan::Test {
                test,
                positive,
                negative,
            } => self.test(*test, [positive, negative], place),
            Plan::Repair { repair, otherwise } => self.repair(*repair, otherwise.as_deref(), place),
            Plan::Causes(causes) => self.leaf(causes, place),
        }
    }

    fn test(&mut self, number: usize, branches: [&Plan; 2], place: &Place) -> Result<(), String> {
        let test = self
            .problem
            .tests
            .get(number)
            .ok_or(format!("there is no test {number}"))?;
        if place.done[number] {
            return Err(format!("test {number} is done twice on one path"));
        }
        let (entering, open) = self.problem.enter(place.open, test.setup);
        let total = place.total();
        self.worth.cost += (entering + test.cost) * total;
        self.worth.tests += test.cost * total;
        self.worth.looks += total;
        for (branch, positive) in branches.into_iter().zip([true, false]) {
            let mut after = Place {
                open,
                ..place.clone()
            };
            after.done[number] = true;
            for (weight, p) in after.weights.iter_mut().zip(&test.positive) {
                *weight *= if positive { *p } else { 1.0 - p };
            }
            self.step(branch, &after)?;
        }
        Ok(())
    }

    fn repair(&mut self, number: usize, otherwise: Option<&Plan>, place: &Place) -> Result<(), String> {
        let repair = self
            .problem
            .repairs
            .get(number)
            .ok_or(format!("there is no repair {number}"))?;
        if place.repaired[number] {
            return Err(format!("repair {number} is done twice on one path"));
        }
        let (entering, open) = self.problem.enter(place.open, repair.setup);
        self.worth.cost += (entering + repair.cost + self.problem.verify) * place.total();
        let mut after = Place {
            open,
            ..place.clone()
        };
        after.repaired[number] = true;
        for &cause in &repair.cures {
            after.weights[cause] = 0.0;
        }
        match otherwise {
            Some(next) => self.step(next, &after),
            None if after.total() > HARDLY_EVER => Err(format!(
                "the plan ends after repair {number} although {} of the cases are not cured",
                after.total()
            )),
            None => Ok(()),
        }
    }

    fn leaf(&mut self, causes: &[usize], place: &Place) -> Result<(), String> {
        if place.total() < HARDLY_EVER {
            return Ok(());
        }
        if !self.problem.repairs.is_empty() {
            return Err(format!("causes {causes:?} are named but not repaired"));
        }
        if let Some(wrong_cost) = self.problem.wrong_cost {
            let &[cause] = causes else {
                return Err(format!(
                    "{causes:?}: one cause is to be named, at {}",
                    place.total()
                ));
            };
            let wrong = place.total() - place.weights[cause];
            self.worth.wrong += wrong;
            self.worth.cost += wrong_cost * wrong;
            return Ok(());
        }
        let left: Vec<usize> = (0..place.weights.len())
            .filter(|&cause| place.weights[cause] > NEVER)
            .collect();
        let mut named = causes.to_vec();
        named.sort_unstable();
        named.dedup();
        if named.len() != causes.len() {
            return Err(format!("{causes:?} names a cause twice"));
        }
        // Causes that never occur may stand beside the others: nothing tells them apart at no cost.
        named.retain(|&cause| self.problem.priors[cause] > NEVER);
        if named != left {
            return Err(format!("the plan names {causes:?} where {left:?} are left"));
        }
        let unused = self
            .problem
            .tests
            .iter()
            .zip(&place.done)
            .position(|(test, done)| !done && tells_apart(test, &place.weights));
        match unused {
            Some(test) => Err(format!(
                "{left:?} are taken for one although test {test} tells them apart"
            )),
            None => Ok(()),
        }
    }
}
