//! When a repair counts as proven: the check that condemned the part is made again and is healthy, and the vehicle was driven.
//!
//! Pure, from what was written down: whether a reading is healthy was judged when it was taken. What else is worth a check
//! after a repair, the circuit says, not the job.

use crate::event::Said;
use crate::facts::Reading;
use crate::state::Job;
use quantity::Dimension;
use std::fmt;

/// In place of a check's id: a person calls the repair proven, and what was read is the reason.
pub const BY_HAND: &str = "by hand";

/// Two readings of one check that are nearer than this share of the larger are the same reading: instruments of a shop are
/// good for no more (common practice, no source).
const SAME: f64 = 0.1;

/// What is still missing before a repair counts as proven.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unproven {
    /// A check after the repair was not as it should be.
    Bad {
        /// The check.
        check: String,
    },
    /// A check that showed the cause, once more.
    Shown {
        /// The check.
        check: String,
    },
    /// One of the checks made before the repair, once more and reading otherwise.
    OneOf {
        /// The checks, in the order in which they were made.
        checks: Vec<String>,
    },
    /// A check at all: nothing was measured before the repair.
    Anything,
    /// A drive as the complaint was.
    Drive,
}

impl fmt::Display for Unproven {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Bad { check } => write!(
                f,
                "{check} was not as it should be after the repair; find out why, or take the reading back if it was misread"
            ),
            Self::Shown { check } => write!(
                f,
                "{check} again, which showed the cause; now as a sound circuit gives it"
            ),
            Self::OneOf { checks } => write!(
                f,
                "a check made before the repair again, reading otherwise than then and as a sound circuit gives it: {}",
                checks.join(" or ")
            ),
            Self::Anything => write!(f, "a check as a sound circuit gives it, or a road test"),
            Self::Drive => write!(
                f,
                "a drive as the complaint was: a road test, or a trip in which the monitor ran and found no fault"
            ),
        }
    }
}

impl Job {
    /// What is still missing before the repair counts as proven; empty if nothing is, or before a repair. A proof by hand
    /// stands for everything but a check that was not as it should be.
    pub fn missing_proof(&self) -> Vec<Unproven> {
        if self.repairs.is_empty() {
            return Vec::new();
        }
        let mut missing: Vec<Unproven> = self.missing_checks();
        if !self.driven() && !self.proven_by_hand() {
            missing.push(Unproven::Drive);
        }
        missing
    }

    /// The same without the drive, which begins the watch.
    pub(crate) fn missing_checks(&self) -> Vec<Unproven> {
        let bad = self.proofs.iter().filter(|proof| !proof.good);
        let mut missing: Vec<Unproven> = bad
            .map(|proof| Unproven::Bad {
                check: proof.check.clone(),
            })
            .collect();
        if self.proven_by_hand() {
            return missing;
        }
        let shown = self.shown_measured();
        let again = self.measured_before();
        if !shown.is_empty() {
            let left = shown.into_iter().filter(|check| !self.is_good_now(check));
            missing.extend(left.map(|check| Unproven::Shown {
                check: check.to_owned(),
            }));
        } else if again.is_empty() {
            missing.extend((!self.proofs.iter().any(|proof| proof.good)).then_some(Unproven::Anything));
        } else if !again.iter().any(|reading| self.reads_otherwise_now(reading)) {
            let mut checks: Vec<String> = Vec::new();
            for reading in again {
                if !checks.contains(&reading.check) {
                    checks.push(reading.check.clone());
                }
            }
            missing.push(Unproven::OneOf { checks });
        }
        missing
    }

    /// Readings that count and were taken before the last repair.
    pub fn read_before_repair(&self) -> impl Iterator<Item = &Reading> {
        let before = self.readings.iter().take(self.read_before);
        before.filter(|reading| reading.withdrawn.is_none())
    }

    /// Why a person called the repair proven, if one did.
    pub fn proof_by_hand(&self) -> Option<&str> {
        let by_hand = self
            .proofs
            .iter()
            .rev()
            .find(|proof| proof.good && proof.check == BY_HAND);
        by_hand.map(|proof| proof.said.text())
    }

    fn proven_by_hand(&self) -> bool {
        self.proof_by_hand().is_some()
    }

    /// A road test is a proof in words; a check of the circuit has its condition behind an `@`.
    fn driven(&self) -> bool {
        let road_test = |check: &str| check != BY_HAND && !check.contains('@');
        self.proofs
            .iter()
            .any(|proof| proof.good && road_test(&proof.check))
            || self.trips.iter().any(|trip| trip.monitor_ran && !trip.fault_seen)
    }

    /// What showed the cause and can be made again.
    fn shown_measured(&self) -> Vec<&str> {
        let shown = self.proven.iter().flat_map(|proven| &proven.shown_by);
        shown
            .map(String::as_str)
            .filter(|check| is_made_again(check))
            .collect()
    }

    fn measured_before(&self) -> Vec<&Reading> {
        let done = |reading: &&Reading| !reading.said.text().eq_ignore_ascii_case("not done");
        self.read_before_repair()
            .filter(done)
            .filter(|reading| is_made_again(&reading.check))
            .collect()
    }

    fn is_good_now(&self, check: &str) -> bool {
        self.proofs.iter().any(|proof| proof.good && proof.check == check)
    }

    fn reads_otherwise_now(&self, before: &Reading) -> bool {
        let now = self
            .proofs
            .iter()
            .filter(|proof| proof.good && proof.check == before.check);
        now.map(|proof| &proof.said)
            .any(|said| differs(said, &before.said))
    }
}

/// A part that was swapped once is not swapped again to prove that it was at fault, and a look at the new part says nothing of
/// the circuit.
fn is_made_again(check: &str) -> bool {
    !check.starts_with("swap:") && !check.starts_with("look:")
}

fn differs(one: &Said, other: &Said) -> bool {
    match (amount(one), amount(other)) {
        (Some(one), Some(other)) => {
            let larger = one.abs().max(other.abs());
            (one - other).abs() > SAME * larger
        }
        _ => !one.text().eq_ignore_ascii_case(other.text()),
    }
}

/// What was read in SI units; of a bound, the bound.
fn amount(said: &Said) -> Option<f64> {
    let plain = said.text().trim_start_matches(['<', '>', '≤', '≥', ' ']);
    quantity::parse(plain, Dimension::ALL)
        .ok()
        .map(|parsed| parsed.quantity.si())
}
