//! Random draws of practice: every job, reading and new part has a stream of its own.
//!
//! So the same seed gives the same jobs on any number of threads, and a check reads the same on a job whoever makes it and
//! whatever was made before: strategies are compared on equal luck. A `ChaCha` cipher of twelve rounds, keyed by what is drawn.

use numerics::normal_quantile;
use rand::rngs::ChaCha12Rng;
use rand::{Rng, SeedableRng};

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub(super) enum Purpose {
    /// How the world differs from the model.
    World,
    /// One vehicle with its cause and its instruments.
    Vehicle,
    /// The scatter of one reading: the check, and how often it was made before.
    Reading(usize, u32),
    /// A new part: which, and how many were taken before.
    NewPart(usize, u32),
    /// The errors of instruments beyond the first few.
    Tools,
}

impl Purpose {
    fn key(self) -> u64 {
        let word =
            |kind: u64, index: usize, before: u32| (kind << 56) | ((index as u64) << 24) | u64::from(before);
        match self {
            Self::World => word(1, 0, 0),
            Self::Vehicle => word(2, 0, 0),
            Self::Reading(check, before) => word(3, check, before),
            Self::NewPart(part, before) => word(4, part, before),
            Self::Tools => word(5, 0, 0),
        }
    }
}

/// One stream of draws.
#[derive(Debug)]
pub(super) struct Draws(ChaCha12Rng);

impl Draws {
    /// The stream of one purpose on job `job` of a circuit called `circuit`.
    pub(super) fn of(seed: u64, circuit: &str, job: u64, purpose: Purpose) -> Self {
        let mut key = [0; 32];
        let words = [seed, hash(circuit), job, purpose.key()];
        for (bytes, word) in key.chunks_exact_mut(8).zip(words) {
            bytes.copy_from_slice(&word.to_le_bytes());
        }
        Self(ChaCha12Rng::from_seed(key))
    }

    /// Even between 0 and 1, never either.
    pub(super) fn uniform(&mut self) -> f64 {
        // The 53 bits that a double holds, moved by half a step off zero.
        ((self.0.next_u64() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
    }

    /// Even between `low` and `high`.
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.uniform()
    }

    /// Standard normal.
    pub(super) fn normal(&mut self) -> f64 {
        normal_quantile(self.uniform())
    }

    /// `true` with a probability.
    pub(super) fn chance(&mut self, probability: f64) -> bool {
        self.uniform() < probability
    }

    /// An index drawn by weight; the last one with weight where rounding leaves a rest, 0 where none has any.
    pub(super) fn pick(&mut self, weights: &[f64]) -> usize {
        let mut rest = self.uniform() * weights.iter().sum::<f64>();
        let mut last = 0;
        for (index, weight) in weights.iter().enumerate().filter(|(_, weight)| **weight > 0.0) {
            last = index;
            rest -= weight;
            if rest < 0.0 {
                break;
            }
        }
        last
    }
}

/// A circuit's name as a number (Fowler, Noll and Vo, 64 bits, variant 1a).
fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Check values of the 64-bit variant 1a: offset basis for nothing, 0xaf63dc4c8601ec8c for "a" (published by its authors;
    /// from memory).
    #[test]
    fn names_hash_as_published() {
        assert_eq!(hash(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(hash("a"), 0xaf63_dc4c_8601_ec8c);
    }

    #[test]
    fn streams_differ_by_everything_that_keys_them() {
        let first = |seed, circuit, job, purpose| Draws::of(seed, circuit, job, purpose).uniform();
        let one = first(1, "a", 0, Purpose::Vehicle);
        assert_eq!(one.to_bits(), first(1, "a", 0, Purpose::Vehicle).to_bits());
        for other in [
            first(2, "a", 0, Purpose::Vehicle),
            first(1, "b", 0, Purpose::Vehicle),
            first(1, "a", 1, Purpose::Vehicle),
            first(1, "a", 0, Purpose::World),
            first(1, "a", 0, Purpose::Reading(0, 0)),
            first(1, "a", 0, Purpose::Reading(0, 1)),
            first(1, "a", 0, Purpose::NewPart(0, 0)),
        ] {
            assert_ne!(one.to_bits(), other.to_bits());
        }
    }

    #[test]
    fn picks_follow_their_weights() {
        let mut draws = Draws::of(7, "picks", 0, Purpose::World);
        let mut counts = [0_u32; 3];
        (0..10_000).for_each(|_| counts[draws.pick(&[1.0, 0.0, 3.0])] += 1);
        assert_eq!(counts[1], 0);
        // Binomial, 2,500 ± 43; four standard deviations.
        assert!(counts[0].abs_diff(2500) < 174, "{counts:?}");
    }
}
