//! A restrictor: a calibrated opening in a line.
//!
//! It plugs with dirt or oil, or is left out. Plugged it starves what lies behind it and is easily taken for a leak
//! there or a blocked hose; a gauge on the open end behind it reads full all the same. A missing one shows only where
//! much flows. Left out: its direction, if it has one.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, air, bore, fault, graded, required};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Restrictor;

static SPEC: KindSpec = KindSpec {
    name: "restrictor",
    what: "A small calibrated opening in a line.",
    ports: &[
        air("from", "end towards the source"),
        air("to", "end towards the load"),
    ],
    parameters: &[required(
        "bore",
        "its opening",
        &[Dimension::Length],
        Spread::Relative(0.03),
        (0.2e-3, 10e-3),
    )],
    faults: &[
        graded(
            "plugged",
            "dirt or oil leaves little open",
            85.0,
            0.2,
            bore("opening left", 0.1e-3, 0.3e-3, 0.6e-3),
        ),
        fault("missing", "left out: the line is wide open", 15.0, 0.4),
    ],
    weight: 3.0,
    checks: &[Method::Look, Method::Swap],
    command: None,
    supplies: None,
    symbol: Symbol::Orifice,
    cautions: &[BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "clean or renew the restrictor",
        minutes: 8.0,
        price: 6.0,
        bad_new: 0.005,
    },
    source: "shares from memory: plugged 85, missing 15 of 100",
};

impl Kind for Restrictor {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [bore] = part.values();
        let (a, b) = (part.air(0), part.air(1));
        // A missing restrictor leaves the hose's own bore, three millimetres or so.
        let bore = if part.has("missing") { bore.max(3e-3) } else { bore };
        part.hole(a, b, part.fault("plugged").map_or(bore, |left| left.min(bore)));
    }
}
