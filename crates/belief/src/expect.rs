//! What a check would show, before it is made.

use crate::belief::{Belief, Surroundings};
use crate::cloud::{Sampler, systematic};
use crate::evidence::{error_weights, yes_no};
use crate::instrument::{Accuracy, ToolError};
use crate::uncertain::{MOST_FAULTS, Uncertain};
use circuit::FaultId;
use numerics::{normal_point, uniform};
use physics::{Model, SolveError};
use rayon::prelude::*;

/// The reading that a check is expected to show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// 5th, 50th and 95th percentile, SI; for yes or no the probability of yes three times.
    pub percentiles: [f64; 3],
    /// Number of samples behind it.
    pub samples: usize,
}

/// Dimension of the points that stand for the scatter of one reading; far beyond any circuit's own.
const SCATTER: u32 = 200;

/// What `check` shows on a vehicle with exactly `faults`, each at a given severity or spread over its own.
///
/// # Errors
/// [`SolveError`] if the circuit finds no balance.
pub fn expect(
    model: &Model,
    surroundings: Surroundings,
    faults: &[(FaultId, Option<f64>)],
    check: usize,
    samples: usize,
    seed: u32,
) -> Result<Expected, SolveError> {
    let uncertain = Uncertain::new(model.circuit(), surroundings.ambient, surroundings.known);
    let accuracy = Accuracy::of(model.checks()[check].instrument);
    let ids: Vec<FaultId> = faults.iter().map(|(id, _)| *id).take(MOST_FAULTS).collect();
    let dimensions = u32::try_from(uncertain.dimensions()).unwrap_or(u32::MAX);
    let mut probe = model.probe();
    let mut vehicle = uncertain.blank();
    let mut shown = Vec::with_capacity(samples);
    for row in 0..u32::try_from(samples).unwrap_or(u32::MAX) {
        let z: Vec<f64> = (0..dimensions)
            .map(|dimension| normal_point(row, dimension, seed))
            .collect();
        uncertain.fill(&mut vehicle, model.circuit(), &ids, &z);
        for ((_, severity), (_, given)) in vehicle.faults.iter_mut().zip(faults) {
            *severity = given.unwrap_or(*severity);
        }
        let truth = probe.predict(check, &vehicle)?.value();
        let own = [1, 2].map(|place| normal_point(row, dimensions + place, seed));
        shown.push((
            reading(
                &accuracy,
                truth,
                accuracy.error_at(own),
                normal_point(row, dimensions, seed),
            ),
            1.0,
        ));
    }
    if yes_no(&model.checks()[check]) {
        let yes = shown.iter().map(|(p, _)| p).sum::<f64>() / samples.max(1) as f64;
        return Ok(Expected {
            percentiles: [yes; 3],
            samples,
        });
    }
    Ok(Expected {
        percentiles: percentiles(&mut shown).unwrap_or_default(),
        samples,
    })
}

/// One reading by an instrument with its own `error` and the scatter of this reading (standard normal).
pub fn reading(accuracy: &Accuracy, truth: f64, error: ToolError, scatter: f64) -> f64 {
    let shown = accuracy.shown(truth, error);
    shown + accuracy.deviation(shown) * scatter
}

/// 5th, 50th and 95th percentile of weighted values; `None` if they have no weight.
pub(crate) fn percentiles(weighted: &mut [(f64, f64)]) -> Option<[f64; 3]> {
    let total: f64 = weighted.iter().map(|(_, weight)| weight).sum();
    if total <= 0.0 {
        return None;
    }
    weighted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let at = |share: f64| {
        let mut sum = 0.0;
        for (value, weight) in weighted.iter() {
            sum += weight;
            if sum >= share * total {
                return *value;
            }
        }
        weighted[weighted.len() - 1].0
    };
    Some([at(0.05), at(0.5), at(0.95)])
}

/// A few weighted samples that stand for the whole belief, with what every check would show on each: the ground on which
/// the next check is chosen.
#[derive(Debug)]
pub struct Outlook<'b, 'm> {
    belief: &'b Belief<'m>,
    /// Suspect and weight of each sample; weights sum to the listed suspects' probability.
    samples: Vec<(usize, f64)>,
    /// Sample after sample, what each check would show by its usual instrument, without the scatter of one reading.
    shown: Vec<f64>,
}

/// Samples that one thread looks out from in a row.
const RUN: usize = 16;

impl<'b, 'm> Outlook<'b, 'm> {
    /// About `budget` samples of `belief`. Suspects of less than a thousandth are left out.
    pub fn new(belief: &'b Belief<'m>, budget: usize) -> Self {
        let mut picks = Vec::new();
        for (index, suspect) in belief
            .suspects
            .iter()
            .enumerate()
            .filter(|(_, s)| s.probability > 1e-3)
        {
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a share of the budget"
            )]
            let count = (budget as f64 * suspect.probability).ceil().max(2.0) as usize;
            for (row, share) in pick(belief, index, count) {
                picks.push((index, suspect.probability * share, row));
            }
        }
        let checks = belief.model().checks().len();
        let mut shown = vec![0.0; picks.len() * checks];
        shown
            .par_chunks_mut(checks.max(1) * RUN)
            .zip(picks.par_chunks(RUN))
            .for_each_init(
                || belief.model().probe(),
                |probe, (out, picks)| {
                    // From rest, so that the answer does not depend on which thread solved what before.
                    probe.cold();
                    let rows = out.chunks_mut(checks.max(1)).zip(picks);
                    rows.for_each(|(out, (index, _, row))| fill(belief, probe, *index, *row, out));
                },
            );
        Self {
            belief,
            samples: picks
                .into_iter()
                .map(|(index, weight, _)| (index, weight))
                .collect(),
            shown,
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

/// Rows of a suspect's cloud, drawn evenly by weight (systematic resampling), each with its share. Without readings the
/// cloud is empty and rows stand for the prior's own points.
fn pick(belief: &Belief, suspect: usize, count: usize) -> Vec<(usize, f64)> {
    let cloud = belief.cloud(suspect);
    let share = 1.0 / count as f64;
    if cloud.len() == 0 {
        return (0..count).map(|row| (row, share)).collect();
    }
    systematic(&cloud.weights(), count)
        .into_iter()
        .map(|row| (row, share))
        .collect()
}

fn fill(belief: &Belief, probe: &mut physics::Probe, suspect: usize, row: usize, out: &mut [f64]) {
    let sampler = &belief.sampler;
    let (cloud, dimensions) = (belief.cloud(suspect), sampler.dimensions());
    let z: Vec<f64> = if cloud.len() == 0 {
        sampler.prior_row(row)
    } else {
        cloud.z[row * dimensions..(row + 1) * dimensions].to_vec()
    };
    let mut vehicle = sampler.uncertain.blank();
    sampler.vehicle(&mut vehicle, &belief.suspects[suspect].faults, &z);
    let order = sampler.model.by_setting();
    let mut truths = vec![0.0; order.len()];
    if probe.predict_all(order, &vehicle, &mut truths).is_err() {
        probe.cold();
    }
    let count = sampler.readings.len();
    let read = if cloud.len() == 0 {
        &[][..]
    } else {
        &cloud.truths[row * count..(row + 1) * count]
    };
    let errors = draw_errors(sampler, read, row);
    for (check, truth) in order.iter().zip(truths) {
        let spec = &sampler.model.checks()[*check];
        let tool = sampler.toolbox.index(spec.instrument, None);
        out[*check] = Accuracy::of(spec.instrument).shown(truth, errors[tool]);
    }
}

/// One value of every instrument's own error, drawn from what the readings `truths` leave likely.
fn draw_errors(sampler: &Sampler, truths: &[f64], row: usize) -> Vec<ToolError> {
    let tools = sampler.toolbox.tools().iter().enumerate();
    tools
        .map(|(index, tool)| {
            let weights = error_weights(
                tool,
                index,
                if truths.is_empty() { &[] } else { &sampler.readings },
                truths,
            );
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
