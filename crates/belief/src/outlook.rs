//! What every check would show, over the whole of a belief.

use crate::belief::Belief;
use crate::cloud::{Cloud, systematic};
use crate::coming::predict_once;
use crate::comparing::behind;
use crate::evidence::yes_no;
use crate::expect::{Expected, SCATTER, percentiles};
use crate::instrument::{Accuracy, ToolError};
use crate::running::Running;
use crate::sampler::Sampler;
use circuit::{FaultId, PartId};
use numerics::{normal_point, uniform};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A few weighted samples that stand for the whole belief, with what every check would show on each: the ground on which
/// the next check is chosen.
///
/// Behind the samples stand, with no weight, the same vehicles with some of their faulty parts made good: what a repair that
/// was not enough leaves.
#[derive(Debug)]
pub struct Outlook<'b, 'm> {
    belief: &'b Belief<'m>,
    /// Suspect and weight of each sample; weights sum to the listed suspects' probability.
    samples: Vec<(usize, f64)>,
    /// What is wrong in each sample, and in what repairs leave of it.
    faults: Vec<Vec<FaultId>>,
    /// The sample that is left when one part of another is made good.
    left: BTreeMap<(usize, PartId), usize>,
    /// Sample after sample, what each check would show by its usual instrument, without the scatter of one reading.
    shown: Vec<f64>,
}

/// Samples that one thread looks out from in a row.
const RUN: usize = 16;
/// Suspects of less than this many samples' worth of weight are left out.
const LEAST_WORTH: f64 = 0.4;

/// A sample to be drawn: what is wrong, and which row of which suspect's cloud its values come from.
struct Pick {
    suspect: usize,
    row: usize,
    faults: Vec<FaultId>,
}

impl<'b, 'm> Outlook<'b, 'm> {
    /// About `budget` samples of `belief`. Suspects too unlikely for a sample of their own, and all of less than a thousandth
    /// where the budget is small, are left out.
    pub fn new(belief: &'b Belief<'m>, budget: usize) -> Self {
        Self::draw(belief, budget, 0)
    }

    /// The same with other samples: what was decided on one can be tried on the other.
    pub fn other(belief: &'b Belief<'m>, budget: usize) -> Self {
        Self::draw(belief, budget, 1)
    }

    fn draw(belief: &'b Belief<'m>, budget: usize, turn: usize) -> Self {
        let (mut samples, mut picks) = (Vec::new(), Vec::new());
        let least = (LEAST_WORTH / budget as f64).min(1e-3);
        let suspects = belief.suspects.iter().enumerate();
        for (index, suspect) in suspects.filter(|(_, suspect)| suspect.probability > least) {
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a share of the budget"
            )]
            let count = (budget as f64 * suspect.probability).ceil().max(2.0) as usize;
            for (row, share) in pick(belief, index, count, turn) {
                samples.push((index, suspect.probability * share));
                picks.push(Pick {
                    suspect: index,
                    row,
                    faults: suspect.faults.clone(),
                });
            }
        }
        let left = leave(&mut picks);
        Self {
            belief,
            samples,
            shown: look(belief, &picks),
            faults: picks.into_iter().map(|pick| pick.faults).collect(),
            left,
        }
    }

    /// The belief.
    pub fn belief(&self) -> &'b Belief<'m> {
        self.belief
    }

    /// Index of the suspect and weight of every sample.
    pub fn samples(&self) -> &[(usize, f64)] {
        &self.samples
    }

    /// What is wrong in every sample, and behind them in what repairs leave of some.
    pub fn faults(&self) -> &[Vec<FaultId>] {
        &self.faults
    }

    /// The sample that is `sample` with `part` made good, if something else is still wrong then. It stands behind the samples
    /// with weight.
    pub fn left(&self, sample: usize, part: PartId) -> Option<usize> {
        self.left.get(&(sample, part)).copied()
    }

    /// What `check` would show on `sample`, without the scatter of one reading.
    pub fn shown(&self, sample: usize, check: usize) -> f64 {
        self.shown[sample * self.belief.model().checks().len() + check]
    }

    /// The reading expected of `check`: overall, or under the suspect at `only`.
    pub fn expected(&self, check: usize, only: Option<usize>) -> Option<Expected> {
        let accuracy = Accuracy::of(self.belief.model().checks()[check].instrument);
        let mut weighted = Vec::new();
        for (index, (suspect, weight)) in self.samples.iter().enumerate() {
            if only.is_none_or(|only| only == *suspect) {
                let scatter = normal_point(u32::try_from(index).unwrap_or(0), SCATTER, 0);
                let shown = self.shown(index, check);
                weighted.push((shown + accuracy.deviation(shown) * scatter, *weight));
            }
        }
        let samples = weighted.len();
        if yes_no(&self.belief.model().checks()[check]) {
            let total: f64 = weighted.iter().map(|(_, weight)| weight).sum();
            let yes = weighted.iter().map(|(p, weight)| p * weight).sum::<f64>() / total;
            return (total > 0.0).then_some(Expected {
                percentiles: [yes; 3],
                samples,
            });
        }
        Some(Expected {
            percentiles: percentiles(&mut weighted)?,
            samples,
        })
    }
}

/// Rows of a suspect's cloud, drawn evenly by weight (systematic resampling), each with its share; others for another `turn`, 0
/// or 1. Without readings the cloud is empty and rows stand for the prior's own points.
fn pick(belief: &Belief, suspect: usize, count: usize, turn: usize) -> Vec<(usize, f64)> {
    let cloud = belief.cloud(suspect);
    let share = 1.0 / count as f64;
    let rows: Vec<usize> = if cloud.len() == 0 {
        (turn * count..(turn + 1) * count).collect()
    } else if turn == 0 {
        systematic(&cloud.weights(), count)
    } else {
        // Twice as many fall between those of the first turn.
        let twice = systematic(&cloud.weights(), 2 * count);
        twice.into_iter().step_by(2).collect()
    };
    rows.into_iter().map(|row| (row, share)).collect()
}

/// Adds, behind the picks, what is left of each when one of its parts is made good, and of that in turn.
fn leave(picks: &mut Vec<Pick>) -> BTreeMap<(usize, PartId), usize> {
    let mut left = BTreeMap::new();
    let mut known: BTreeMap<(usize, usize, Vec<FaultId>), usize> = BTreeMap::new();
    let mut next = 0;
    while next < picks.len() {
        let Pick { suspect, row, faults } = &picks[next];
        let (suspect, row, faults) = (*suspect, *row, faults.clone());
        let mut parts: Vec<PartId> = faults.iter().map(|fault| fault.part).collect();
        parts.dedup();
        for part in parts.iter().filter(|_| parts.len() > 1) {
            let rest: Vec<FaultId> = faults
                .iter()
                .filter(|fault| fault.part != *part)
                .copied()
                .collect();
            let place = *known.entry((suspect, row, rest.clone())).or_insert_with(|| {
                picks.push(Pick {
                    suspect,
                    row,
                    faults: rest,
                });
                picks.len() - 1
            });
            left.insert((next, *part), place);
        }
        next += 1;
    }
    left
}

/// What every check would show on every pick.
fn look(belief: &Belief, picks: &[Pick]) -> Vec<f64> {
    let checks = belief.model().checks().len().max(1);
    let mut shown = vec![0.0; picks.len() * checks];
    shown
        .par_chunks_mut(checks * RUN)
        .zip(picks.par_chunks(RUN))
        .for_each_init(
            || belief.model().probe(),
            |probe, (out, picks)| {
                // From rest, so that the answer does not depend on which thread solved what before.
                probe.cold();
                let rows = out.chunks_mut(checks).zip(picks);
                rows.for_each(|(out, pick)| fill(belief, probe, pick, out));
            },
        );
    shown
}

fn fill(belief: &Belief, probe: &mut physics::Probe, pick: &Pick, out: &mut [f64]) {
    let sampler = &belief.sampler;
    let (suspect, row) = (pick.suspect, pick.row);
    let (cloud, dimensions) = (belief.cloud(suspect), sampler.dimensions());
    let z: Vec<f64> = if cloud.len() == 0 {
        sampler.prior_row(row)
    } else {
        cloud.z[row * dimensions..(row + 1) * dimensions].to_vec()
    };
    let mut vehicle = sampler.uncertain.blank();
    sampler.vehicle(&mut vehicle, &pick.faults, &z);
    let order = sampler.model.by_setting();
    let mut truths = vec![0.0; order.len()];
    if !predict_once(sampler.model, probe, &mut vehicle, (row, 4), order, &mut truths) {
        probe.cold();
    }
    let errors = draw_errors(sampler, cloud, row);
    for (check, truth) in order.iter().zip(truths) {
        let spec = &sampler.model.checks()[*check];
        let tool = sampler.toolbox.index(spec.instrument, None);
        let truth = behind(spec, truth, row, 4);
        out[*check] = Accuracy::of(spec.instrument).shown(truth, errors[tool]);
    }
}

/// One value of every instrument's own error, drawn from what the readings on sample `row` of `cloud` leave likely.
fn draw_errors(sampler: &Sampler, cloud: &Cloud, row: usize) -> Vec<ToolError> {
    let mut running = Running::new(&sampler.toolbox);
    let taken = sampler
        .readings
        .iter()
        .zip(cloud.row(row, sampler.readings.len()));
    taken.for_each(|(reading, truth)| running.take(reading, truth));
    let tools = sampler.toolbox.tools().iter().enumerate();
    tools
        .map(|(index, tool)| {
            let weights = running.weights(index);
            let target = uniform(
                u32::try_from(row).unwrap_or(0),
                SCATTER + u32::try_from(index % 32).unwrap_or(0),
                3,
            );
            let target = target * weights.iter().sum::<f64>();
            let mut sum = 0.0;
            let drawn = weights.iter().position(|weight| {
                sum += weight;
                sum >= target
            });
            tool.errors[drawn.unwrap_or(0)].0
        })
        .collect()
}
