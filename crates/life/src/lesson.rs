//! What one closed job teaches.

/// One closed job, without whose it was: the causes found, how long parts served, what the checks took.
///
/// `S` are its names: owned, or borrowed from the line it was read from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Lesson<S = String> {
    /// Name of the circuit.
    pub circuit: S,
    /// What came of the search.
    pub found: Found,
    /// The proven causes; none unless [`Found::Cause`].
    pub causes: Vec<Cause<S>>,
    /// How long parts served: those that failed, those seen to be good still, those just fitted.
    pub parts: Vec<Service<S>>,
    /// The checks made, with the time they took.
    pub checks: Vec<Spent<S>>,
}

/// What came of the search for a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Found {
    /// Listed causes were proven.
    Cause,
    /// Nothing was wrong in this circuit.
    NothingWrong,
    /// Something that the circuit does not list.
    NotListed,
    /// The job ended before anything was found.
    #[default]
    Nothing,
}

/// A proven cause.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cause<S = String> {
    /// The part's name in the circuit.
    pub part: S,
    /// The fault's name.
    pub fault: S,
}

/// The service up to this job of some parts that had the same.
///
/// A part fitted in this job is an entry of its own: [`Ended::StillGood`] at distance (or age) 0, or
/// [`Ended::BadFromNew`].
#[derive(Debug, Clone, PartialEq)]
pub struct Service<S = String> {
    /// The parts' kind.
    pub kind: S,
    /// Distance since they were fitted, km, if known; not negative.
    pub distance_km: Option<f64>,
    /// Time since they were fitted, days, if known; not negative.
    pub age_days: Option<f64>,
    /// How their service stands.
    pub ended: Ended,
    /// How many of them.
    pub count: u32,
}

/// How the service of a part stands at the end of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// It failed at this distance and age.
    Failed,
    /// It was good still: its life is longer than this.
    StillGood,
    /// It was new and did not work.
    BadFromNew,
}

/// A check and the time it took.
#[derive(Debug, Clone, PartialEq)]
pub struct Spent<S = String> {
    /// The check as written, for instance `deadhead:valve.source@idle`.
    pub check: S,
    /// Its method, for instance `deadhead`.
    pub method: S,
    /// A person's minutes; not negative.
    pub minutes: f64,
}

/// A lesson with a figure that cannot be: it teaches nothing, and no sum changes.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unfit {
    /// A distance is negative or no number.
    #[error("the distance of a `{kind}` is {found} km; expected zero or more, or none if it is not known")]
    Distance {
        /// The part's kind.
        kind: String,
        /// As found, km.
        found: f64,
    },
    /// An age is negative or no number.
    #[error("the age of a `{kind}` is {found} days; expected zero or more, or none if it is not known")]
    Age {
        /// The part's kind.
        kind: String,
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

impl<S: AsRef<str>> Lesson<S> {
    /// Whether every figure can be.
    pub(crate) fn looked_over(&self) -> Result<(), Unfit> {
        let odd = |figure: f64| !figure.is_finite() || figure < 0.0;
        for service in &self.parts {
            let kind = || service.kind.as_ref().to_owned();
            if let Some(found) = service.distance_km.filter(|&km| odd(km)) {
                return Err(Unfit::Distance { kind: kind(), found });
            }
            if let Some(found) = service.age_days.filter(|&days| odd(days)) {
                return Err(Unfit::Age { kind: kind(), found });
            }
        }
        match self.checks.iter().find(|spent| odd(spent.minutes)) {
            Some(spent) => Err(Unfit::Minutes {
                check: spent.check.as_ref().to_owned(),
                found: spent.minutes,
            }),
            None => Ok(()),
        }
    }
}
