//! The proof of a repair: the checks that make it, what each read before and should read now, and what is still missing.

use crate::again::{self, Why};
use crate::case::{Case, known};
use crate::desk::Held;
use crate::problem::Problem;
use crate::show::Units;
use belief::Expected;
use circuit::Check;
use job::{BY_HAND, Event, Said};

/// One check that proves the repair.
#[derive(Debug)]
pub struct ToProve<'m> {
    /// It.
    pub check: &'m Check,
    /// Why it is made.
    pub why: Why,
    /// What a sound circuit reads there.
    pub healthy: Expected,
    /// What it read before the repair.
    pub before: Option<String>,
    /// It was made since, and was good.
    pub done: bool,
}

/// The checks that prove the repair, in order.
pub fn to_prove<'m>(held: &Held, case: &Case<'m>) -> Vec<ToProve<'m>> {
    let good = |id: &str| {
        let mut proofs = held.job.proofs.iter();
        proofs.any(|proof| proof.good && proof.check == id)
    };
    let proving = again::proving(held, case).into_iter();
    let rows = proving.filter_map(|(check, why)| {
        let healthy = again::healthy(case, check)?;
        let before = held.job.read_before_repair();
        let before = before.filter(|reading| reading.check == check.id).last();
        Some(ToProve {
            check,
            why,
            healthy,
            before: before.map(|reading| again::shown(held, case, check, &reading.said)),
            done: good(&check.id),
        })
    });
    rows.collect()
}

/// What the repair still lacks, as sentences; one that says so if nothing.
pub fn repair_standing(held: &Held) -> Vec<String> {
    let job = &held.job;
    let missing = job.missing_proof();
    let mut sentences: Vec<String> = missing
        .iter()
        .map(|missing| format!("Still missing: {missing}."))
        .collect();
    if job.repairs.is_empty() {
        sentences.push("Nothing has been repaired yet.".to_owned());
    } else if missing.is_empty() {
        sentences.push(match job.proof_by_hand() {
            Some(reason) => format!("The repair was called proven by hand: {reason}."),
            None => "The repair is proven: what was wrong reads healthy, and it was driven.".to_owned(),
        });
    }
    sentences
}

/// The event of one proof: good or not by the healthy range, unless a person says it in `good`.
///
/// # Errors
/// The reading cannot be read as the check reads; or `check` is none of the circuit and nobody said whether it was good.
pub fn proof_of(
    held: &Held,
    check: &str,
    said: Said,
    good: Option<bool>,
    units: Units,
) -> Result<Event, Problem> {
    let judged = judged(held, check, &said, units)?;
    let good = good.or(judged).ok_or_else(|| {
        Problem::bad_input(
            format!("`{check}` is no check of this circuit, so its healthy range is not known"),
            Some("say whether it was as it should be".to_owned()),
        )
    })?;
    Ok(Event::Proof {
        check: check.to_owned(),
        said,
        good,
    })
}

/// The event that calls the repair proven, for a reason.
pub fn proven_by_hand(reason: &str) -> Event {
    Event::Proof {
        check: BY_HAND.to_owned(),
        said: Said::Answer(reason.to_owned()),
        good: true,
    }
}

/// Whether a reading is as a sound circuit gives it; `None` if that is no check of the circuit.
fn judged(held: &Held, id: &str, said: &Said, units: Units) -> Result<Option<bool>, Problem> {
    let (model, _) = known(held)?;
    let Some(check) = again::known(&model, id) else {
        return Ok(None);
    };
    // What cannot be read as this check reads is refused here.
    again::outcome(held, &model, check, said)?;
    let (case, _) = Case::of(held, &model, units)?;
    Ok(again::judged(held, &case, check, said))
}
