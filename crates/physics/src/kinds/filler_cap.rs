//! The cap of a fuel tank's neck.
//!
//! Its seal dries out or catches grit, or the cap was left loose. A cap that looks sound leaks all the same, and a new one
//! that does not fit leaks like the old one; with the system under pressure, soapy water at the neck tells. Left out: its
//! relief valve.

use super::Kind;
use super::spec::{VAPOUR, air, bore, fault, graded};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{KindSpec, Method, RepairSpec, Symbol};

pub(crate) struct FillerCap;

/// What a cap that was left loose lets through, m. From memory: a gross leak on every vehicle.
const LOOSE: f64 = 6.0e-3;

static SPEC: KindSpec = KindSpec {
    name: "filler cap",
    what: "Closes the neck of a fuel tank.",
    ports: &[air("neck", "the neck it closes")],
    parameters: &[],
    faults: &[
        graded(
            "seal leaks",
            "a dry or dirty seal lets vapour out",
            60.0,
            0.35,
            bore("hole", 0.3e-3, 0.6e-3, 1.5e-3),
        ),
        fault("loose", "not turned until it clicks, or the wrong cap", 40.0, 0.8),
    ],
    weight: 14.0,
    checks: &[Method::Look, Method::Swap, Method::Smoke],
    command: None,
    supplies: None,
    symbol: Symbol::AirSpace,
    cautions: &[VAPOUR],
    repair: RepairSpec {
        what: "renew the cap",
        minutes: 2.0,
        price: 18.0,
        bad_new: 0.02,
    },
    source: "from memory: the cap is the commonest cause of small and gross leaks",
};

impl Kind for FillerCap {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let neck = part.air(0);
        let hole = part.fault("seal leaks").or(part.fault("loose").map(|_| LOOSE));
        if let Some(hole) = hole {
            part.hole(neck, AMBIENT, hole);
        }
    }
}
