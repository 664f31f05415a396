//! Which sets of faults are suspects, and the cloud of samples of each.
//!
//! Most faults cannot be seen in most readings: a dead sensor moves no vacuum gauge. A set whose samples show the same as those
//! of the set without one of its faults shares that set's cloud. What is seen is tried on a few samples of the set itself, not
//! of the fault alone: a restricted hose shows nothing until something behind it leaks.

use crate::cloud::{Cloud, Sampler};
use crate::prior::{Prior, distinct_parts};
use crate::sets::{FaultSet, SetModel};
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
            let end = start + sets[start..].iter().take_while(|set| set.len() == sets[start].len()).count();
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
        let found: Vec<Found> = {
            let listed = &*self.listed.borrow();
            sets.par_iter()
                .map_init(|| sampler.model.probe(), |probe, faults| find(sampler, listed, probe, faults, first))
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

fn find(sampler: &Sampler, listed: &Listed, probe: &mut Probe, faults: &[FaultId], first: [usize; 2]) -> Found {
    if !distinct_parts(faults) {
        return Found::Impossible;
    }
    let mut cloud = Cloud::new(faults.to_vec());
    if sampler.readings.is_empty() {
        // Nothing to tell sets apart by: all share one cloud without samples.
        return if listed.clouds.is_empty() { Found::Own(cloud) } else { Found::Same(0) };
    }
    if let Some(index) = same_as_a_subset(sampler, listed, probe, faults) {
        return Found::Same(index);
    }
    cloud.draw(sampler, probe, first[usize::from(faults.len() > 1)]);
    Found::Own(cloud)
}

/// The cloud of a subset without one of the faults that shows the same on all trial samples.
fn same_as_a_subset(sampler: &Sampler, listed: &Listed, probe: &mut Probe, faults: &[FaultId]) -> Option<usize> {
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
        alike.retain(|index| sampler.unseen(&truths, listed.clouds[*index].truths_of(row, sampler.readings.len()), UNSEEN));
    }
    alike.first().copied()
}
