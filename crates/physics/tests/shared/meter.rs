//! Electric circuits written by hand, and what a meter finds on them.

use super::{fault, read, reading};
use physics::{Ambient, Model, Vehicle};

/// The circuit of `parts` in a condition `on`: at this supply, with the commands that `command` names.
pub(crate) fn circuit(parts: &str, supply: &str, command: &str) -> Model {
    let text = format!(
        "[circuit]\ntitle = \"by hand\"\ninvented = true\n{parts}\n[condition.on]\nsupply = \"{supply}\"\ncommand = {{ {command} }}\n"
    );
    Model::new(read("by-hand", &text))
}

/// What the check `id` reads with the faults `part/fault`, each with its severity.
pub(crate) fn at(model: &Model, faults: &[(&str, f64)], id: &str) -> f64 {
    let mut vehicle = Vehicle::typical(model.circuit(), Ambient::default());
    vehicle.faults = faults
        .iter()
        .map(|(name, severity)| (fault(model.circuit(), name), *severity))
        .collect();
    reading(&mut model.probe(), id, &vehicle)
}

/// Asserts that `actual` is within `tolerance` of `expected`.
pub(crate) fn check(what: &str, actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{what}: {actual} instead of {expected}"
    );
}
