//! What a measurement would tell, in bits.

/// Entropy of a list of weights in bits: `H = −Σ pᵢ log₂ pᵢ` with `pᵢ = wᵢ / Σw` (Shannon 1948).
///
/// Weights need not sum to one; zeros are allowed. 0 where there is no weight at all.
pub fn entropy(weights: &[f64]) -> f64 {
    let total: f64 = weights.iter().sum();
    if total <= 0.0 {
        return 0.0;
    }
    let bits: f64 = weights
        .iter()
        .filter(|w| **w > 0.0)
        .map(|w| w / total)
        .map(|p| -p * p.log2())
        .sum();
    bits.max(0.0)
}

/// Bits by which a measurement is expected to lower the entropy over the candidates (mutual information).
///
/// `I = Σᵢ pᵢ Σₒ P(o|i) log₂( P(o|i) / P(o) )`, `P(o) = Σᵢ pᵢ P(o|i)`: the entropy before minus the mean entropy after,
/// written so that every candidate's share is a non-negative distance. It is the quantity minimised by the one-step look-ahead
/// of de Kleer & Williams, *Diagnosing multiple faults*, Artificial Intelligence 32 (1987).
///
/// - `weights`: one per candidate, not negative, any scale.
/// - `outcomes`: how many outcomes the measurement has.
/// - `probability(candidate, outcome)`: how likely the outcome is under the candidate; sums to one over the outcomes.
pub fn expected_gain(weights: &[f64], outcomes: usize, probability: impl Fn(usize, usize) -> f64) -> f64 {
    let total: f64 = weights.iter().sum();
    if total <= 0.0 {
        return 0.0;
    }
    let gain: f64 = (0..outcomes)
        .map(|outcome| outcome_share(weights, total, |i| probability(i, outcome)))
        .sum();
    gain.max(0.0)
}

/// One outcome's part of the expected gain.
fn outcome_share(weights: &[f64], total: f64, probability: impl Fn(usize) -> f64) -> f64 {
    let joint: Vec<(f64, f64)> = weights
        .iter()
        .enumerate()
        .map(|(i, w)| (w / total, probability(i)))
        .filter(|(w, p)| *w > 0.0 && *p > 0.0)
        .collect();
    let overall: f64 = joint.iter().map(|(w, p)| w * p).sum();
    joint.iter().map(|(w, p)| w * p * (p / overall).log2()).sum()
}
