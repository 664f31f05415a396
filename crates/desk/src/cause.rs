//! Calling a cause proven.

use crate::case::{evidence, known};
use crate::desk::Held;
use crate::problem::Problem;
use crate::words;
use engine::{Effort, Model, Proven};
use job::Event;

/// `PART` or `PART/FAULT` of this circuit.
///
/// # Errors
/// The circuit has no such part or fault.
pub fn known_cause(model: &Model, what: &str) -> Result<(), Problem> {
    let circuit = model.circuit();
    let mut names: Vec<String> = circuit.parts.iter().map(|part| part.id.clone()).collect();
    names.extend(
        circuit
            .faults()
            .into_iter()
            .map(|(fault, _)| circuit.fault_name(fault)),
    );
    if names.iter().any(|name| name == what) {
        return Ok(());
    }
    let hint = diag::nearest(what, names.iter().map(String::as_str));
    Err(Problem::bad_input(
        format!("the circuit has no part or fault `{what}`"),
        hint.map(|near| format!("did you mean `{near}`?")),
    ))
}

/// The event that says that a part or a fault is not the cause.
///
/// # Errors
/// The circuit has no such part or fault, or no reason is given.
pub fn rule_out(held: &Held, what: &str, reason: &str) -> Result<Event, Problem> {
    known_cause(&known(held)?.0, what)?;
    if reason.trim().is_empty() {
        return Err(Problem::bad_input(
            "say how you know that it is not the cause",
            None,
        ));
    }
    Ok(Event::RuledOut {
        what: what.to_owned(),
        reason: reason.trim().to_owned(),
    })
}

/// The event that calls a cause proven: the leading one, or `faults`; `by_hand` with a reason where something is missing.
///
/// # Errors
/// Something is still missing, line by line in the hint.
pub fn prove(held: &Held, faults: &[String], by_hand: Option<&str>) -> Result<Event, Problem> {
    let (model, _) = known(held)?;
    for fault in faults {
        known_cause(&model, fault)?;
    }
    let (evidence, _) = evidence(held, &model, &held.job.readings_file())?;
    let belief = engine::belief(&model, &evidence, Effort::default());
    let leading = engine::proven(&belief, &evidence);
    let circuit = model.circuit();
    let name = |fault: &circuit::FaultId| circuit.fault_name(*fault);
    let named = |leading: &Proven| leading.faults.iter().map(name).collect::<Vec<_>>();
    let id = |check: &usize| model.checks()[*check].id.clone();
    let agrees = leading
        .as_ref()
        .filter(|leading| faults.is_empty() || same(faults, &named(leading)));
    match (agrees, by_hand) {
        (Some(leading), _) if leading.proven => Ok(Event::CauseProven {
            faults: named(leading),
            shown_by: leading.shown_by.iter().map(id).collect(),
            probability: leading.probability,
            by_hand: by_hand.map(str::to_owned),
        }),
        (agrees, Some(reason)) => {
            let of = agrees.map(named).filter(|_| faults.is_empty());
            let faults = of.unwrap_or_else(|| faults.to_vec());
            let wanted = |suspect: &&engine::Suspect| {
                same(&faults, &suspect.faults.iter().map(name).collect::<Vec<_>>())
            };
            let probability = belief.suspects().iter().find(wanted);
            Ok(Event::CauseProven {
                shown_by: agrees.map_or_else(Vec::new, |leading| leading.shown_by.iter().map(id).collect()),
                probability: probability.map_or(0.0, |suspect| suspect.probability),
                by_hand: Some(reason.to_owned()),
                faults,
            })
        }
        (None, None) => Err(Problem::not_yet(
            match &leading {
                Some(leading) => format!(
                    "not proven: {} leads with {}",
                    words::faults(circuit, &leading.faults),
                    words::percent(leading.probability)
                ),
                None => "not proven: nothing listed leads".to_owned(),
            },
            None,
        )),
        (Some(leading), None) => Err(Problem::not_yet(
            format!(
                "not proven yet: {} leads",
                words::faults(circuit, &leading.faults)
            ),
            Some(missing(leading, name).join("\n")),
        )),
    }
}

/// What is still missing to call the leading cause proven, line by line.
fn missing(leading: &Proven, name: impl Fn(&circuit::FaultId) -> String) -> Vec<String> {
    let mut missing = Vec::new();
    if !leading.likely_enough {
        missing.push(format!(
            "it stands at {}, and {} is asked for",
            words::percent(leading.probability),
            words::percent(engine::BAR)
        ));
    }
    for fault in &leading.not_shown {
        missing.push(format!(
            "no check has shown {} directly: try the part by itself, see it, or put a known good one in its place",
            name(fault)
        ));
    }
    missing
}

fn same(some: &[String], others: &[String]) -> bool {
    some.len() == others.len() && some.iter().all(|one| others.contains(one))
}
