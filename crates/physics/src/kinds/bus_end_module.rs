//! A control module at an end of a two-wire bus, with the terminator inside.
//!
//! With one terminator lost the bus mostly still works in the bay and fails with length, heat and noise; only the
//! ohmmeter sees it, 120 instead of 60 ohm. The same 120 ohm stand for a wire broken between two sound ends, so a module
//! must not be condemned by them: measured by itself, unplugged, it tells. Left out: what it stores.

use super::Kind;
use super::bus::{CURRENT, INPUT, LEAST, PORTS, REPAIR, SOURCE, lay, pins, terminate};
use super::bus_terminator::{TERMINATION, drifted};
use super::relay::OPEN_COIL;
use super::spec::{PROBING, fault, graded, ohms};
use crate::assembly::Assembly;
use crate::module_checks::BusPins;
use circuit::{KindSpec, Method, Symbol};

pub(crate) struct BusEndModule;

static SPEC: KindSpec = KindSpec {
    name: "bus end module",
    what: "A control module at one end of a two-wire bus, with its terminator inside.",
    ports: PORTS,
    parameters: &[CURRENT, LEAST, INPUT, TERMINATION],
    faults: &[
        fault("silent", "transceiver or processor dead", 38.0, 0.01),
        fault(
            "holds the bus",
            "its transceiver stays dominant: nobody else is heard",
            8.0,
            0.01,
        ),
        graded(
            "wet pins",
            "water or corrosion bridges the two bus pins",
            36.0,
            0.4,
            ohms("resistance between the wires", 3.0, 30.0, 300.0),
        ),
        fault(
            "terminator lost",
            "no resistance between its bus pins",
            14.0,
            0.01,
        ),
        graded(
            "terminator off",
            "a terminator of another resistance",
            4.0,
            0.01,
            ohms("its resistance", 20.0, 60.0, 90.0),
        ),
    ],
    weight: 5.0,
    checks: &[
        Method::Look,
        Method::Drop,
        Method::Ohms,
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

impl Kind for BusEndModule {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [current, least, input, termination] = part.values();
        lay(part, current, least, input, false);
        let lost = part.has("terminator lost").then_some(OPEN_COIL);
        let ohms = lost.unwrap_or_else(|| drifted(part, "terminator off", termination));
        terminate(part, ohms);
    }

    fn bus(&self) -> Option<BusPins> {
        Some(pins(false))
    }
}
