//! The cloud of samples of one suspect: severities, tolerances and surroundings, weighted by the readings.
//!
//! The instruments' own errors are integrated over within every sample: that needs no solve, and a gauge far off (rare, but
//! it explains much) would otherwise be left to a handful of samples.
//!
//! Sample points are low-discrepancy and the same for every suspect, so that two suspects differ by what they are and not
//! by chance. Where few samples carry the weight, more are drawn around those that do, and weighted for it:
//! multiple importance sampling with the balance heuristic (Veach and Guibas, SIGGRAPH 1995), the proposals fitted to
//! the cloud's own weighted mean and spread (population Monte Carlo, Cappé et al., J. Comput. Graph. Stat. 13 (2004) 907).

use crate::coming::{Coming, Truth};
use crate::sampler::Sampler;
use crate::solving::{Solving, Twins};
use circuit::FaultId;
use numerics::normal_cdf;
use physics::Probe;
use rayon::prelude::*;

/// Share of adapted points that come from the prior, so that no region is ever left without samples.
const FROM_PRIOR: f64 = 0.1;
/// Share of adapted points that are drawn this many times wider: a posterior is often a curved ridge, and what lies along it
/// beyond the proposal's own reach would be left to the prior's few points.
const FROM_WIDE: f64 = 0.2;
const WIDER: f64 = 2.2;

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
#[derive(Debug, Clone)]
pub(crate) struct Cloud {
    pub(crate) faults: Vec<FaultId>,
    /// The states of those that come and go.
    pub(crate) coming: Coming,
    /// Sample after sample.
    pub(crate) z: Vec<f64>,
    /// Per sample, per reading, per state: what a perfect instrument would show.
    pub(crate) truths: Vec<f64>,
    /// Per sample: logarithm of the likelihood of all readings.
    pub(crate) ln_likelihood: Vec<f64>,
    /// Per sample: logarithm of the importance weight.
    ln_importance: Vec<f64>,
    proposals: Vec<Proposal>,
    /// Samples of which a network found no balance: its readings count as misreadings.
    pub(crate) unsolved: usize,
    /// A sample whose likelihood is bound to end below this, as a logarithm, is given up: it keeps the bound, and NaN for
    /// the readings that it never met.
    hopeless: f64,
}

/// A sample that alone would give its suspect less than this probability cannot be seen.
const HOPELESS: f64 = 1e-6;

impl Cloud {
    pub(crate) fn new(sampler: &Sampler, faults: Vec<FaultId>) -> Self {
        Self {
            coming: Coming::of(sampler.model, &faults, &sampler.readings),
            faults,
            z: Vec::new(),
            truths: Vec::new(),
            ln_likelihood: Vec::new(),
            ln_importance: Vec::new(),
            proposals: Vec::new(),
            unsolved: 0,
            hopeless: f64::NEG_INFINITY,
        }
    }

    /// Gives up samples that cannot add anything to be seen, where the evidence of all suspects is `ln_scale` over this one's prior.
    pub(crate) fn give_up_below(&mut self, ln_scale: f64) {
        self.hopeless = HOPELESS.ln() + ln_scale;
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

    /// Draws the first `count` samples of the prior, as long as they may be told apart from those of `alike`, clouds of subsets
    /// among `clouds`; what stays in `alike` cannot be. A difference of `share` of a reading's scatter is seen.
    pub(crate) fn draw_apart(
        &mut self,
        sampler: &Sampler,
        probe: &mut Probe,
        count: usize,
        (clouds, alike, share): (&[Self], &mut Vec<usize>, f64),
    ) {
        let (width, mut solving) = (
            self.coming.count() * sampler.readings.len(),
            Solving::new(sampler),
        );
        sampler.rest(probe);
        for row in 0..count {
            let (z, start) = (sampler.prior_row(row), self.truths.len());
            self.truths.resize(start + width, f64::NAN);
            let twin = Some(Twins {
                clouds,
                alike,
                share,
                row,
            });
            let (ln, balanced) = solving.sample(
                probe,
                (&self.faults, &self.coming),
                self.hopeless,
                &z,
                &mut self.truths[start..],
                twin,
            );
            self.z.extend(z);
            self.ln_likelihood.push(ln);
            self.unsolved += usize::from(!balanced);
        }
        self.proposals.push(Proposal {
            moved: Vec::new(),
            count,
        });
        self.weigh(sampler.dimensions());
    }

    /// `true` if every sample was given up.
    pub(crate) fn all_given_up(&self) -> bool {
        self.ln_likelihood.iter().all(|ln| *ln < self.hopeless)
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
        let dimensions = sampler.dimensions();
        let fresh = &self.z[first * dimensions..];
        let (faults, hopeless, mut solved) = ((&self.faults[..], &self.coming), self.hopeless, Vec::new());
        if fresh.len() < 2 * CHUNK * dimensions {
            solved.push(solve(sampler, probe, faults, hopeless, fresh));
        } else {
            fresh
                .par_chunks(CHUNK * dimensions)
                .map_init(
                    || sampler.model.probe(),
                    |probe, chunk| solve(sampler, probe, faults, hopeless, chunk),
                )
                .collect_into_vec(&mut solved);
        }
        for chunk in solved {
            self.unsolved += chunk.unsolved;
            self.ln_likelihood.extend(chunk.ln_likelihood);
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

    /// What a perfect instrument would show of reading `k` of `readings` on one sample.
    pub(crate) fn truth(&self, sample: usize, k: usize, readings: usize) -> Truth<'_> {
        let states = self.coming.count();
        Truth {
            values: &self.truths[(sample * readings + k) * states..][..states],
            chances: self.coming.chances(k),
        }
    }

    /// What perfect instruments would show of all `readings` on one sample; nothing if there is no such sample.
    pub(crate) fn row(&self, sample: usize, readings: usize) -> impl Iterator<Item = Truth<'_>> {
        let there = if sample < self.len() { readings } else { 0 };
        (0..there).map(move |k| self.truth(sample, k, readings))
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

/// What perfect instruments would show on a few samples, and how likely that makes the readings.
struct Solved {
    truths: Vec<f64>,
    ln_likelihood: Vec<f64>,
    unsolved: usize,
}

fn solve(
    sampler: &Sampler,
    probe: &mut Probe,
    faults: (&[FaultId], &Coming),
    hopeless: f64,
    samples: &[f64],
) -> Solved {
    let count = faults.1.count() * sampler.readings.len();
    let mut solving = Solving::new(sampler);
    let mut solved = Solved {
        truths: Vec::with_capacity(count * (samples.len() / sampler.dimensions())),
        ln_likelihood: Vec::new(),
        unsolved: 0,
    };
    sampler.rest(probe);
    for z in samples.chunks_exact(sampler.dimensions()) {
        let start = solved.truths.len();
        solved.truths.resize(start + count, f64::NAN);
        let (ln, balanced) = solving.sample(probe, faults, hopeless, z, &mut solved.truths[start..], None);
        solved.unsolved += usize::from(!balanced);
        solved.ln_likelihood.push(ln);
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
