//! Taking a vehicle in: codes, and the circuit they lead to.

use crate::problem::Problem;
use circuit::{JointId, PartId};
use engine::{Model, Shipped};
use job::TroubleCode;

/// A code as the standard writes it.
///
/// # Errors
/// It is no code, with a hint for slips.
pub fn code_of(text: &str) -> Result<String, Problem> {
    match text.parse::<TroubleCode>() {
        Ok(code) => Ok(code.to_string()),
        Err(error) => Err(Problem::bad_input(&error, Some(error.hint()))),
    }
}

/// The shipped circuits that every one of `codes` can come from, as far as there are any: what several codes have in common is
/// the likelier root.
pub fn circuit_for(codes: &[String]) -> Vec<&'static Shipped> {
    let Some(first) = codes.first() else {
        return Vec::new();
    };
    let mut circuits = engine::leading_from(first);
    for code in &codes[1..] {
        let leading = engine::leading_from(code);
        let common: Vec<_> = circuits
            .iter()
            .filter(|circuit| leading.iter().any(|other| other.name == circuit.name))
            .copied()
            .collect();
        if !common.is_empty() {
            circuits = common;
        }
    }
    circuits
}

/// A check on the circuit, its index.
///
/// # Errors
/// The circuit has none of that id.
pub fn known_check(model: &Model, check: &str) -> Result<usize, Problem> {
    model.check(check).ok_or_else(|| {
        let near = diag::nearest(check, model.checks().iter().map(|known| known.id.as_str()));
        Problem::not_found(
            format!("this circuit has no check `{check}`"),
            near.map(|near| format!("did you mean `{near}`?")),
        )
    })
}

/// A joint of the circuit.
///
/// # Errors
/// The circuit has none of that name.
pub fn known_joint(model: &Model, joint: &str) -> Result<JointId, Problem> {
    let joints = &model.circuit().joints;
    let found = joints.iter().position(|known| known.name == joint);
    found.map(JointId).ok_or_else(|| {
        let near = diag::nearest(joint, joints.iter().map(|known| known.name.as_str()));
        Problem::not_found(
            format!("the circuit has no joint `{joint}`"),
            near.map(|near| format!("did you mean `{near}`?")),
        )
    })
}

/// A part of the circuit.
///
/// # Errors
/// The circuit has none of that name.
pub fn known_part(model: &Model, part: &str) -> Result<PartId, Problem> {
    let parts = &model.circuit().parts;
    let found = parts.iter().position(|known| known.id == part);
    found.map(PartId).ok_or_else(|| {
        let near = diag::nearest(part, parts.iter().map(|known| known.id.as_str()));
        Problem::bad_input(
            format!("the circuit has no part `{part}`"),
            near.map(|near| format!("did you mean `{near}`?")),
        )
    })
}
