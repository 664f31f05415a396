//! The one-time code by which a phone or tablet becomes one of the shop's devices.
//!
//! A code lives for a short time and is good for one device. Who types a wrong one waits before the next try, each time
//! twice as long; after a few wrong ones from anywhere the code is void. Time is handed in, so that tests need not wait.

use rand::TryRng;
use rand::rngs::SysRng;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::net::IpAddr;
use std::time::{Duration, Instant};

/// Letters and digits that are not taken for one another when read aloud or typed.
const ALPHABET: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";
/// Letters of a code: 40 bits, of which [`TRIES`] guesses find one in a hundred thousand million.
const LETTERS: usize = 8;
/// Wrong tries that a code survives.
const TRIES: u32 = 10;
/// The longest wait after a wrong try.
const LONGEST_WAIT: Duration = Duration::from_mins(5);
/// Addresses whose wrong tries are remembered.
const ADDRESSES: usize = 1024;

/// Why a code was not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NotPaired {
    /// Not the code.
    Wrong,
    /// There is no code now: none was made, it was used, its time is over, or it was guessed at too often.
    NoCode,
    /// Too soon after a wrong try.
    TooSoon {
        /// Seconds to wait.
        seconds: u64,
    },
}

/// A code that may be used.
#[derive(Debug)]
struct Code {
    text: String,
    until: Instant,
    wrong: u32,
}

/// Wrong tries from one address.
#[derive(Debug)]
struct Wrong {
    count: u32,
    not_before: Instant,
}

/// The code of the moment, and who guessed wrong.
#[derive(Debug, Default)]
pub(crate) struct Pairing {
    code: Option<Code>,
    wrong: BTreeMap<IpAddr, Wrong>,
}

impl Pairing {
    /// Makes a new code in place of the one before.
    pub(crate) fn issue(&mut self, now: Instant, life: Duration) -> std::io::Result<String> {
        let mut bytes = [0_u8; LETTERS];
        SysRng.try_fill_bytes(&mut bytes).map_err(std::io::Error::other)?;
        // 32 letters divide 256 values evenly.
        let text: String = bytes
            .iter()
            .map(|byte| char::from(ALPHABET[usize::from(byte % 32)]))
            .collect();
        self.code = Some(Code {
            text: text.clone(),
            until: now + life,
            wrong: 0,
        });
        Ok(text)
    }

    /// The code that may be used now, and for how long.
    pub(crate) fn current(&self, now: Instant) -> Option<(&str, Duration)> {
        let code = self.code.as_ref()?;
        let left = code
            .until
            .checked_duration_since(now)
            .filter(|left| !left.is_zero())?;
        Some((&code.text, left))
    }

    /// Takes a code that was typed; once taken it is used up.
    pub(crate) fn take(&mut self, from: IpAddr, typed: &str, now: Instant) -> Result<(), NotPaired> {
        let from = network_of(from);
        if let Some(wrong) = self.wrong.get(&from) {
            let left = wrong.not_before.saturating_duration_since(now);
            if !left.is_zero() {
                return Err(NotPaired::TooSoon {
                    seconds: left.as_secs() + 1,
                });
            }
        }
        let right = self.current(now).map(|(text, _)| same(text, typed));
        match right {
            Some(true) => {
                self.code = None;
                self.wrong.remove(&from);
                Ok(())
            }
            Some(false) => {
                self.guessed(from, now);
                Err(NotPaired::Wrong)
            }
            None => {
                self.code = None;
                Err(NotPaired::NoCode)
            }
        }
    }

    /// Notes a wrong guess.
    fn guessed(&mut self, from: IpAddr, now: Instant) {
        if let Some(code) = self.code.as_mut() {
            code.wrong += 1;
            if code.wrong >= TRIES {
                self.code = None;
            }
        }
        if !self.wrong.contains_key(&from) && self.wrong.len() >= ADDRESSES {
            // The one whose wait is over soonest is forgotten: the code itself still counts every wrong try.
            let soonest = self.wrong.iter().min_by_key(|(_, wrong)| wrong.not_before);
            if let Some(address) = soonest.map(|(address, _)| *address) {
                self.wrong.remove(&address);
            }
        }
        let wrong = self.wrong.entry(from).or_insert(Wrong {
            count: 0,
            not_before: now,
        });
        wrong.count = wrong.count.saturating_add(1);
        let wait = Duration::from_secs(1 << (wrong.count - 1).min(16));
        wrong.not_before = now + wait.min(LONGEST_WAIT);
    }
}

/// An address as far as one person has it: of IPv6 the network of 64 bits, of which a host has as many as it likes.
pub(crate) fn network_of(address: IpAddr) -> IpAddr {
    match address.to_canonical() {
        IpAddr::V6(six) => {
            let mut parts = six.segments();
            parts[4..].fill(0);
            IpAddr::from(parts)
        }
        four @ IpAddr::V4(_) => four,
    }
}

/// Whether these are the same code, however it was typed; how long that takes says nothing of the letters.
fn same(code: &str, typed: &str) -> bool {
    let plain: String = typed
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .take(2 * LETTERS)
        .collect();
    Sha256::digest(code) == Sha256::digest(plain.to_ascii_uppercase())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at once")]
    use super::*;

    const LIFE: Duration = Duration::from_mins(10);

    fn phone() -> IpAddr {
        IpAddr::from([192, 168, 1, 20])
    }

    #[test]
    fn a_code_is_good_once_however_it_is_typed() {
        let (mut pairing, now) = (Pairing::default(), Instant::now());
        let code = pairing.issue(now, LIFE).unwrap();
        let typed = format!(" {}-{} ", code[..4].to_lowercase(), &code[4..]);
        assert_eq!(pairing.take(phone(), &typed, now), Ok(()));
        assert_eq!(pairing.take(phone(), &code, now), Err(NotPaired::NoCode));
    }

    #[test]
    fn a_code_ends_with_its_time_and_with_the_next_one() {
        let (mut pairing, now) = (Pairing::default(), Instant::now());
        let first = pairing.issue(now, LIFE).unwrap();
        assert_eq!(pairing.take(phone(), &first, now + LIFE), Err(NotPaired::NoCode));
        let second = pairing.issue(now, LIFE).unwrap();
        let third = pairing.issue(now, LIFE).unwrap();
        assert_eq!(pairing.take(phone(), &second, now), Err(NotPaired::Wrong));
        let later = now + Duration::from_secs(2);
        assert_eq!(pairing.take(phone(), &third, later), Ok(()));
    }

    #[test]
    fn guessing_takes_longer_each_time_and_then_ends() {
        let (mut pairing, start) = (Pairing::default(), Instant::now());
        pairing.issue(start, LIFE * 100).unwrap();
        let mut now = start;
        for guess in 0..TRIES {
            assert_eq!(
                pairing.take(phone(), "WRONG", now),
                Err(NotPaired::Wrong),
                "{guess}"
            );
            if let Err(NotPaired::TooSoon { seconds }) = pairing.take(phone(), "WRONG", now) {
                assert!(seconds > 1 << guess.min(8), "{seconds} s after guess {guess}");
                now += Duration::from_secs(seconds);
            } else {
                panic!("a second guess at once");
            }
        }
        assert_eq!(pairing.take(phone(), "WRONG", now), Err(NotPaired::NoCode));
    }

    #[test]
    fn many_addresses_share_the_tries_of_a_code_and_little_memory() {
        let (mut pairing, now) = (Pairing::default(), Instant::now());
        let address = |n: u32| IpAddr::from((0x0a00_0000_u32 + n).to_be_bytes());
        for n in 0..2000 {
            if pairing.current(now).is_none() {
                pairing.issue(now, LIFE).unwrap();
            }
            let _ = pairing.take(address(n), "WRONG", now);
        }
        assert_eq!(pairing.wrong.len(), ADDRESSES);
        let code = pairing.issue(now, LIFE).unwrap();
        for n in 0..TRIES {
            let _ = pairing.take(address(10_000 + n), "WRONG", now);
        }
        assert_eq!(pairing.take(address(20_000), &code, now), Err(NotPaired::NoCode));
    }

    #[test]
    fn a_host_with_many_addresses_of_one_network_is_one() {
        let address = |text: &str| network_of(text.parse().unwrap());
        assert_eq!(address("fd00:1:2:3::1"), address("fd00:1:2:3:a:b:c:d"));
        assert_ne!(address("fd00:1:2:3::1"), address("fd00:1:2:4::1"));
        assert_eq!(address("::ffff:192.168.1.20"), phone());
    }
}
