//! How much evidence lies beyond the sets that were listed: an estimate.

use super::{FaultSet, ln_sum_exp};

/// What is known at the end of a search.
#[derive(Debug)]
pub(super) struct Tail<'a> {
    /// `ln` of the evidence listed.
    pub(super) ln_evidence: f64,
    /// `ln` of the evidence after the pairs and after each full round.
    pub(super) levels: &'a [f64],
    /// Nothing was left to expand within the limit on faults.
    pub(super) exhausted: bool,
    /// The most faults a listed set may have.
    pub(super) most_faults: usize,
}

impl Tail<'_> {
    /// Evidence not listed, in units of the evidence listed.
    pub(super) fn missing(&self, listed: &[(FaultSet, f64)], cut_by_size: bool) -> f64 {
        let smaller_sets = match self.levels {
            _ if self.exhausted => 0.0,
            [.., a, b, c] => self.after_rounds(*a, *b, *c),
            [b, c] => self.after_rounds(f64::NEG_INFINITY, *b, *c),
            // No full round: all that is known is how the singles and pairs compare.
            _ => self.beyond(2, listed),
        };
        let larger_sets = if cut_by_size {
            self.beyond(self.most_faults, listed)
        } else {
            0.0
        };
        smaller_sets.max(0.0) + larger_sets
    }

    /// From the levels before, between and after the last two full rounds. What a cut-short round has added since then
    /// is no longer missing, but no less than that is.
    fn after_rounds(&self, a: f64, b: f64, c: f64) -> f64 {
        let [a, b, c] = [a, b, c].map(|level| (level - self.ln_evidence).exp());
        let since = 1.0 - c;
        (following(b - a, c - b) - since).max(since)
    }

    /// From the evidence of sets of `faults` and of one fault less.
    fn beyond(&self, faults: usize, listed: &[(FaultSet, f64)]) -> f64 {
        let of_size = |size: usize| {
            let weights = listed
                .iter()
                .filter(move |(set, _)| set.len() == size)
                .map(|(_, w)| *w);
            (ln_sum_exp(weights) - self.ln_evidence).exp()
        };
        following(of_size(faults.saturating_sub(1)), of_size(faults))
    }
}

/// What follows two terms of a series that falls off geometrically: `last · r/(1−r)` with `r = last/before`, believed
/// between ½ (one fast step may be chance) and 0.95 (beyond it a series that still grows has no estimate, only "most is missing").
fn following(before: f64, last: f64) -> f64 {
    let ratio = if before > 0.0 {
        (last / before).clamp(0.5, 0.95)
    } else {
        0.95
    };
    last.max(0.0) * ratio / (1.0 - ratio)
}

#[cfg(test)]
mod tests {
    use super::following;

    /// Sums of geometric series: 1 + ½ + ¼ + … and 1 + 0.8 + 0.64 + …, what follows the second term.
    #[test]
    fn geometric_series_are_summed() {
        for (ratio, rest) in [(0.5, 0.5), (0.8, 3.2)] {
            let found = following(1.0, ratio);
            // A few rounding steps.
            assert!((found - rest).abs() < 1e-12, "{ratio}: {found}");
        }
    }
}
