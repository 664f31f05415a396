//! What all clouds of one belief share: the points of their samples, the readings, and the order in which a sample meets them.

use crate::coming::Truth;
use crate::evidence::Prepared;
use crate::running::{Running, Toolbox};
use crate::uncertain::Uncertain;
use circuit::FaultId;
use numerics::normal_point;
use physics::{Model, Probe, Vehicle};
use rayon::prelude::*;
use std::ops::Range;

/// Rows of the common table of points; later points are computed when asked for.
const TABLE: usize = 512;
/// What all clouds of one belief share.
#[derive(Debug)]
pub(crate) struct Sampler<'m> {
    pub(crate) model: &'m Model,
    pub(crate) uncertain: Uncertain,
    pub(crate) toolbox: Toolbox,
    /// Readings, those that share a network side by side.
    pub(crate) readings: Vec<Prepared>,
    /// Readings that share a network, in the order in which a sample meets them.
    pub(crate) groups: Vec<Range<usize>>,
    /// Sum of the logarithms of the readings' peaks.
    pub(crate) ln_peaks: f64,
    /// The solutions of a typical vehicle, from which every run of solves starts: the answer then does not depend on which
    /// thread solved what before.
    pub(crate) typical: Probe<'m>,
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
            groups: groups(model, &readings),
            ln_peaks: readings.iter().map(Prepared::ln_peak).sum(),
            readings,
            typical: model.probe(),
            table: Vec::new(),
            seed,
        };
        sampler.settle_typical();
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

    /// Solves the networks of all readings on a typical vehicle; one that finds no balance is started from rest later on.
    fn settle_typical(&mut self) {
        let (vehicle, mut typical) = (self.uncertain.blank(), self.model.probe());
        for group in &self.groups {
            self.meet(&mut typical, group, &vehicle, &mut vec![f64::NAN; group.len()]);
        }
        self.typical = typical;
    }

    /// Puts `probe` where every run of solves starts.
    pub(crate) fn rest(&self, probe: &mut Probe) {
        probe.start_from(&self.typical);
    }

    /// Lets a sample meet the readings first that tell most: those that one vehicle with each of `sets` of faults explains
    /// worst, on average. What cannot explain the readings is then found out after a few networks.
    pub(crate) fn telling_first(&mut self, sets: &[Vec<FaultId>]) {
        if self.groups.len() < 2 {
            return;
        }
        let row = self.prior_row(0);
        let told: Vec<Vec<f64>> = sets
            .par_iter()
            .map_init(
                || (self.model.probe(), Running::new(&self.toolbox)),
                |(probe, running), faults| {
                    self.rest(probe);
                    let mut vehicle = self.uncertain.blank();
                    self.vehicle(&mut vehicle, faults, &row);
                    let told = self.groups.iter().map(|group| {
                        running.reset();
                        let mut truths = vec![f64::NAN; group.len()];
                        self.meet(probe, group, &vehicle, &mut truths);
                        let readings = self.readings[group.clone()].iter();
                        readings
                            .zip(truths.chunks_exact(1))
                            .for_each(|(reading, values)| running.take(reading, certain(values)));
                        running.ln()
                    });
                    told.collect()
                },
            )
            .collect();
        let sums = (0..self.groups.len()).map(|group| told.iter().map(|told| told[group]).sum::<f64>());
        let mut order: Vec<(f64, Range<usize>)> = sums.zip(self.groups.drain(..)).collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0));
        self.groups = order.into_iter().map(|(_, group)| group).collect();
    }

    /// What perfect instruments would show of the readings of `group`; they stay NaN where the network finds no balance,
    /// and the answer is `false`.
    pub(crate) fn meet(
        &self,
        probe: &mut Probe,
        group: &Range<usize>,
        vehicle: &Vehicle,
        truths: &mut [f64],
    ) -> bool {
        let mut checks = [0; MOST_TOGETHER];
        for (start, truths) in group
            .clone()
            .step_by(MOST_TOGETHER)
            .zip(truths.chunks_mut(MOST_TOGETHER))
        {
            let checks = &mut checks[..truths.len()];
            for (check, reading) in checks.iter_mut().zip(&self.readings[start..]) {
                *check = reading.check;
            }
            if probe.predict_all(checks, vehicle, truths).is_err() {
                truths.fill(f64::NAN);
                probe.cold();
                return false;
            }
        }
        true
    }

    /// `true` if reading `k` shows no difference between `truth` and `other`, that of a like sample: none of more than `share` of its
    /// scatter. A sample that was given up shows nothing from there on.
    pub(crate) fn unseen(&self, k: usize, truth: f64, other: f64, share: f64) -> bool {
        // Yes or no has no scatter; a probability that differs by a thousandth cannot be seen.
        const OF_YES: f64 = 0.05;
        let scatter = self.readings[k].accuracy.deviation(truth);
        let scatter = if scatter > 0.0 { scatter } else { OF_YES };
        other.is_nan() || (truth - other).abs() <= share * scatter
    }

    pub(crate) fn point(&self, row: usize, dimension: usize) -> f64 {
        normal_point(
            u32::try_from(row).unwrap_or(u32::MAX),
            u32::try_from(dimension).unwrap_or(u32::MAX),
            self.seed,
        )
    }

    pub(crate) fn coordinate(&self, row: usize, dimension: usize) -> f64 {
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

/// A truth without doubt about what shows.
fn certain(values: &[f64]) -> Truth<'_> {
    Truth {
        values,
        chances: &[1.0],
    }
}

/// Readings of one network that are predicted at once.
const MOST_TOGETHER: usize = 16;

/// Ranges of readings that share a network.
fn groups(model: &Model, readings: &[Prepared]) -> Vec<Range<usize>> {
    let setting = |k: &usize| model.setting(readings[*k].check);
    let all: Vec<usize> = (0..readings.len()).collect();
    all.chunk_by(|a, b| setting(a) == setting(b))
        .map(|chunk| chunk[0]..chunk[0] + chunk.len())
        .collect()
}
