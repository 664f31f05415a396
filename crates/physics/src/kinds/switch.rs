//! A switch that a condition turns on: ignition, start, brake or reversing switch.
//!
//! It wears, burns or goes out of adjustment: always open, always closed, or with a drop. A worn contact shows the full
//! voltage while nothing flows and is easily taken for a tired load; one that never closes is easily taken for a blown
//! fuse. Left out: bounce, several contacts in one housing, contacts that come and go.

use super::Kind;
use super::spec::{PROBING, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use circuit::{CommandSpec, KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Switch;

static SPEC: KindSpec = KindSpec {
    name: "switch",
    what: "Closes while a condition commands it on: ignition, start, brake or reversing switch.",
    ports: &[
        plug("from", "side towards the source"),
        terminal("to", "side towards the load"),
    ],
    parameters: &[parameter(
        "contact",
        "resistance when closed",
        &[Dimension::Resistance],
        10e-3,
        Spread::Relative(0.5),
        (0.1e-3, 10.0),
    )],
    faults: &[
        fault(
            "does not close",
            "worn, broken or out of adjustment: always open",
            45.0,
            0.1,
        ),
        graded(
            "worn contact",
            "burnt or dirty: it drops voltage",
            40.0,
            0.05,
            ohms("added resistance", 0.05, 0.4, 10.0),
        ),
        fault("does not open", "always closed", 15.0, 0.1),
    ],
    weight: 4.0,
    checks: &[Method::Look, Method::Drop, Method::Swap],
    command: Some(CommandSpec::OnOff),
    supplies: None,
    symbol: Symbol::Switch,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "renew the switch",
        minutes: 30.0,
        price: 45.0,
        bad_new: 0.01,
    },
    source: "contact resistance and shares from memory",
};

impl Kind for Switch {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [contact] = part.values();
        let closed = part.has("does not open") || part.duty() > 0.5 && !part.has("does not close");
        if closed {
            let (from, to) = (part.electric(0), part.electric(1));
            part.resistor(from, to, contact + part.fault("worn contact").unwrap_or(0.0));
        }
    }
}
