//! The control module through which a tester asks all others on a two-wire bus.
//!
//! Its answer is the list of those that answer: one line missing points to that module's power, stub or plug, all missing
//! to the bus. With the gateway itself dead the list is empty too and is easily taken for a shorted bus. Left out: the
//! buses on its other sides.

use super::Kind;
use super::bus::{CURRENT, FAULTS, INPUT, LEAST, PORTS, REPAIR, SOURCE, lay, pins};
use super::spec::PROBING;
use crate::assembly::Assembly;
use crate::module_checks::BusPins;
use circuit::{CommandSpec, KindSpec, Method, Symbol};

pub(crate) struct BusGateway;

static SPEC: KindSpec = KindSpec {
    name: "bus gateway",
    what: "The module that asks all others on a two-wire bus; commanded with the share of time it sends dominant bits.",
    ports: PORTS,
    parameters: &[CURRENT, LEAST, INPUT],
    faults: FAULTS,
    weight: 3.0,
    checks: &[
        Method::Look,
        Method::Drop,
        Method::Swap,
        Method::LoomOhms,
        Method::Answers,
    ],
    command: Some(CommandSpec::Duty),
    supplies: None,
    symbol: Symbol::BusModule,
    cautions: &[PROBING],
    repair: REPAIR,
    source: SOURCE,
};

impl Kind for BusGateway {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [current, least, input] = part.values();
        lay(part, current, least, input, true);
    }

    fn bus(&self) -> Option<BusPins> {
        Some(pins(true))
    }
}
