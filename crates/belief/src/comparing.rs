//! Two gauges on one source: what the usual one shows while a second one, no better, shows a round figure.
//!
//! That says nothing of the vehicle and much of the gauge: its likelihood depends on the gauge's own error alone, summed over
//! the errors that the second one may have. Every other reading with that gauge is then read with less doubt.

use crate::evidence::{Outcome, Prepared, likelihood, relative_likelihood};
use crate::instrument::{Accuracy, MISREADING};
use circuit::Check;
use numerics::{normal_cdf, normal_point};

/// A comparison, for every value that the usual instrument's own error can have.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Compared {
    /// Likelihood of what was read, as a share of the reading's peak.
    pub(crate) relative: Vec<f64>,
    /// Probability of less than what was read, or of the very outcome where it is no value.
    pub(crate) below: Vec<f64>,
}

impl Compared {
    /// The comparison `reading`, taken while the `second` gauge showed `level`.
    pub(crate) fn new(reading: &Prepared, second: &Accuracy, level: f64) -> Self {
        let accuracy = &reading.accuracy;
        let errors = accuracy.errors();
        // Nobody knows the second gauge's error either.
        let seconds = second.errors().into_iter();
        let truths: Vec<(f64, f64)> = seconds
            .map(|(error, weight)| ((level - error.zero) / (1.0 + error.factor), weight))
            .collect();
        let over = |of: &dyn Fn(f64) -> f64| truths.iter().map(|(truth, weight)| weight * of(*truth)).sum();
        Self {
            relative: errors
                .iter()
                .map(|(error, _)| over(&|truth| relative_likelihood(reading, truth, *error)))
                .collect(),
            below: errors
                .iter()
                .map(|(error, _)| {
                    over(&|truth| below(accuracy, reading.outcome, accuracy.shown(truth, *error)))
                })
                .collect(),
        }
    }
}

/// Probability of less than what was read where the instrument shows `shown`; of a bound itself.
fn below(accuracy: &Accuracy, outcome: Outcome, shown: f64) -> f64 {
    match outcome {
        Outcome::Value(value) => {
            let good = normal_cdf((value - shown) / accuracy.deviation(shown));
            (1.0 - MISREADING) * good + MISREADING * (1.0 - accuracy.gross_above(value))
        }
        outcome => likelihood(accuracy, outcome, shown, crate::ToolError::default()),
    }
}

/// What is true where `check` would show `truth`: of a comparison what the second gauge makes of its level, by lots that `row` and `seed`
/// decide; of every other check that itself.
pub(crate) fn behind(check: &Check, truth: f64, row: usize, seed: u32) -> f64 {
    let row = u32::try_from(row).unwrap_or(u32::MAX);
    let z = || [0, 1].map(|place| normal_point(row, SECOND + place, seed));
    let level = check.level();
    level.map_or(truth, |level| {
        compared(&Accuracy::of(check.instrument), level, z())
    })
}

/// Dimensions of the points that stand for the second gauge's error, beyond any circuit's own.
const SECOND: u32 = 6_000;

/// The true value behind a comparison at `level`, where the second gauge's own error stands at two standard normal values.
pub fn compared(accuracy: &Accuracy, level: f64, z: [f64; 2]) -> f64 {
    let second = accuracy.error_at(z);
    (level - second.zero) / (1.0 + second.factor)
}

#[cfg(test)]
mod tests {
    use super::*;
    use circuit::Instrument;

    /// The sum over both gauges' errors by hand, with a step for each value of one and of the other.
    #[test]
    fn a_comparison_is_the_sum_over_the_errors_of_the_second_gauge() {
        let accuracy = Accuracy::of(Instrument::VacuumGauge);
        let level = 50_795.8;
        let reading = Prepared::new(0, Outcome::Value(58.0e3), accuracy, 0);
        let compared = Compared::new(&reading, &accuracy, level);
        for (own, found) in accuracy.errors().iter().zip(&compared.relative) {
            let mut sum = 0.0;
            for (second, weight) in accuracy.errors() {
                let truth = (level - second.zero) / (1.0 + second.factor);
                sum += weight * likelihood(&accuracy, reading.outcome, truth, own.0) / reading.peak;
            }
            // Both add some hundred terms.
            assert!((found / sum - 1.0).abs() < 1e-9, "{own:?}: {found} and {sum}");
        }
    }

    #[test]
    fn a_gauge_far_from_the_second_is_likely_to_be_wrong_itself_or_the_second_is() {
        let accuracy = Accuracy::of(Instrument::VacuumGauge);
        let weights = |value: f64| -> f64 {
            let reading = Prepared::new(0, Outcome::Value(value), accuracy, 0);
            let compared = Compared::new(&reading, &accuracy, 50_795.8);
            let posterior = || accuracy.errors().into_iter().zip(compared.relative.clone());
            let all: f64 = posterior().map(|((_, weight), relative)| weight * relative).sum();
            let wrong = posterior().filter(|((error, _), _)| accuracy.suspicious(*error));
            wrong
                .map(|((_, weight), relative)| weight * relative)
                .sum::<f64>()
                / all
        };
        assert!(weights(50_800.0) < 0.01, "both agree: {}", weights(50_800.0));
        // One of two alike is wrong, so it is nearly an even chance which.
        let apart = weights(60.0e3);
        assert!((0.35..0.65).contains(&apart), "{apart}");
    }
}
