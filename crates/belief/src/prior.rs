//! How likely a set of faults is before any reading.

use circuit::{Circuit, FaultId};
use std::collections::BTreeMap;

/// Priors over sets of faults of a circuit.
#[derive(Debug)]
pub(crate) struct Prior<'c> {
    circuit: &'c Circuit,
    shares: BTreeMap<FaultId, f64>,
    /// Σ over pairs of the product of shares.
    pairs: f64,
}

impl<'c> Prior<'c> {
    pub(crate) fn new(circuit: &'c Circuit) -> Self {
        let shares: BTreeMap<FaultId, f64> = circuit.faults().into_iter().collect();
        let squares: f64 = shares.values().map(|share| share * share).sum();
        Self {
            circuit,
            shares,
            pairs: (0.5 * (1.0 - squares)).max(1e-6),
        }
    }

    /// Logarithm of the prior of exactly these faults.
    ///
    /// Singles share what nothing wrong, not listed and second faults leave. Pairs share the second-fault mass in proportion
    /// to the product of their shares, times the factor of a common cause; each further fault costs the same again.
    pub(crate) fn ln(&self, set: &[FaultId]) -> f64 {
        let priors = self.circuit.priors;
        let single = 1.0 - priors.nothing_wrong - priors.not_listed - priors.second_fault;
        let share = |id: &FaultId| self.shares.get(id).copied().unwrap_or(0.0);
        match set {
            [] => priors.nothing_wrong.ln(),
            [one] => (single * share(one)).ln(),
            more if distinct_parts(more) => {
                let product: f64 = more.iter().map(|id| share(id).ln()).sum();
                let further = (more.len() - 2) as f64;
                (priors.second_fault / self.pairs).ln()
                    + further * (priors.second_fault / single / (2.0 * self.pairs)).ln()
                    + product
                    + self.common_cause(more).ln()
            }
            _ => f64::NEG_INFINITY,
        }
    }

    /// The strongest factor of a common cause that hits at least two of the parts; 1 if none does.
    fn common_cause(&self, faults: &[FaultId]) -> f64 {
        let hit = |cause: &&circuit::CommonCause| {
            faults.iter().filter(|id| cause.parts.contains(&id.part)).count() > 1
        };
        self.circuit
            .common_causes
            .iter()
            .filter(hit)
            .map(|cause| cause.factor)
            .fold(1.0, f64::max)
    }
}

/// A part fails in one way at a time: two faults of one part are one fault with another name.
pub(crate) fn distinct_parts(faults: &[FaultId]) -> bool {
    faults.windows(2).all(|pair| pair[0].part != pair[1].part)
}
