//! A fuel tank as the evaporative system sees it: the room for vapour above the fuel, closed but for its lines.
//!
//! Rust, a seam or the seal of the sender leaks; a hole that is too small to be heard sets a code. How fast a given hole empties
//! it depends on how full the tank is, so a decay without the fuel level says little, while the flow that keeps up a pressure
//! does not. Left out: vapour that the fuel itself gives off, the float valves, and what the tank gives way.

use super::Kind;
use super::spec::{VAPOUR, air, bore, graded, parameter};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct VapourSpace;

static SPEC: KindSpec = KindSpec {
    name: "vapour space",
    what: "Room for vapour above the fuel.",
    ports: &[air("vapour", "its vapour line")],
    parameters: &[
        parameter(
            "capacity",
            "room when empty; 45 to 80 L, from memory",
            &[Dimension::Volume],
            60e-3,
            Spread::Relative(0.05),
            (1e-3, 1.0),
        ),
        parameter(
            "level",
            "how full it is",
            &[Dimension::Ratio],
            0.5,
            Spread::Absolute(0.1),
            (0.02, 0.9),
        ),
    ],
    faults: &[graded(
        "leaks",
        "rust, a seam or the sender's seal lets vapour out",
        100.0,
        0.15,
        bore("hole", 0.4e-3, 0.8e-3, 2.0e-3),
    )],
    weight: 5.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Reservoir,
    cautions: &[VAPOUR],
    repair: RepairSpec {
        what: "renew the sender's seal or the tank",
        minutes: 120.0,
        price: 90.0,
        bad_new: 0.005,
    },
    source: "from memory",
};

impl Kind for VapourSpace {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [capacity, level] = part.values();
        let port = part.air(0);
        part.volume(port, capacity * (1.0 - level.clamp(0.0, 0.95)));
        if let Some(hole) = part.fault("leaks") {
            part.hole(port, AMBIENT, hole);
        }
    }
}
