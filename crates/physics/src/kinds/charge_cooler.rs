//! A charge-air cooler: it gives the warmth of compression to the air in front of the vehicle.
//!
//! Its seams crack and stones hole it, oil and ice close it inside, leaves and dirt outside. Outside dirt costs power on a hot day
//! with all pressures right; a hole costs pressure at the manifold while the compressor's outlet reads nearly right. Left out:
//! that its effect falls with the flow.

use super::Kind;
use super::spec::{PRESSED, bore, graded, parameter, share, wide};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct ChargeCooler;

static SPEC: KindSpec = KindSpec {
    name: "charge-air cooler",
    what: "Cools what the compressor has warmed.",
    ports: &[
        wide("from", "side of the compressor"),
        wide("to", "side of the cylinders"),
    ],
    parameters: &[
        parameter(
            "bore",
            "bore of the opening that it equals: it costs 7 to 10 kPa at most, common practice",
            &[Dimension::Length],
            42e-3,
            Spread::Relative(0.03),
            (5e-3, 0.3),
        ),
        parameter(
            "effect",
            "share of the warming that it takes out; 65 to 80 %, from memory",
            &[Dimension::Ratio],
            0.75,
            Spread::Absolute(0.04),
            (0.0, 1.0),
        ),
    ],
    faults: &[
        graded(
            "leaks",
            "a seam or a tank has cracked, a stone has holed it",
            65.0,
            0.2,
            bore("hole", 2e-3, 6e-3, 14e-3),
        ),
        graded(
            "blocked",
            "oil, ice or a broken baffle closes it inside",
            15.0,
            0.05,
            bore("opening left", 9e-3, 16e-3, 25e-3),
        ),
        graded(
            "fouled outside",
            "leaves and dirt keep the cooling air out",
            20.0,
            0.6,
            share("effect left", 0.1, 0.4, 0.7),
        ),
    ],
    weight: 6.0,
    checks: &[Method::Look, Method::Swap, Method::Smoke],
    command: None,
    supplies: None,
    symbol: Symbol::Cooler,
    cautions: &[PRESSED],
    repair: RepairSpec {
        what: "renew or clean the charge-air cooler",
        minutes: 90.0,
        price: 180.0,
        bad_new: 0.01,
    },
    source: "shares from memory",
};

impl Kind for ChargeCooler {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [bore, effect] = part.values();
        let (from, to) = (part.air(0), part.air(1));
        part.hole(
            from,
            to,
            part.fault("blocked").map_or(bore, |left| left.min(bore)),
        );
        if let Some(hole) = part.fault("leaks") {
            part.hole(to, AMBIENT, hole);
        }
        part.cools(effect * part.fault("fouled outside").unwrap_or(1.0));
    }
}
