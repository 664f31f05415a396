//! Why the belief is what it is: what each reading says, and whether the readings fit together.

use crate::belief::Belief;
use crate::cloud::systematic;
use crate::coming::Truth;
use crate::evidence::{Outcome, Prepared};
use crate::instrument::{MISREADING, ToolError};
use crate::running::{Running, leave_one_out};
use circuit::Instrument;
use numerics::normal_cdf;
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::HashMap;

/// What one reading says of one suspect.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reason {
    /// Index of the check.
    pub check: usize,
    /// How many times likelier the reading makes this suspect against all others together, given all other readings.
    pub factor: f64,
    /// 5th, 50th and 95th percentile of the true value under this suspect, given all other readings; for yes or no the
    /// probability of yes.
    pub expected: [f64; 3],
}

/// How the readings fit what is on the list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Probability of readings at least as odd as these if the belief is right; near 0: they fit nothing on the list.
    pub fit: f64,
    /// The check whose reading is odd beside the others, if one is.
    pub odd: Option<usize>,
}

/// Below this probability, given all others, a reading is called odd.
const ODD: f64 = 0.01;

impl Belief<'_> {
    /// What every reading says of the suspect at `index`.
    pub fn reasons(&self, index: usize) -> Vec<Reason> {
        let readings = &self.sampler.readings;
        (0..readings.len()).map(|k| self.reason(index, k)).collect()
    }

    fn reason(&self, index: usize, k: usize) -> Reason {
        let own = self.predictive(self.suspects[index].cloud, k);
        let mut others = (0.0, 0.0);
        for (cloud, probability) in self
            .cloud_probabilities()
            .into_iter()
            .filter(|(_, p)| *p > VISIBLE)
        {
            let shared = if cloud == self.suspects[index].cloud {
                self.suspects[index].probability
            } else {
                0.0
            };
            // Weight of the other suspects as if this reading had not been taken.
            others.0 += probability - shared;
            others.1 += (probability - shared) / self.predictive(cloud, k).max(f64::MIN_POSITIVE);
        }
        let rest = if others.1 > 0.0 { others.0 / others.1 } else { own };
        Reason {
            check: self.sampler.readings[k].check,
            factor: own / rest,
            expected: self.truth_percentiles(index, k),
        }
    }

    /// Probability of all suspects that share a cloud, by its number.
    fn cloud_probabilities(&self) -> Vec<(usize, f64)> {
        let mut sums = vec![0.0; self.clouds.len()];
        self.suspects
            .iter()
            .for_each(|suspect| sums[suspect.cloud] += suspect.probability);
        sums.into_iter().enumerate().collect()
    }

    /// What leaving a reading out does to every sample's weight: kept for the clouds that can be seen, made anew for another
    /// that somebody asks about.
    fn left_out(&self, cloud: usize) -> Cow<'_, [f64]> {
        let all = self.left_out.get_or_init(|| {
            self.cloud_probabilities()
                .into_par_iter()
                .map(|(index, probability)| {
                    if probability > VISIBLE {
                        self.leave_out(index)
                    } else {
                        Vec::new()
                    }
                })
                .collect()
        });
        if all[cloud].is_empty() {
            Cow::Owned(self.leave_out(cloud))
        } else {
            Cow::Borrowed(&all[cloud])
        }
    }

    fn leave_out(&self, cloud: usize) -> Vec<f64> {
        let (readings, toolbox) = (&self.sampler.readings, &self.sampler.toolbox);
        let (cloud, count) = (&self.clouds[cloud], readings.len());
        let mut ratios = Vec::with_capacity(cloud.len() * count);
        for (row, weight) in cloud.weights().into_iter().enumerate() {
            if weight > TRACE {
                let truths: Vec<Truth> = cloud.row(row, count).collect();
                ratios.extend(leave_one_out(toolbox, readings, &truths));
            } else {
                ratios.resize(ratios.len() + readings.len(), 0.0);
            }
        }
        ratios
    }

    /// Likelihood of reading `k` under a cloud, given all other readings: harmonic mean over its weighted samples.
    fn predictive(&self, cloud: usize, k: usize) -> f64 {
        let total: f64 = self.weights_without(cloud, k).iter().sum();
        if total > 0.0 {
            1.0 / total
        } else {
            f64::MIN_POSITIVE
        }
    }

    /// A cloud's weights (which sum to 1) as if reading `k` had not been taken, in the same scale.
    fn weights_without(&self, cloud: usize, k: usize) -> Vec<f64> {
        let count = self.sampler.readings.len();
        let left_out = self.left_out(cloud);
        let ratios = left_out.iter().skip(k).step_by(count);
        self.clouds[cloud]
            .weights()
            .into_iter()
            .zip(ratios)
            .map(|(weight, ratio)| weight * ratio)
            .collect()
    }

    fn truth_percentiles(&self, index: usize, k: usize) -> [f64; 3] {
        let cloud = self.cloud(index);
        let count = self.sampler.readings.len();
        let weights = self.weights_without(self.suspects[index].cloud, k);
        if matches!(self.sampler.readings[k].outcome, Outcome::Yes | Outcome::No) {
            let total: f64 = weights.iter().sum();
            let rows = weights.iter().enumerate();
            let yes: f64 = rows
                .map(|(row, w)| w * cloud.truth(row, k, count).mean(|yes| yes))
                .sum();
            return [yes / total.max(f64::MIN_POSITIVE); 3];
        }
        let rows = weights.iter().enumerate();
        let mut weighted: Vec<(f64, f64)> = rows
            .flat_map(|(row, w)| {
                cloud
                    .truth(row, k, count)
                    .states()
                    .map(move |(t, chance)| (t, w * chance))
            })
            .filter(|(t, _)| !t.is_nan())
            .collect();
        crate::expect::percentiles(&mut weighted).unwrap_or_default()
    }

    /// How the readings fit together.
    ///
    /// For each reading: how probable a reading at least as far out is, on either side, given all the others. The
    /// smallest of them, corrected for having looked at all (Šidák), times how much of the listed causes' prior share is left
    /// after the readings, is the fit.
    pub fn fit(&self) -> Fit {
        let count = self.sampler.readings.len();
        let (mut least, mut met) = ((1.0, None), HashMap::new());
        for k in 0..count {
            let tail = self.tail(k, &mut met);
            if tail < least.0 {
                least = (tail, Some(self.sampler.readings[k].check));
            }
        }
        let fit = 1.0 - (1.0 - f64::min(least.0, 1.0)).powi(i32::try_from(count).unwrap_or(i32::MAX));
        let listed = (1.0 - self.not_listed) / (1.0 - self.model().circuit().priors.not_listed);
        Fit {
            fit: if count == 0 { 1.0 } else { fit * listed.min(1.0) },
            odd: least.1.filter(|_| least.0 < ODD),
        }
    }

    /// Probability of a reading at least as far out as reading `k`, given all others, over the listed suspects. Samples that
    /// were `met` for one reading are looked up for the next.
    fn tail<'b>(&'b self, k: usize, met: &mut HashMap<(usize, usize), Running<'b>>) -> f64 {
        let reading = &self.sampler.readings[k];
        let tool = &self.sampler.toolbox.tools()[reading.instrument];
        let (mut below, mut total) = (0.0, 0.0);
        for (cloud, probability) in self
            .cloud_probabilities()
            .into_iter()
            .filter(|(_, p)| *p > VISIBLE)
        {
            let weights = self.weights_without(cloud, k);
            let mass = weights.iter().sum::<f64>() * probability;
            let rows = systematic(&weights, STAND_INS);
            let share = mass / rows.len().max(1) as f64;
            for row in rows {
                let running = met.entry((cloud, row)).or_insert_with(|| self.meet(cloud, row));
                let truth = self.clouds[cloud].truth(row, k, self.sampler.readings.len());
                let (mut under, mut sum) = (0.0, 0.0);
                let values = tool
                    .errors
                    .iter()
                    .zip(running.without(reading, truth))
                    .enumerate();
                for (index, ((error, _), weight)) in values {
                    let below = match &reading.compared {
                        Some(compared) => compared.below[index],
                        None => truth.mean(|truth| probability_below(reading, truth, *error)),
                    };
                    under += weight * below;
                    sum += weight;
                }
                below += share * under / sum;
                total += share;
            }
        }
        let below = if total > 0.0 { below / total } else { 0.5 };
        match reading.outcome {
            Outcome::Value(_) => (2.0 * below.min(1.0 - below)).min(1.0),
            // For an outcome with a probability of its own: that probability, doubled so that an even chance is not odd.
            _ => (2.0 * below).min(1.0),
        }
    }

    /// All readings on one sample.
    fn meet(&self, cloud: usize, row: usize) -> Running<'_> {
        let (readings, mut running) = (&self.sampler.readings, Running::new(&self.sampler.toolbox));
        let taken = readings.iter().zip(self.clouds[cloud].row(row, readings.len()));
        taken.for_each(|(reading, truth)| running.take(reading, truth));
        running
    }

    /// Instruments in use and the probability that their own error is gross: sort, name, probability.
    pub fn doubtful_instruments(&self) -> Vec<(Instrument, Option<String>, f64)> {
        let readings = &self.sampler.readings;
        let tools = self.sampler.toolbox.tools().iter().enumerate();
        tools
            .filter(|(index, _)| readings.iter().any(|reading| reading.instrument == *index))
            .map(|(index, tool)| {
                let mut gross = 0.0;
                for (cloud, probability) in self
                    .cloud_probabilities()
                    .into_iter()
                    .filter(|(_, p)| *p > VISIBLE)
                {
                    let rows = systematic(&self.clouds[cloud].weights(), STAND_INS);
                    let share = probability / rows.len().max(1) as f64;
                    for row in rows {
                        let running = self.meet(cloud, row);
                        let weights = running.weights(index);
                        let far = tool
                            .errors
                            .iter()
                            .zip(weights)
                            .filter(|((error, _), _)| tool.accuracy.suspicious(*error));
                        gross += share * far.map(|(_, w)| w).sum::<f64>() / weights.iter().sum::<f64>();
                    }
                }
                (tool.instrument, tool.name.clone(), gross)
            })
            .collect()
    }
}

/// Suspects less likely than this are left out of explanations.
const VISIBLE: f64 = 1e-3;
/// A sample of less than this share of its cloud stays out of sight even without the reading that speaks most against it.
const TRACE: f64 = 1e-9;
/// Samples that stand for a cloud in an explanation.
const STAND_INS: usize = 96;

/// Probability of a reading below the value read, or of the very outcome where it is no value.
fn probability_below(reading: &Prepared, truth: f64, error: ToolError) -> f64 {
    match reading.outcome {
        Outcome::Value(value) => {
            let shown = reading.accuracy.shown(truth, error);
            let good = normal_cdf((value - shown) / reading.accuracy.deviation(shown));
            (1.0 - MISREADING) * good + MISREADING * (1.0 - reading.accuracy.gross_above(value))
        }
        outcome => crate::evidence::likelihood(&reading.accuracy, outcome, truth, error),
    }
}
