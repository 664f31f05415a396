//! Shares of causes, and of new parts that do not work: shipped figures, moved by counts as far as these can carry.
//!
//! Dirichlet with a multinomial, beta with a binomial: the shipped share counts like so many jobs. DERIVATIONS 17.

use crate::special::beta_quantile;
use crate::sums::KindSums;
use std::collections::{BTreeMap, BTreeSet};

/// Ends of a 90 % credible range.
pub(crate) const ENDS: (f64, f64) = (0.05, 0.95);

/// How many closed jobs the shipped shares of a circuit's causes weigh as much as: enough that three jobs move the most
/// frequent cause by a tenth at most, few enough that three hundred rule. Common practice, no source.
pub const SHARE_STRENGTH: f64 = 30.0;

/// The share of one cause.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// The cause, as `part/fault`.
    pub id: String,
    /// Expected share, 0 to 1.
    pub mean: f64,
    /// Lower end of its 90 % credible range.
    pub low: f64,
    /// Upper end of it.
    pub high: f64,
    /// How often it was the cause of a closed job.
    pub seen: u64,
}

/// A share with its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// Expected, 0 to 1.
    pub mean: f64,
    /// Lower end of the 90 % credible range.
    pub low: f64,
    /// Upper end of it.
    pub high: f64,
}

/// Shipped figures that cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShareError {
    /// No cause, or none with any weight.
    #[error("no cause has any weight; expected at least one above zero")]
    Nothing,
    /// A weight is negative or no number.
    #[error("the weight of `{id}` is {found}; expected zero or more")]
    Weight {
        /// The cause.
        id: String,
        /// As given.
        found: f64,
    },
    /// A cause stands there twice.
    #[error("`{id}` stands among the causes twice; expected each once")]
    Twice {
        /// The cause.
        id: String,
    },
    /// The strength of the shipped figures is not positive.
    #[error("shipped figures that count for {found} jobs; expected a finite number above zero")]
    Strength {
        /// As given.
        found: f64,
    },
    /// A shipped share is not between 0 and 1.
    #[error("a shipped share of {found}; expected above 0 and below 1")]
    Share {
        /// As given.
        found: f64,
    },
}

/// Shares of a circuit's causes: the shipped ones, counting for `strength` jobs, and what closed jobs found.
///
/// - `shipped`: each cause with its weight, in any unit; the result keeps the order.
/// - `counts`: how often each was the cause ([`crate::CircuitSums::causes`]); causes not shipped are left out.
/// - Returns shares that sum to one. A cause shipped with weight zero gets a share only by being found.
///
/// # Errors
/// [`ShareError`]: weights or strength that cannot be.
pub fn shares(
    shipped: &[(&str, f64)],
    counts: &BTreeMap<String, u64>,
    strength: f64,
) -> Result<Vec<Share>, ShareError> {
    positive(strength)?;
    let mut known = BTreeSet::new();
    for &(id, found) in shipped {
        if !found.is_finite() || found < 0.0 {
            return Err(ShareError::Weight {
                id: id.to_owned(),
                found,
            });
        }
        if !known.insert(id) {
            return Err(ShareError::Twice { id: id.to_owned() });
        }
    }
    // Relative to the largest, so that no sum of weights is too large to write down.
    let largest = shipped.iter().map(|&(_, weight)| weight).fold(0.0, f64::max);
    if largest <= 0.0 {
        return Err(ShareError::Nothing);
    }
    let total: f64 = shipped.iter().map(|&(_, weight)| weight / largest).sum();
    let seen = |id: &str| counts.get(id).copied().unwrap_or(0);
    let all = strength + shipped.iter().map(|&(id, _)| seen(id) as f64).sum::<f64>();
    let share = |&(id, weight): &(&str, f64)| {
        let own = strength * (weight / largest / total) + seen(id) as f64;
        let Chance { mean, low, high } = beta(own, all - own);
        Share {
            id: id.to_owned(),
            mean,
            low,
            high,
            seen: seen(id),
        }
    };
    Ok(shipped.iter().map(share).collect())
}

/// How likely a new part does not work: a shipped share that counts for `strength` parts, and how it went with those
/// fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BadFromNew {
    /// Shipped share of the kind (or of a grade of it), above 0 and below 1.
    pub share: f64,
    /// Parts it counts for; positive.
    pub strength: f64,
}

impl BadFromNew {
    /// The chance after the parts fitted in closed jobs.
    ///
    /// # Errors
    /// [`ShareError`]: a share or strength that cannot be.
    pub fn after(&self, seen: &KindSums) -> Result<Chance, ShareError> {
        positive(self.strength)?;
        if !(self.share > 0.0 && self.share < 1.0) {
            return Err(ShareError::Share { found: self.share });
        }
        let good = seen.fitted.saturating_sub(seen.bad_from_new);
        Ok(beta(
            self.strength * self.share + seen.bad_from_new as f64,
            self.strength * (1.0 - self.share) + good as f64,
        ))
    }
}

fn positive(strength: f64) -> Result<(), ShareError> {
    if strength.is_finite() && strength > 0.0 {
        Ok(())
    } else {
        Err(ShareError::Strength { found: strength })
    }
}

/// Mean and range of a beta variable; a parameter of zero or below (rounding) means never, or always.
fn beta(a: f64, b: f64) -> Chance {
    let sure = |mean| Chance {
        mean,
        low: mean,
        high: mean,
    };
    if a <= 0.0 {
        return sure(0.0);
    }
    if b <= 0.0 {
        return sure(1.0);
    }
    Chance {
        mean: a / (a + b),
        low: beta_quantile(ENDS.0, a, b),
        high: beta_quantile(ENDS.1, a, b),
    }
}
