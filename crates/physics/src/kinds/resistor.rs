//! A fixed resistance: a blower's series resistor, a heater, a terminator.
//!
//! It burns through or cracks, or its joints age. An open series resistor leaves only the full speed and is easily
//! taken for a bad switch, relay or motor, which that full speed clears. Left out: change with temperature, and a
//! thermal fuse.

use super::Kind;
use super::conductor::{OPEN_OR_POOR, carry};
use super::spec::{PROBING, fault, graded, ohms, plug, required, terminal};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A resistor: blower or fan series resistor, terminator, heater.
pub(crate) struct Resistor;

static SPEC: KindSpec = KindSpec {
    name: "resistor",
    what: "A fixed resistance: a blower's series resistor, a heater, a terminator.",
    ports: &[
        plug("from", "end towards the source"),
        terminal("to", "end towards the load"),
    ],
    parameters: &[required(
        "resistance",
        "its resistance",
        &[Dimension::Resistance],
        Spread::Relative(0.05),
        (1e-3, 100e6),
    )],
    faults: &[
        fault("open", "burnt through or cracked", 75.0, 0.3),
        graded(
            "high resistance",
            "aged, cracked or badly joined",
            25.0,
            0.1,
            ohms("added resistance", 0.2, 2.0, 50.0),
        ),
    ],
    weight: 3.0,
    checks: &[Method::Look, Method::Drop, Method::Amps, Method::Ohms],
    command: None,
    supplies: None,
    symbol: Symbol::Resistor,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "renew the resistor",
        minutes: 20.0,
        price: 15.0,
        bad_new: 0.01,
    },
    source: "shares from memory",
};

impl Kind for Resistor {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [resistance] = part.values();
        carry(part, resistance, OPEN_OR_POOR);
    }
}
