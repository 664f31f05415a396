//! Priors of sets whose faults come about independently of each other.

use super::FaultSet;

/// Faults that occur independently: the prior of a set is a product of odds.
///
/// `P(S) = Π_{f∈S} p_f · Π_{f∉S} (1 − p_f) = Π_f (1 − p_f) · Π_{f∈S} p_f / (1 − p_f)`; over all sets these sum to one.
#[derive(Clone, Debug)]
pub struct IndependentFaults {
    ln_odds: Vec<f64>,
    ln_nothing: f64,
}

/// Why priors cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PriorError {
    /// A prior outside `[0, 1)`: a fault that is certain beforehand leaves nothing to isolate.
    #[error("prior of fault {fault} is {prior}, expected at least 0 and below 1")]
    OutOfRange {
        /// Number of the fault.
        fault: usize,
        /// The prior given.
        prior: f64,
    },
}

impl IndependentFaults {
    /// From each fault's prior probability, at least 0 and below 1.
    ///
    /// # Errors
    /// [`PriorError::OutOfRange`] names the first prior that is not.
    pub fn new(priors: &[f64]) -> Result<Self, PriorError> {
        for (fault, &prior) in priors.iter().enumerate() {
            if !(0.0..1.0).contains(&prior) {
                return Err(PriorError::OutOfRange { fault, prior });
            }
        }
        Ok(Self {
            ln_odds: priors.iter().map(|p| p.ln() - (-p).ln_1p()).collect(),
            ln_nothing: priors.iter().map(|p| (-p).ln_1p()).sum(),
        })
    }

    /// How many faults there are.
    pub fn count(&self) -> usize {
        self.ln_odds.len()
    }

    /// Natural logarithm of the probability that exactly the faults of `set` are present; `-∞` where one of them has
    /// prior 0 or is not a fault of this model.
    pub fn ln_prior(&self, set: &FaultSet) -> f64 {
        let odds = set
            .faults()
            .iter()
            .map(|&fault| self.ln_odds.get(fault).copied().unwrap_or(f64::NEG_INFINITY));
        self.ln_nothing + odds.sum::<f64>()
    }
}
