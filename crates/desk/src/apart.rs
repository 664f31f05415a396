//! Suspects that the readings so far do not tell apart, and the cheapest check that would.

use crate::case::Case;
use crate::words;
use belief::Outlook;
use circuit::{Check, Reads};
use engine::NextCheck;

/// The second suspect must be at least this likely to be worth naming.
const WORTH: f64 = 0.15;
/// And the first at most so many times likelier.
const CLOSE: f64 = 4.0;
/// Probabilities of a yes this far apart tell two suspects apart.
const FAR: f64 = 0.7;

/// Two leading suspects that are still close.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// Indices of the suspects.
    pub suspects: [usize; 2],
    /// The cheapest check that would tell them apart, with its minutes; `None` if none would.
    pub check: Option<(usize, f64)>,
}

/// The two leading suspects if the readings leave them close.
pub fn apart(case: &Case, outlook: &Outlook, next: &[NextCheck]) -> Option<Apart> {
    let [first, second, ..] = case.belief.suspects() else {
        return None;
    };
    let far = second.probability < WORTH || first.probability > CLOSE * second.probability;
    if far || case.evidence.observations.is_empty() {
        return None;
    }
    let telling = next
        .iter()
        .filter(|candidate| separates(case, outlook, candidate.check, [0, 1]));
    let cheapest = telling.min_by(|a, b| a.minutes.total_cmp(&b.minutes));
    Some(Apart {
        suspects: [0, 1],
        check: cheapest.map(|cheapest| (cheapest.check, cheapest.minutes)),
    })
}

/// `true` if nine of ten readings of `check` under one suspect lie outside those under the other.
fn separates(case: &Case, outlook: &Outlook, check: usize, suspects: [usize; 2]) -> bool {
    let expected = suspects.map(|suspect| outlook.expected(check, Some(suspect)));
    let [Some(one), Some(other)] = expected.map(|expected| expected.map(|expected| expected.percentiles))
    else {
        return false;
    };
    let spec = &case.model.checks()[check];
    clear(spec, one[2], other[0]) || clear(spec, other[2], one[0])
}

/// `true` if a range that ends at `high` lies clearly below one that begins at `low`; of a yes or no both are its
/// probability.
pub fn clear(check: &Check, high: f64, low: f64) -> bool {
    if check.reads == Reads::YesNo {
        low - high >= FAR
    } else {
        low > high
    }
}

impl Apart {
    /// As one says it.
    pub fn sentence(&self, case: &Case) -> String {
        let [one, other] = self.suspects.map(|suspect| &case.belief.suspects()[suspect]);
        let names = format!(
            "{} and {}",
            case.name(self.suspects[0]),
            case.name(self.suspects[1])
        );
        if let Some((check, minutes)) = self.check {
            let id = case.id(check);
            return format!(
                "I cannot tell {names} apart yet. The cheapest check that would: {id}, {}.",
                words::minutes(minutes)
            );
        }
        let parts =
            [one, other].map(|suspect| suspect.faults.iter().map(|fault| fault.part).collect::<Vec<_>>());
        let same = if parts[0] == parts[1] {
            " Both are mended by the same repair."
        } else {
            ""
        };
        format!("I cannot tell {names} apart, and no single check here surely would.{same}")
    }
}
