//! An in-line filter: a wide opening while it is clean.
//!
//! It plugs, or its housing breaks open. Plugged it is easily taken for a collapsed hose beside it or a leak behind it:
//! only two readings under flow, one on each side, tell. Cracked it is a leak like any other. Left out: fitting it the
//! wrong way round, and what comes through a torn element.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, air, bore, fault, graded, parameter};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Filter;

static SPEC: KindSpec = KindSpec {
    name: "filter",
    what: "An in-line filter: a wide opening while clean.",
    ports: &[air("from", "dirty side"), air("to", "clean side")],
    parameters: &[parameter(
        "bore",
        "opening it equals when clean",
        &[Dimension::Length],
        2.5e-3,
        Spread::Relative(0.1),
        (0.3e-3, 50e-3),
    )],
    faults: &[
        graded(
            "plugged",
            "dirt or oil leaves little open",
            85.0,
            0.2,
            bore("opening left", 0.15e-3, 0.4e-3, 0.8e-3),
        ),
        fault("cracked", "its housing is broken open", 15.0, 0.7),
    ],
    weight: 4.0,
    checks: &[Method::Look, Method::Swap],
    command: None,
    supplies: None,
    symbol: Symbol::Filter,
    cautions: &[BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "renew the filter",
        minutes: 6.0,
        price: 8.0,
        bad_new: 0.005,
    },
    source: "shares from memory: plugged 85, wrong way or missing 15 of 100",
};

impl Kind for Filter {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [bore] = part.values();
        let (a, b) = (part.air(0), part.air(1));
        part.hole(a, b, part.fault("plugged").map_or(bore, |left| left.min(bore)));
        if part.has("cracked") {
            part.hole(b, AMBIENT, bore);
        }
    }
}
