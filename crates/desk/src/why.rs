//! What a check is expected to read, and why it is proposed.

use crate::apart::clear;
use crate::case::Case;
use crate::words;
use belief::Outlook;
use circuit::{Method, Place};
use engine::NextCheck;

/// Samples behind the healthy range of a check.
const HEALTHY: usize = 400;

/// What a check reads if something is so.
#[derive(Debug, Clone, PartialEq)]
pub struct Expectation {
    /// The suspect; `None` for a sound circuit.
    pub suspect: Option<usize>,
    /// In words.
    pub name: String,
    /// 5th, 50th and 95th percentile, SI.
    pub percentiles: [f64; 3],
    /// From the first to the last, in the person's units.
    pub range: String,
}

/// What `check` reads on a sound circuit, and under each of the leading suspects.
pub fn expectations(case: &Case, outlook: &Outlook, check: usize) -> Vec<Expectation> {
    let spec = &case.model.checks()[check];
    let mut rows = Vec::new();
    let healthy = engine::expect(case.model, case.evidence.surroundings, &[], check, HEALTHY, 1);
    if let Ok(healthy) = healthy {
        rows.push(Expectation {
            suspect: None,
            name: "healthy".to_owned(),
            percentiles: healthy.percentiles,
            range: case.units.range(spec, healthy.percentiles),
        });
    }
    for suspect in case.leading(4) {
        let sound = case.belief.suspects()[suspect].faults.is_empty();
        if let (false, Some(expected)) = (sound, outlook.expected(check, Some(suspect))) {
            rows.push(Expectation {
                suspect: Some(suspect),
                name: case.name(suspect),
                percentiles: expected.percentiles,
                range: case.units.range(spec, expected.percentiles),
            });
        }
    }
    rows
}

/// Why this check, in a line.
pub fn why(case: &Case, outlook: &Outlook, next: &NextCheck) -> String {
    if let Some(text) = proves(case, outlook, next.check) {
        return text;
    }
    let told = told_apart(case, outlook, next.check);
    format!(
        "{told}; on average it spares {:.0} of work and parts, for {}",
        next.gain,
        words::minutes(next.minutes)
    )
}

/// A check that is made to show the leading suspect directly, not to tell suspects apart.
fn proves(case: &Case, outlook: &Outlook, check: usize) -> Option<String> {
    let spec = &case.model.checks()[check];
    let leading = engine::proven(&case.belief, &case.evidence)
        .filter(|leading| leading.likely_enough && !leading.proven)?;
    let fault = leading
        .not_shown
        .iter()
        .find(|fault| spec.place == Place::Part(fault.part) && engine::direct(spec.method))?;
    let name = case.model.circuit().fault_name(*fault);
    let found = match (spec.method, outlook.expected(check, Some(leading.suspect))) {
        (Method::Look, Some(expected)) => format!(
            "; a careful look finds it in about {:.0} of 100",
            100.0 * expected.percentiles[1]
        ),
        _ => String::new(),
    };
    Some(format!(
        "{name} is likely enough to prove, and this shows it directly{found}"
    ))
}

/// Which of the leading suspects a reading surely sets on one side and which on the other.
fn told_apart(case: &Case, outlook: &Outlook, check: usize) -> String {
    let spec = &case.model.checks()[check];
    let mut shown: Vec<(usize, [f64; 3])> = Vec::new();
    for suspect in case.leading(5) {
        shown.extend(
            outlook
                .expected(check, Some(suspect))
                .map(|expected| (suspect, expected.percentiles)),
        );
    }
    shown.sort_by(|a, b| a.1[1].total_cmp(&b.1[1]));
    let splits = |cut: &usize| {
        let highest = shown[..*cut]
            .iter()
            .map(|(_, range)| range[2])
            .fold(f64::NEG_INFINITY, f64::max);
        shown[*cut..]
            .iter()
            .all(|(_, range)| clear(spec, highest, range[0]))
    };
    let weight = |cut: &usize| -> f64 {
        shown[..*cut]
            .iter()
            .map(|(suspect, _)| case.belief.suspects()[*suspect].probability)
            .sum()
    };
    let total: f64 = weight(&shown.len());
    let best = (1..shown.len()).filter(splits).min_by(|a, b| {
        (weight(a) - 0.5 * total)
            .abs()
            .total_cmp(&(weight(b) - 0.5 * total).abs())
    });
    let Some(cut) = best else {
        return "no reading of it is clear-cut".to_owned();
    };
    let names = |side: &[(usize, [f64; 3])]| {
        let names: Vec<String> = side.iter().map(|(suspect, _)| case.name(*suspect)).collect();
        words::list(&names)
    };
    format!("tells {} from {}", names(&shown[..cut]), names(&shown[cut..]))
}

/// Why another check is not the first, in a line.
pub fn runner_up(case: &Case, outlook: &Outlook, best: &NextCheck, other: &NextCheck) -> String {
    let slower = other.minutes > best.minutes + 0.05;
    let reason = match (slower, other.gain < best.gain) {
        (true, true) => "takes longer and spares less",
        (true, false) => "spares more but takes longer",
        (false, _) => "spares less",
    };
    let id = case.id(other.check);
    let minutes = words::minutes(other.minutes);
    format!(
        "{id}, {minutes}: {reason} ({:.0}); {}",
        other.gain,
        told_apart(case, outlook, other.check)
    )
}
