//! When a cause counts as proven: it is all but certain, and a check has shown it directly.

use crate::readings::Evidence;
use belief::{Belief, Observation, Outcome, Outlook, Surroundings};
use circuit::{FaultId, Method, Place, Reads};
use plan::NextCheck;

/// Where the leading suspect stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Proven {
    /// Index of the leading suspect.
    pub suspect: usize,
    /// Its parts' faults.
    pub faults: Vec<FaultId>,
    /// Its probability.
    pub probability: f64,
    /// Checks that showed it directly, one per fault at least if proven.
    pub shown_by: Vec<usize>,
    /// Faults that no check has shown directly yet.
    pub not_shown: Vec<FaultId>,
    /// `true` if its parts are likely enough.
    pub likely_enough: bool,
    /// `true` if it counts as proven.
    pub proven: bool,
}

/// Probability from which a suspect may count as proven.
pub const BAR: f64 = 0.95;

/// Where the leading suspect stands; `None` if nothing wrong or nothing listed leads.
pub fn proven(belief: &Belief, evidence: &Evidence) -> Option<Proven> {
    let suspect = belief
        .suspects()
        .iter()
        .position(|suspect| !suspect.faults.is_empty())?;
    let leading = &belief.suspects()[suspect];
    if belief.not_listed() > leading.probability || belief.nothing_wrong() > leading.probability {
        return None;
    }
    let (mut shown_by, mut not_shown) = (Vec::new(), Vec::new());
    for fault in &leading.faults {
        let direct = evidence.observations.iter().filter(|observation| {
            let check = &belief.model().checks()[observation.check];
            check.place == Place::Part(fault.part)
                && shows_directly(belief, evidence.surroundings, observation)
        });
        let before = shown_by.len();
        shown_by.extend(direct.map(|observation| observation.check));
        if shown_by.len() == before {
            not_shown.push(*fault);
        }
    }
    let likely_enough = likely_enough(belief, &leading.faults);
    Some(Proven {
        suspect,
        faults: leading.faults.clone(),
        probability: leading.probability,
        likely_enough,
        proven: likely_enough && not_shown.is_empty(),
        shown_by,
        not_shown,
    })
}

/// `true` if every one of the parts is all but certain.
fn likely_enough(belief: &Belief, faults: &[FaultId]) -> bool {
    let parts = belief.parts();
    faults.iter().all(|fault| parts[fault.part.0] >= BAR)
}

/// Least chance with which a check must show a fault to be made for that alone.
const WORTH_TRYING: f64 = 0.1;
/// Samples behind what a sound circuit reads.
const SOUND: usize = 200;

/// Once the leading suspect is likely enough, only being shown is missing: the checks that show it directly come first,
/// those that take the fewest minutes per chance of showing it before the others.
pub(crate) fn proving_first(
    ranked: Vec<NextCheck>,
    outlook: &Outlook,
    evidence: &Evidence,
) -> Vec<NextCheck> {
    let belief = outlook.belief();
    let Some(leading) = proven(belief, evidence).filter(|leading| leading.likely_enough && !leading.proven)
    else {
        return ranked;
    };
    let chance = |next: &NextCheck| chance_to_show(outlook, evidence.surroundings, &leading, next.check);
    let (mut proving, others): (Vec<_>, Vec<_>) =
        ranked.into_iter().partition(|next| chance(next) >= WORTH_TRYING);
    proving.sort_by(|a, b| (a.minutes / chance(a)).total_cmp(&(b.minutes / chance(b))));
    proving.extend(others);
    proving
}

/// Chance that `check` shows a fault of the leading suspect that has not been shown yet; 0 for a check that shows nothing
/// directly.
fn chance_to_show(outlook: &Outlook, surroundings: Surroundings, leading: &Proven, check: usize) -> f64 {
    let spec = &outlook.belief().model().checks()[check];
    if !leading
        .not_shown
        .iter()
        .any(|fault| spec.place == Place::Part(fault.part))
    {
        return 0.0;
    }
    let Some(faulty) = outlook.expected(check, Some(leading.suspect)) else {
        return 0.0;
    };
    let yes = faulty.percentiles[1];
    match spec.method {
        Method::Swap | Method::Look | Method::Smoke | Method::Wiggle => yes,
        Method::Click => 1.0 - yes,
        Method::Ohms | Method::Drop | Method::Jumper | Method::Hold if spec.reads == Reads::YesNo => {
            1.0 - yes
        }
        // The rest shows it if it reads otherwise than on a sound circuit.
        Method::Ohms | Method::Drop | Method::Jumper | Method::Hold => {
            let apart =
                |sound: [f64; 3]| faulty.percentiles[0] > sound[2] || faulty.percentiles[2] < sound[0];
            f64::from(u8::from(
                sound(outlook.belief(), surroundings, check).is_some_and(apart),
            ))
        }
        _ => 0.0,
    }
}

/// `true` for methods that try one part by itself, so that they can show its fault directly.
pub fn direct(method: Method) -> bool {
    matches!(
        method,
        Method::Swap
            | Method::Look
            | Method::Smoke
            | Method::Wiggle
            | Method::Click
            | Method::Ohms
            | Method::Drop
            | Method::Jumper
            | Method::Hold
    )
}

/// A part tested alone, seen, or exchanged, and what was read is not what a sound part gives.
fn shows_directly(belief: &Belief, surroundings: Surroundings, observation: &Observation) -> bool {
    let check = &belief.model().checks()[observation.check];
    let sound = || sound(belief, surroundings, observation.check);
    match (check.method, observation.outcome) {
        (Method::Swap | Method::Look | Method::Smoke | Method::Wiggle, outcome) => outcome == Outcome::Yes,
        (Method::Click | Method::Jumper, Outcome::Yes | Outcome::No) => observation.outcome == Outcome::No,
        (Method::Ohms | Method::Drop | Method::Jumper | Method::Hold, Outcome::Value(value)) => {
            sound().is_some_and(|[low, _, high]| value < low || value > high)
        }
        (Method::Ohms | Method::Drop | Method::Jumper | Method::Hold, Outcome::Over(bound)) => {
            sound().is_some_and(|[_, _, high]| bound >= high)
        }
        (Method::Ohms | Method::Drop | Method::Jumper | Method::Hold, Outcome::Under(bound)) => {
            sound().is_some_and(|[low, _, _]| bound <= low)
        }
        _ => false,
    }
}

/// Percentiles of what a sound circuit reads; `None` if that cannot be computed.
fn sound(belief: &Belief, surroundings: Surroundings, check: usize) -> Option<[f64; 3]> {
    belief::expect(belief.model(), surroundings, &[], check, SOUND, 1)
        .ok()
        .map(|expected| expected.percentiles)
}
