//! What a closed job teaches: its causes, how far its parts had run, what its checks took. No vehicle, no person.

use crate::history::{LATELY_DAYS, LATELY_KM, sooner};
use circuit::{Circuit, Part, derive_checks, find_check};
use jiff::Timestamp;
use job::{Closing, Job, Mended, Replaced, Said};
use life::{Cause, Ended, Found, Lesson, Service, Spent};
use plan::Bay;

/// What `job` teaches; `None` while it is open, if its vehicle was invented, or if this program cannot read its circuit.
///
/// - Causes: those called proven, unless the job ended as something else. A part named without a fault counts only if it has
///   one fault.
/// - Parts: of jobs whose repair was proven, or where nothing was wrong. A part not said to be renewed has run as far as the
///   vehicle. A part renewed lately elsewhere that was the cause is left out: whether it was bad from new nobody knows.
/// - Minutes: of what was said with a reading, the check's own part as shipped; the rest went to access and condition.
pub fn lesson(job: &Job) -> Option<Lesson> {
    let how = job.closed.as_ref()?;
    if job.intake.invented {
        return None;
    }
    let described = &job.intake.circuit;
    let circuit = circuit::read(&described.name, &described.text, physics::catalogue()).circuit?;
    let named = match how {
        Closing::Repaired | Closing::Unverified(_) | Closing::Stopped(_) => causes(&circuit, job),
        Closing::NothingWrong | Closing::NotListed(_) => Vec::new(),
    };
    let causes: Vec<Cause> = named.iter().filter_map(|named| named.cause.clone()).collect();
    let mut parts = Services::default();
    let works = matches!(how, Closing::Repaired | Closing::NothingWrong);
    for part in &circuit.parts {
        let failed = named.iter().any(|named| named.part == part.id);
        new_parts(&mut parts, job, part);
        if works {
            served(&mut parts, job, part, failed);
        }
    }
    Some(Lesson {
        circuit: circuit.name.clone(),
        found: match how {
            Closing::NothingWrong => Found::NothingWrong,
            Closing::NotListed(_) => Found::NotListed,
            _ if causes.is_empty() => Found::Nothing,
            _ => Found::Cause,
        },
        causes,
        parts: parts.0,
        checks: spent(&circuit, job),
    })
}

/// A part called the cause, and its fault if that is known.
struct Named {
    part: String,
    cause: Option<Cause>,
}

fn causes(circuit: &Circuit, job: &Job) -> Vec<Named> {
    let faults = job.proven.iter().flat_map(|proven| &proven.faults);
    let named = faults.filter_map(|name| {
        let id = name.split_once('/').map_or(name.as_str(), |(part, _)| part);
        let part = &circuit.parts[circuit.part(id)?.0];
        let only = || match part.kind.faults {
            [only] if !name.contains('/') => Some(only.name),
            _ => None,
        };
        let known = circuit.fault(name).map(|fault| circuit.fault_spec(fault).name);
        Some(Named {
            part: part.id.clone(),
            cause: known.or_else(only).map(|fault| Cause {
                part: part.id.clone(),
                fault: fault.to_owned(),
            }),
        })
    });
    named.collect()
}

/// Services, equal ones counted.
#[derive(Default)]
struct Services(Vec<Service>);

impl Services {
    fn add(&mut self, part: &Part, distance_km: Option<f64>, age_days: Option<f64>, ended: Ended) {
        if distance_km.is_none() && age_days.is_none() {
            return;
        }
        let one = Service {
            kind: part.kind.name.to_owned(),
            distance_km,
            age_days,
            ended,
            count: 1,
        };
        let same = |known: &&mut Service| {
            Service {
                count: 1,
                ..(**known).clone()
            } == one
        };
        match self.0.iter_mut().find(same) {
            Some(known) => known.count = known.count.saturating_add(1),
            None => self.0.push(one),
        }
    }
}

/// New parts that were tried and found bad.
fn new_parts(parts: &mut Services, job: &Job, part: &Part) {
    let bad = job
        .new_parts
        .iter()
        .filter(|new| !new.good && new.part == part.id);
    for _ in bad {
        parts.add(part, Some(0.0), None, Ended::BadFromNew);
    }
}

/// From when on a part has been on the vehicle.
struct Fitted {
    /// Odometer then, km, as far as known.
    odometer_km: Option<f64>,
    at: Option<Timestamp>,
    /// In this job.
    here: bool,
    /// Renewed lately before this job.
    lately: bool,
}

/// How far a part had run, and each that took its place in this job.
fn served(parts: &mut Services, job: &Job, part: &Part, failed: bool) {
    let last_back = job.comebacks.iter().map(|comeback| comeback.at).max();
    let mut on = at_the_door(job, part);
    let renewals = job
        .repairs
        .iter()
        .filter(|repair| repair.part == part.id && repair.how == Mended::Renewed);
    let mut renewed_at_last = false;
    for renewal in renewals {
        let last_round = last_back.is_none_or(|last| renewal.at > last);
        // What came off in a round after which the complaint came back may have been good: nobody knows.
        if last_round && !renewed_at_last {
            ends(parts, job, part, &on, renewal.at, failed);
            renewed_at_last = true;
        } else if last_round {
            parts.add(part, Some(0.0), None, Ended::BadFromNew);
        } else if on.here {
            parts.add(part, Some(0.0), None, Ended::StillGood);
        }
        on = Fitted {
            odometer_km: odometer(job, renewal.at),
            at: Some(renewal.at),
            here: true,
            lately: false,
        };
    }
    if renewed_at_last {
        parts.add(part, Some(0.0), None, Ended::StillGood);
    } else {
        ends(parts, job, part, &on, job.changed, failed);
    }
}

/// One part's service up to a moment.
fn ends(parts: &mut Services, job: &Job, part: &Part, on: &Fitted, at: Timestamp, failed: bool) {
    let apart = |now: Option<f64>, then: Option<f64>| Some((now? - then?).max(0.0));
    let km = apart(odometer(job, at), on.odometer_km);
    let days = on
        .at
        .map(|then| (at.as_second() - then.as_second()) as f64 / 86_400.0);
    let lately = km.is_none_or(|km| km <= LATELY_KM) && days.is_none_or(|days| days <= LATELY_DAYS);
    // Zero means just fitted; what has served a little has served one.
    let whole = |figure: f64| figure.round().max(1.0);
    let (km, days) = (km.map(whole), days.map(whole));
    if on.here && failed && lately {
        parts.add(part, Some(0.0), None, Ended::BadFromNew);
        return;
    }
    if on.here {
        parts.add(part, Some(0.0), None, Ended::StillGood);
    }
    if !(failed && on.lately) {
        let ended = if failed { Ended::Failed } else { Ended::StillGood };
        parts.add(part, km, days, ended);
    }
}

/// Since when the part that came with the vehicle has been on it.
fn at_the_door(job: &Job, part: &Part) -> Fitted {
    let door = job.intake.vehicle.odometer_km.filter(|km| km.is_finite());
    let renewed = job.intake.replaced.iter().filter(|old| old.part == part.id);
    let last: Option<&Replaced> =
        renewed.reduce(|last, other| if sooner(other, last) { other } else { last });
    let Some(last) = last else {
        return Fitted {
            odometer_km: Some(0.0),
            at: None,
            here: false,
            lately: false,
        };
    };
    let fine = |figure: Option<f64>| figure.filter(|figure| figure.is_finite() && *figure >= 0.0);
    let (km, days) = (fine(last.km_ago), fine(last.days_ago));
    let ago = days.and_then(|days| {
        // Within the moments that can be written down.
        let seconds = jiff::SignedDuration::try_from_secs_f64(days * 86_400.0).ok()?;
        job.opened.checked_sub(seconds).ok()
    });
    Fitted {
        // Before the vehicle's first kilometre if both are taken at their word.
        odometer_km: door.zip(km).map(|(door, km)| door - km),
        at: ago,
        here: false,
        lately: km.is_some_and(|km| km <= LATELY_KM) || days.is_some_and(|days| days <= LATELY_DAYS),
    }
}

/// The odometer at a moment of the job, as last said before.
fn odometer(job: &Job, at: Timestamp) -> Option<f64> {
    let back = job.comebacks.iter().filter(|comeback| comeback.at <= at);
    let said = back.filter_map(|comeback| comeback.odometer_km);
    let door = job.intake.vehicle.odometer_km;
    let known = door
        .into_iter()
        .chain(said)
        .filter(|km| km.is_finite() && *km >= 0.0);
    known.reduce(f64::max)
}

/// What the checks took.
fn spent(circuit: &Circuit, job: &Job) -> Vec<Spent> {
    let checks = derive_checks(circuit);
    let mut bay = Bay::default();
    let mut spent = Vec::new();
    for reading in &job.readings {
        let Some(check) = find_check(circuit, &checks, &reading.check) else {
            continue;
        };
        if matches!(&reading.said, Said::Answer(answer) if answer == "not done") {
            continue;
        }
        let (own, all) = (check.minutes, bay.minutes(circuit, check));
        bay = bay.after(circuit, check);
        let said = reading.minutes.filter(|_| reading.withdrawn.is_none());
        let Some(said) = said.filter(|said| said.is_finite() && *said > 0.0) else {
            continue;
        };
        if own > 0.0 && all.is_finite() {
            spent.push(Spent {
                check: check.id.clone(),
                method: check.method.word().to_owned(),
                // To the hundredth: nobody measures it better.
                minutes: (100.0 * said * own / all).round() / 100.0,
            });
        }
    }
    spent
}
