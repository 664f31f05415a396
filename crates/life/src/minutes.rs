//! What a check really takes: shipped minutes, moved by those spent.
//!
//! Logarithms of minutes are taken as normal, with unknown mean and spread (normal-inverse-gamma). DERIVATIONS 17.

use crate::special::student_quantile;
use crate::sums::Durations;

/// How much shipped minutes weigh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MinutesPrior {
    /// What the check typically takes.
    pub typical: quantity::Minutes,
    /// Standard deviation of the logarithm of one check's minutes; 0.5 is a factor of 1.6 either way.
    pub spread: f64,
    /// How many checks made these figures count for.
    pub strength: f64,
}

/// A typical workshop's spread and a weight of eight checks made: common practice, no source.
impl From<quantity::Minutes> for MinutesPrior {
    fn from(typical: quantity::Minutes) -> Self {
        Self {
            typical,
            spread: 0.5,
            strength: 8.0,
        }
    }
}

/// What a check takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Minutes {
    /// Geometric mean, drawn towards the shipped minutes.
    pub typical: quantity::Minutes,
    /// Nineteen of twenty such checks take longer.
    pub low: quantity::Minutes,
    /// Nineteen of twenty take less: the next one lies between with 90 %.
    pub high: quantity::Minutes,
    /// Checks made.
    pub seen: u64,
}

/// Shipped minutes that cannot be.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "shipped minutes of {minutes}, spread {spread}, for {strength} checks; expected finite numbers above zero"
)]
pub struct MinutesError {
    /// Typical minutes.
    pub minutes: f64,
    /// Spread of their logarithm.
    pub spread: f64,
    /// Checks they count for.
    pub strength: f64,
}

/// What a check takes, from shipped figures and from those made.
///
/// # Errors
/// [`MinutesError`]: shipped figures that cannot be.
pub fn minutes(prior: &MinutesPrior, made: &Durations) -> Result<Minutes, MinutesError> {
    let MinutesPrior { spread, strength, .. } = *prior;
    let shipped = prior.typical.minutes();
    let fine = |value: f64| value.is_finite() && value > 0.0;
    if !(fine(shipped) && fine(spread) && fine(strength)) {
        return Err(MinutesError {
            minutes: shipped,
            spread,
            strength,
        });
    }
    let count = made.count as f64;
    let (mean, deviation) = made.mean_and_deviation();
    let weight = strength + count;
    let middle = (strength * shipped.ln() + count * mean) / weight;
    let apart = strength * count / weight * (mean - shipped.ln()).powi(2);
    let variance = (strength * spread * spread + deviation + apart) / weight;
    let reach = student_quantile(0.95, weight) * (variance * (1.0 + 1.0 / weight)).sqrt();
    Ok(Minutes {
        typical: quantity::Minutes::new(middle.exp()),
        low: quantity::Minutes::new((middle - reach).exp()),
        high: quantity::Minutes::new((middle + reach).exp()),
        seen: made.count,
    })
}
