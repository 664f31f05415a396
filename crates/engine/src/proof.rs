//! When a cause counts as proven: it is all but certain, and a check has shown it directly.

use crate::readings::Evidence;
use belief::{Belief, Outcome};
use circuit::{FaultId, Method, Place};

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
    /// `true` if it counts as proven.
    pub proven: bool,
}

/// Probability from which a suspect may count as proven.
pub const BAR: f64 = 0.95;
/// How many times likelier a direct check must have made the suspect.
const TELLING: f64 = 3.0;

/// Where the leading suspect stands; `None` if nothing wrong or nothing listed leads.
pub fn proven(belief: &Belief, evidence: &Evidence) -> Option<Proven> {
    let suspect = belief.suspects().iter().position(|suspect| !suspect.faults.is_empty())?;
    let leading = &belief.suspects()[suspect];
    if belief.not_listed() > leading.probability || belief.nothing_wrong() > leading.probability {
        return None;
    }
    let reasons = belief.reasons(suspect);
    let factor = |check: usize| reasons.iter().filter(|reason| reason.check == check).map(|r| r.factor).fold(1.0, f64::max);
    let (mut shown_by, mut not_shown) = (Vec::new(), Vec::new());
    for fault in &leading.faults {
        let direct = evidence.observations.iter().filter(|observation| {
            let check = &belief.model().checks()[observation.check];
            check.place == Place::Part(fault.part)
                && shows_directly(check.method, observation.outcome)
                && factor(observation.check) >= TELLING
        });
        let before = shown_by.len();
        shown_by.extend(direct.map(|observation| observation.check));
        if shown_by.len() == before {
            not_shown.push(*fault);
        }
    }
    let parts = belief.parts();
    let certain = leading.faults.iter().all(|fault| parts[fault.part.0] >= BAR);
    Some(Proven {
        suspect,
        faults: leading.faults.clone(),
        probability: leading.probability,
        proven: certain && not_shown.is_empty(),
        shown_by,
        not_shown,
    })
}

/// A part tested alone, seen, or exchanged: the method would have read otherwise were the part good.
fn shows_directly(method: Method, outcome: Outcome) -> bool {
    match method {
        Method::Swap | Method::Look => outcome == Outcome::Yes,
        Method::Click => outcome == Outcome::No,
        Method::Ohms | Method::Drop | Method::Jumper => true,
        _ => false,
    }
}
