//! Exact posteriors in discrete nets of yes/no variables.
//!
//! Two kinds: [`BayesNet`], any small net given as tables, by elimination in a tree of buckets; and [`NoisyOr`], faults that
//! each may turn tests positive, by a sweep whose terms are all positive (no cancellation). They stand beside the physical
//! circuits: abstract tables are isolated with them, and published examples can be put to the same `sets` code.
//! No approximation: what is too wide to do exactly is refused.

mod bayes;
mod factor;
mod noisy_or;
mod sweep;

pub use bayes::{BayesNet, NetPosterior};
pub use noisy_or::{NoisyOr, NoisyOrCase, NoisyOrPosterior, NoisyTest};

/// Why a net or a question about it cannot be answered.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NetError {
    /// A probability outside `[0, 1]` (a noisy-OR prior: outside `[0, 1)`).
    #[error("{what} is {value}, which is not a usable probability")]
    NotAProbability {
        /// Where it stands.
        what: String,
        /// The value given.
        value: f64,
    },
    /// A number that names no variable, fault or test of the net.
    #[error("{what} {number} does not exist, there are {count}")]
    NoSuch {
        /// What kind of thing was named.
        what: &'static str,
        /// The number given.
        number: usize,
        /// How many there are.
        count: usize,
    },
    /// The same parent or cause is given twice.
    #[error("{what} {number} is given twice")]
    Twice {
        /// What kind of thing was named.
        what: &'static str,
        /// The number given.
        number: usize,
    },
    /// A table that does not have one entry for each combination of its parents.
    #[error("the table of `{name}` has {found} entries, expected {expected}")]
    TableSize {
        /// The variable.
        name: String,
        /// `2^parents`.
        expected: usize,
        /// Entries given.
        found: usize,
    },
    /// The same variable or test is said to be both yes and no.
    #[error("{number} is said to be both yes and no")]
    Contradiction {
        /// The variable or test.
        number: usize,
    },
    /// The evidence has probability zero in this net.
    #[error("the net says that this evidence is impossible")]
    Impossible,
    /// An exact answer would need tables over too many variables at once.
    #[error("an exact answer needs tables over {variables} variables at once")]
    TooWide {
        /// Variables in the largest table.
        variables: usize,
    },
}

/// The evidence as one entry per variable or test.
fn spread(
    evidence: &[(usize, bool)],
    count: usize,
    what: &'static str,
) -> Result<Vec<Option<bool>>, NetError> {
    let mut known = vec![None; count];
    for &(number, yes) in evidence {
        match known.get(number) {
            None => {
                return Err(NetError::NoSuch { what, number, count });
            }
            Some(Some(said)) if *said != yes => return Err(NetError::Contradiction { number }),
            Some(_) => known[number] = Some(yes),
        }
    }
    Ok(known)
}

fn probability(value: f64, what: impl FnOnce() -> String) -> Result<f64, NetError> {
    if (0.0..=1.0).contains(&value) {
        Ok(value)
    } else {
        Err(NetError::NotAProbability { what: what(), value })
    }
}
