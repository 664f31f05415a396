//! How often a device or an address may ask: a bucket of requests that fills again with time.
//!
//! Time is handed in, so that tests need not wait.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

/// Buckets that are remembered; more than a shop has devices and a phone network has addresses in use at once.
const BUCKETS: usize = 4096;

/// How much one may ask.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rate {
    /// Requests at once.
    pub(crate) burst: u32,
    /// Requests each second in the long run.
    pub(crate) per_second: u32,
}

impl Rate {
    /// The time in which one request comes back.
    fn step(self) -> Duration {
        Duration::from_secs(1) / self.per_second.max(1)
    }
}

/// Who asked how much.
#[derive(Debug, Default)]
pub(crate) struct Rates {
    /// When each bucket will be full again.
    full: BTreeMap<String, Instant>,
    /// When those that are full were last forgotten.
    swept: Option<Instant>,
}

/// How often full buckets are forgotten where there are too many: looking at all of them for each request would be work
/// that a stranger could order.
const SWEEP: Duration = Duration::from_secs(1);

impl Rates {
    /// Takes one request out of the bucket of `who`; otherwise how long to wait.
    ///
    /// Kept is the moment at which the bucket will be full (the generic cell rate algorithm, ITU-T I.371).
    pub(crate) fn take(&mut self, who: &str, rate: Rate, now: Instant) -> Result<(), Duration> {
        let full = self
            .full
            .get(who)
            .copied()
            .filter(|full| *full > now)
            .unwrap_or(now);
        let (step, after) = (rate.step(), full + rate.step());
        let deepest = step * rate.burst;
        let wait = (after - now).saturating_sub(deepest);
        if !wait.is_zero() {
            return Err(wait);
        }
        if !self.full.contains_key(who) && self.full.len() >= BUCKETS {
            self.sweep(now);
            if self.full.len() >= BUCKETS {
                // So many at once are no shop's devices; they have to wait for one another.
                return Err(step);
            }
        }
        self.full.insert(who.to_owned(), after);
        Ok(())
    }

    /// Forgets the buckets that are full again.
    fn sweep(&mut self, now: Instant) {
        if self.swept.is_none_or(|swept| now >= swept + SWEEP) {
            self.full.retain(|_, full| *full > now);
            self.swept = Some(now);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATE: Rate = Rate {
        burst: 5,
        per_second: 2,
    };

    #[test]
    fn a_burst_passes_and_then_the_rate() {
        let (mut rates, now) = (Rates::default(), Instant::now());
        for _ in 0..5 {
            assert_eq!(rates.take("phone", RATE, now), Ok(()));
        }
        assert_eq!(rates.take("phone", RATE, now), Err(Duration::from_millis(500)));
        assert_eq!(rates.take("tablet", RATE, now), Ok(()));
        let later = now + Duration::from_millis(500);
        assert_eq!(rates.take("phone", RATE, later), Ok(()));
        assert!(rates.take("phone", RATE, later).is_err());
    }

    #[test]
    fn many_who_ask_take_little_memory() {
        let (mut rates, now) = (Rates::default(), Instant::now());
        let passed = (0..20_000)
            .filter(|n| rates.take(&n.to_string(), RATE, now).is_ok())
            .count();
        assert_eq!((passed, rates.full.len()), (BUCKETS, BUCKETS));
        // What has filled again is forgotten.
        let later = now + Duration::from_secs(1);
        assert_eq!(rates.take("new", RATE, later), Ok(()));
        assert_eq!(rates.full.len(), 1);
    }
}
