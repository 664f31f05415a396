//! Sums from their text, which may come from another shop and another version.

use crate::classes::{Classes, LAST};
use crate::sums::{Durations, Sums, VERSION};
use serde_json::Value;
use std::collections::BTreeMap;

/// The largest count that every reader of JSON keeps exactly.
const LARGEST: u64 = 1 << 53;

/// Why a text does not hold sums.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// It is not JSON.
    #[error("not JSON: {0}; expected the file as it was written")]
    Json(String),
    /// It says no version, so it is something else.
    #[error("no `version`: these are no sums of closed jobs")]
    NoVersion,
    /// A later program wrote it.
    #[error("written as version {found}, this program reads up to {newest}; use a newer program")]
    Newer {
        /// Its version.
        found: u64,
        /// The newest known here.
        newest: u32,
    },
    /// A count is negative, broken or too large.
    #[error("`{place}` is {found}; expected a whole number from 0 to 2^53")]
    Count {
        /// Names from the outside in, joined by ` > `.
        place: String,
        /// As written.
        found: String,
    },
    /// A member has another shape than it should.
    #[error("not as sums are written: {0}")]
    Shape(String),
    /// Two counts contradict each other.
    #[error("`{place}`: {what}; correct the file or leave it out")]
    Contradiction {
        /// Names from the outside in, joined by ` > `.
        place: String,
        /// What does not fit.
        what: &'static str,
    },
}

impl Sums {
    /// Sums from their JSON text.
    ///
    /// # Errors
    /// [`ReadError`] says what is wrong and where: no JSON, a newer version, a count that cannot be, a contradiction.
    pub fn read(text: &str) -> Result<Self, ReadError> {
        let value: Value = serde_json::from_str(text).map_err(|error| ReadError::Json(error.to_string()))?;
        match value.get("version").map(|version| (version, version.as_u64())) {
            None => return Err(ReadError::NoVersion),
            Some((_, Some(found))) if found > u64::from(VERSION) => {
                return Err(ReadError::Newer {
                    found,
                    newest: VERSION,
                });
            }
            Some((_, Some(1..))) => {}
            Some((found, _)) => return Err(odd_count(&["version"], found)),
        }
        counts_are_counts(&value, &mut Vec::new())?;
        let sums: Self =
            serde_json::from_value(value).map_err(|error| ReadError::Shape(error.to_string()))?;
        sums.agree()?;
        Ok(sums)
    }

    /// Nothing in them contradicts anything else.
    fn agree(&self) -> Result<(), ReadError> {
        for (name, circuit) in &self.circuits {
            let place = ["circuits", name];
            let without = [circuit.nothing_wrong, circuit.not_listed, circuit.not_found];
            let without = without.into_iter().fold(0, u64::saturating_add);
            if without > circuit.jobs {
                return contradiction(&place, "more jobs without a listed cause than jobs");
            }
            let faulty = circuit.jobs - without;
            if circuit.causes.values().any(|&times| times > faulty) {
                return contradiction(
                    &place,
                    "a cause found more often than there were jobs with a cause",
                );
            }
            durations_agree(&circuit.checks, &["circuits", name, "checks"])?;
        }
        for (name, kind) in &self.kinds {
            if kind.bad_from_new > kind.fitted {
                return contradiction(&["kinds", name], "more parts bad from new than fitted");
            }
            if !(classes_known(&kind.distance) && classes_known(&kind.age)) {
                return contradiction(&["kinds", name], "a class beyond the last one, 95");
            }
        }
        durations_agree(&self.methods, &["methods"])
    }
}

fn classes_known(classes: &Classes) -> bool {
    classes.0.keys().all(|&class| class <= LAST)
}

/// Cauchy and Schwarz: the square of a sum is at most the count times the sum of squares. Rounding to millionths may
/// miss that by half a millionth for each entry and logarithm up to 12.
fn durations_agree(durations: &BTreeMap<String, Durations>, place: &[&str]) -> Result<(), ReadError> {
    for (name, sum) in durations {
        let (count, mean) = (sum.count as f64, sum.ln_sum as f64 / 1e6);
        let squares = sum.ln_squares as f64 / 1e6;
        let slack = 1e-4 * count * count;
        if mean * mean > count * squares + slack || (sum.count == 0 && (sum.ln_squares, sum.ln_sum) != (0, 0))
        {
            let place: Vec<&str> = place.iter().copied().chain([name.as_str()]).collect();
            return contradiction(&place, "count, sum and squares of minutes do not belong together");
        }
    }
    Ok(())
}

/// Every number but a sum of logarithms is a count.
fn counts_are_counts<'v>(value: &'v Value, place: &mut Vec<&'v str>) -> Result<(), ReadError> {
    match value {
        Value::Object(members) => {
            for (name, inner) in members {
                place.push(name);
                counts_are_counts(inner, place)?;
                place.pop();
            }
            Ok(())
        }
        Value::Number(number) => {
            let logarithm = place.last() == Some(&"ln_sum") && number.is_i64();
            let fits = number.as_u64().is_some_and(|count| count <= LARGEST);
            let squares = place.last() == Some(&"ln_squares") && number.as_i64().is_some_and(|sum| sum >= 0);
            if logarithm || fits || squares {
                Ok(())
            } else {
                Err(odd_count(place, value))
            }
        }
        _ => Ok(()),
    }
}

fn odd_count(place: &[&str], found: &Value) -> ReadError {
    ReadError::Count {
        place: place.join(" > "),
        found: found.to_string(),
    }
}

fn contradiction(place: &[&str], what: &'static str) -> Result<(), ReadError> {
    Err(ReadError::Contradiction {
        place: place.join(" > "),
        what,
    })
}
