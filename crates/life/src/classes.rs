//! Geometric classes: four to a doubling, so that a life is known to a fifth whatever its length.

use crate::change::Change;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Classes to a doubling. Within one of them the ends differ by 19 %, little beside the spread of lives (common
/// practice, no source).
const PER_DOUBLING: f64 = 4.0;

/// The last class: everything from 14 million on.
pub(crate) const LAST: u8 = 95;

/// How many parts left service in each class of distance (km) or age (days). Classes nobody met are absent.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Classes(pub(crate) BTreeMap<u8, Tally>);

/// Parts that left service in one class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Tally {
    /// They failed.
    #[serde(default)]
    pub failed: u64,
    /// They were good when last seen.
    #[serde(default)]
    pub good: u64,
}

/// One class with its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClassCount {
    /// Where it begins; the first class begins at 0.
    pub from: f64,
    /// Where it ends; the last never does (infinite).
    pub to: f64,
    /// Failed within.
    pub failed: u64,
    /// Last seen within, good.
    pub good: u64,
}

impl ClassCount {
    /// Where what lies in it counts as lying: the geometric mean of its ends; half of the first class, the beginning of the last.
    pub fn middle(&self) -> f64 {
        match (self.from > 0.0, self.to.is_finite()) {
            (true, true) => self.from.sqrt() * self.to.sqrt(),
            (true, false) => self.from,
            (false, true) => 0.5 * self.to,
            (false, false) => 0.0,
        }
    }
}

impl Classes {
    /// So many more parts, or so many fewer.
    pub(crate) fn change(&mut self, at: f64, failed: bool, change: Change) {
        let class = class_of(at);
        let tally = self.0.entry(class).or_default();
        change.apply(if failed {
            &mut tally.failed
        } else {
            &mut tally.good
        });
        if *tally == Tally::default() {
            self.0.remove(&class);
        }
    }

    pub(crate) fn merge(&mut self, other: &Self) {
        for (&class, more) in &other.0 {
            let tally = self.0.entry(class).or_default();
            tally.failed = tally.failed.saturating_add(more.failed);
            tally.good = tally.good.saturating_add(more.good);
        }
    }

    /// The classes that anybody met, shortest first.
    pub fn counts(&self) -> Vec<ClassCount> {
        let count = |(&class, tally): (&u8, &Tally)| ClassCount {
            from: start(class),
            to: if class >= LAST {
                f64::INFINITY
            } else {
                start(class + 1)
            },
            failed: tally.failed,
            good: tally.good,
        };
        self.0.iter().map(count).collect()
    }

    /// How many entered each class that anybody met, and how many of them came out of it neither failed nor lost from
    /// sight: `(class, entered, survived)`, shortest first.
    pub fn exposure(&self) -> Vec<(ClassCount, u64, u64)> {
        let mut entered: u64 = 0;
        let mut rows: Vec<(ClassCount, u64, u64)> = Vec::new();
        for class in self.counts().into_iter().rev() {
            let survived = entered;
            entered = entered.saturating_add(class.failed).saturating_add(class.good);
            rows.push((class, entered, survived));
        }
        rows.reverse();
        rows
    }
}

/// The class of a distance or age; below one unit the first, beyond the last the last.
fn class_of(at: f64) -> u8 {
    if at <= 1.0 {
        return 0;
    }
    let class = (PER_DOUBLING * libm::log2(at)).floor();
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and LAST"
    )]
    let class = class.clamp(0.0, f64::from(LAST)) as u8;
    class
}

/// Where a class begins.
fn start(class: u8) -> f64 {
    if class == 0 {
        0.0
    } else {
        libm::exp2(f64::from(class) / PER_DOUBLING)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_distance_lies_within_its_class() {
        for at in [
            0.0, 0.4, 1.0, 1.2, 1023.9, 1024.1, 87_654.0, 399_999.0, 3e7, 1e300,
        ] {
            let mut classes = Classes::default();
            classes.change(at, true, Change::More(1));
            let class = classes.counts()[0];
            assert!(class.from <= at && at < class.to, "{at} in {class:?}");
        }
    }

    /// Worked by hand: three parts, seen at 10, 100 and 100.
    #[test]
    fn who_leaves_later_has_entered_before() {
        let mut classes = Classes::default();
        classes.change(10.0, true, Change::More(1));
        classes.change(100.0, true, Change::More(1));
        classes.change(100.0, false, Change::More(1));
        let rows: Vec<(u64, u64)> = classes
            .exposure()
            .into_iter()
            .map(|(_, entered, survived)| (entered, survived))
            .collect();
        assert_eq!(rows, [(3, 2), (2, 0)]);
    }
}
