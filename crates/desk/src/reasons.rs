//! Why: one sentence per reading, with what a sound circuit reads there and which suspects it speaks for and against.

use crate::case::Case;
use crate::words;
use belief::{Observation, Reason};
use circuit::{Check, FaultId};

/// Samples behind the healthy range of a reading.
const HEALTHY: usize = 400;
/// From this factor on a reading is said to speak for or against.
const SPEAKS: f64 = 2.0;
/// Factors beyond this are not worth a figure.
const MANY: f64 = 100.0;

/// What one reading says.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// What was read; empty for a check that could not be made.
    pub read: String,
    /// What it says of the suspects, with what a sound circuit reads there.
    pub says: String,
}

/// One sentence per reading, in the order they were taken; then the checks that could not be made.
pub fn reasons<'c>(case: &'c Case) -> &'c [Told] {
    case.told.get_or_init(|| all(case))
}

fn all(case: &Case) -> Vec<Told> {
    let watched = watched(case);
    let told: Vec<(usize, Vec<Reason>)> = watched
        .iter()
        .map(|suspect| (*suspect, case.belief.reasons(*suspect)))
        .collect();
    let mut seen: Vec<usize> = Vec::new();
    let mut all = Vec::new();
    for observation in &case.evidence.observations {
        let repeat = seen.iter().filter(|check| **check == observation.check).count();
        seen.push(observation.check);
        let factors: Vec<(usize, f64)> = told
            .iter()
            .filter_map(|(s, r)| Some((*s, factor(r, observation.check, repeat)?)))
            .collect();
        all.push(sentence(case, observation, &factors));
    }
    all.extend(case.evidence.not_done.iter().map(|check| Told {
        read: String::new(),
        says: format!(
            "{}: not done; nothing is learnt from it, and it is not proposed again",
            case.id(*check)
        ),
    }));
    all
}

fn factor(reasons: &[Reason], check: usize, repeat: usize) -> Option<f64> {
    reasons
        .iter()
        .filter(|reason| reason.check == check)
        .nth(repeat)
        .map(|reason| reason.factor)
}

/// The leading suspects, and the single faults that are usual but were spoken against.
fn watched(case: &Case) -> Vec<usize> {
    let mut watched = case.leading(3);
    let mut shares: Vec<(FaultId, f64)> = case.model.circuit().faults();
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    let single = |fault: FaultId| {
        case.belief
            .suspects()
            .iter()
            .position(|suspect| suspect.faults == [fault])
    };
    let usual = shares.iter().take(6).filter_map(|(fault, _)| single(*fault));
    for suspect in usual {
        if !watched.contains(&suspect) {
            watched.push(suspect);
        }
    }
    watched
}

fn sentence(case: &Case, observation: &Observation, factors: &[(usize, f64)]) -> Told {
    let (circuit, check) = (case.model.circuit(), &case.model.checks()[observation.check]);
    Told {
        read: case.units.outcome(check, observation.outcome),
        says: format!(
            "at {}, {}, {}: {}{}",
            words::place(circuit, check),
            words::manner(check),
            circuit.conditions[check.condition.0].id,
            healthy(case, observation.check),
            opinion(case, factors)
        ),
    }
}

/// What a sound circuit reads there and then.
fn healthy(case: &Case, check: usize) -> String {
    let range = case.healthy.range(check, || {
        let expected = engine::expect(case.model, case.evidence.surroundings, &[], check, HEALTHY, 1);
        expected.ok().map(|expected| expected.percentiles)
    });
    let spec: &Check = &case.model.checks()[check];
    match range {
        Some(range) => format!("healthy there is {}.", case.units.range(spec, range)),
        None => "what is healthy there cannot be computed.".to_owned(),
    }
}

fn opinion(case: &Case, factors: &[(usize, f64)]) -> String {
    let mut pro: Vec<(usize, f64)> = factors
        .iter()
        .copied()
        .filter(|(_, factor)| *factor >= SPEAKS)
        .collect();
    let mut contra: Vec<(usize, f64)> = factors
        .iter()
        .copied()
        .filter(|(_, factor)| *factor <= 1.0 / SPEAKS)
        .collect();
    pro.sort_by(|a, b| b.1.total_cmp(&a.1));
    contra.sort_by(|a, b| a.1.total_cmp(&b.1));
    let said = |(suspect, factor): &(usize, f64)| format!("{} ({})", case.name(*suspect), times(*factor));
    let pro: Vec<String> = pro.iter().take(2).map(said).collect();
    let contra: Vec<String> = contra.iter().take(3).map(said).collect();
    match (pro.is_empty(), contra.is_empty()) {
        (true, true) => " It tells the leading suspects hardly apart.".to_owned(),
        (false, true) => format!(" Speaks for {}.", words::list(&pro)),
        (true, false) => format!(" Speaks against {}.", words::list(&contra)),
        (false, false) => format!(
            " Speaks for {}; against {}.",
            words::list(&pro),
            words::list(&contra)
        ),
    }
}

/// A factor as one says it, whichever way it points.
fn times(factor: f64) -> String {
    let larger = if factor >= 1.0 { factor } else { 1.0 / factor };
    if larger > MANY {
        "over 100 times".to_owned()
    } else {
        format!(
            "{} times",
            quantity::round_half_away(larger, u32::from(larger < 10.0))
        )
    }
}
