//! Checks made before the repair and after it: what each read, what is healthy, which of them are worth making again.

use crate::case::Case;
use crate::desk::Held;
use crate::problem::Problem;
use crate::words;
use belief::{Expected, Outcome};
use circuit::{Check, Method, Reads};
use engine::Model;
use job::{Reading, Said};

/// Samples behind a healthy range.
const SAMPLES: usize = 1_000;
/// Of the checks that were not healthy before the repair, those that said most, so many.
const MOST: usize = 3;

/// Why a check is made after a repair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// It showed the cause, or was not healthy, before.
    Again,
    /// The circuit's description says that it shows that the circuit works.
    Works,
}

/// The checks that prove the repair: those that showed the cause, or else those that were not healthy before and said most; then
/// what says that the circuit works.
pub(crate) fn proving<'m>(held: &Held, case: &Case<'m>) -> Vec<(&'m Check, Why)> {
    let model = case.model;
    let shown = held.job.proven.iter().flat_map(|proven| &proven.shown_by);
    let mut again: Vec<&Check> = shown
        .filter_map(|id| known(model, id))
        .filter(|check| made_again(check))
        .collect();
    if again.is_empty() {
        again = not_healthy(held, case);
    }
    let mut checks: Vec<(&Check, Why)> = Vec::new();
    let works = model
        .circuit()
        .works
        .iter()
        .filter_map(|works| known(model, &works.check));
    let all = again.into_iter().map(|check| (check, Why::Again));
    for (check, why) in all.chain(works.map(|check| (check, Why::Works))) {
        if checks.iter().all(|(other, _)| other.id != check.id) {
            checks.push((check, why));
        }
    }
    checks
}

/// The check called `id`.
pub(crate) fn known<'m>(model: &'m Model, id: &str) -> Option<&'m Check> {
    model.check(id).map(|check| &model.checks()[check])
}

/// A part that is swapped once is not swapped again to prove that it was good, and a look at the new one says nothing.
fn made_again(check: &Check) -> bool {
    !matches!(check.method, Method::Swap | Method::Look | Method::Compare)
}

/// What was measured before the repair and was not healthy, what said most of the cause first; everything measured if all
/// was healthy.
fn not_healthy<'m>(held: &Held, case: &Case<'m>) -> Vec<&'m Check> {
    let mut measured: Vec<(&Check, &Reading)> = Vec::new();
    for reading in held.job.read_before_repair() {
        let check = known(case.model, &reading.check).filter(|check| made_again(check));
        if let Some(check) = check.filter(|check| measured.iter().all(|(other, _)| other.id != check.id)) {
            measured.push((check, reading));
        }
    }
    let bad = |(check, reading): &(&Check, &Reading)| judged(held, case, check, &reading.said) == Some(false);
    let bad_ones: Vec<_> = measured.iter().copied().filter(bad).collect();
    let mut again: Vec<&Check> = if bad_ones.is_empty() { measured } else { bad_ones }
        .into_iter()
        .map(|(check, _)| check)
        .collect();
    let said = strengths(held, case);
    let strength = |check: &Check| {
        let own = said
            .iter()
            .filter(|(index, _)| case.model.checks()[*index].id == check.id);
        own.map(|(_, strength)| *strength).fold(0.0, f64::max)
    };
    again.sort_by(|a, b| strength(b).total_cmp(&strength(a)));
    again.truncate(MOST);
    again
}

/// How much each reading speaks for the proven cause, or the leading suspect, as a factor.
fn strengths(held: &Held, case: &Case) -> Vec<(usize, f64)> {
    let circuit = case.model.circuit();
    let faults: Vec<&str> = held
        .job
        .proven
        .iter()
        .flat_map(|proven| &proven.faults)
        .map(String::as_str)
        .collect();
    let suspects = case.belief.suspects();
    let named = suspects.iter().position(|suspect| {
        suspect.faults.len() == faults.len()
            && suspect
                .faults
                .iter()
                .all(|fault| faults.contains(&&*circuit.fault_name(*fault)))
    });
    let leading = || suspects.iter().position(|suspect| !suspect.faults.is_empty());
    let cause = named.filter(|_| !faults.is_empty()).or_else(leading);
    cause.map_or_else(Vec::new, |cause| {
        let reasons = case.belief.reasons(cause);
        reasons
            .into_iter()
            .map(|reason| (reason.check, reason.factor))
            .collect()
    })
}

/// What a sound circuit reads at `check` in the air of the case.
pub(crate) fn healthy(case: &Case, check: &Check) -> Option<Expected> {
    let check = case.model.check(&check.id)?;
    engine::expect(case.model, case.evidence.surroundings, &[], check, SAMPLES, 1).ok()
}

/// What was said of a check as it is shown, in the person's units; as it was said where that cannot be read.
pub(crate) fn shown(held: &Held, case: &Case, check: &Check, said: &Said) -> String {
    match outcome(held, case.model, check, said) {
        Ok(Some(outcome)) => case.units.outcome(check, outcome),
        _ => said.text().to_owned(),
    }
}

/// Whether a reading is as a sound circuit gives it; `None` if it cannot be said.
pub(crate) fn judged(held: &Held, case: &Case, check: &Check, said: &Said) -> Option<bool> {
    let outcome = outcome(held, case.model, check, said).ok().flatten()?;
    let [low, middle, high] = healthy(case, check)?.percentiles;
    Some(match outcome {
        Outcome::Yes => middle >= 0.5,
        Outcome::No => middle < 0.5,
        Outcome::Value(value) => (low..=high).contains(&value),
        Outcome::Over(bound) => bound <= high && check.reads != Reads::YesNo,
        Outcome::Under(bound) => bound >= low && check.reads != Reads::YesNo,
    })
}

/// What was said as an outcome: the reading alone, under the air of the job. `None` if the check was not made.
///
/// # Errors
/// It cannot be read as this check reads.
pub(crate) fn outcome(
    held: &Held,
    model: &Model,
    check: &Check,
    said: &Said,
) -> Result<Option<Outcome>, Problem> {
    let mut text = held.job.air();
    job::write_reading(&mut text, &check.id, said, None);
    let (evidence, found) = engine::evidence(model, &text);
    Problem::unless_sound(&diag::Source::new(&check.id, &text), &found)?;
    let observations = evidence.map(|evidence| evidence.observations).unwrap_or_default();
    Ok(observations.first().map(|observation| observation.outcome))
}

/// What was checked after the repair, with what it read before: the last of each check.
pub fn compared(held: &Held, case: &Case) -> Vec<report::Compared> {
    let mut all: Vec<report::Compared> = Vec::new();
    for proof in &held.job.proofs {
        let Some(check) = known(case.model, &proof.check) else {
            continue;
        };
        let before = held
            .job
            .read_before_repair()
            .filter(|reading| reading.check == check.id)
            .last();
        let range = healthy(case, check).map(|expected| case.units.range(check, expected.percentiles));
        let own = report::Compared {
            check: check.id.clone(),
            plain: words::plainly(case.model.circuit(), check),
            before: before.map(|reading| shown(held, case, check, &reading.said)),
            after: shown(held, case, check, &proof.said),
            healthy: range.filter(|_| check.reads != Reads::YesNo),
            good: proof.good,
        };
        all.retain(|other| other.check != own.check);
        all.push(own);
    }
    all
}
