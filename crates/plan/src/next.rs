//! Which check to make next.

use crate::repair::{Shop, order, part_probabilities, repair_costs, weighted_cost};
use belief::{Accuracy, Outcome, Outlook, ToolError};
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
        Self {
            condition: ConditionId(0),
            open: Vec::new(),
        }
    }
}

impl Bay {
    /// Minutes until `check` is read: its own, the accesses still closed, the change of condition.
    pub fn minutes(&self, circuit: &Circuit, check: &Check) -> f64 {
        let change = if check.condition == self.condition {
            0.0
        } else {
            circuit.conditions[check.condition.0].minutes
        };
        check.minutes + circuit.access_minutes(&check.needs, &self.open) + change
    }

    /// The bay after `check` was made.
    #[must_use]
    pub fn after(&self, circuit: &Circuit, check: &Check) -> Self {
        let mut open = self.open.clone();
        open.extend(circuit.closed_accesses(&check.needs, &self.open));
        open.sort_unstable();
        Self {
            condition: check.condition,
            open,
        }
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
    let before = ground.cost(&ground.prior, ground.unlisted);
    let mut ranked: Vec<NextCheck> = (0..checks.len())
        .filter(|check| !done.contains(check))
        .map(|check| {
            let gain = ground.gain(outlook, check);
            let minutes = bay.minutes(circuit, &checks[check]);
            NextCheck {
                check,
                minutes,
                cost: before - gain + minutes * shop.rate,
                gain,
            }
        })
        .collect();
    let running = |next: &NextCheck| circuit.conditions[checks[next.check].condition.0].running();
    ranked.sort_by(|a, b| {
        let by_gain = step(b.gain_per_minute()).cmp(&step(a.gain_per_minute()));
        by_gain
            .then(running(a).cmp(&running(b)))
            .then(a.minutes.total_cmp(&b.minutes))
            .then(a.check.cmp(&b.check))
    });
    ranked
}

/// Gains within 2 % of each other are equal: the samples cannot tell them apart.
fn step(gain: f64) -> i64 {
    #[allow(
        clippy::cast_possible_truncation,
        reason = "a logarithm in steps of 2 % is a small number"
    )]
    let step = (gain.max(1e-9).ln() / 0.02).round() as i64;
    step
}

/// Weights of every group of suspects in each half of the samples.
type Halves = [Vec<f64>; 2];

/// Suspects grouped by the parts they hit: what repairs depend on.
///
/// The samples are halved. What to repair after a reading is decided on one half and paid on the other, both ways round: a
/// decision that follows nothing but the chance of few samples then gains nothing.
struct Ground<'s> {
    shop: &'s Shop,
    costs: Vec<f64>,
    groups: Vec<Vec<PartId>>,
    /// Group of every sample of the outlook.
    of_sample: Vec<usize>,
    /// Weights before the check.
    prior: Halves,
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
        for (parts, place) in index {
            groups[place] = parts;
        }
        let of_sample: Vec<usize> = outlook
            .samples()
            .iter()
            .map(|(suspect, _)| group_of[*suspect])
            .collect();
        let costs = repair_costs(belief.model().circuit(), shop);
        let mut ground = Self {
            shop,
            costs,
            groups,
            of_sample,
            prior: Halves::default(),
            unlisted: belief.not_listed(),
        };
        ground.prior = ground.empty();
        for (sample, (_, weight)) in outlook.samples().iter().enumerate() {
            ground.prior[sample % 2][ground.of_sample[sample]] += weight;
        }
        ground
    }

    fn empty(&self) -> Halves {
        [vec![0.0; self.groups.len()], vec![0.0; self.groups.len()]]
    }

    /// Expected cost of repairing, times the probability of the weights: decided on each half, paid on the other.
    fn cost(&self, weights: &Halves, unlisted: f64) -> f64 {
        let paid = |decide: &[f64], pay: &[f64]| {
            let probabilities = part_probabilities(self.costs.len(), &self.suspects(decide));
            let order = order(&probabilities, &self.costs);
            let suspects = self.suspects(pay);
            let beyond = self.shop.beyond_minutes * self.shop.rate;
            // The unlisted cause is no suspect: half of it is paid with each half.
            weighted_cost(&order, &self.costs, &suspects, beyond) + 0.5 * unlisted * beyond
        };
        paid(&weights[0], &weights[1]) + paid(&weights[1], &weights[0])
    }

    fn suspects<'a>(&'a self, weights: &'a [f64]) -> Vec<(&'a [PartId], f64)> {
        let all = self.groups.iter().map(Vec::as_slice).zip(weights.iter().copied());
        all.filter(|(_, weight)| *weight > 0.0).collect()
    }

    /// What making `check` takes off the expected cost of repairing.
    fn gain(&self, outlook: &Outlook, check: usize) -> f64 {
        let spec = &outlook.belief().model().checks()[check];
        let bands = if spec.reads == Reads::YesNo {
            self.answers(outlook, check)
        } else {
            self.bands(outlook, check, &Accuracy::of(spec.instrument))
        };
        let total: f64 = bands.iter().flatten().flatten().sum();
        let after: f64 = bands
            .iter()
            .map(|weights| {
                self.cost(
                    weights,
                    self.unlisted * weights.iter().flatten().sum::<f64>() / total,
                )
            })
            .sum();
        (self.cost(&self.prior, self.unlisted) - after).max(0.0)
    }

    fn answers(&self, outlook: &Outlook, check: usize) -> Vec<Halves> {
        let mut bands = vec![self.empty(), self.empty()];
        let senses = Accuracy::of(circuit::Instrument::Senses);
        for (sample, (_, weight)) in outlook.samples().iter().enumerate() {
            let yes = belief::likelihood(
                &senses,
                Outcome::Yes,
                outlook.shown(sample, check),
                ToolError::default(),
            );
            bands[0][sample % 2][self.of_sample[sample]] += weight * yes;
            bands[1][sample % 2][self.of_sample[sample]] += weight * (1.0 - yes);
        }
        bands
    }

    /// Weights of every group in bands of equal probability: the reading's scatter spreads a sample over neighbours.
    fn bands(&self, outlook: &Outlook, check: usize, accuracy: &Accuracy) -> Vec<Halves> {
        let edges = edges(outlook, check);
        let mut bands: Vec<Halves> = (0..=edges.len()).map(|_| self.empty()).collect();
        for (sample, (_, weight)) in outlook.samples().iter().enumerate() {
            let shown = outlook.shown(sample, check);
            let mut above = 1.0;
            for (band, edge) in edges.iter().enumerate() {
                let over = belief::likelihood(accuracy, Outcome::Over(*edge), shown, ToolError::default());
                bands[band][sample % 2][self.of_sample[sample]] += weight * (above - over).max(0.0);
                above = over;
            }
            bands[edges.len()][sample % 2][self.of_sample[sample]] += weight * above;
        }
        bands
    }
}

/// Most bands of equal weight of a reading.
const BANDS: usize = 6;

/// Edges between bands: in the widest gaps between what the samples show, so that a band is not cut through the middle
/// of what one suspect shows; and where there are none, at even shares of weight.
fn edges(outlook: &Outlook, check: usize) -> Vec<f64> {
    let mut shown: Vec<(f64, f64)> = outlook
        .samples()
        .iter()
        .enumerate()
        .map(|(sample, (_, weight))| (outlook.shown(sample, check), *weight))
        .collect();
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
    let widest = shown
        .windows(2)
        .max_by(|a, b| (a[1].0 - a[0].0).total_cmp(&(b[1].0 - b[0].0)));
    edges.extend(widest.map(|pair| 0.5 * (pair[0].0 + pair[1].0)));
    edges.sort_by(f64::total_cmp);
    edges.dedup();
    edges
}
