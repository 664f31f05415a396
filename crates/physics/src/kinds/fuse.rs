//! A fuse: a small resistance that melts when too much flows.
//!
//! It melts mostly because of something behind it, so a new one alone is no repair. Heat-aged clips or a hairline crack
//! let a meter see the full voltage and are easily taken for a bad relay or load; the drop under load tells. Left out:
//! how long it takes to melt.

use super::Kind;
use super::spec::{SHORT_CIRCUIT, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Fuse;

/// Resistance of a 10 A blade fuse, ohm: 1 mV says 0.13 A, as tables of voltage drops across fuses print it.
const OF_TEN_AMPERES: f64 = 7.7e-3;
/// How the resistance falls with the rating: from 5 to 30 A blade fuses, 18 to 2 mohm. From memory.
const FALL: f64 = 1.215;
/// A blade fuse carries 110 % of its rating for long and melts within ten minutes at 135 %. ISO 8820-3, from memory.
const MELTS_AT: f64 = 1.35;

static SPEC: KindSpec = KindSpec {
    name: "fuse",
    what: "Melts when the current stays above its rating by a third, so that nothing behind it burns.",
    ports: &[
        plug("from", "side towards the source"),
        terminal("to", "side towards the load"),
    ],
    parameters: &[parameter(
        "rating",
        "current printed on it",
        &[Dimension::Current],
        10.0,
        Spread::Relative(0.04),
        (0.5, 500.0),
    )],
    faults: &[
        fault(
            "blown",
            "melted: nothing flows. Something mostly made it melt",
            80.0,
            0.8,
        ),
        graded(
            "bad contact",
            "heat-aged clips or a crack: it heats up and drops voltage",
            20.0,
            0.3,
            ohms("added resistance", 0.02, 0.15, 2.0),
        ),
    ],
    weight: 3.0,
    checks: &[Method::Look, Method::Drop, Method::Swap],
    command: None,
    supplies: None,
    symbol: Symbol::Fuse,
    cautions: &[SHORT_CIRCUIT],
    repair: RepairSpec {
        what: "renew the fuse and find why it blew",
        minutes: 5.0,
        price: 2.0,
        bad_new: 0.001,
    },
    source: "resistance by rating fitted to published drop tables (10 A: 7.7 mohm) and memory; shares from memory",
};

impl Kind for Fuse {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [rating] = part.values();
        if part.has("blown") {
            return;
        }
        let (from, to) = (part.electric(0), part.electric(1));
        let ohms = OF_TEN_AMPERES * (10.0 / rating).powf(FALL);
        let ohms = ohms + part.fault("bad contact").unwrap_or(0.0);
        let melted = part.melts(from, to, ohms, MELTS_AT * rating);
        part.contact(from, to, ohms, melted, true);
    }
}
