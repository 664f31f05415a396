//! What the outputs of a control module have in common: a transistor that conducts for the commanded share of time.
//!
//! Which way it switches is in the two kinds' own files. An output that switches itself off under overload is left out.

use super::spec::{fault, graded, ohms, parameter};
use crate::assembly::Assembly;
use circuit::{FaultSpec, ParameterSpec, RepairSpec, Spread};
use quantity::Dimension;

/// Resistance while it conducts.
pub(super) const ON: ParameterSpec = parameter(
    "on-resistance",
    "while it conducts",
    &[Dimension::Resistance],
    0.15,
    Spread::Relative(0.4),
    (1e-3, 10.0),
);
/// Ways an output fails.
pub(super) const FAULTS: &[FaultSpec] = &[
    fault("never switches", "the output does not conduct", 55.0, 0.01),
    fault(
        "always on",
        "the output conducts whatever is commanded",
        25.0,
        0.01,
    ),
    graded(
        "weak",
        "the output conducts badly",
        20.0,
        0.01,
        ohms("added resistance", 0.5, 4.0, 30.0),
    ),
];
/// An output is repaired with its module.
pub(super) const REPAIR: RepairSpec = RepairSpec {
    what: "renew or repair the control module",
    minutes: 60.0,
    price: 600.0,
    bad_new: 0.02,
};
/// Where shares and sizes come from.
pub(super) const SOURCE: &str = "a module is the cause in at most 2 of 100 cases, half of them outputs: from memory; resistances from memory";

/// An output between its first two ports, with its faults.
pub(super) fn switch(part: &mut Assembly) {
    let [on] = part.values();
    let (a, b) = (part.electric(0), part.electric(1));
    let ohms = on + part.fault("weak").unwrap_or(0.0);
    if part.has("always on") {
        part.resistor(a, b, ohms);
    } else if !part.has("never switches") {
        let duty = part.duty();
        part.driver(a, b, ohms, duty);
    }
}
