//! The vane ring of a variable-geometry turbocharger: guide vanes and the lever that turns them, open at rest.
//!
//! Carbon makes it stop part way or seizes it. Vacuum and valve then read right while the lever stops short, which is
//! easily taken for a weak actuator: once it is cold and the rod is off, the lever tells. Left out: vanes stuck closed,
//! a stop screw that was turned, and the boost that follows.

use super::Kind;
use super::spec::{HOT, fault, graded, parameter, rod, share};
use super::wastegate_flap::lever;
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct VaneRing;

static SPEC: KindSpec = KindSpec {
    name: "vane ring",
    what: "The guide vanes of a variable-geometry turbocharger and the lever that turns them; at rest they stand open.",
    ports: &[rod("lever", "moved by the actuator")],
    parameters: &[
        parameter(
            "travel",
            "free travel of the lever",
            &[Dimension::Length],
            13e-3,
            Spread::Relative(0.05),
            (1e-3, 0.1),
        ),
        parameter(
            "friction",
            "force to move it by hand",
            &[Dimension::Force],
            5.0,
            Spread::Relative(0.5),
            (0.0, 500.0),
        ),
    ],
    faults: &[
        fault(
            "seized",
            "vanes stuck with carbon where they rest: the lever does not move",
            35.0,
            0.2,
        ),
        graded(
            "stiff",
            "carbon: the lever stops part way",
            65.0,
            0.1,
            share("share of its travel", 0.1, 0.4, 0.75),
        ),
    ],
    weight: 22.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::VaneRing,
    cautions: &[HOT],
    repair: RepairSpec {
        what: "clean the vanes or renew the turbocharger",
        minutes: 240.0,
        price: 420.0,
        bad_new: 0.01,
    },
    source: "shares from memory: carbon stick 55, worn 25, seized 20 of 100",
};

impl Kind for VaneRing {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [travel, friction] = part.values();
        lever(part, travel, friction);
    }
}
