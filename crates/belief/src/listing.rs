//! Which sets of faults are suspects, and the cloud of samples of each.
//!
//! Most faults cannot be seen in most readings: a dead sensor moves no vacuum gauge. A set whose samples show the same as those
//! of the set without one of its faults shares that set's cloud. What is seen is tried on a few samples of the set itself, not
//! of the fault alone: a restricted hose shows nothing until something behind it leaks.

use crate::cloud::{Cloud, Sampler};
use crate::evidence::{one_likelihood, unlisted};
use crate::prior::{Prior, distinct_parts};
use crate::sets::{FaultSet, SetModel, ln_sum_exp};
use circuit::FaultId;
use physics::Probe;
use rayon::prelude::*;
use std::cell::RefCell;
use std::collections::BTreeMap;

/// Samples on which a set is compared with its subsets.
const TRIALS: usize = 6;
/// A difference of this share of a reading's scatter cannot be seen.
const UNSEEN: f64 = 0.02;

/// Sets of faults with the numbers of their clouds.
#[derive(Debug, Default)]
pub(crate) struct Listed {
    pub(crate) clouds: Vec<Cloud>,
    /// Faults in order → index of the cloud.
    pub(crate) sets: BTreeMap<Vec<FaultId>, usize>,
}

/// Sets of faults as clouds of samples.
pub(crate) struct Listing<'a, 'm> {
    pub(crate) sampler: &'a Sampler<'m>,
    pub(crate) prior: &'a Prior<'a>,
    pub(crate) faults: Vec<FaultId>,
    /// First samples of a cloud of at most one fault, and of more.
    pub(crate) first: [usize; 2],
    pub(crate) listed: RefCell<Listed>,
}

/// What a set turned out to be.
enum Found {
    /// It cannot be.
    Impossible,
    /// It shows the same as a set whose cloud has this number.
    Same(usize),
    /// It has a cloud of its own.
    Own(Cloud),
}

impl Listing<'_, '_> {
    fn ids(&self, set: &FaultSet) -> Vec<FaultId> {
        set.faults().iter().map(|fault| self.faults[*fault]).collect()
    }
}

impl SetModel for Listing<'_, '_> {
    fn fault_count(&self) -> usize {
        self.faults.len()
    }

    fn ln_prior(&self, set: &FaultSet) -> f64 {
        self.prior.ln(&self.ids(set))
    }

    fn ln_likelihoods(&self, sets: &[FaultSet]) -> Vec<f64> {
        let sets: Vec<Vec<FaultId>> = sets.iter().map(|set| self.ids(set)).collect();
        let mut evidences = Vec::with_capacity(sets.len());
        // Smaller sets first: a set is compared with those that have a cloud already.
        let mut start = 0;
        while start < sets.len() {
            let end = start
                + sets[start..]
                    .iter()
                    .take_while(|set| set.len() == sets[start].len())
                    .count();
            evidences.extend(self.list(&sets[start..end]));
            start = end;
        }
        evidences
    }
}

impl Listing<'_, '_> {
    /// Lists sets of one size; logarithms of their evidences.
    fn list(&self, sets: &[Vec<FaultId>]) -> Vec<f64> {
        let (sampler, first) = (self.sampler, self.first);
        let least = self.least_prior(sets.first().map_or(0, Vec::len));
        let ln_priors: Vec<f64> = sets.iter().map(|faults| self.prior.ln(faults)).collect();
        let found: Vec<Found> = {
            let listed = &*self.listed.borrow();
            let tried = |probe: &mut Probe, (faults, ln_prior): (&Vec<FaultId>, &f64)| {
                if *ln_prior < least {
                    negligible(listed, faults)
                } else {
                    find(sampler, listed, probe, faults, first)
                }
            };
            sets.par_iter()
                .zip(&ln_priors)
                .map_init(|| sampler.model.probe(), tried)
                .collect()
        };
        let listed = &mut *self.listed.borrow_mut();
        let mut evidences = Vec::with_capacity(sets.len());
        for (faults, found) in sets.iter().zip(found) {
            let index = match found {
                Found::Impossible => {
                    evidences.push(f64::NEG_INFINITY);
                    continue;
                }
                Found::Same(index) => index,
                Found::Own(cloud) => {
                    listed.clouds.push(cloud);
                    listed.clouds.len() - 1
                }
            };
            listed.sets.insert(faults.clone(), index);
            evidences.push(listed.clouds[index].ln_evidence());
        }
        evidences
    }
}

impl Listing<'_, '_> {
    /// Logarithm of the prior below which a set of several faults is not worth a solve: even where it explained the readings
    /// as well as the best smaller set it would not be seen. Where no smaller set explains them well there is no such limit:
    /// then the unlikely sets are what is looked for.
    fn least_prior(&self, size: usize) -> f64 {
        let listed = &*self.listed.borrow();
        if size < 2 || self.sampler.readings.is_empty() {
            return f64::NEG_INFINITY;
        }
        let evidences: Vec<f64> = listed.clouds.iter().map(Cloud::ln_evidence).collect();
        let weights = listed
            .sets
            .iter()
            .map(|(faults, cloud)| self.prior.ln(faults) + evidences[*cloud]);
        let unlisted =
            self.sampler.model.circuit().priors.not_listed.ln() + ln_unlisted(self.sampler, listed);
        let ln_total = ln_sum_exp(weights.clone().chain([unlisted]));
        let best = evidences.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let explained = weights.fold(f64::NEG_INFINITY, f64::max) - ln_total > WELL.ln();
        if explained {
            SEEN.ln() + ln_total - best
        } else {
            f64::NEG_INFINITY
        }
    }
}

/// A set of this share of all weight explains the readings well.
const WELL: f64 = 0.2;
/// A suspect of less than this probability is not seen.
const SEEN: f64 = 1e-4;

/// A set too unlikely for a solve: it is taken to show what the likeliest of its subsets shows.
fn negligible(listed: &Listed, faults: &[FaultId]) -> Found {
    if !distinct_parts(faults) {
        return Found::Impossible;
    }
    let clouds = (0..faults.len()).filter_map(|left_out| {
        let mut rest = faults.to_vec();
        rest.remove(left_out);
        listed.sets.get(&rest).copied()
    });
    let best = clouds.max_by(|a, b| {
        listed.clouds[*a]
            .ln_evidence()
            .total_cmp(&listed.clouds[*b].ln_evidence())
    });
    best.map_or(Found::Impossible, Found::Same)
}

fn find(
    sampler: &Sampler,
    listed: &Listed,
    probe: &mut Probe,
    faults: &[FaultId],
    first: [usize; 2],
) -> Found {
    if !distinct_parts(faults) {
        return Found::Impossible;
    }
    let mut cloud = Cloud::new(faults.to_vec());
    // From rest, so that the answer does not depend on which thread solved what before.
    probe.cold();
    if sampler.readings.is_empty() {
        // Nothing to tell sets apart by: all share one cloud without samples.
        return if listed.clouds.is_empty() {
            Found::Own(cloud)
        } else {
            Found::Same(0)
        };
    }
    if let Some(index) = same_as_a_subset(sampler, listed, probe, faults) {
        return Found::Same(index);
    }
    cloud.draw(sampler, probe, first[usize::from(faults.len() > 1)]);
    Found::Own(cloud)
}

/// The cloud of a subset without one of the faults that shows the same on all trial samples.
fn same_as_a_subset(
    sampler: &Sampler,
    listed: &Listed,
    probe: &mut Probe,
    faults: &[FaultId],
) -> Option<usize> {
    let without = |left_out: usize| {
        let mut rest = faults.to_vec();
        rest.remove(left_out);
        listed.sets.get(&rest).copied()
    };
    let mut alike: Vec<usize> = (0..faults.len()).filter_map(without).collect();
    for row in 0..TRIALS {
        if alike.is_empty() {
            return None;
        }
        let truths = sampler.truths(probe, faults, row);
        alike.retain(|index| {
            sampler.unseen(
                &truths,
                listed.clouds[*index].truths_of(row, sampler.readings.len()),
                UNSEEN,
            )
        });
    }
    alike.first().copied()
}

/// Logarithm of the likelihood of all readings where the cause is not listed: each reading as on a sound circuit or
/// anything, independently.
pub(crate) fn ln_unlisted(sampler: &Sampler, listed: &Listed) -> f64 {
    let Some(sound) = listed.sets.get(&Vec::new()).map(|index| &listed.clouds[*index]) else {
        return 0.0;
    };
    let count = sampler.readings.len();
    (0..count)
        .map(|k| {
            let reading = &sampler.readings[k];
            let errors = &sampler.toolbox.tools()[reading.instrument].errors;
            let healthy = |truth: f64| {
                errors
                    .iter()
                    .map(|(error, w)| w * one_likelihood(reading, truth, *error))
                    .sum::<f64>()
            };
            // The cloud's first samples are the prior's own.
            let truths: Vec<f64> = sound
                .truths
                .chunks_exact(count)
                .take(PRIOR_SAMPLES)
                .map(|t| t[k])
                .collect();
            let mean = truths.iter().map(|truth| healthy(*truth)).sum::<f64>() / truths.len().max(1) as f64;
            unlisted(&reading.accuracy, reading.outcome, mean).ln()
        })
        .sum()
}

/// Samples of the sound circuit that stand for it where the cause is not listed.
const PRIOR_SAMPLES: usize = 128;
