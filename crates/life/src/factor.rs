//! How much likelier than usual a part fails now: by its distance or age, and by the vehicle's own record.
//!
//! Factors move the weight of a fault before any reading; they never rule a fault out. DERIVATIONS 17.

use crate::classes::ClassCount;
use crate::weibull::Weibull;

/// No factor leaves this range: a life fitted to other vehicles may move a weight tenfold, not decide. Common practice,
/// no source.
pub const FACTORS: (f64, f64) = (0.1, 10.0);

/// The rate at which a part is usually replaced, as known before this vehicle: a gamma distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsualRate {
    /// Expected distance between replacements, km; positive.
    pub every_km: f64,
    /// How many replacements this knowledge counts for; positive. Two: vehicles differ by a factor of two or so (common
    /// practice, no source).
    pub strength: f64,
}

/// Figures that give no factor.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FactorError {
    /// A distance or age is negative or no number.
    #[error("a distance or age of {found}; expected zero or more")]
    At {
        /// As given.
        found: f64,
    },
    /// A figure of the usual rate or of the life is not positive.
    #[error("{what} is {found}; expected a finite number above zero")]
    NotPositive {
        /// Which.
        what: &'static str,
        /// As given.
        found: f64,
    },
}

/// How many times likelier than on average over its life a part at this distance (or age) fails now: the hazard there
/// over failures per life, `h(at) · mean life`, within [`FACTORS`].
///
/// `at` is in the unit of the scale. Take a life fitted with a [`crate::Prior`] unless there are many failures.
///
/// # Errors
/// [`FactorError`]: figures that cannot be.
pub fn factor(life: &Weibull, at: f64) -> Result<f64, FactorError> {
    positive("the scale of a life", life.scale)?;
    positive("the shape of a life", life.shape)?;
    let ln = life.shape.ln()
        + (life.shape - 1.0) * (not_negative(at)? / life.scale).ln()
        + libm::lgamma(1.0 + 1.0 / life.shape);
    // At zero and shape one, 0 · −∞: failures at random have no age.
    Ok(bounded(if ln.is_nan() { 0.0 } else { ln }.exp()))
}

/// How many times likelier than among the parts seen a part at this distance (or age) fails now: the hazard there over its mean
/// over the parts of `seen`, each in the middle of its class, within [`FACTORS`].
///
/// How often parts of the kind fail at all is told by the shares of causes; this tells only how that rises or falls with
/// distance, whatever part of their life the vehicles that come have lived. One for a shape of one.
///
/// # Errors
/// [`FactorError`]: figures that cannot be, nothing seen.
pub fn factor_among(life: &Weibull, at: f64, seen: &[ClassCount]) -> Result<f64, FactorError> {
    positive("the scale of a life", life.scale)?;
    positive("the shape of a life", life.shape)?;
    // Relative to the scale, so that no power is too large to write down.
    let hazard = |at: f64| (at / life.scale).powf(life.shape - 1.0);
    let (mut sum, mut count) = (0.0, 0.0);
    for class in seen {
        let parts = class.failed.saturating_add(class.good) as f64;
        sum += parts * hazard(class.middle());
        count += parts;
    }
    positive("the number of parts seen", count)?;
    let ratio = hazard(not_negative(at)?) * count / sum;
    Ok(bounded(if ratio.is_nan() { 1.0 } else { ratio }))
}

/// How many times likelier than usual this vehicle needs the part, by its own record: gamma-Poisson,
/// `(strength + replaced) / (strength + km / every_km)`, within [`FACTORS`].
///
/// # Errors
/// [`FactorError`]: figures that cannot be.
pub fn own_record(usual: &UsualRate, replaced: u32, distance_km: f64) -> Result<f64, FactorError> {
    positive("the usual distance between replacements", usual.every_km)?;
    positive("the strength of the usual rate", usual.strength)?;
    let expected = not_negative(distance_km)? / usual.every_km;
    Ok(bounded(
        (usual.strength + f64::from(replaced)) / (usual.strength + expected),
    ))
}

fn bounded(factor: f64) -> f64 {
    factor.clamp(FACTORS.0, FACTORS.1)
}

fn positive(what: &'static str, found: f64) -> Result<(), FactorError> {
    if found.is_finite() && found > 0.0 {
        Ok(())
    } else {
        Err(FactorError::NotPositive { what, found })
    }
}

fn not_negative(found: f64) -> Result<f64, FactorError> {
    if found.is_finite() && found >= 0.0 {
        Ok(found)
    } else {
        Err(FactorError::At { found })
    }
}
