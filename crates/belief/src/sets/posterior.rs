//! Weighted sets as probabilities, and how much of the evidence they hold.

use super::FaultSet;

/// What is known about the sets after the readings, among the sets that were listed.
#[derive(Clone, Debug)]
pub struct Posterior {
    /// The listed sets with their probabilities, likeliest first (ties: smaller set first); they sum to one.
    pub sets: Vec<(FaultSet, f64)>,
    /// For every fault the probability that it is present, alone or with others.
    pub marginals: Vec<f64>,
    /// `ln Σ prior · likelihood` over the listed sets.
    pub ln_evidence_kept: f64,
    /// Share of the whole evidence that the listed sets hold, known or estimated.
    pub kept: Kept,
    /// A share of the evidence that is certainly kept, in `[0, 1]`; 0 where nothing can be said for certain.
    ///
    /// Sets not listed have prior mass `1 − Σ prior(listed)` and at most the likelihood ceiling `L`, hence
    /// `kept ≥ Z / (Z + (1 − Σ prior)·L)` with `Z` the evidence kept. True but loose: with many bad readings `Z` is small.
    pub kept_at_least: f64,
}

/// The share of evidence kept, in `[0, 1]`, with how it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kept {
    /// The total evidence is known: either the model computes it, or every possible set was listed.
    Exact(f64),
    /// Extrapolated, not a bound. The gains of the last two full rounds are taken to go on as a geometric series; its ratio
    /// is not believed below ½ or above 0.95, so what is missing is taken as at least the last gain. Where a limit on the
    /// number of faults cut the sets off, the evidence by number of faults is extrapolated in the same way and added.
    Estimate(f64),
}

impl Kept {
    /// The share, however it is known.
    pub fn share(self) -> f64 {
        match self {
            Self::Exact(share) | Self::Estimate(share) => share,
        }
    }
}

impl Posterior {
    /// The listed set's probability, 0 for a set that was not listed.
    pub fn probability(&self, set: &FaultSet) -> f64 {
        self.sets
            .iter()
            .find(|(listed, _)| listed == set)
            .map_or(0.0, |(_, p)| *p)
    }

    /// Probabilities from log-weights; `None` if no set has any weight.
    pub(super) fn of(
        weighted: Vec<(FaultSet, f64)>,
        fault_count: usize,
        kept: Kept,
        kept_at_least: f64,
    ) -> Option<Self> {
        let mut sets = weighted;
        sets.sort_by(|(a, wa), (b, wb)| wb.total_cmp(wa).then_with(|| a.cmp(b)));
        let ln_evidence_kept = ln_sum_exp(sets.iter().map(|(_, w)| *w));
        if !ln_evidence_kept.is_finite() {
            return None;
        }
        let mut marginals = vec![0.0; fault_count];
        for (set, weight) in &mut sets {
            *weight = (*weight - ln_evidence_kept).exp();
            for &fault in set.faults() {
                marginals[fault] += *weight;
            }
        }
        for marginal in &mut marginals {
            *marginal = marginal.min(1.0);
        }
        Some(Self {
            sets,
            marginals,
            ln_evidence_kept,
            kept,
            kept_at_least,
        })
    }
}

/// `ln Σ exp xᵢ`, shifted by the maximum so that nothing overflows and the largest term stays exact; `-∞` for no terms.
pub fn ln_sum_exp(terms: impl Iterator<Item = f64> + Clone) -> f64 {
    let largest = terms.clone().fold(f64::NEG_INFINITY, f64::max);
    if !largest.is_finite() {
        return largest;
    }
    largest + terms.map(|x| (x - largest).exp()).sum::<f64>().ln()
}
