//! Cautions, read once a job.

use crate::case::known;
use crate::desk::Held;
use crate::how;
use crate::problem::Problem;
use circuit::{Caution, PartId};
use engine::Model;
use job::Event;

/// A caution as it is written down when it was read.
pub fn sentence(caution: &Caution) -> String {
    format!("{}: {}", caution.hazard, caution.precaution)
}

/// Those of `cautions` that nobody has read in this job.
pub fn unread(held: &Held, cautions: Vec<&'static Caution>) -> Vec<&'static Caution> {
    let new = |caution: &&'static Caution| !held.job.has_read(&sentence(caution));
    cautions.into_iter().filter(new).collect()
}

/// Cautions of a check, or of renewing a part.
///
/// # Errors
/// The circuit has neither a check nor a part of that name.
pub fn cautions_of(model: &Model, of: &str) -> Result<Vec<&'static Caution>, Problem> {
    let circuit = model.circuit();
    if let Some(check) = model.checks().iter().find(|check| check.id == of) {
        return Ok(how::cautions(circuit, check));
    }
    if let Some(part) = circuit.parts.iter().position(|part| part.id == of) {
        return Ok(how::cautions_of_work(circuit, PartId(part)));
    }
    let hint = diag::nearest(of, model.checks().iter().map(|check| check.id.as_str()));
    Err(Problem::not_found(
        format!("`{of}` is neither a check nor a part of this circuit"),
        hint.map(|near| format!("did you mean `{near}`?")),
    ))
}

/// The events that say that the cautions of `of`, a check or a part to be renewed, were read; none if all were before.
///
/// # Errors
/// The circuit has neither a check nor a part of that name.
pub fn acknowledge(held: &Held, of: &str) -> Result<Vec<Event>, Problem> {
    let (model, _) = known(held)?;
    let read = unread(held, cautions_of(&model, of)?);
    let read = read.into_iter().map(|caution| Event::CautionAcknowledged {
        caution: sentence(caution),
    });
    Ok(read.collect())
}
