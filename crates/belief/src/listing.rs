//! Which sets of faults are suspects, and the cloud of samples of each.
//!
//! Most faults cannot be seen in most readings: a dead sensor moves no vacuum gauge. A set whose samples show the same as those
//! of the set without one of its faults shares that set's cloud. What is seen is tried on a few samples of the set itself, not
//! of the fault alone: a restricted hose shows nothing until something behind it leaks.

use crate::cloud::Cloud;
use crate::evidence::{one_likelihood, unlisted};
use crate::prior::{Prior, distinct_parts};
use crate::sampler::Sampler;
use crate::sets::{FaultSet, SetModel, ln_sum_exp};
use circuit::FaultId;
use physics::Probe;
use rayon::prelude::*;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::OnceLock;

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
    /// What [`Listed::ln_unlisted`] is, once it was asked for.
    unlisted: OnceLock<f64>,
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
        let (sampler, prior, first) = (self.sampler, self.prior, self.first);
        let size = sets.first().map_or(0, Vec::len);
        let least = self.least_prior(size);
        let ln_total = self.ln_total();
        let ln_priors: Vec<f64> = sets.iter().map(|faults| prior.ln(faults)).collect();
        let found: Vec<Found> = {
            let listed = &*self.listed.borrow();
            let tried = |probe: &mut Probe, (faults, ln_prior): (&Vec<FaultId>, &f64)| {
                if *ln_prior < least {
                    negligible(listed, faults)
                } else {
                    find(sampler, listed, probe, faults, ln_total - ln_prior, first)
                }
            };
            sets.par_iter()
                .zip(&ln_priors)
                .map_init(|| sampler.model.probe(), tried)
                .collect()
        };
        let mut numbers = Vec::with_capacity(sets.len());
        {
            let listed = &mut *self.listed.borrow_mut();
            for (faults, found) in sets.iter().zip(found) {
                let number = match found {
                    Found::Impossible => None,
                    Found::Same(index) => Some(index),
                    Found::Own(cloud) => {
                        listed.clouds.push(cloud);
                        Some(listed.clouds.len() - 1)
                    }
                };
                if let Some(number) = number {
                    listed.sets.insert(faults.clone(), number);
                }
                numbers.push(number);
            }
        }
        if size == 1 {
            self.draw_singles();
        }
        let listed = self.listed.borrow();
        let evidence = |number: Option<usize>| {
            number.map_or(f64::NEG_INFINITY, |number| listed.clouds[number].ln_evidence())
        };
        numbers.into_iter().map(evidence).collect()
    }

    /// Draws the samples of single faults, few at first: what explains the readings well shows in the rest what is hopeless.
    fn draw_singles(&self) {
        let (sampler, prior) = (self.sampler, self.prior);
        for step in [SECOND_LOOK, self.first[0]] {
            let ln_total = self.ln_total();
            let listed = &mut *self.listed.borrow_mut();
            let singles = listed
                .clouds
                .par_iter_mut()
                .filter(|cloud| cloud.faults.len() == 1);
            singles.for_each_init(
                || sampler.model.probe(),
                |probe, cloud| {
                    cloud.give_up_below(ln_total - prior.ln(&cloud.faults));
                    cloud.draw(sampler, probe, step.saturating_sub(cloud.len()));
                },
            );
        }
    }

    /// Logarithm of the evidence of all that is listed so far, and of what is not.
    fn ln_total(&self) -> f64 {
        let listed = &*self.listed.borrow();
        if listed.sets.is_empty() || self.sampler.readings.is_empty() {
            return f64::NEG_INFINITY;
        }
        let evidences: Vec<f64> = listed.clouds.iter().map(Cloud::ln_evidence).collect();
        let weights = listed
            .sets
            .iter()
            .map(|(faults, cloud)| self.prior.ln(faults) + evidences[*cloud]);
        let not_listed = self.sampler.model.circuit().priors.not_listed.ln();
        ln_sum_exp(weights.chain([not_listed + listed.ln_unlisted(self.sampler)]))
    }
}

/// What a set of faults turns out to be, where the evidence of all is `ln_scale` over the set's prior.
fn find(
    sampler: &Sampler,
    listed: &Listed,
    probe: &mut Probe,
    faults: &[FaultId],
    ln_scale: f64,
    first: [usize; 2],
) -> Found {
    if !distinct_parts(faults) {
        return Found::Impossible;
    }
    let mut cloud = Cloud::new(sampler, faults.to_vec());
    if sampler.readings.is_empty() {
        // Nothing to tell sets apart by: all share one cloud without samples.
        return if listed.clouds.is_empty() {
            Found::Own(cloud)
        } else {
            Found::Same(0)
        };
    }
    cloud.give_up_below(ln_scale);
    let without = |left_out: usize| {
        let mut rest = faults.to_vec();
        rest.remove(left_out);
        listed.sets.get(&rest).copied()
    };
    let mut alike: Vec<usize> = (0..faults.len()).filter_map(without).collect();
    cloud.draw_apart(sampler, probe, TRIALS, (&listed.clouds, &mut alike, UNSEEN));
    if let Some(index) = alike.first() {
        return Found::Same(*index);
    }
    let count = match faults.len() {
        0 => first[0],
        1 => FIRST_LOOK,
        // What a few samples show to be hopeless is not looked at again.
        _ if cloud.all_given_up() => TRIALS,
        _ => first[1],
    };
    cloud.draw(sampler, probe, count.saturating_sub(TRIALS));
    Found::Own(cloud)
}

/// Samples of a single fault that are drawn at first, and in the second step.
const FIRST_LOOK: usize = TRIALS;
const SECOND_LOOK: usize = 16;

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
        let ln_total = self.ln_total();
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

impl Listed {
    /// Logarithm of the likelihood of all readings where the cause is not listed: each reading as on a sound circuit or
    /// anything, independently.
    pub(crate) fn ln_unlisted(&self, sampler: &Sampler) -> f64 {
        let Some(sound) = self.sets.get(&Vec::new()).map(|index| &self.clouds[*index]) else {
            return 0.0;
        };
        *self.unlisted.get_or_init(|| ln_unlisted(sampler, sound))
    }
}

fn ln_unlisted(sampler: &Sampler, sound: &Cloud) -> f64 {
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
            // The cloud's first samples are the prior's own, and none of them was given up.
            if let Some(compared) = &reading.compared {
                // Two gauges side by side know nothing of the vehicle, whatever its cause is.
                let values = errors.iter().zip(&compared.relative);
                let sum: f64 = values.map(|((_, w), relative)| w * relative).sum();
                return (sum * reading.peak).ln();
            }
            // Nothing comes and goes on a sound circuit: one state for each reading.
            let rows = sound.truths.chunks_exact(count).take(PRIOR_SAMPLES);
            let (sum, rows) = rows.fold((0.0, 0.0), |(sum, rows), truths| {
                (sum + healthy(truths[k]), rows + 1.0)
            });
            unlisted(&reading.accuracy, reading.outcome, sum / f64::max(rows, 1.0)).ln()
        })
        .sum()
}

/// Samples of the sound circuit that stand for it where the cause is not listed.
const PRIOR_SAMPLES: usize = 128;
