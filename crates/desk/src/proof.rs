//! How far the leading suspect is from counting as proven, and what is missing.

use crate::case::Case;
use crate::words;
use circuit::{FaultId, Place};
use engine::{NextCheck, Proven};

/// Where the leading suspect stands, in a sentence or two; `next` are the checks that could still be made.
pub fn standing(case: &Case, next: &[NextCheck]) -> String {
    let circuit = case.model.circuit();
    let Some(proven) = engine::proven(&case.belief, &case.evidence) else {
        return elsewhere(case);
    };
    let name = words::faults(circuit, &proven.faults);
    if proven.proven {
        let shown: Vec<String> = proven
            .shown_by
            .iter()
            .map(|check| case.model.checks()[*check].id.clone())
            .collect();
        let part = least_share(case, &proven);
        return format!(
            "Proven: {name}. {} that the part is at fault ({}), and shown directly by {}.",
            words::percent(part),
            words::chance(part),
            words::list(&shown)
        );
    }
    format!(
        "Not proven. Do not buy a part on this yet. {name} leads; still missing: {}.",
        words::list(&missing(case, &proven, next))
    )
}

/// Probability of the least likely of the parts that are said to be at fault.
fn least_share(case: &Case, proven: &Proven) -> f64 {
    let parts = case.belief.parts();
    proven
        .faults
        .iter()
        .map(|fault| parts[fault.part.0])
        .fold(1.0, f64::min)
}

/// Nothing wrong, or nothing listed, leads.
fn elsewhere(case: &Case) -> String {
    if case.belief.nothing_wrong() >= case.belief.not_listed() {
        "Nothing here counts as proven: it looks as if nothing were wrong in this circuit. Look beyond it, or for a fault that comes and goes.".to_owned()
    } else {
        "Nothing here counts as proven: a cause that is not listed leads. Check whether the vehicle is built like the drawing.".to_owned()
    }
}

fn missing(case: &Case, proven: &Proven, next: &[NextCheck]) -> Vec<String> {
    let mut missing = Vec::new();
    let least = least_share(case, proven);
    if least < engine::BAR {
        missing.push(format!(
            "{} for the part, it has {}",
            words::percent(engine::BAR),
            words::percent(least)
        ));
    }
    for fault in &proven.not_shown {
        missing.push(match direct(case, *fault, next) {
            Some(check) => format!(
                "a check that shows it directly, such as {}",
                case.model.checks()[check].id
            ),
            None => format!(
                "a check that shows {} directly",
                case.model.circuit().fault_name(*fault)
            ),
        });
    }
    missing
}

/// The quickest check not made yet that shows a fault directly.
fn direct(case: &Case, fault: FaultId, next: &[NextCheck]) -> Option<usize> {
    let candidates = next.iter().filter(|candidate| {
        let check = &case.model.checks()[candidate.check];
        check.place == Place::Part(fault.part) && engine::direct(check.method)
    });
    candidates
        .min_by(|a, b| a.minutes.total_cmp(&b.minutes))
        .map(|candidate| candidate.check)
}
