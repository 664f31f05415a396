//! The shift fork of an axle or hub that is engaged by a rod: fork, collar and teeth.
//!
//! Rust and dirt jam it, worn teeth or a bent fork let it go only part of the way. All vacuums then read right, which is easily
//! taken for a weak actuator: with the rod off and the wheels turned by hand the collar tells. Left out: teeth that stand
//! against each other until the wheels turn, and the switch that reports the position.

use super::Kind;
use super::spec::{fault, graded, parameter, rod, share};
use super::wastegate_flap::lever;
use crate::assembly::Assembly;
use circuit::{Caution, KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct ShiftFork;

const WHEELS: Caution = Caution {
    hazard: "wheels that engage can turn, and pull the vehicle off its supports",
    precaution: "all driven wheels raised alike, chocks at the others, nobody under it while somebody switches",
    running_only: true,
};

static SPEC: KindSpec = KindSpec {
    name: "shift fork",
    what: "Slides a collar that couples an axle or a hub. Its lever moves with the actuator's rod; at rest it is apart.",
    ports: &[rod("lever", "moved by the actuator")],
    parameters: &[
        parameter(
            "travel",
            "free travel of the fork",
            &[Dimension::Length],
            26e-3,
            Spread::Relative(0.05),
            (1e-3, 0.1),
        ),
        parameter(
            "friction",
            "force to move it by hand, wheels turning",
            &[Dimension::Force],
            15.0,
            Spread::Relative(0.5),
            (0.0, 500.0),
        ),
    ],
    faults: &[
        fault(
            "seized",
            "rust and dirt hold the collar: the fork does not move",
            60.0,
            0.3,
        ),
        graded(
            "stiff",
            "a bent fork or dirt: it stops part way",
            40.0,
            0.25,
            share("share of its travel", 0.1, 0.4, 0.7),
        ),
    ],
    weight: 8.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Flap,
    cautions: &[WHEELS],
    repair: RepairSpec {
        what: "free or renew fork and collar",
        minutes: 120.0,
        price: 110.0,
        bad_new: 0.01,
    },
    source: "from memory",
};

impl Kind for ShiftFork {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [travel, friction] = part.values();
        lever(part, travel, friction);
    }
}
