//! A fusible link or strip fuse of a heavy feed, with its two bolted eyelets.
//!
//! It melts, mostly because of something else, or an eyelet corrodes: a few tens of milliohms there cost the battery its
//! charge and make a joint too hot to touch, while no meter without load sees anything. Easily taken for a weak
//! alternator or battery. Left out: melting by what flows here.

use super::Kind;
use super::conductor::{Faults, carry};
use super::spec::{SHORT_CIRCUIT, fault, graded, milliohms, parameter, terminal};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct FusibleLink;

/// A corroded eyelet on a heavy cable, K/W: 106 W were too hot to touch and did not melt it. From memory.
const HEATS: f64 = 2.0;

static SPEC: KindSpec = KindSpec {
    name: "fusible link",
    what: "Melts before a heavy feed burns; with its two bolted eyelets.",
    ports: &[
        terminal("from", "end towards the source"),
        terminal("to", "end towards the load"),
    ],
    parameters: &[parameter(
        "resistance",
        "with sound eyelets",
        &[Dimension::Resistance],
        1e-3,
        Spread::Relative(0.4),
        (0.05e-3, 0.1),
    )],
    faults: &[
        fault(
            "melted",
            "no path through it. Something mostly made it melt",
            35.0,
            0.7,
        ),
        graded(
            "eyelet corroded",
            "loose or green under its nut: it drops voltage and gets hot",
            65.0,
            0.4,
            milliohms("added resistance", 6e-3, 25e-3, 120e-3),
        ),
    ],
    weight: 4.0,
    checks: &[Method::Look, Method::Drop, Method::Temperature, Method::Swap],
    command: None,
    supplies: None,
    symbol: Symbol::Fuse,
    cautions: &[SHORT_CIRCUIT],
    repair: RepairSpec {
        what: "renew the link and clean its eyelets",
        minutes: 15.0,
        price: 12.0,
        bad_new: 0.005,
    },
    source: "under 0.1 V at its load: common practice, no source; shares from memory",
};

impl Kind for FusibleLink {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [resistance] = part.values();
        let faults = Faults {
            open: &["melted"],
            series: &["eyelet corroded"],
            to_ground: &[],
        };
        carry(part, resistance, faults);
    }

    fn kelvin_per_watt(&self) -> Option<f64> {
        Some(HEATS)
    }
}
