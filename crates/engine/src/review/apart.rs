//! How well a check tells one fault from another: the distributions of what it reads under each, laid over one another.
//!
//! Readings are moved to a scale on which the scatter of one reading is 1 everywhere: a scatter of √(n² + (r·x)²) at x becomes even by
//! u = asinh(r·x/n)/r, whose slope is its inverse. Each sample is then a normal distribution of width 1, cut into steps. Half
//! of what two distributions do not share is the total variation; whoever guesses by the reading is right in half of (1 + it).

use belief::Deck;
use circuit::{Check, Method};
use numerics::normal_cdf;

/// Width of a step, in scatters of one reading.
const STEP: f64 = 0.5;
/// Steps on either side of a sample in which its scatter is spread.
const REACH: i32 = 6;
/// Most steps that the distance of a sample from the middle is counted in: what lies further out is far enough.
const FARTHEST: f64 = 10_000.0;

/// A distribution as steps with something in them, in order: number and share.
type Steps = Vec<(i32, f32)>;

/// What every check reads under nothing wrong (0) and under every fault (from 1).
#[derive(Debug)]
pub(super) struct Readings<'d> {
    deck: &'d Deck,
    suspects: usize,
    /// Checks that count when faults are to be told apart.
    counted: Vec<usize>,
    /// Check after check, suspect after suspect.
    steps: Vec<Steps>,
}

impl<'d> Readings<'d> {
    /// What `deck` shows. A part fitted on trial tells every part from every other: that is no check to rely on, and is not counted.
    pub(super) fn of(deck: &'d Deck, checks: &[Check]) -> Self {
        let suspects = deck.suspects().len();
        let rows = deck.cards().len() / suspects.max(1);
        let mut steps = Vec::with_capacity(deck.checks() * suspects);
        for check in 0..deck.checks() {
            for shown in deck.shown(check).chunks(rows.max(1)) {
                steps.push(if deck.is_yes_no(check) {
                    yes_no(shown)
                } else {
                    spread(deck, check, shown)
                });
            }
        }
        let counted = (0..deck.checks()).filter(|check| checks[*check].method != Method::Swap);
        Self {
            deck,
            suspects,
            counted: counted.collect(),
            steps,
        }
    }

    pub(super) fn checks(&self) -> usize {
        self.deck.checks()
    }

    /// Total variation between what `check` reads under two suspects: 0 the same, 1 nothing in common.
    pub(super) fn distance(&self, check: usize, a: usize, b: usize) -> f64 {
        let at = |suspect: usize| &self.steps[check * self.suspects + suspect];
        apart(at(a), at(b))
    }

    /// The check that tells two suspects best, and how often it is right; `None` if there is no check.
    pub(super) fn best(&self, a: usize, b: usize) -> Option<(usize, f64)> {
        let right = |check: usize| (check, 0.5 + 0.5 * self.distance(check, a, b));
        // The first of equals.
        let all = self.counted.iter().copied();
        all.map(right)
            .reduce(|best, next| if next.1 > best.1 { next } else { best })
    }

    /// `true` if some check is right in at least `told` of all cases.
    pub(super) fn told_apart(&self, a: usize, b: usize, told: f64) -> bool {
        self.counted
            .iter()
            .any(|check| 0.5 + 0.5 * self.distance(*check, a, b) >= told)
    }
}

/// Yes and no as two steps. A sample without a balance shows neither.
fn yes_no(shown: &[f32]) -> Steps {
    let sound = shown.iter().filter(|yes| yes.is_finite());
    let (sum, count) = sound.fold((0.0, 0.0_f32), |(sum, count), yes| (sum + yes, count + 1.0));
    let yes = sum / count.max(1.0);
    vec![(0, 1.0 - yes), (1, yes)]
}

/// Numbers with the scatter of one reading around each.
fn spread(deck: &Deck, check: usize, shown: &[f32]) -> Steps {
    let accuracy = deck.accuracy(check);
    let even = |value: f64| {
        let (noise, relative) = (accuracy.noise.max(1e-12), accuracy.relative_noise);
        let even = if relative > 0.0 {
            (relative * value / noise).asinh() / relative
        } else {
            value / noise
        };
        even.clamp(-FARTHEST, FARTHEST) / STEP
    };
    let mut all: Vec<(i32, f32)> = Vec::new();
    for value in shown.iter().filter(|value| value.is_finite()) {
        let place = even(f64::from(*value));
        #[allow(clippy::cast_possible_truncation, reason = "at most FARTHEST / STEP")]
        let middle = place.floor() as i32;
        let below = |step: i32| normal_cdf((f64::from(step) - place) * STEP);
        for step in middle - REACH..=middle + REACH {
            // Rounding to single precision is far finer than sixteen samples are.
            #[allow(clippy::cast_possible_truncation, reason = "a share")]
            all.push((step, (below(step + 1) - below(step)) as f32));
        }
    }
    all.sort_by_key(|(step, _)| *step);
    let total: f32 = all.iter().map(|(_, share)| share).sum();
    let mut steps: Steps = Vec::new();
    for (step, share) in all {
        match steps.last_mut() {
            Some((last, sum)) if *last == step => *sum += share / total,
            _ => steps.push((step, share / total)),
        }
    }
    steps
}

fn apart(a: &Steps, b: &Steps) -> f64 {
    let (mut at, mut sum) = ((0, 0), 0.0_f64);
    loop {
        let (left, right) = (a.get(at.0), b.get(at.1));
        sum += match (left, right) {
            (Some(one), Some(other)) if one.0 == other.0 => {
                at = (at.0 + 1, at.1 + 1);
                f64::from((one.1 - other.1).abs())
            }
            (Some(one), other) if other.is_none_or(|other| one.0 < other.0) => {
                at.0 += 1;
                f64::from(one.1)
            }
            (_, Some(other)) => {
                at.1 += 1;
                f64::from(other.1)
            }
            (_, None) => break,
        };
    }
    (0.5 * sum).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A single sample each, `distance` scatters apart: the total variation of two normal distributions is 2·Φ(d/2) − 1.
    #[test]
    fn normal_distributions_overlap_as_they_should() {
        let steps = |place: f64| {
            let below = |step: i32| normal_cdf((f64::from(step) - place) * STEP);
            #[allow(clippy::cast_possible_truncation, reason = "small")]
            let middle = place.floor() as i32;
            #[allow(
                clippy::cast_possible_truncation,
                reason = "a share of samples is kept as `f32`"
            )]
            let share = |step: i32| (step, (below(step + 1) - below(step)) as f32);
            (middle - 12..=middle + 12).map(share).collect::<Steps>()
        };
        for distance in [0.0, 0.5, 1.0, 2.0, 4.0] {
            let exact = 2.0 * normal_cdf(distance / 2.0) - 1.0;
            let found = apart(&steps(0.0), &steps(distance / STEP));
            // Steps of half a scatter lose a little where the two cross inside one.
            assert!((found - exact).abs() < 0.01, "{distance}: {found} {exact}");
        }
        assert!((apart(&vec![(0, 0.5), (1, 0.5)], &vec![(0, 0.1), (1, 0.9)]) - 0.4).abs() < 1e-6);
        assert!((apart(&vec![(0, 1.0)], &vec![(9, 1.0)]) - 1.0).abs() < 1e-9);
    }
}
