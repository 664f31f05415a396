//! What many closed jobs teach together: counts that add up in any order.
//!
//! Everything is a whole number, logarithms of minutes in millionths, so adding is exact: commutative and associative to
//! the last bit. A lesson added twice counts twice; whoever adds keeps them apart.

use crate::change::Change;
use crate::classes::Classes;
use crate::lesson::{Ended, Found, Lesson, Service, Unfit};
use crate::record::Unreadable;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The version of sums that this program writes, and the newest it reads.
pub const VERSION: u32 = 1;

/// Less than six seconds counts as six: nobody writes down less.
const SHORTEST_MINUTES: f64 = 0.1;

/// More than ten weeks of work counts as ten weeks.
const LONGEST_MINUTES: f64 = 100_000.0;

/// Millionths in one: the unit of the sums of logarithms.
const MILLION: f64 = 1e6;

/// Sums over closed jobs. The default holds none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sums {
    /// Of the format.
    pub version: u32,
    /// By name of circuit.
    #[serde(default)]
    pub circuits: BTreeMap<String, CircuitSums>,
    /// By kind of part.
    #[serde(default)]
    pub kinds: BTreeMap<String, KindSums>,
    /// By method of checking, over all circuits.
    #[serde(default)]
    pub methods: BTreeMap<String, Durations>,
}

/// Sums over the jobs on one circuit.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct CircuitSums {
    /// Jobs closed.
    #[serde(default)]
    pub jobs: u64,
    /// Of them, those in which nothing was wrong here.
    #[serde(default)]
    pub nothing_wrong: u64,
    /// Those whose cause the circuit does not list.
    #[serde(default)]
    pub not_listed: u64,
    /// Those that ended before anything was found.
    #[serde(default)]
    pub not_found: u64,
    /// How often each fault, as `part/fault`, was a cause. A job with two causes counts for both.
    #[serde(default)]
    pub causes: BTreeMap<String, u64>,
    /// What each check took, by the check as written.
    #[serde(default)]
    pub checks: BTreeMap<String, Durations>,
}

/// Sums over the parts of one kind.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct KindSums {
    /// Service by distance, km.
    #[serde(default)]
    pub distance: Classes,
    /// Service by age, days.
    #[serde(default)]
    pub age: Classes,
    /// New parts fitted or tried.
    #[serde(default)]
    pub fitted: u64,
    /// Of them, those that did not work.
    #[serde(default)]
    pub bad_from_new: u64,
}

/// What checks took, as sums of the natural logarithm of their minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Durations {
    /// Checks made.
    #[serde(default)]
    pub count: u64,
    /// Sum of ln(minutes), in millionths.
    #[serde(default)]
    pub ln_sum: i64,
    /// Sum of ln(minutes)², in millionths.
    #[serde(default)]
    pub ln_squares: i64,
}

impl Default for Sums {
    fn default() -> Self {
        Self {
            version: VERSION,
            circuits: BTreeMap::new(),
            kinds: BTreeMap::new(),
            methods: BTreeMap::new(),
        }
    }
}

impl Sums {
    /// Adds one closed job.
    ///
    /// # Errors
    /// [`Unfit`] names a figure that cannot be; the sums are then as before.
    pub fn add(&mut self, lesson: &Lesson) -> Result<(), Unfit> {
        self.change(lesson, Change::More(1))
    }

    /// Takes a job away that was added: the sums are as if it had never been.
    ///
    /// # Errors
    /// [`Unfit`] as for adding: what cannot be added was never in them.
    pub fn take_away(&mut self, lesson: &Lesson) -> Result<(), Unfit> {
        self.change(lesson, Change::Fewer(1))
    }

    /// Adds the lesson of a line, as [`Lesson::write`] wrote it.
    ///
    /// # Errors
    /// [`Unreadable`]: it is no lesson, or one with a figure that cannot be; the sums are then as before.
    pub fn add_line(&mut self, line: &str) -> Result<(), Unreadable> {
        match Lesson::borrowed(line) {
            Some(lesson) => self.change(&lesson, Change::More(1))?,
            None => self.add(&Lesson::read(line)?)?,
        }
        Ok(())
    }

    fn change<S: AsRef<str> + PartialEq>(&mut self, lesson: &Lesson<S>, change: Change) -> Result<(), Unfit> {
        lesson.looked_over()?;
        let circuit = entry(&mut self.circuits, lesson.circuit.as_ref());
        change.apply(&mut circuit.jobs);
        match lesson.found {
            Found::Cause => {}
            Found::NothingWrong => change.apply(&mut circuit.nothing_wrong),
            Found::NotListed => change.apply(&mut circuit.not_listed),
            Found::Nothing => change.apply(&mut circuit.not_found),
        }
        for (at, cause) in lesson.causes.iter().enumerate() {
            // Named twice in one job is still one cause.
            if lesson.causes[..at].contains(cause) {
                continue;
            }
            let name = format!("{}/{}", cause.part.as_ref(), cause.fault.as_ref());
            changed(&mut circuit.causes, &name, |times| change.apply(times));
        }
        for spent in &lesson.checks {
            let ln = spent.minutes.clamp(SHORTEST_MINUTES, LONGEST_MINUTES);
            let ln = libm::log(ln);
            let (check, method) = (spent.check.as_ref(), spent.method.as_ref());
            changed(&mut circuit.checks, check, |sum| sum.change(ln, change));
            changed(&mut self.methods, method, |sum| sum.change(ln, change));
        }
        if *circuit == CircuitSums::default() {
            self.circuits.remove(lesson.circuit.as_ref());
        }
        for service in &lesson.parts {
            changed(&mut self.kinds, service.kind.as_ref(), |kind| {
                kind.change(service, change);
            });
        }
        Ok(())
    }

    /// Adds the sums of others: the same as adding each of their lessons.
    pub fn merge(&mut self, other: &Self) {
        for (name, more) in &other.circuits {
            let circuit = entry(&mut self.circuits, name);
            circuit.jobs = circuit.jobs.saturating_add(more.jobs);
            circuit.nothing_wrong = circuit.nothing_wrong.saturating_add(more.nothing_wrong);
            circuit.not_listed = circuit.not_listed.saturating_add(more.not_listed);
            circuit.not_found = circuit.not_found.saturating_add(more.not_found);
            for (cause, &times) in &more.causes {
                let sum = entry(&mut circuit.causes, cause);
                *sum = sum.saturating_add(times);
            }
            merge_durations(&mut circuit.checks, &more.checks);
        }
        for (name, more) in &other.kinds {
            let kind = entry(&mut self.kinds, name);
            kind.distance.merge(&more.distance);
            kind.age.merge(&more.age);
            kind.fitted = kind.fitted.saturating_add(more.fitted);
            kind.bad_from_new = kind.bad_from_new.saturating_add(more.bad_from_new);
        }
        merge_durations(&mut self.methods, &other.methods);
    }

    /// Jobs closed, over all circuits.
    pub fn jobs(&self) -> u64 {
        self.circuits.values().map(|circuit| circuit.jobs).sum()
    }
}

impl KindSums {
    fn change<S>(&mut self, service: &Service<S>, change: Change) {
        let just_fitted = service.distance_km == Some(0.0) || service.age_days == Some(0.0);
        let change = change.times(service.count);
        match service.ended {
            Ended::BadFromNew => {
                change.apply(&mut self.fitted);
                change.apply(&mut self.bad_from_new);
            }
            // It has not lived yet: nothing to learn about its life.
            Ended::StillGood if just_fitted => change.apply(&mut self.fitted),
            ended => {
                let failed = ended == Ended::Failed;
                if let Some(km) = service.distance_km {
                    self.distance.change(km, failed, change);
                }
                if let Some(days) = service.age_days {
                    self.age.change(days, failed, change);
                }
            }
        }
    }
}

impl Durations {
    /// One more check with this logarithm of its minutes, or one fewer.
    fn change(&mut self, ln: f64, change: Change) {
        change.apply(&mut self.count);
        change.apply_sum(&mut self.ln_sum, millionths(ln));
        change.apply_sum(&mut self.ln_squares, millionths(ln * ln));
    }

    fn merge(&mut self, other: &Self) {
        self.count = self.count.saturating_add(other.count);
        self.ln_sum = self.ln_sum.saturating_add(other.ln_sum);
        self.ln_squares = self.ln_squares.saturating_add(other.ln_squares);
    }

    /// Mean of ln(minutes), and the sum of squared deviations from it; zeros without a check.
    pub fn mean_and_deviation(&self) -> (f64, f64) {
        if self.count == 0 {
            return (0.0, 0.0);
        }
        let mean = self.ln_sum as f64 / MILLION / self.count as f64;
        let deviation = self.ln_squares as f64 / MILLION - mean * mean * self.count as f64;
        (mean, deviation.max(0.0))
    }
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "a logarithm of minutes is below 12, its square below 133"
)]
fn millionths(value: f64) -> i64 {
    (value * MILLION).round() as i64
}

/// Changes the entry of a name; what is left empty is taken out, so that equal sums are written equally.
fn changed<V: Default + PartialEq>(map: &mut BTreeMap<String, V>, name: &str, change: impl FnOnce(&mut V)) {
    let Some(value) = map.get_mut(name) else {
        let mut value = V::default();
        change(&mut value);
        if value != V::default() {
            map.insert(name.to_owned(), value);
        }
        return;
    };
    change(value);
    if *value == V::default() {
        map.remove(name);
    }
}

/// The entry of a name, made if it is new; a name already there is not copied.
fn entry<'m, V: Default>(map: &'m mut BTreeMap<String, V>, name: &str) -> &'m mut V {
    if !map.contains_key(name) {
        map.insert(name.to_owned(), V::default());
    }
    map.entry(name.to_owned()).or_default()
}

fn merge_durations(into: &mut BTreeMap<String, Durations>, from: &BTreeMap<String, Durations>) {
    for (name, more) in from {
        entry(into, name).merge(more);
    }
}
