//! The air cleaner and its snorkel, through which an engine draws all its air.
//!
//! A clogged element costs pressure ahead of the compressor, which then has to work harder for the same boost; the turbocharger
//! or its actuator is blamed. A gauge at the compressor's inlet under load tells at once.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, bore, graded, parameter, wide};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{KindSpec, Method, RepairSpec, Spread, Supplies, Symbol};
use quantity::Dimension;

pub(crate) struct AirCleaner;

static SPEC: KindSpec = KindSpec {
    name: "air cleaner",
    what: "Snorkel, housing and element that all the engine's air comes through.",
    ports: &[wide("outlet", "clean side")],
    parameters: &[parameter(
        "bore",
        "bore of the opening that it equals: clean it costs 1 to 3 kPa at most, from memory",
        &[Dimension::Length],
        60e-3,
        Spread::Relative(0.03),
        (5e-3, 0.3),
    )],
    faults: &[graded(
        "clogged",
        "dirt, snow, leaves or a rag leave little open",
        100.0,
        0.7,
        bore("opening left", 12e-3, 20e-3, 30e-3),
    )],
    weight: 4.0,
    checks: &[Method::Look, Method::Swap],
    command: None,
    supplies: Some(Supplies::Pressure),
    symbol: Symbol::Filter,
    cautions: &[BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "renew the element, clear the snorkel",
        minutes: 10.0,
        price: 20.0,
        bad_new: 0.001,
    },
    source: "from memory",
};

impl Kind for AirCleaner {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [bore] = part.values();
        let outlet = part.air(0);
        part.hole(
            AMBIENT,
            outlet,
            part.fault("clogged").map_or(bore, |left| left.min(bore)),
        );
    }
}
