//! The whole course of a job on a circuit: checks, repairs and proofs until it is cured, as a tree over bands of readings.

mod advice;
mod bands;
mod table;
mod tell;
mod walk;

pub use advice::{Advice, Next, advise, cost_of};
pub use table::{Banded, Rows, Site};

use crate::extract::steps;
use crate::next::Bay;
use crate::node::Action;
use crate::repair::{Shop, weighted_cost};
use crate::search::{Progress, Search};
use crate::step::Step;
use belief::Outlook;
use circuit::{Check, PartId};
use table::of_outlook;

use tell::Teller;

/// The plan for a job, and what it is measured against.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Expected cost until the repair is proven, in the shop's currency: what the plan costs on samples it was not made on.
    pub expected_cost: f64,
    /// What it costs on the samples it was made on: lower by how far it follows their chance.
    pub planned_cost: f64,
    /// Hands-on minutes of it.
    pub expected_minutes: f64,
    /// Price of parts of it.
    pub expected_price: f64,
    /// Cost that no plan over these bands beats.
    pub lower_bound: f64,
    /// `true` if the plan is proven best.
    pub optimal: bool,
    /// What the best plan found costs that begins with another check that was asked for, on the samples it was made on: to be
    /// compared with [`Course::planned_cost`].
    pub instead: Option<f64>,
    /// What renewing the most frequent part first would cost on the same belief, until it works.
    pub parts_first: f64,
    /// What renewing parts in their best order would cost if no check were made, on the samples the plan was made on.
    pub without_checks: f64,
    /// The first step.
    pub first: CourseStep,
}

/// A step of the course. Probabilities are those of getting there from the start.
#[derive(Debug, Clone, PartialEq)]
pub enum CourseStep {
    /// Make a check.
    Check {
        /// Index into the model's checks.
        check: usize,
        /// Minutes until it is read, with access and condition as they are then.
        minutes: f64,
        /// Probability of getting here.
        probability: f64,
        /// What follows, by what is read, from low to high, no before yes.
        branches: Vec<CourseBranch>,
    },
    /// Renew a part and prove it.
    Renew {
        /// The part.
        part: PartId,
        /// `true` if the new part is worth trying on the bench before it is fitted.
        bench: bool,
        /// Probability of getting here.
        probability: f64,
        /// Probability that this cures it, of all jobs.
        cures: f64,
        /// What follows if it does not.
        otherwise: Option<Box<CourseStep>>,
    },
    /// Look for the cause beyond this circuit.
    Beyond {
        /// Probability of getting here.
        probability: f64,
        /// Probability that the cause is there, of all jobs.
        cures: f64,
        /// What follows if it is not.
        otherwise: Option<Box<CourseStep>>,
    },
}

impl CourseStep {
    /// Probability of getting here.
    pub fn probability(&self) -> f64 {
        match self {
            Self::Check { probability, .. }
            | Self::Renew { probability, .. }
            | Self::Beyond { probability, .. } => *probability,
        }
    }
}

/// What follows one band of a reading.
#[derive(Debug, Clone, PartialEq)]
pub struct CourseBranch {
    /// The band.
    pub band: Band,
    /// Probability of getting here.
    pub probability: f64,
    /// The parts most suspect then, each with its probability, most suspect first; `None` stands for a cause beyond.
    pub suspects: Vec<(Option<PartId>, f64)>,
    /// What follows.
    pub then: CourseStep,
}

/// A band of a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Band {
    /// The answer no.
    No,
    /// The answer yes.
    Yes,
    /// At least `from` and less than `to`, SI; open to a side that has no edge.
    Range {
        /// Least of it.
        from: Option<f64>,
        /// Where the next begins.
        to: Option<f64>,
    },
}

/// What there is to choose from.
pub struct Choices<'c> {
    /// Checks already read or found impossible.
    pub done: &'c [usize],
    /// One unit of those a person reads a check in, SI, so that bands end on simple numbers.
    pub unit: &'c (dyn Fn(&Check) -> f64 + Sync),
    /// A check the person would rather make first.
    pub instead: Option<usize>,
}

impl std::fmt::Debug for Choices<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Choices")
            .field("done", &self.done)
            .field("instead", &self.instead)
            .finish_non_exhaustive()
    }
}

/// Probability below which a state is left to the quick plan.
const LIGHT: f64 = 2e-3;

/// The plan of least expected cost from `outlook`, as good as it gets while `keep_going` says so, tried on `fresh` samples of the
/// same belief.
pub fn course(
    outlook: &Outlook,
    fresh: &Outlook,
    shop: &Shop,
    bay: &Bay,
    choice: &Choices,
    keep_going: &mut dyn FnMut(&Progress) -> bool,
) -> Course {
    let model = outlook.belief().model();
    let site = Site {
        circuit: model.circuit(),
        checks: model.checks(),
        shop,
        bay,
    };
    let (sheet, edges) = of_outlook(outlook, &site, choice);
    let mut search = Search::new(&sheet.problem);
    search.leave_light(LIGHT);
    let without_checks = search.progress().expected_cost;
    search.run(keep_going);
    let instead = choice
        .instead
        .and_then(|check| sheet.checks.iter().position(|own| *own == check))
        .map(|test| (test, search.cost_if_first(Action::Test(test))));
    let progress = search.progress();
    let (planned_cost, plan) = steps(&mut search);
    let instead = instead.map(|(asked, cost)| match &plan {
        Step::Test { test, .. } if *test == asked => planned_cost,
        // A cheaper one would be the plan: less is rounding.
        _ => cost.max(planned_cost),
    });
    let first = Teller::new(&sheet, &edges, &site).tell(&plan, bay);
    let spent = walk::spent(fresh, shop, bay, &first);
    let expected_cost = spent.minutes * shop.rate + spent.price;
    Course {
        expected_minutes: spent.minutes,
        expected_price: spent.price,
        expected_cost,
        planned_cost,
        lower_bound: progress.lower_bound.min(expected_cost),
        optimal: search.closed(),
        instead,
        without_checks,
        parts_first: parts_first(outlook, shop),
        first,
    }
}

/// What renewing parts by how often they fail costs on the belief of `outlook`, whatever its readings say.
fn parts_first(outlook: &Outlook, shop: &Shop) -> f64 {
    let belief = outlook.belief();
    let circuit = belief.model().circuit();
    let mut shares = vec![0.0; circuit.parts.len()];
    for (fault, share) in circuit.faults() {
        shares[fault.part.0] += share;
    }
    let mut order: Vec<usize> = (0..shares.len()).filter(|part| shares[*part] > 0.0).collect();
    order.sort_by(|a, b| shares[*b].total_cmp(&shares[*a]).then(a.cmp(b)));
    let costs = crate::repair::repair_costs(circuit, shop);
    let all: f64 = order.iter().map(|part| costs[*part]).sum();
    let suspects: Vec<(Vec<PartId>, f64)> = belief
        .suspects()
        .iter()
        .map(|suspect| {
            (
                suspect.faults.iter().map(|fault| fault.part).collect(),
                suspect.probability,
            )
        })
        .collect();
    let borrowed: Vec<(&[PartId], f64)> = suspects.iter().map(|(parts, p)| (parts.as_slice(), *p)).collect();
    let known: f64 = borrowed.iter().map(|(_, p)| p).sum();
    // Only when every part is new does anybody look beyond.
    let beyond = all + shop.beyond_minutes * shop.rate;
    weighted_cost(&order, &costs, &borrowed, beyond) + (1.0 - known).max(0.0) * beyond
}
