//! The resistor across the two wires at an end of a bus, where it sits in the loom or in a plug of its own.
//!
//! ISO 11898-2 asks for 120 ohm at either end, so that a sound bus shows 60. It cracks, or a wrong one is fitted; one
//! too many in an added module shows 40. Easily taken for a module at that end. Left out: split terminators with their
//! capacitor.

use super::Kind;
use super::relay::OPEN_COIL;
use super::spec::{PROBING, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, ParameterSpec, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct BusTerminator;

/// Resistance of a terminator. ISO 11898-2: 120 ohm, 100 to 130 allowed; from memory. Made to 1 %.
pub(super) const TERMINATION: ParameterSpec = parameter(
    "termination",
    "resistance between the wires at this end",
    &[Dimension::Resistance],
    120.0,
    Spread::Relative(0.02),
    (10.0, 1e4),
);

static SPEC: KindSpec = KindSpec {
    name: "bus terminator",
    what: "The resistor across the two wires at an end of a bus.",
    ports: &[plug("high", "bus, high wire"), terminal("low", "bus, low wire")],
    parameters: &[TERMINATION],
    faults: &[
        fault("open", "cracked, or not plugged in", 70.0, 0.3),
        graded(
            "wrong resistance",
            "another resistor is fitted, or water bridges it",
            30.0,
            0.2,
            ohms("its resistance", 20.0, 60.0, 90.0),
        ),
    ],
    weight: 3.0,
    checks: &[Method::Look, Method::Ohms, Method::Swap, Method::LoomOhms],
    command: None,
    supplies: None,
    symbol: Symbol::Resistor,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "renew the terminator",
        minutes: 10.0,
        price: 12.0,
        bad_new: 0.01,
    },
    source: "120 ohm at either end by ISO 11898-2, from memory; shares from memory",
};

/// The resistance of a terminator that may be another than it should.
pub(super) fn drifted(part: &Assembly, fault: &str, sound: f64) -> f64 {
    part.fault(fault).unwrap_or(sound)
}

impl Kind for BusTerminator {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [termination] = part.values();
        let (high, low) = (part.electric(0), part.electric(1));
        let open = part.has("open").then_some(OPEN_COIL);
        let ohms = open.unwrap_or_else(|| drifted(part, "wrong resistance", termination));
        part.resistor(high, low, ohms);
    }
}
