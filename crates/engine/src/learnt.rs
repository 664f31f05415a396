//! What closed jobs teach of a circuit, as priors of the next job: shipped figures, moved by counts as far as these carry.
//!
//! Three jobs overturn nothing and no jobs change nothing, to the last bit; DERIVATIONS 17 says how. Each part of it is read
//! here twice: by [`crate::load_job`], which uses it, and by [`learnt`], which shows it with its uncertainty.

use crate::history::{History, Moved, bad_from_new as shipped_bad};
use circuit::{Check, Circuit, FaultId, Priors, derive_checks};
use job::Grade;
use life::{
    BadFromNew, Chance, CircuitSums, ClassCount, Durations, Fitted, KindSums, Prior, SHARE_STRENGTH, Share,
    Sums, Weibull,
};
use quantity::Minutes;
use std::collections::BTreeMap;

/// Distance to a failure of any part before one of its kind was seen, km. From memory.
const LIFE_KM: f64 = 500_000.0;
/// Failures that the shipped life counts for. Common practice, no source.
const LIFE_COUNTS: f64 = 5.0;
/// New parts that the shipped chance of a bad one counts for. Common practice, no source.
const NEW_PARTS: f64 = 100.0;
/// The likeliest cause counts for at least so many jobs, so that three of a rare one do not pass it.
const LIKELIEST: f64 = 4.0;
/// A life that moves a weight by less than this share says nothing worth telling. Our own choice.
const TOLD: f64 = 0.1;
/// At most this much of all jobs is laid to no listed cause. Our own choice: else nothing would be looked for.
const BEYOND: f64 = 0.5;

const NOTHING_WRONG: &str = "nothing wrong";
const NOT_LISTED: &str = "not listed";

/// What closed jobs teach of one circuit, beside the shipped figures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Learnt {
    /// Jobs closed on it.
    pub jobs: u64,
    /// Every cause that can be, in the order of the circuit.
    pub causes: Vec<LearntShare>,
    /// That nothing is wrong in it, and that the cause is not listed.
    pub beyond: Vec<LearntShare>,
    /// Kinds of its parts of which something was seen, by name.
    pub kinds: Vec<LearntKind>,
    /// Its checks that were made with their minutes noted, in the order of the circuit.
    pub checks: Vec<LearntMinutes>,
}

/// A share before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct LearntShare {
    /// As described.
    pub shipped: f64,
    /// With what closed jobs found.
    pub now: Share,
}

/// The parts of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct LearntKind {
    /// Its name.
    pub kind: String,
    /// Parts that failed at a known distance.
    pub failed: u64,
    /// Parts seen good at a known distance.
    pub good: u64,
    /// Their life by distance, km; `None` if none failed at a known one.
    pub life: Option<Fitted>,
    /// New parts fitted or tried.
    pub fitted: u64,
    /// Of them, bad ones.
    pub bad: u64,
    /// Chance that a new one of another maker is bad.
    pub bad_from_new: Chance,
}

/// The minutes of one check.
#[derive(Debug, Clone, PartialEq)]
pub struct LearntMinutes {
    /// Its id.
    pub check: String,
    /// As shipped.
    pub shipped: Minutes,
    /// With those noted.
    pub now: life::Minutes,
}

/// What closed jobs teach of `circuit`.
pub fn learnt(circuit: &Circuit, sums: &Sums) -> Learnt {
    let none = CircuitSums::default();
    let seen = sums.circuits.get(&circuit.name).unwrap_or(&none);
    let mut kinds: Vec<&str> = circuit.parts.iter().map(|part| part.kind.name).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let kind = |name: &&str| sums.kinds.get(*name).map(|seen| of_kind(name, seen));
    let made = derive_checks(circuit).into_iter().filter_map(|check| {
        let shipped = Minutes::new(check.minutes);
        minutes(&check, &seen.checks).map(|now| LearntMinutes {
            check: check.id,
            shipped,
            now,
        })
    });
    Learnt {
        jobs: seen.jobs,
        causes: causes(circuit, seen)
            .into_iter()
            .map(|(_, share)| share)
            .collect(),
        beyond: beyond(circuit, seen),
        kinds: kinds.iter().filter_map(kind).collect(),
        checks: made.collect(),
    }
}

/// What closed jobs found on the circuit, as it moves the odds.
pub(crate) fn moves(circuit: &Circuit, sums: &Sums) -> History {
    let mut history = History::default();
    let Some(seen) = sums.circuits.get(&circuit.name) else {
        return history;
    };
    let strength = strength(circuit);
    for (fault, LearntShare { shipped, now }) in causes(circuit, seen) {
        if now.seen == 0 {
            continue;
        }
        let why = format!(
            "the cause in {} of {} closed jobs here: {} of causes, {} before",
            now.seen,
            seen.jobs,
            percent(now.mean),
            percent(shipped)
        );
        // Only the ratio to the others matters, which all have the factor one.
        history.learnt.push(Moved {
            part: fault.part,
            fault: Some(fault.fault),
            factor: 1.0 + now.seen as f64 / (strength * shipped),
            why,
        });
    }
    history.priors = priors(circuit, seen);
    history
}

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

/// How many jobs the shipped shares of a circuit count for.
fn strength(circuit: &Circuit) -> f64 {
    let likeliest = circuit
        .faults()
        .iter()
        .map(|(_, share)| *share)
        .fold(0.0, f64::max);
    SHARE_STRENGTH.max(LIKELIEST / likeliest.max(f64::MIN_POSITIVE))
}

fn causes(circuit: &Circuit, seen: &CircuitSums) -> Vec<(FaultId, LearntShare)> {
    let faults = circuit.faults();
    let names: Vec<String> = faults
        .iter()
        .map(|(fault, _)| circuit.fault_name(*fault))
        .collect();
    let shipped: Vec<(&str, f64)> = names
        .iter()
        .map(String::as_str)
        .zip(faults.iter().map(|(_, share)| *share))
        .collect();
    // A circuit that was read has causes with weights, each once.
    let now = life::shares(&shipped, &seen.causes, strength(circuit)).unwrap_or_default();
    let all = faults.into_iter().zip(now);
    all.map(|((fault, shipped), now)| (fault, LearntShare { shipped, now }))
        .collect()
}

/// That nothing is wrong or the cause is not listed, among jobs that came to an end.
fn beyond(circuit: &Circuit, seen: &CircuitSums) -> Vec<LearntShare> {
    let Priors {
        nothing_wrong,
        not_listed,
        ..
    } = circuit.priors;
    let without = [seen.nothing_wrong, seen.not_listed, seen.not_found];
    let without = without.into_iter().fold(0, u64::saturating_add);
    let counts = BTreeMap::from([
        (NOTHING_WRONG.to_owned(), seen.nothing_wrong),
        (NOT_LISTED.to_owned(), seen.not_listed),
        ("listed".to_owned(), seen.jobs.saturating_sub(without)),
    ]);
    let listed = (1.0 - nothing_wrong - not_listed).max(0.0);
    let shipped = [
        (NOTHING_WRONG, nothing_wrong),
        (NOT_LISTED, not_listed),
        ("listed", listed),
    ];
    let now = life::shares(&shipped, &counts, SHARE_STRENGTH).unwrap_or_default();
    let all = shipped.iter().zip(now).take(2);
    all.map(|(&(_, shipped), now)| LearntShare { shipped, now })
        .collect()
}

/// The priors that [`beyond`] gives; what is left for a second fault shrinks and grows with what is left for faults.
fn priors(circuit: &Circuit, seen: &CircuitSums) -> Option<Priors> {
    let before = circuit.priors;
    let ended = seen.jobs.saturating_sub(seen.not_found);
    let [nothing, unlisted] = <[LearntShare; 2]>::try_from(beyond(circuit, seen)).ok()?;
    if ended == 0 {
        return None;
    }
    let most = BEYOND.max(before.nothing_wrong + before.not_listed);
    let scale = (most / (nothing.now.mean + unlisted.now.mean)).min(1.0);
    let (nothing_wrong, not_listed) = (scale * nothing.now.mean, scale * unlisted.now.mean);
    let left = (1.0 - nothing_wrong - not_listed) / (1.0 - before.nothing_wrong - before.not_listed);
    let priors = Priors {
        nothing_wrong,
        not_listed,
        second_fault: left * before.second_fault,
    };
    [priors.nothing_wrong, priors.not_listed, priors.second_fault]
        .iter()
        .all(|share| share.is_finite())
        .then_some(priors)
}

/// What a check takes; `None` if it was never made with its minutes noted.
pub(crate) fn minutes(check: &Check, made: &BTreeMap<String, Durations>) -> Option<life::Minutes> {
    let made = made.get(&check.id)?;
    // A check without shipped minutes has nothing to be drawn to.
    life::minutes(&Minutes::new(check.minutes).into(), made).ok()
}

fn of_kind(name: &str, seen: &KindSums) -> LearntKind {
    let counts = seen.distance.counts();
    LearntKind {
        kind: name.to_owned(),
        failed: counts.iter().map(|class| class.failed).sum(),
        good: counts.iter().map(|class| class.good).sum(),
        life: fitted(&counts),
        fitted: seen.fitted,
        bad: seen.bad_from_new,
        bad_from_new: bad_after(Grade::Equivalent, seen).unwrap_or(Chance {
            mean: shipped_bad(Grade::Equivalent),
            low: 0.0,
            high: 1.0,
        }),
    }
}

/// The life of a kind; `None` if none of it failed: then nothing is known of its shape.
fn fitted(seen: &[ClassCount]) -> Option<Fitted> {
    let failures = failures(seen);
    // Failures at random, as often as those seen: that a kind wears out, or fails early, must show in more than these.
    let prior = Prior {
        weibull: Weibull {
            scale: lived(seen) / failures,
            shape: 1.0,
        },
        failures: LIFE_COUNTS,
    };
    (failures > 0.0)
        .then(|| life::fit_classes(seen, Some(&prior)).ok())
        .flatten()
}

/// Distance or days that all parts seen have served together.
fn lived(seen: &[ClassCount]) -> f64 {
    let lived = |class: &ClassCount| class.failed.saturating_add(class.good) as f64 * class.middle();
    seen.iter().map(lived).sum()
}

fn failures(seen: &[ClassCount]) -> f64 {
    seen.iter().map(|class| class.failed as f64).sum()
}

/// What of a shipped figure about wear is left beside the failures seen: it counts like the shipped life.
pub(crate) fn shipped_part(seen: &KindSums) -> f64 {
    LIFE_COUNTS / (LIFE_COUNTS + failures(&seen.distance.counts()))
}

/// How a part's distance (km), or else its age (days), moves its weight, and why; `None` if none of its kind failed at a known
/// one, or it moves nothing worth telling.
pub(crate) fn wear(seen: &KindSums, (km, days): (Option<f64>, Option<f64>)) -> Option<(f64, String)> {
    let by_distance = km.map(|km| (km, seen.distance.counts(), "km"));
    let by_age = days.map(|days| (days, seen.age.counts(), "days"));
    let mut known = by_distance.into_iter().chain(by_age);
    let (at, counts, unit, life) =
        known.find_map(|(at, counts, unit)| fitted(&counts).map(|life| (at, counts, unit, life)))?;
    let factor = life::factor_among(&life.weibull, at, &counts).ok()?;
    let why = format!(
        "{at:.0} {unit}, by {:.0} that failed of its kind in closed jobs",
        failures(&counts)
    );
    (factor.ln().abs() > TOLD).then_some((factor, why))
}

/// Distance after which a part of a kind usually fails, km: the shipped one, moved by all that was served and failed.
pub(crate) fn usual_km(seen: Option<&KindSums>) -> f64 {
    lasts_km(LIFE_KM, seen)
}

/// A shipped life, km, moved by all that was served and failed of the kind.
pub(crate) fn lasts_km(shipped: f64, seen: Option<&KindSums>) -> f64 {
    let counts = seen.map(|seen| seen.distance.counts()).unwrap_or_default();
    (LIFE_COUNTS * shipped + lived(&counts)) / (LIFE_COUNTS + failures(&counts))
}

/// Chance that a new part of a grade is bad, with what closed jobs say of its kind.
pub(crate) fn bad_from_new(grade: Grade, seen: Option<&KindSums>) -> f64 {
    let seen = seen.filter(|seen| seen.fitted > 0);
    let after = seen.and_then(|seen| bad_after(grade, seen));
    after.map_or(shipped_bad(grade), |chance| chance.mean)
}

fn bad_after(grade: Grade, seen: &KindSums) -> Option<Chance> {
    let shipped = BadFromNew {
        share: shipped_bad(grade),
        strength: NEW_PARTS,
    };
    shipped.after(seen).ok()
}
