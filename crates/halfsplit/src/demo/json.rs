//! The demo as JSON.

use super::{ALTITUDE, FIRST, Played, Step};
use crate::show::Units;
use engine::{Model, Shop};
use serde_json::{Value, json};
use std::path::Path;

/// The job as it went.
pub(super) fn json(model: &Model, played: &Played, drawing: &Path, units: Units) -> Value {
    let circuit = model.circuit();
    let read = |check: usize, outcome| units.outcome(&model.checks()[check], outcome);
    let first = model
        .checks()
        .iter()
        .position(|check| check.id == FIRST)
        .unwrap_or_default();
    let step = |step: &Step| json!({ "check": model.checks()[step.check].id, "minutes": step.minutes, "read": read(step.check, step.outcome) });
    let proven = played.proven.as_ref().map(|proven| {
        json!({
            "faults": proven.faults.iter().map(|fault| circuit.fault_name(*fault)).collect::<Vec<_>>(),
            "probability": proven.probability,
            "proven": proven.proven,
            "shown_by": proven.shown_by.iter().map(|check| &model.checks()[*check].id).collect::<Vec<_>>(),
        })
    });
    json!({
        "invented": true,
        "circuit": circuit.name,
        "altitude": ALTITUDE,
        "first": { "check": FIRST, "read": read(first, played.first) },
        "steps": played.steps.iter().map(step).collect::<Vec<_>>(),
        "hidden": circuit.fault_name(played.hidden),
        "leading": proven,
        "minutes": played.money.checks,
        "cost": played.money.checks * Shop::default().rate + played.money.repair,
        "quoted": played.money.quoted,
        "drawing": super::shown(drawing),
    })
}
