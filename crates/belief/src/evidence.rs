//! Readings as evidence: how likely each is where the truth is known.

use crate::coming::Truth;
use crate::comparing::Compared;
use crate::instrument::{Accuracy, MISREADING, ToolError};
use circuit::{AccuracyClass, Check, Reads};
use numerics::{normal_cdf, normal_density};
use std::sync::Arc;

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
    /// The instrument if it is not the usual one of its sort: readings with the same name share one error.
    pub instrument: Option<NamedInstrument>,
}

/// An instrument that has a name.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedInstrument {
    /// It.
    pub name: String,
    /// How right it is; without it, as such instruments usually are. What was said last of a name counts for all its readings.
    pub class: Option<AccuracyClass>,
}

/// A reading made ready: its error model and which instrument it was taken with.
#[derive(Debug, Clone)]
pub(crate) struct Prepared {
    pub(crate) check: usize,
    pub(crate) outcome: Outcome,
    pub(crate) accuracy: Accuracy,
    /// Index of the instrument among those in use.
    pub(crate) instrument: usize,
    /// What no truth makes likelier than: the greatest likelihood of this outcome.
    pub(crate) peak: f64,
    /// Likelihood of a misreading, as a share of the peak.
    floor: f64,
    /// For a comparison of two gauges: what it says of the usual one, and it says nothing else.
    pub(crate) compared: Option<Arc<Compared>>,
}

impl Prepared {
    /// The outcome of `check`, read with an instrument of this `accuracy` that has the index `tool` among those in use.
    pub(crate) fn new(check: usize, outcome: Outcome, accuracy: Accuracy, tool: usize) -> Self {
        let peak = peak(&accuracy, outcome);
        Self {
            check,
            outcome,
            accuracy,
            instrument: tool,
            peak,
            floor: misread(&accuracy, outcome) / peak,
            compared: None,
        }
    }

    /// The same as a comparison, taken while a `second` gauge showed `level`.
    pub(crate) fn beside_another(mut self, second: &Accuracy, level: f64) -> Self {
        self.compared = Some(Arc::new(Compared::new(&self, second, level)));
        self
    }

    /// Its likelihood on one sample, as a share of its peak, where the instrument has its own `error`, the one of its values with the
    /// number `index`.
    pub(crate) fn relative(&self, truth: Truth, (index, error): (usize, ToolError)) -> f64 {
        match &self.compared {
            Some(compared) => compared.relative[index],
            None => truth.relative(self, error),
        }
    }

    /// Logarithm of the greatest likelihood that any truth gives this reading.
    pub(crate) fn ln_peak(&self) -> f64 {
        self.peak.ln()
    }
}

/// No truth and no error of the instrument makes `outcome` likelier than this.
///
/// A value's density is greatest close to what is shown, where three deviations below it the scatter is least; further
/// off it is less than a hundredth of that.
fn peak(accuracy: &Accuracy, outcome: Outcome) -> f64 {
    let Outcome::Value(value) = outcome else {
        return 1.0;
    };
    let near = (value.abs() - 3.0 * accuracy.deviation(value)).max(0.0);
    (1.0 - MISREADING) * normal_density(0.0) / accuracy.deviation(near) + misread(accuracy, outcome)
}

/// Likelihood of one reading; where the network found no balance, that of a misreading.
pub(crate) fn one_likelihood(reading: &Prepared, truth: f64, error: ToolError) -> f64 {
    if truth.is_nan() {
        return misread(&reading.accuracy, reading.outcome);
    }
    likelihood(&reading.accuracy, reading.outcome, truth, error)
}

/// The same as a share of the reading's peak.
pub(crate) fn relative_likelihood(reading: &Prepared, truth: f64, error: ToolError) -> f64 {
    if truth.is_nan() {
        return reading.floor;
    }
    let Outcome::Value(value) = reading.outcome else {
        return likelihood(&reading.accuracy, reading.outcome, truth, error);
    };
    let shown = reading.accuracy.shown(truth, error);
    let deviation = reading.accuracy.deviation(shown);
    let x = (value - shown) / deviation;
    if x.abs() > BEYOND {
        return reading.floor;
    }
    (1.0 - MISREADING) * normal_density(x) / (deviation * reading.peak) + reading.floor
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

/// Least probability of a bound where the instrument may show anything: no reading makes anything impossible.
const LEAST_ANYTHING: f64 = 1e-3;

/// Likelihood of an outcome where the instrument may show anything it can.
fn anything(accuracy: &Accuracy, outcome: Outcome) -> f64 {
    match outcome {
        Outcome::Yes | Outcome::No => 0.5,
        Outcome::Value(value) => accuracy.gross_density(value),
        // Even a bound at the very end of the instrument's range may be misread.
        Outcome::Over(bound) => accuracy.gross_above(bound).max(LEAST_ANYTHING),
        Outcome::Under(bound) => (1.0 - accuracy.gross_above(bound)).max(LEAST_ANYTHING),
    }
}

/// `true` if a check answers yes or no.
pub(crate) fn yes_no(check: &Check) -> bool {
    check.reads == Reads::YesNo
}
