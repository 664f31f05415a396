//! Our own way: after every reading the step that leads to the least expected cost until it works, checks and repairs alike;
//! and while a check can still tell at a fair price, no part is bought before its fault is likely enough.

use super::job::{Action, Seen};
use super::known::Known;
use super::strategy::{Strategy, Workshop};
use super::table::Table;
use crate::proof::BAR;
use circuit::PartId;
use plan::{Advice, Next, Site, advise, cost_of};

/// Samples that stand for all.
const SAMPLES: usize = 240;
/// States that one decision looks into, and the first of all jobs, which is made once.
const NODES: usize = 2;
const FIRST_NODES: usize = 60;
/// States looked into where a person asks what a step costs.
const ASKED_NODES: usize = 60;
/// What it may cost, as a share of the repair, to be surer of a cause before its part is bought.
const PROOF: f64 = 0.25;
/// Checks made on a job at most only to be surer.
const SURER: usize = 4;
/// A reading that moves no part's probability by this much has told nothing; after so many of them in a row whoever measures
/// on is chasing the scatter of his samples, and a repair is made.
const MOVED: f64 = 0.05;
const IDLE: usize = 3;

/// The strategy.
#[derive(Debug)]
pub(super) struct Planned<'w> {
    workshop: &'w Workshop<'w>,
    known: Known<'w>,
    /// Checks made so far only to be surer.
    surer: usize,
    /// Probabilities of the parts before the last reading, and how many readings in a row have hardly moved them.
    before: Vec<f64>,
    idle: usize,
}

impl<'w> Planned<'w> {
    pub(super) fn new(workshop: &'w Workshop<'w>) -> Self {
        Self {
            workshop,
            known: Known::new(workshop),
            surer: 0,
            before: Vec::new(),
            idle: 0,
        }
    }

    fn advice(&self, seen: &Seen, nodes: usize) -> Option<Advice> {
        let table = Table::new(self.workshop, &self.known, seen, SAMPLES);
        advise(&self.site(seen), &table.rows, table.tests, nodes)
    }

    /// Takes in what is new, and whether the last reading told anything.
    fn follow(&mut self, seen: &Seen) {
        self.known.follow(seen);
        let parts = &self.known.parts;
        let moved = self
            .before
            .iter()
            .zip(parts)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max);
        self.idle = if moved < MOVED { self.idle + 1 } else { 0 };
        self.before.clone_from(parts);
    }

    /// The repair to make if nothing is measured any more.
    fn repair(&self, seen: &Seen) -> Option<Next> {
        let table = Table::new(self.workshop, &self.known, seen, SAMPLES);
        advise(&self.site(seen), &table.rows, Vec::new(), 1).map(|advice| advice.next)
    }

    fn site<'s>(&'s self, seen: &Seen<'s>) -> Site<'s> {
        Site {
            circuit: seen.model.circuit(),
            checks: seen.model.checks(),
            shop: &self.workshop.shop,
            bay: seen.bay,
        }
    }

    /// The check to make although repairing is cheaper on average: the cause is not likely enough yet to buy its part.
    fn surer(&self, seen: &Seen, advice: &Advice) -> Option<usize> {
        let Next::Renew(part, _) = advice.next else {
            return None;
        };
        if self.known.parts[part.0] >= BAR || !seen.renewed.is_empty() || self.surer >= SURER {
            return None;
        }
        let repair = seen.model.circuit().parts[part.0].repair;
        let shop = &self.workshop.shop;
        let price = repair.price + (repair.minutes + shop.proof_minutes) * shop.rate;
        let (check, cost) = advice.check?;
        (cost - advice.expected_cost <= PROOF * price).then_some(check)
    }
}

impl Strategy for Planned<'_> {
    fn next(&mut self, seen: &Seen) -> Action {
        self.follow(seen);
        let fresh = seen.readings.is_empty() && seen.not_done.is_empty() && seen.renewed.is_empty();
        if fresh && seen.beyond.is_none() {
            // The same for every job of the workshop.
            let first = || self.advice(seen, FIRST_NODES).map(|advice| advice.next);
            if let Some(Next::Check(check)) = self.workshop.planned.get_or_init(first) {
                return Action::Check(*check);
            }
        }
        let Some(mut advice) = self.advice(seen, NODES) else {
            return Action::Beyond;
        };
        if self.idle >= IDLE
            && let Next::Check(_) = advice.next
            && let Some(next) = self.repair(seen)
        {
            advice.next = next;
            advice.check = None;
            self.idle = 0;
        }
        if let Some(check) = self.surer(seen, &advice) {
            self.surer += 1;
            return Action::Check(check);
        }
        match advice.next {
            Next::Check(check) => Action::Check(check),
            Next::Renew(part, bench) => Action::Replace(part, bench),
            Next::Beyond => Action::Beyond,
        }
    }

    fn said(&self, part: PartId) -> Option<f64> {
        self.known.parts.get(part.0).copied()
    }

    fn expected_cost(&mut self, seen: &Seen, action: Action) -> Option<f64> {
        self.known.follow(seen);
        let table = Table::new(self.workshop, &self.known, seen, SAMPLES);
        let next = match action {
            Action::Check(check) => Next::Check(check),
            Action::Replace(part, bench) => Next::Renew(part, bench),
            Action::Beyond => Next::Beyond,
        };
        let (_, cost) = cost_of(&self.site(seen), &table.rows, table.tests, next, ASKED_NODES)?;
        Some(cost)
    }
}
