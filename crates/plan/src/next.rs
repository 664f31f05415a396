//! Which check to make next.

use crate::repair::{Shop, expected_cost, order, part_probabilities, repair_costs};
use belief::{Accuracy, Outlook, ToolError};
use circuit::{AccessId, Check, Circuit, ConditionId, PartId, Reads};
use std::collections::BTreeMap;

/// The bay as it stands: what is open, and the condition the vehicle is in.
#[derive(Debug, Clone, PartialEq)]
pub struct Bay {
    /// The condition it is in.
    pub condition: ConditionId,
    /// Accesses that are open.
    pub open: Vec<AccessId>,
}

impl Default for Bay {
    /// Just rolled in: everything off and closed.
    fn default() -> Self {
        Self { condition: ConditionId(0), open: Vec::new() }
    }
}

impl Bay {
    /// Minutes until `check` is read: its own, the accesses still closed, the change of condition.
    pub fn minutes(&self, circuit: &Circuit, check: &Check) -> f64 {
        let change = if check.condition == self.condition { 0.0 } else { circuit.conditions[check.condition.0].minutes };
        check.minutes + circuit.access_minutes(&check.needs, &self.open) + change
    }

    /// The bay after `check` was made.
    #[must_use]
    pub fn after(&self, circuit: &Circuit, check: &Check) -> Self {
        let mut open = self.open.clone();
        open.extend(circuit.closed_accesses(&check.needs, &self.open));
        open.sort_unstable();
        Self { condition: check.condition, open }
    }
}

/// A check that could be next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextCheck {
    /// Index into the model's checks.
    pub check: usize,
    /// Minutes until it is read, with access and condition.
    pub minutes: f64,
    /// Expected cost until repaired if this check is made and then parts are renewed in the best order.
    pub cost: f64,
    /// How much it lowers the expected cost of the repairs, before its own minutes are paid.
    pub gain: f64,
}

impl NextCheck {
    /// What it saves per minute.
    pub fn gain_per_minute(&self) -> f64 {
        self.gain / self.minutes.max(0.5)
    }
}

/// Checks ranked by the expected fall of the cost to repair per minute. Among equals the one with the engine off comes
/// first, then the quicker one. `done`: checks already read; a repeat tells little and is left out.
pub fn next_checks(outlook: &Outlook, shop: &Shop, bay: &Bay, done: &[usize]) -> Vec<NextCheck> {
    let model = outlook.belief().model();
    let (circuit, checks) = (model.circuit(), model.checks());
    let ground = Ground::new(outlook, shop);
    let before = ground.cost(&ground.prior);
    let mut ranked: Vec<NextCheck> = (0..checks.len())
        .filter(|check| !done.contains(check))
        .map(|check| {
            let gain = (before - ground.cost_after(outlook, check)).max(0.0);
            let minutes = bay.minutes(circuit, &checks[check]);
            NextCheck { check, minutes, cost: before - gain + minutes * shop.rate, gain }
        })
        .collect();
    let running = |next: &NextCheck| circuit.conditions[checks[next.check].condition.0].running();
    ranked.sort_by(|a, b| {
        let by_gain = step(b.gain_per_minute()).cmp(&step(a.gain_per_minute()));
        by_gain.then(running(a).cmp(&running(b))).then(a.minutes.total_cmp(&b.minutes)).then(a.check.cmp(&b.check))
    });
    ranked
}

/// Gains within 2 % of each other are equal: the samples cannot tell them apart.
fn step(gain: f64) -> i64 {
    #[allow(clippy::cast_possible_truncation, reason = "a logarithm in steps of 2 % is a small number")]
    let step = (gain.max(1e-9).ln() / 0.02).round() as i64;
    step
}

/// Suspects grouped by the parts they hit: what repairs depend on.
struct Ground<'s> {
    shop: &'s Shop,
    costs: Vec<f64>,
    groups: Vec<Vec<PartId>>,
    /// Group of every sample of the outlook.
    of_sample: Vec<usize>,
    /// Probability of every group; the last is the cause that is not listed.
    prior: Vec<f64>,
    unlisted: f64,
}

impl<'s> Ground<'s> {
    fn new(outlook: &Outlook, shop: &'s Shop) -> Self {
        let belief = outlook.belief();
        let mut index: BTreeMap<Vec<PartId>, usize> = BTreeMap::new();
        let group_of: Vec<usize> = belief
            .suspects()
            .iter()
            .map(|suspect| {
                let parts: Vec<PartId> = suspect.faults.iter().map(|fault| fault.part).collect();
                let next = index.len();
                *index.entry(parts).or_insert(next)
            })
            .collect();
        let mut groups = vec![Vec::new(); index.len()];
        index.into_iter().for_each(|(parts, place)| groups[place] = parts);
        let of_sample: Vec<usize> = outlook.samples().iter().map(|(suspect, _)| group_of[*suspect]).collect();
        let mut prior = vec![0.0; groups.len()];
        for (group, (_, weight)) in of_sample.iter().zip(outlook.samples()) {
            prior[*group] += weight;
        }
        let costs = repair_costs(belief.model().circuit(), shop);
        Self { shop, costs, groups, of_sample, prior, unlisted: belief.not_listed() }
    }

    /// Expected cost of repairing under group weights that sum to at most 1.
    fn cost(&self, weights: &[f64]) -> f64 {
        let total: f64 = weights.iter().sum::<f64>() + self.unlisted;
        if total <= 0.0 {
            return 0.0;
        }
        let suspects: Vec<(Vec<PartId>, f64)> =
            self.groups.iter().zip(weights).map(|(parts, weight)| (parts.clone(), weight / total)).collect();
        let probabilities = part_probabilities(self.costs.len(), &suspects);
        let order = order(&probabilities, &self.costs);
        expected_cost(&order, &self.costs, &suspects, self.shop.beyond_minutes * self.shop.rate)
    }

    /// Expected cost of repairing after `check` was read.
    fn cost_after(&self, outlook: &Outlook, check: usize) -> f64 {
        let spec = &outlook.belief().model().checks()[check];
        let bands = if spec.reads == Reads::YesNo {
            self.answers(outlook, check)
        } else {
            self.bands(outlook, check, &Accuracy::of(spec.instrument))
        };
        let total: f64 = bands.iter().flatten().sum();
        bands.iter().map(|weights| weights.iter().sum::<f64>() / total * self.cost(weights)).sum()
    }

    fn answers(&self, outlook: &Outlook, check: usize) -> Vec<Vec<f64>> {
        let mut bands = vec![vec![0.0; self.groups.len()]; 2];
        for (sample, (_, weight)) in outlook.samples().iter().enumerate() {
            let yes = belief::likelihood(&Accuracy::of(circuit::Instrument::Senses), belief::Outcome::Yes, outlook.shown(sample, check), ToolError::default());
            bands[0][self.of_sample[sample]] += weight * yes;
            bands[1][self.of_sample[sample]] += weight * (1.0 - yes);
        }
        bands
    }

    /// Weights of every group in bands of equal probability: the reading's scatter spreads a sample over neighbours.
    fn bands(&self, outlook: &Outlook, check: usize, accuracy: &Accuracy) -> Vec<Vec<f64>> {
        let edges = edges(outlook, check);
        let mut bands = vec![vec![0.0; self.groups.len()]; edges.len() + 1];
        for (sample, (_, weight)) in outlook.samples().iter().enumerate() {
            let shown = outlook.shown(sample, check);
            let mut above = 1.0;
            for (band, edge) in edges.iter().enumerate() {
                let over = belief::likelihood(accuracy, belief::Outcome::Over(*edge), shown, ToolError::default());
                bands[band][self.of_sample[sample]] += weight * (above - over).max(0.0);
                above = over;
            }
            bands[edges.len()][self.of_sample[sample]] += weight * above;
        }
        bands
    }
}

/// Most bands of a reading.
const BANDS: usize = 8;

/// Edges between bands: in the widest gaps between what the samples show, so that a band is not cut through the middle
/// of what one suspect shows; and where there are none, at even shares of weight.
fn edges(outlook: &Outlook, check: usize) -> Vec<f64> {
    let mut shown: Vec<(f64, f64)> =
        outlook.samples().iter().enumerate().map(|(sample, (_, weight))| (outlook.shown(sample, check), *weight)).collect();
    shown.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = shown.iter().map(|(_, weight)| weight).sum();
    let mut edges = Vec::new();
    let (mut sum, mut next) = (0.0, total / BANDS as f64);
    for pair in shown.windows(2) {
        sum += pair[0].1;
        if sum >= next && pair[1].0 > pair[0].0 {
            edges.push(0.5 * (pair[0].0 + pair[1].0));
            next = sum + total / BANDS as f64;
        }
    }
    let widest = shown.windows(2).max_by(|a, b| (a[1].0 - a[0].0).total_cmp(&(b[1].0 - b[0].0)));
    edges.extend(widest.map(|pair| 0.5 * (pair[0].0 + pair[1].0)));
    edges.sort_by(f64::total_cmp);
    edges.dedup();
    edges
}
