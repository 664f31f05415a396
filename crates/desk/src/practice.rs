//! What was hidden in a practice job, in words.

use crate::show::Units;
use crate::words;
use circuit::{Circuit, FaultId};

/// A hidden cause: faults with their severities, or that there was none in this circuit.
pub fn hidden(circuit: &Circuit, cause: &[(FaultId, f64)]) -> String {
    if cause.is_empty() {
        return "nothing in this circuit; the cause lay beyond it".to_owned();
    }
    let named: Vec<String> = cause.iter().map(|fault| described(circuit, *fault)).collect();
    words::list(&named)
}

/// A fault with its severity and what it is.
fn described(circuit: &Circuit, (fault, severity): (FaultId, f64)) -> String {
    let spec = circuit.fault_spec(fault);
    let how_bad = spec.severity.map_or_else(String::new, |known| {
        format!(", {} {}", known.what, Units::severity(&known, severity, severity))
    });
    format!("{}{how_bad} ({})", circuit.fault_name(fault), spec.what)
}
