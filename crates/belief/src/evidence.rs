//! Readings as evidence: how likely each is where the truth is known.

use crate::instrument::{Accuracy, MISREADING};
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

/// A reading made ready: its error model and which of the sample's dimensions hold the instrument's own error.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Prepared {
    pub(crate) check: usize,
    pub(crate) outcome: Outcome,
    pub(crate) accuracy: Accuracy,
    /// Index of the instrument among those in use.
    pub(crate) instrument: usize,
}

/// The instruments in use, each with two dimensions of a sample.
#[derive(Debug, Clone, Default)]
pub(crate) struct Toolbox {
    tools: Vec<(Instrument, Option<String>)>,
}

impl Toolbox {
    /// The usual instrument of every sort that `checks` need, then those that `observations` name.
    pub(crate) fn new(checks: &[Check], observations: &[Observation]) -> Self {
        let mut tools: Vec<(Instrument, Option<String>)> = Vec::new();
        let named = observations.iter().filter(|observation| observation.instrument.is_some());
        let all = checks.iter().map(|check| (check.instrument, None));
        for tool in all.chain(named.map(|o| (checks[o.check].instrument, o.instrument.clone()))) {
            if tool.0 != Instrument::Senses && !tools.contains(&tool) {
                tools.push(tool);
            }
        }
        Self { tools }
    }

    pub(crate) fn count(&self) -> usize {
        self.tools.len()
    }

    pub(crate) fn tools(&self) -> &[(Instrument, Option<String>)] {
        &self.tools
    }

    /// Index of an instrument; 0 for the senses, whose error model needs none.
    pub(crate) fn index(&self, instrument: Instrument, name: Option<&str>) -> usize {
        self.tools.iter().position(|tool| tool.0 == instrument && tool.1.as_deref() == name).unwrap_or(0)
    }

    pub(crate) fn prepare(&self, checks: &[Check], observation: &Observation) -> Prepared {
        let check = &checks[observation.check];
        Prepared {
            check: observation.check,
            outcome: observation.outcome,
            accuracy: Accuracy::of(check.instrument),
            instrument: self.index(check.instrument, observation.instrument.as_deref()),
        }
    }
}

/// Likelihood of an outcome where a perfect instrument would show `truth`, with the instrument's own error `z`.
///
/// A share [`MISREADING`] of readings is anywhere in the instrument's range, so that one odd reading never sets a suspect
/// to zero. Bounds integrate the same density. For yes or no, `truth` is the probability of yes.
pub fn likelihood(accuracy: &Accuracy, outcome: Outcome, truth: f64, z: [f64; 2]) -> f64 {
    let good = 1.0 - MISREADING;
    match outcome {
        Outcome::Yes => good * truth + 0.5 * MISREADING,
        Outcome::No => good * (1.0 - truth) + 0.5 * MISREADING,
        Outcome::Value(value) => {
            let shown = accuracy.shown(truth, z);
            let deviation = accuracy.deviation(shown);
            good * normal_density((value - shown) / deviation) / deviation + MISREADING * accuracy.gross_density(value)
        }
        Outcome::Over(bound) => good * above(accuracy, bound, truth, z) + MISREADING * accuracy.gross_above(bound),
        Outcome::Under(bound) => {
            good * (1.0 - above(accuracy, bound, truth, z)) + MISREADING * (1.0 - accuracy.gross_above(bound))
        }
    }
}

fn above(accuracy: &Accuracy, bound: f64, truth: f64, z: [f64; 2]) -> f64 {
    let shown = accuracy.shown(truth, z);
    1.0 - normal_cdf((bound - shown) / accuracy.deviation(shown))
}

/// Likelihood of an outcome where the cause is not on the list: half the time the place reads as on a healthy circuit,
/// half the time anything the instrument can show.
pub(crate) fn unlisted(accuracy: &Accuracy, outcome: Outcome, healthy: f64) -> f64 {
    let anything = match outcome {
        Outcome::Yes | Outcome::No => 0.5,
        Outcome::Value(value) => accuracy.gross_density(value),
        Outcome::Over(bound) => accuracy.gross_above(bound),
        Outcome::Under(bound) => 1.0 - accuracy.gross_above(bound),
    };
    0.5 * healthy + 0.5 * anything
}

/// `true` if a check answers yes or no.
pub(crate) fn yes_no(check: &Check) -> bool {
    check.reads == Reads::YesNo
}
