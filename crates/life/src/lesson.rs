//! What one closed job teaches.

use serde::{Deserialize, Serialize};

/// One closed job, without whose it was: the causes found, how long parts served, what the checks took.
///
/// An empty list of causes means that nothing was wrong in this circuit.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Lesson {
    /// Name of the circuit.
    pub circuit: String,
    /// The proven causes.
    #[serde(default)]
    pub causes: Vec<Cause>,
    /// How long parts served: those that failed, those seen to be good still, those just fitted.
    #[serde(default)]
    pub parts: Vec<Service>,
    /// The checks made, with the time they took.
    #[serde(default)]
    pub checks: Vec<Spent>,
}

/// A proven cause.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cause {
    /// The part's name in the circuit.
    pub part: String,
    /// The part's kind.
    pub kind: String,
    /// The fault's name.
    pub fault: String,
}

/// The service of one part up to this job.
///
/// A part fitted in this job is an entry of its own: [`Ended::StillGood`] at distance (or age) 0, or
/// [`Ended::BadFromNew`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Service {
    /// The part's name in the circuit.
    pub part: String,
    /// The part's kind.
    pub kind: String,
    /// Distance since it was fitted, km, if known; not negative.
    #[serde(default)]
    pub distance_km: Option<f64>,
    /// Time since it was fitted, days, if known; not negative.
    #[serde(default)]
    pub age_days: Option<f64>,
    /// How its service stands.
    pub ended: Ended,
}

/// How the service of a part stands at the end of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Ended {
    /// It failed at this distance and age.
    Failed,
    /// It was good still: its life is longer than this.
    StillGood,
    /// It was new and did not work.
    BadFromNew,
}

/// A check and the time it took.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Spent {
    /// The check as written, for instance `deadhead:valve.source@idle`.
    pub check: String,
    /// Its method, for instance `deadhead`.
    pub method: String,
    /// A person's minutes; not negative.
    pub minutes: f64,
}

/// A lesson with a figure that cannot be: it teaches nothing, and no sum changes.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unfit {
    /// A distance is negative or no number.
    #[error("the distance of `{part}` is {found} km; expected zero or more, or none if it is not known")]
    Distance {
        /// The part.
        part: String,
        /// As found, km.
        found: f64,
    },
    /// An age is negative or no number.
    #[error("the age of `{part}` is {found} days; expected zero or more, or none if it is not known")]
    Age {
        /// The part.
        part: String,
        /// As found, days.
        found: f64,
    },
    /// Minutes are negative or no number.
    #[error("the check `{check}` took {found} minutes; expected zero or more")]
    Minutes {
        /// The check.
        check: String,
        /// As found.
        found: f64,
    },
}

impl Lesson {
    /// Whether every figure can be.
    pub(crate) fn looked_over(&self) -> Result<(), Unfit> {
        let odd = |figure: f64| !figure.is_finite() || figure < 0.0;
        for service in &self.parts {
            let part = || service.part.clone();
            if let Some(found) = service.distance_km.filter(|&km| odd(km)) {
                return Err(Unfit::Distance { part: part(), found });
            }
            if let Some(found) = service.age_days.filter(|&days| odd(days)) {
                return Err(Unfit::Age { part: part(), found });
            }
        }
        match self.checks.iter().find(|spent| odd(spent.minutes)) {
            Some(spent) => Err(Unfit::Minutes {
                check: spent.check.clone(),
                found: spent.minutes,
            }),
            None => Ok(()),
        }
    }
}

impl Cause {
    /// Whether both are the same fault of the same part.
    pub(crate) fn names(&self, other: &Self) -> bool {
        self.part == other.part && self.fault == other.fault
    }
}
