//! Readings as evidence: how likely each is where the truth is known.

use crate::instrument::{Accuracy, MISREADING, ToolError};
use circuit::{Check, Instrument, Reads};
use numerics::{normal_cdf, normal_density};

/// What was recorded of a check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outcome {
    /// A number, SI, in the check's sense.
    Value(f64),
    /// More than this.
    Over(f64),
    /// Less than this.
    Under(f64),
    /// Yes.
    Yes,
    /// No.
    No,
}

/// One reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// Index into the model's checks.
    pub check: usize,
    /// What was read.
    pub outcome: Outcome,
    /// Name of the instrument if it is not the usual one of its sort: readings with the same name share one error.
    pub instrument: Option<String>,
}

/// A reading made ready: its error model and which instrument it was taken with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Prepared {
    pub(crate) check: usize,
    pub(crate) outcome: Outcome,
    pub(crate) accuracy: Accuracy,
    /// Index of the instrument among those in use.
    pub(crate) instrument: usize,
}

/// The instruments in use, each with the values its own error can have.
#[derive(Debug, Clone, Default)]
pub(crate) struct Toolbox {
    tools: Vec<Tool>,
}

/// One instrument.
#[derive(Debug, Clone)]
pub(crate) struct Tool {
    pub(crate) instrument: Instrument,
    pub(crate) name: Option<String>,
    pub(crate) accuracy: Accuracy,
    pub(crate) errors: Vec<(ToolError, f64)>,
}

impl Toolbox {
    /// The usual instrument of every sort that `checks` need, then those that `observations` name.
    pub(crate) fn new(checks: &[Check], observations: &[Observation]) -> Self {
        let mut toolbox = Self::default();
        for check in checks {
            toolbox.add(check.instrument, None);
        }
        for observation in observations {
            toolbox.add(
                checks[observation.check].instrument,
                observation.instrument.clone(),
            );
        }
        toolbox
    }

    fn add(&mut self, instrument: Instrument, name: Option<String>) {
        if self
            .tools
            .iter()
            .all(|tool| tool.instrument != instrument || tool.name != name)
        {
            let accuracy = Accuracy::of(instrument);
            self.tools.push(Tool {
                instrument,
                name,
                accuracy,
                errors: accuracy.errors(),
            });
        }
    }

    pub(crate) fn tools(&self) -> &[Tool] {
        &self.tools
    }

    /// Index of an instrument.
    pub(crate) fn index(&self, instrument: Instrument, name: Option<&str>) -> usize {
        let found = self
            .tools
            .iter()
            .position(|tool| tool.instrument == instrument && tool.name.as_deref() == name);
        found.unwrap_or_default()
    }

    pub(crate) fn prepare(&self, checks: &[Check], observation: &Observation) -> Prepared {
        let instrument = checks[observation.check].instrument;
        Prepared {
            check: observation.check,
            outcome: observation.outcome,
            accuracy: Accuracy::of(instrument),
            instrument: self.index(instrument, observation.instrument.as_deref()),
        }
    }
}

/// Likelihood of all `readings`, where `truths` are what perfect instruments would show.
///
/// Readings taken with one instrument share its error: their joint likelihood is the mean, over the values of that error,
/// of the product. Instruments are independent of each other.
pub(crate) fn joint_likelihood(toolbox: &Toolbox, readings: &[Prepared], truths: &[f64]) -> f64 {
    let mut product = 1.0;
    for (index, tool) in toolbox.tools.iter().enumerate() {
        if readings.iter().any(|reading| reading.instrument == index) {
            product *= tool
                .errors
                .iter()
                .map(|(error, weight)| {
                    let own = readings
                        .iter()
                        .zip(truths)
                        .filter(|(reading, _)| reading.instrument == index);
                    own.fold(*weight, |product, (reading, truth)| {
                        product * one_likelihood(reading, *truth, *error)
                    })
                })
                .sum::<f64>();
        }
    }
    product
}

/// For every reading, the likelihood of all others over that of all: what a sample's weight is multiplied by to leave that
/// reading out.
pub(crate) fn leave_one_out(toolbox: &Toolbox, readings: &[Prepared], truths: &[f64]) -> Vec<f64> {
    let mut ratios = vec![1.0; readings.len()];
    for (index, tool) in toolbox.tools.iter().enumerate() {
        let own: Vec<usize> = (0..readings.len())
            .filter(|k| readings[*k].instrument == index)
            .collect();
        let (mut all, mut without) = (0.0, vec![0.0; own.len()]);
        for (error, weight) in tool.errors.iter().filter(|_| !own.is_empty()) {
            let ones: Vec<f64> = own
                .iter()
                .map(|k| one_likelihood(&readings[*k], truths[*k], *error))
                .collect();
            let product = ones.iter().product::<f64>() * weight;
            all += product;
            without
                .iter_mut()
                .zip(&ones)
                .for_each(|(sum, one)| *sum += product / one);
        }
        own.iter()
            .zip(without)
            .for_each(|(k, sum)| ratios[*k] = sum / all);
    }
    ratios
}

/// Likelihood of one reading; where the network found no balance, that of a misreading.
pub(crate) fn one_likelihood(reading: &Prepared, truth: f64, error: ToolError) -> f64 {
    if truth.is_nan() {
        return misread(&reading.accuracy, reading.outcome);
    }
    likelihood(&reading.accuracy, reading.outcome, truth, error)
}

/// Weights of the values of an instrument's own error after the readings, not normalised.
pub(crate) fn error_weights(tool: &Tool, index: usize, readings: &[Prepared], truths: &[f64]) -> Vec<f64> {
    let own = readings
        .iter()
        .zip(truths)
        .filter(|(reading, _)| reading.instrument == index);
    tool.errors
        .iter()
        .map(|(error, weight)| {
            own.clone().fold(*weight, |w, (reading, truth)| {
                w * one_likelihood(reading, *truth, *error)
            })
        })
        .collect()
}

/// Likelihood of an outcome where a perfect instrument would show `truth`, with the instrument's own `error`.
///
/// A share [`MISREADING`] of readings is anywhere in the instrument's range, so that one odd reading never sets a suspect
/// to zero. Bounds integrate the same density. For yes or no, `truth` is the probability of yes.
pub fn likelihood(accuracy: &Accuracy, outcome: Outcome, truth: f64, error: ToolError) -> f64 {
    let good = match outcome {
        Outcome::Yes => truth,
        Outcome::No => 1.0 - truth,
        Outcome::Value(value) => {
            let shown = accuracy.shown(truth, error);
            let deviation = accuracy.deviation(shown);
            let x = (value - shown) / deviation;
            if x.abs() > BEYOND {
                0.0
            } else {
                normal_density(x) / deviation
            }
        }
        Outcome::Over(bound) => above(accuracy, bound, truth, error),
        Outcome::Under(bound) => 1.0 - above(accuracy, bound, truth, error),
    };
    (1.0 - MISREADING) * good + MISREADING * anything(accuracy, outcome)
}

/// Beyond this many standard deviations the normal density is less than a hundred-millionth of a misreading's.
const BEYOND: f64 = 9.0;

fn above(accuracy: &Accuracy, bound: f64, truth: f64, error: ToolError) -> f64 {
    let shown = accuracy.shown(truth, error);
    let x = (bound - shown) / accuracy.deviation(shown);
    if x.abs() > BEYOND {
        f64::from(x < 0.0)
    } else {
        1.0 - normal_cdf(x)
    }
}

/// Likelihood of an outcome where the cause is not on the list: half the time the place reads as on a healthy circuit,
/// half the time anything the instrument can show.
pub(crate) fn unlisted(accuracy: &Accuracy, outcome: Outcome, healthy: f64) -> f64 {
    0.5 * healthy + 0.5 * anything(accuracy, outcome)
}

/// Likelihood of an outcome that only a misreading explains.
pub(crate) fn misread(accuracy: &Accuracy, outcome: Outcome) -> f64 {
    MISREADING * anything(accuracy, outcome)
}

/// Likelihood of an outcome where the instrument may show anything it can.
fn anything(accuracy: &Accuracy, outcome: Outcome) -> f64 {
    match outcome {
        Outcome::Yes | Outcome::No => 0.5,
        Outcome::Value(value) => accuracy.gross_density(value),
        Outcome::Over(bound) => accuracy.gross_above(bound),
        Outcome::Under(bound) => 1.0 - accuracy.gross_above(bound),
    }
}

/// `true` if a check answers yes or no.
pub(crate) fn yes_no(check: &Check) -> bool {
    check.reads == Reads::YesNo
}
