//! Faults that come and go, within one sample: in each reading such a fault shows or does not, and nobody saw which.
//!
//! A set of `n` of them has 2ⁿ states. Each reading is an occasion of its own, so its likelihood on a sample is the sum over the
//! states of their chance times the likelihood there: exact, and for a set without such faults nothing but the likelihood.

use crate::evidence::{Prepared, relative_likelihood};
use crate::instrument::ToolError;
use circuit::FaultId;
use numerics::uniform;
use physics::{Model, Probe, Vehicle};

/// The states of a set of faults, and their chances in every reading.
#[derive(Debug, Clone, Default)]
pub(crate) struct Coming {
    /// Faults that come and go; bit `i` of a state says that the `i`-th shows.
    faults: Vec<FaultId>,
    /// Reading after reading, the chance of each state.
    chances: Vec<f64>,
}

impl Coming {
    /// The states of `faults` in `readings`.
    pub(crate) fn of(model: &Model, faults: &[FaultId], readings: &[Prepared]) -> Self {
        let circuit = model.circuit();
        let comes = |fault: &FaultId| circuit.fault_spec(*fault).shows.is_some();
        let mut coming = Self {
            faults: faults.iter().copied().filter(comes).collect(),
            chances: Vec::new(),
        };
        for reading in readings {
            coming.chances.extend(coming.in_check(model, reading.check));
        }
        coming
    }

    /// How many states there are.
    pub(crate) fn count(&self) -> usize {
        1 << self.faults.len()
    }

    /// The chance of every state in one occasion of `check`.
    fn in_check(&self, model: &Model, check: usize) -> Vec<f64> {
        let shows = self.faults.iter().map(|fault| model.chance(check, *fault));
        let shows: Vec<f64> = shows.map(|chance| chance.unwrap_or(1.0)).collect();
        let chance = |state: usize| {
            let each = shows.iter().enumerate();
            each.map(|(bit, chance)| {
                if state >> bit & 1 == 1 {
                    *chance
                } else {
                    1.0 - chance
                }
            })
            .product()
        };
        (0..self.count()).map(chance).collect()
    }

    /// The chances of the states in reading `k`.
    pub(crate) fn chances(&self, k: usize) -> &[f64] {
        &self.chances[k * self.count()..][..self.count()]
    }

    /// Makes `vehicle`, which has `all` faults with their severities, the one in `state`.
    pub(crate) fn put(&self, vehicle: &mut Vehicle, all: &[(FaultId, f64)], state: usize) {
        let hidden = |fault: FaultId| {
            let place = self.faults.iter().position(|known| *known == fault);
            place.is_some_and(|bit| state >> bit & 1 == 0)
        };
        vehicle.faults.clear();
        vehicle.absent.clear();
        for (fault, severity) in all {
            if hidden(*fault) {
                vehicle.absent.push(*fault);
            } else {
                vehicle.faults.push((*fault, *severity));
            }
        }
    }

    /// For every state, the state of `other`, a set with one fault less, in which the same of its faults show.
    pub(crate) fn beside(&self, other: &Self) -> Vec<usize> {
        let bits: Vec<Option<usize>> = other
            .faults
            .iter()
            .map(|fault| self.faults.iter().position(|known| known == fault))
            .collect();
        let state = |own: usize| {
            let each = bits.iter().enumerate();
            each.map(|(bit, own_bit)| own_bit.map_or(0, |own_bit| (own >> own_bit & 1) << bit))
                .sum()
        };
        (0..self.count()).map(state).collect()
    }
}

/// What a perfect instrument would show of one reading on one sample, in every state, with the states' chances.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Truth<'a> {
    pub(crate) values: &'a [f64],
    pub(crate) chances: &'a [f64],
}

impl Truth<'_> {
    /// States with their chances.
    pub(crate) fn states(self) -> impl Iterator<Item = (f64, f64)> {
        self.values.iter().copied().zip(self.chances.iter().copied())
    }

    /// The mean of what `of` says of each state.
    pub(crate) fn mean(self, of: impl Fn(f64) -> f64) -> f64 {
        if let [one] = self.values {
            return of(*one);
        }
        let there = self.states().filter(|(_, chance)| *chance > 0.0);
        there.map(|(value, chance)| chance * of(value)).sum()
    }

    /// Likelihood of `reading` by an instrument with its own `error`, as a share of the reading's peak.
    pub(crate) fn relative(self, reading: &Prepared, error: ToolError) -> f64 {
        self.mean(|truth| relative_likelihood(reading, truth, error))
    }
}

/// Dimension of the lots that decide whether a fault shows, beyond any circuit's own.
const LOT: u32 = 7_000;

/// What each of `order`'s checks reads on one occasion of `vehicle`, by lots that `row` and `seed` decide; of a yes or no its chance over
/// all states. `false` where some network found no balance: what was not read stays as it was.
pub(crate) fn predict_once(
    model: &Model,
    probe: &mut Probe,
    vehicle: &mut Vehicle,
    (row, seed): (usize, u32),
    order: &[usize],
    out: &mut [f64],
) -> bool {
    let all = vehicle.faults.clone();
    let ids: Vec<FaultId> = all.iter().map(|(fault, _)| *fault).collect();
    let coming = Coming::of(model, &ids, &[]);
    if coming.count() == 1 {
        return probe.predict_all(order, vehicle, out).is_ok();
    }
    let mut shown = vec![vec![f64::NAN; order.len()]; coming.count()];
    let mut balanced = true;
    for (state, shown) in shown.iter_mut().enumerate() {
        coming.put(vehicle, &all, state);
        balanced &= probe.predict_all(order, vehicle, shown).is_ok();
    }
    coming.put(vehicle, &all, coming.count() - 1);
    let row = u32::try_from(row).unwrap_or(u32::MAX);
    for (place, (check, out)) in order.iter().zip(out).enumerate() {
        let chances = coming.in_check(model, *check);
        let values: Vec<f64> = shown.iter().map(|shown| shown[place]).collect();
        if model.checks()[*check].reads == circuit::Reads::YesNo {
            let truth = Truth {
                values: &values,
                chances: &chances,
            };
            *out = truth.mean(|yes| yes);
        } else {
            let lot = uniform(row, LOT + u32::try_from(*check).unwrap_or(0), seed);
            *out = values[drawn(&chances, lot)];
        }
    }
    balanced
}

/// The state on which a lot from 0 to 1 falls.
fn drawn(chances: &[f64], lot: f64) -> usize {
    let mut sum = 0.0;
    let state = chances.iter().position(|chance| {
        sum += chance;
        sum > lot
    });
    state.unwrap_or(chances.len() - 1)
}
