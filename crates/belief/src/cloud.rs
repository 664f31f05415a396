//! The cloud of samples of one suspect: severities, tolerances and surroundings, weighted by the readings.
//!
//! The instruments' own errors are integrated over within every sample: that needs no solve, and a gauge far off (rare, but
//! it explains much) would otherwise be left to a handful of samples.
//!
//! Sample points are low-discrepancy and the same for every suspect, so that two suspects differ by what they are and not
//! by chance. Where few samples carry the weight, more are drawn around those that do, and weighted for it:
//! multiple importance sampling with the balance heuristic (Veach and Guibas, SIGGRAPH 1995), the proposals fitted to
//! the cloud's own weighted mean and spread (population Monte Carlo, Cappé et al., J. Comput. Graph. Stat. 13 (2004) 907).

use crate::evidence::{Prepared, Toolbox, joint_likelihood};
use crate::uncertain::Uncertain;
use circuit::FaultId;
use numerics::{normal_cdf, normal_point};
use physics::{Model, Probe, Vehicle};
use rayon::prelude::*;

/// Rows of the common table of points; later points are computed when asked for.
const TABLE: usize = 512;
/// Share of adapted points that come from the prior, so that no region is ever left without samples.
const FROM_PRIOR: f64 = 0.1;
/// Share of adapted points that are drawn this many times wider: a posterior is often a curved ridge, and what lies along it
/// beyond the proposal's own reach would be left to the prior's few points.
const FROM_WIDE: f64 = 0.2;
const WIDER: f64 = 2.2;

/// What all clouds of one belief share.
#[derive(Debug)]
pub(crate) struct Sampler<'m> {
    pub(crate) model: &'m Model,
    pub(crate) uncertain: Uncertain,
    pub(crate) toolbox: Toolbox,
    /// Readings, those that share a network side by side.
    pub(crate) readings: Vec<Prepared>,
    table: Vec<f64>,
    seed: u32,
}

impl<'m> Sampler<'m> {
    pub(crate) fn new(
        model: &'m Model,
        uncertain: Uncertain,
        toolbox: Toolbox,
        readings: Vec<Prepared>,
        seed: u32,
    ) -> Self {
        let mut sampler = Self {
            model,
            uncertain,
            toolbox,
            readings,
            table: Vec::new(),
            seed,
        };
        let dimensions = sampler.dimensions();
        sampler.table = (0..TABLE * dimensions)
            .map(|i| sampler.point(i / dimensions, i % dimensions))
            .collect();
        sampler
    }

    /// Length of a sample.
    pub(crate) fn dimensions(&self) -> usize {
        self.uncertain.dimensions()
    }

    /// What perfect instruments would show of all readings on sample `row` of the prior with `faults`.
    pub(crate) fn truths(&self, probe: &mut Probe, faults: &[FaultId], row: usize) -> Vec<f64> {
        let checks: Vec<usize> = self.readings.iter().map(|reading| reading.check).collect();
        let (mut vehicle, mut truths) = (self.uncertain.blank(), vec![f64::NAN; checks.len()]);
        self.vehicle(&mut vehicle, faults, &self.prior_row(row));
        if probe.predict_all(&checks, &vehicle, &mut truths).is_err() {
            probe.cold();
        }
        truths
    }

    /// `true` if no reading shows a difference between `truths` and those of the same sample with other faults: a difference of less than `share` of a reading's scatter.
    pub(crate) fn unseen(&self, truths: &[f64], others: &[f64], share: f64) -> bool {
        let same = |k: usize, a: f64, b: f64| {
            let reading = &self.readings[k];
            // Yes or no has no scatter; a probability that differs by a thousandth cannot be seen.
            let scatter = reading.accuracy.deviation(a).max(0.05);
            (a - b).abs() <= share * scatter
        };
        others.len() == truths.len()
            && truths
                .iter()
                .zip(others)
                .enumerate()
                .all(|(k, (a, b))| same(k, *a, *b))
    }

    fn point(&self, row: usize, dimension: usize) -> f64 {
        normal_point(
            u32::try_from(row).unwrap_or(u32::MAX),
            u32::try_from(dimension).unwrap_or(u32::MAX),
            self.seed,
        )
    }

    fn coordinate(&self, row: usize, dimension: usize) -> f64 {
        if row < TABLE {
            self.table[row * self.dimensions() + dimension]
        } else {
            self.point(row, dimension)
        }
    }

    /// Sample `row` of the prior.
    pub(crate) fn prior_row(&self, row: usize) -> Vec<f64> {
        (0..self.dimensions())
            .map(|dimension| self.coordinate(row, dimension))
            .collect()
    }

    /// The vehicle of a sample.
    pub(crate) fn vehicle(&self, vehicle: &mut Vehicle, faults: &[FaultId], z: &[f64]) {
        self.uncertain.fill(vehicle, self.model.circuit(), faults, z);
    }
}

/// How one batch of samples was drawn: independent normals per dimension, mixed with the prior.
#[derive(Debug, Clone)]
struct Proposal {
    /// Dimensions that differ from the standard normal: index, mean, standard deviation.
    moved: Vec<(usize, f64, f64)>,
    /// Samples drawn.
    count: usize,
}

impl Proposal {
    /// Density at `z` relative to the prior's.
    fn ratio(&self, z: &[f64]) -> f64 {
        if self.moved.is_empty() {
            return 1.0;
        }
        let (mut narrow, mut wide) = (0.0, 0.0);
        for &(dimension, mean, deviation) in &self.moved {
            let (x, y) = (z[dimension], (z[dimension] - mean) / deviation);
            narrow += 0.5 * (x * x - y * y) - deviation.ln();
            wide += 0.5 * (x * x - y * y / (WIDER * WIDER)) - (WIDER * deviation).ln();
        }
        FROM_PRIOR + FROM_WIDE * wide.exp() + (1.0 - FROM_PRIOR - FROM_WIDE) * narrow.exp()
    }
}

/// Samples of one suspect.
#[derive(Debug, Clone, Default)]
pub(crate) struct Cloud {
    pub(crate) faults: Vec<FaultId>,
    /// Sample after sample.
    pub(crate) z: Vec<f64>,
    /// Per sample, per reading: what a perfect instrument would show.
    pub(crate) truths: Vec<f64>,
    /// Per sample: logarithm of the likelihood of all readings.
    pub(crate) ln_likelihood: Vec<f64>,
    /// Per sample: logarithm of the importance weight.
    ln_importance: Vec<f64>,
    proposals: Vec<Proposal>,
    /// Samples whose network found no balance: they count as if every reading were a misreading.
    pub(crate) unsolved: usize,
}

impl Cloud {
    pub(crate) fn new(faults: Vec<FaultId>) -> Self {
        Self {
            faults,
            ..Self::default()
        }
    }

    pub(crate) fn len(&self) -> usize {
        self.ln_likelihood.len()
    }

    /// Draws `count` samples from the prior and evaluates them.
    pub(crate) fn draw(&mut self, sampler: &Sampler, probe: &mut Probe, count: usize) {
        self.extend(
            sampler,
            probe,
            Proposal {
                moved: Vec::new(),
                count,
            },
        );
    }

    /// Draws `count` samples around those that carry the weight, and evaluates them.
    pub(crate) fn refine(&mut self, sampler: &Sampler, probe: &mut Probe, count: usize) {
        let proposal = self.fit(sampler.dimensions(), count);
        self.extend(sampler, probe, proposal);
    }

    /// Draws `count` samples around those that carry the weight of `other`, a suspect with some of the same faults: what
    /// explains the readings there mostly does so here too, whatever the further faults are.
    pub(crate) fn follow(&mut self, other: &Self, sampler: &Sampler, probe: &mut Probe, count: usize) {
        let proposal = other.fit(sampler.dimensions(), count);
        self.extend(sampler, probe, proposal);
    }

    fn extend(&mut self, sampler: &Sampler, probe: &mut Probe, proposal: Proposal) {
        let dimensions = sampler.dimensions();
        let first = self.len();
        for row in first..first + proposal.count {
            let start = self.z.len();
            self.z
                .extend((0..dimensions).map(|dimension| sampler.coordinate(row, dimension)));
            // Which points are moved is decided by a dimension of its own: every fourth of a low-discrepancy sequence would
            // be a corner of the space.
            let lot = normal_cdf(sampler.point(row, dimensions));
            if lot >= FROM_PRIOR {
                let wider = if lot < FROM_PRIOR + FROM_WIDE { WIDER } else { 1.0 };
                for &(dimension, mean, deviation) in &proposal.moved {
                    self.z[start + dimension] = mean + wider * deviation * self.z[start + dimension];
                }
            }
        }
        self.evaluate(sampler, probe, first);
        self.proposals.push(proposal);
        self.weigh(dimensions);
    }

    /// Solves the samples from `first` on; many of them on all cores.
    fn evaluate(&mut self, sampler: &Sampler, probe: &mut Probe, first: usize) {
        let (dimensions, count) = (sampler.dimensions(), sampler.readings.len());
        let fresh = &self.z[first * dimensions..];
        let (faults, mut solved) = (&self.faults, Vec::new());
        if fresh.len() < 2 * CHUNK * dimensions {
            solved.push(solve(sampler, probe, faults, fresh));
        } else {
            fresh
                .par_chunks(CHUNK * dimensions)
                .map_init(
                    || sampler.model.probe(),
                    |probe, chunk| solve(sampler, probe, faults, chunk),
                )
                .collect_into_vec(&mut solved);
        }
        for chunk in solved {
            self.unsolved += chunk.unsolved;
            let joint = |truths| joint_likelihood(&sampler.toolbox, &sampler.readings, truths).ln();
            self.ln_likelihood
                .extend(chunk.truths.chunks_exact(count).map(joint));
            self.truths.extend(chunk.truths);
        }
    }

    /// Importance weights by the balance heuristic: the prior's density over that of all proposals together.
    fn weigh(&mut self, dimensions: usize) {
        let total = self.len() as f64;
        let shares: Vec<f64> = self
            .proposals
            .iter()
            .map(|proposal| proposal.count as f64 / total)
            .collect();
        self.ln_importance.clear();
        self.ln_importance
            .extend(self.z.chunks_exact(dimensions).map(|z| {
                let drawn: f64 = self
                    .proposals
                    .iter()
                    .zip(&shares)
                    .map(|(proposal, share)| share * proposal.ratio(z))
                    .sum();
                -drawn.ln()
            }));
    }

    /// What perfect instruments would show on one sample; nothing if there is no such sample.
    pub(crate) fn truths_of(&self, sample: usize, readings: usize) -> &[f64] {
        self.truths
            .get(sample * readings..(sample + 1) * readings)
            .unwrap_or_default()
    }

    /// Logarithm of a sample's weight, prior and readings together; over all samples its mean is the evidence.
    pub(crate) fn ln_weight(&self, sample: usize) -> f64 {
        self.ln_likelihood[sample] + self.ln_importance[sample]
    }

    /// Logarithm of the greatest weight of any sample.
    pub(crate) fn best(&self) -> f64 {
        (0..self.len())
            .map(|sample| self.ln_weight(sample))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Logarithm of the evidence: how well this suspect explains the readings.
    pub(crate) fn ln_evidence(&self) -> f64 {
        if self.len() == 0 {
            return 0.0;
        }
        crate::sets::ln_sum_exp((0..self.len()).map(|sample| self.ln_weight(sample)))
            - (self.len() as f64).ln()
    }

    /// Weights that sum to 1.
    pub(crate) fn weights(&self) -> Vec<f64> {
        let ln_total = self.ln_evidence() + (self.len() as f64).ln();
        (0..self.len())
            .map(|sample| (self.ln_weight(sample) - ln_total).exp())
            .collect()
    }

    /// Number of equally weighted samples that would say as much (Kish).
    pub(crate) fn effective(&self) -> f64 {
        let squares: f64 = self.weights().iter().map(|weight| weight * weight).sum();
        if squares > 0.0 { 1.0 / squares } else { 0.0 }
    }

    /// A proposal around the weighted samples. Only dimensions in which the readings visibly moved the cloud are moved;
    /// the noise of a few samples in all others would spoil the weights.
    fn fit(&self, dimensions: usize, count: usize) -> Proposal {
        let weights = self.weights();
        let effective = self.effective().max(1.0);
        let trust = effective / (effective + 4.0);
        let mut moved = Vec::new();
        for dimension in 0..dimensions {
            let z = || self.z.iter().skip(dimension).step_by(dimensions);
            let mean: f64 = z().zip(&weights).map(|(z, w)| z * w).sum();
            let variance: f64 = z().zip(&weights).map(|(z, w)| w * (z - mean) * (z - mean)).sum();
            let certain = 2.5 / effective.sqrt();
            if mean.abs() > certain || variance < 1.0 - 1.5 * certain {
                // A little wider than what was seen: a proposal with thin tails would give a few samples huge weights.
                let deviation = (1.2 * (trust * variance + (1.0 - trust) * 0.25).sqrt()).clamp(0.08, 1.0);
                moved.push((dimension, mean, deviation));
            }
        }
        Proposal { moved, count }
    }
}

/// Samples that one thread solves in a row, each from the last one's solution.
const CHUNK: usize = 128;

/// What perfect instruments would show on a few samples.
struct Solved {
    truths: Vec<f64>,
    unsolved: usize,
}

fn solve(sampler: &Sampler, probe: &mut Probe, faults: &[FaultId], samples: &[f64]) -> Solved {
    let checks: Vec<usize> = sampler.readings.iter().map(|reading| reading.check).collect();
    let mut vehicle = sampler.uncertain.blank();
    let mut solved = Solved {
        truths: Vec::new(),
        unsolved: 0,
    };
    // From rest, so that the answer does not depend on which thread solved what before.
    probe.cold();
    for z in samples.chunks_exact(sampler.dimensions()) {
        let start = solved.truths.len();
        solved.truths.resize(start + checks.len(), f64::NAN);
        sampler.vehicle(&mut vehicle, faults, z);
        if probe
            .predict_all(&checks, &vehicle, &mut solved.truths[start..])
            .is_err()
        {
            solved.unsolved += 1;
            probe.cold();
        }
    }
    solved
}

/// Rows drawn evenly by weight (systematic resampling); `weights` need not sum to 1.
pub(crate) fn systematic(weights: &[f64], count: usize) -> Vec<usize> {
    let step = weights.iter().sum::<f64>() / count as f64;
    let (mut rows, mut sum, mut next) = (Vec::with_capacity(count), 0.0, 0.5 * step);
    for (row, weight) in weights.iter().enumerate() {
        sum += weight;
        while next < sum && rows.len() < count {
            rows.push(row);
            next += step;
        }
    }
    rows
}
