//! Listing the sets of faults that carry the evidence.

use std::cmp::Ordering;
use std::collections::{BTreeSet, HashSet};

use super::tail::Tail;
use super::{FaultSet, Kept, Posterior, ln_sum_exp};

/// What has to be known about faults and readings to isolate sets of faults.
pub trait SetModel {
    /// How many faults there are; they are numbered from 0.
    fn fault_count(&self) -> usize;

    /// `ln P(exactly these faults)`; over all sets the priors sum to at most one.
    fn ln_prior(&self, set: &FaultSet) -> f64;

    /// `ln P(readings | exactly these faults)` for each of `sets`, in their order: a batch, so that costly models can share
    /// work between sets or run them side by side. May be a density. `-∞` (or NaN) means impossible.
    fn ln_likelihoods(&self, sets: &[FaultSet]) -> Vec<f64>;

    /// `ln P(readings)` over *all* sets, where the model can compute it.
    fn ln_evidence(&self) -> Option<f64> {
        None
    }

    /// A value that no set's `ln_likelihood` exceeds, where one is known (0 for probabilities of yes/no readings).
    fn ln_likelihood_ceiling(&self) -> Option<f64> {
        None
    }
}

/// When to stop growing.
#[derive(Clone, Copy, Debug)]
pub struct Growth {
    /// Grow on until a round, which expands as many sets as all rounds before it together, adds no more than this share
    /// to the evidence. 0 lists every set that the other limits allow.
    pub least_gain: f64,
    /// How many sets the first round after the pairs expands.
    pub first_round: usize,
    /// List at most so many sets.
    pub max_sets: usize,
    /// List no set of more faults than this.
    pub max_faults: usize,
}

impl Default for Growth {
    /// Fits some forty faults: all pairs, then on until doubling the work adds less than 0.1 %, at most 20,000 sets.
    fn default() -> Self {
        Self {
            least_gain: 1e-3,
            first_round: 8,
            max_sets: 20_000,
            max_faults: usize::MAX,
        }
    }
}

impl Growth {
    /// Every set there is: `2^faults` of them, for small models and for tests.
    pub fn everything() -> Self {
        Self {
            least_gain: 0.0,
            first_round: usize::MAX,
            max_sets: usize::MAX,
            max_faults: usize::MAX,
        }
    }

    /// Nothing wrong, singles and pairs only.
    pub fn pairs_only() -> Self {
        Self {
            max_faults: 2,
            ..Self::default()
        }
    }
}

/// The posterior over sets of faults: nothing wrong, all singles, all pairs, then larger sets grown from the heaviest.
///
/// After the pairs the work goes in rounds. A round takes the heaviest sets not yet expanded and lists each of their
/// supersets by one fault. The first takes `first_round` sets, every next one as many as all before it together, so that
/// "the last round added little" means "doubling the work added little", whatever the tail looks like. Growth stops
/// when that share falls to `least_gain`, at a limit, or when no set is left to expand. While no listed set has any weight,
/// the likeliest sets beforehand are expanded. A larger `max_sets` lists the same sets and more.
///
/// The share of evidence kept is exact where the model knows its total or every set was listed, and otherwise estimated
/// from how the last rounds fell off (see [`Kept::Estimate`]).
///
/// Returns `None` if no listed set explains the readings.
pub fn grow(model: &impl SetModel, limits: &Growth) -> Option<Posterior> {
    let mut search = Search::start(model, limits);
    search.list_small_sets();
    let mut width = limits.first_round.max(1);
    while let Some(gain) = search.round(width) {
        if gain <= limits.least_gain && limits.least_gain > 0.0 {
            break;
        }
        width = search.expanded;
    }
    search.finish()
}

/// A listed set that may still be expanded.
#[derive(Debug, PartialEq)]
struct Open {
    ln_weight: f64,
    ln_prior: f64,
    set: FaultSet,
}

impl Eq for Open {}

impl Ord for Open {
    /// Heaviest first; among sets without weight the likeliest beforehand; then the simplest.
    fn cmp(&self, other: &Self) -> Ordering {
        let by_weight = other.ln_weight.total_cmp(&self.ln_weight);
        by_weight
            .then(other.ln_prior.total_cmp(&self.ln_prior))
            .then_with(|| self.set.cmp(&other.set))
    }
}

impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

struct Search<'a, M> {
    model: &'a M,
    limits: &'a Growth,
    listed: Vec<(FaultSet, f64)>,
    ln_priors: Vec<f64>,
    seen: HashSet<FaultSet>,
    open: BTreeSet<Open>,
    /// `ln` of the evidence listed so far.
    ln_evidence: f64,
    /// `ln` of the evidence after the pairs and after each full round.
    levels: Vec<f64>,
    expanded: usize,
    /// Nothing was left to expand within the limit on faults.
    exhausted: bool,
}

impl<'a, M: SetModel> Search<'a, M> {
    fn start(model: &'a M, limits: &'a Growth) -> Self {
        Self {
            model,
            limits,
            listed: Vec::new(),
            ln_priors: Vec::new(),
            seen: HashSet::new(),
            open: BTreeSet::new(),
            ln_evidence: f64::NEG_INFINITY,
            levels: Vec::new(),
            expanded: 0,
            exhausted: false,
        }
    }

    fn list_small_sets(&mut self) {
        let count = self.model.fault_count();
        let singles = (0..count).map(|a| FaultSet::of(&[a]));
        let pairs = (0..count).flat_map(|a| (a + 1..count).map(move |b| FaultSet::of(&[a, b])));
        let small = std::iter::once(FaultSet::nothing())
            .chain(singles)
            .chain(pairs)
            .collect();
        self.list(small);
        self.note_level();
        // Their supersets by one fault are the singles and pairs, listed already.
        self.open.retain(|open| open.set.len() > 1);
    }

    /// Weighs the sets that are new and within the limits; the share of evidence that they add.
    fn list(&mut self, sets: Vec<FaultSet>) -> f64 {
        let room = self.limits.max_sets.saturating_sub(self.listed.len());
        let mut fresh = Vec::new();
        for set in sets {
            if fresh.len() < room && set.len() <= self.limits.max_faults && self.seen.insert(set.clone()) {
                fresh.push(set);
            }
        }
        let ln_likelihoods = self.model.ln_likelihoods(&fresh);
        let before = self.ln_evidence;
        for (set, ln_likelihood) in fresh.into_iter().zip(ln_likelihoods) {
            let ln_prior = self.model.ln_prior(&set);
            let ln_weight = impossible_if_nan(ln_prior + ln_likelihood);
            self.ln_priors.push(ln_prior);
            self.open.insert(Open {
                ln_weight,
                ln_prior,
                set: set.clone(),
            });
            self.listed.push((set, ln_weight));
        }
        self.ln_evidence = ln_sum_exp(self.listed.iter().map(|(_, w)| *w));
        if self.ln_evidence.is_finite() {
            -(before - self.ln_evidence).exp_m1()
        } else {
            1.0
        }
    }

    /// Expands the `width` heaviest open sets. The share gained, or `None` if there is nothing to expand or no room.
    fn round(&mut self, width: usize) -> Option<f64> {
        if self.listed.len() >= self.limits.max_sets {
            return None;
        }
        let mut children = Vec::new();
        let mut taken = 0;
        while taken < width {
            let Some(open) = self.open.pop_first() else {
                break;
            };
            if open.set.len() < self.limits.max_faults {
                children.extend((0..self.model.fault_count()).filter_map(|fault| open.set.with(fault)));
                taken += 1;
            }
        }
        if taken == 0 {
            self.exhausted = true;
            return None;
        }
        self.expanded += taken;
        let gain = self.list(children);
        self.note_level();
        Some(gain)
    }

    /// A round that the limit on sets cut short says nothing of how fast the rounds fall off.
    fn note_level(&mut self) {
        if self.listed.len() < self.limits.max_sets {
            self.levels.push(self.ln_evidence);
        }
    }

    fn finish(self) -> Option<Posterior> {
        let kept = self.kept();
        let kept_at_least = match kept {
            Kept::Exact(share) => share,
            Kept::Estimate(_) => self.kept_at_least(),
        };
        Posterior::of(self.listed, self.model.fault_count(), kept, kept_at_least)
    }

    fn kept(&self) -> Kept {
        if let Some(total) = self.model.ln_evidence() {
            return Kept::Exact((self.ln_evidence - total).exp().min(1.0));
        }
        let all = u32::try_from(self.model.fault_count())
            .ok()
            .and_then(|n| 1_usize.checked_shl(n));
        if all == Some(self.listed.len()) {
            return Kept::Exact(1.0);
        }
        let tail = Tail {
            ln_evidence: self.ln_evidence,
            levels: &self.levels,
            exhausted: self.exhausted,
            most_faults: self.limits.max_faults.min(self.model.fault_count()),
        };
        let cut_by_size = self.limits.max_faults < self.model.fault_count();
        Kept::Estimate(1.0 / (1.0 + tail.missing(&self.listed, cut_by_size)))
    }

    fn kept_at_least(&self) -> f64 {
        let Some(ceiling) = self.model.ln_likelihood_ceiling() else {
            return 0.0;
        };
        let unlisted = 1.0 - self.ln_priors.iter().map(|p| p.exp()).sum::<f64>();
        // Rounding in a sum of so many terms near one: below it nothing is known of the rest.
        let unlisted = unlisted.max(f64::EPSILON * self.ln_priors.len() as f64);
        1.0 / (1.0 + unlisted * (ceiling - self.ln_evidence).exp())
    }
}

fn impossible_if_nan(ln_weight: f64) -> f64 {
    if ln_weight.is_nan() {
        f64::NEG_INFINITY
    } else {
        ln_weight
    }
}
