//! The charcoal canister that keeps a tank's vapour until the engine burns it.
//!
//! Its shell cracks, or it is plugged by fuel that was filled to the brim, by dust or by crumbled charcoal. Plugged it is easily
//! taken for a vent valve that does not open: the filling nozzle clicks off. Left out: what the charcoal takes up.

use super::Kind;
use super::spec::{VAPOUR, air, bore, graded, parameter};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Canister;

static SPEC: KindSpec = KindSpec {
    name: "charcoal canister",
    what: "Keeps vapour from the tank; air from its vent side takes it to the engine. Tank and purge line share its other side.",
    ports: &[
        air("tank", "side of the tank and of the purge line"),
        air("vent", "side of the vent valve"),
    ],
    parameters: &[
        parameter(
            "volume",
            "room in it; 1 to 2.5 L, from memory",
            &[Dimension::Volume],
            1.5e-3,
            Spread::Relative(0.2),
            (1e-4, 0.02),
        ),
        parameter(
            "bore",
            "opening that the charcoal equals",
            &[Dimension::Length],
            6e-3,
            Spread::Relative(0.1),
            (1e-3, 50e-3),
        ),
    ],
    faults: &[
        graded(
            "cracked",
            "a crack in the shell or a nipple lets vapour out",
            55.0,
            0.3,
            bore("hole", 0.4e-3, 1.0e-3, 3.0e-3),
        ),
        graded(
            "plugged",
            "liquid fuel, dust or crumbled charcoal: little gets through",
            45.0,
            0.15,
            bore("opening left", 0.2e-3, 0.6e-3, 1.2e-3),
        ),
    ],
    weight: 6.0,
    checks: &[Method::Look, Method::Smoke],
    command: None,
    supplies: None,
    symbol: Symbol::Filter,
    cautions: &[VAPOUR],
    repair: RepairSpec {
        what: "renew the canister",
        minutes: 45.0,
        price: 160.0,
        bad_new: 0.01,
    },
    source: "from memory",
};

impl Kind for Canister {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [volume, bore] = part.values();
        let (tank, vent) = (part.air(0), part.air(1));
        part.volume(tank, volume);
        part.hole(
            tank,
            vent,
            part.fault("plugged").map_or(bore, |left| left.min(bore)),
        );
        if let Some(hole) = part.fault("cracked") {
            part.hole(tank, AMBIENT, hole);
        }
    }
}
