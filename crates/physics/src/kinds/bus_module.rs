//! A control module on a stub of a two-wire bus, without a terminator.
//!
//! It falls silent, holds the bus, or water bridges its pins. A module whose supply or ground is lost is silent just the
//! same and is easily taken for a dead one, or for a network fault: its own power comes first. Left out: what it stores.

use super::Kind;
use super::bus::{CURRENT, FAULTS, INPUT, LEAST, PORTS, REPAIR, SOURCE, lay, pins};
use super::spec::PROBING;
use crate::assembly::Assembly;
use crate::module_checks::BusPins;
use circuit::{KindSpec, Method, Symbol};

pub(crate) struct BusModule;

static SPEC: KindSpec = KindSpec {
    name: "bus module",
    what: "A control module on a two-wire bus, somewhere between its ends.",
    ports: PORTS,
    parameters: &[CURRENT, LEAST, INPUT],
    faults: FAULTS,
    weight: 4.0,
    checks: &[
        Method::Look,
        Method::Drop,
        Method::Swap,
        Method::LoomOhms,
        Method::Answers,
    ],
    command: None,
    supplies: None,
    symbol: Symbol::BusModule,
    cautions: &[PROBING],
    repair: REPAIR,
    source: SOURCE,
};

impl Kind for BusModule {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [current, least, input] = part.values();
        lay(part, current, least, input, false);
    }

    fn bus(&self) -> Option<BusPins> {
        Some(pins(false))
    }
}
