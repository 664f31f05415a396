//! A wastegate flap with its lever: it lets exhaust past the turbine.
//!
//! Carbon or a worn bush makes it stiff or seizes it. All pressures then read right and only the rod's travel is wrong,
//! which is easily taken for a bad actuator: once it is cold, take the rod off and move the lever by hand. Left out:
//! the exhaust's push on the flap, a flap that stays open, and the boost that follows.

use super::Kind;
use super::spec::{HOT, fault, graded, parameter, rod, share};
use crate::assembly::Assembly;
use crate::network::RodElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct WastegateFlap;

static SPEC: KindSpec = KindSpec {
    name: "wastegate flap",
    what: "Lets exhaust past the turbine. Its lever moves with the actuator's rod.",
    ports: &[rod("lever", "moved by the actuator")],
    parameters: &[
        parameter(
            "travel",
            "free travel of the lever",
            &[Dimension::Length],
            14e-3,
            Spread::Relative(0.05),
            (1e-3, 0.1),
        ),
        parameter(
            "friction",
            "force to move it by hand",
            &[Dimension::Force],
            4.0,
            Spread::Relative(0.5),
            (0.0, 500.0),
        ),
    ],
    faults: &[
        fault(
            "seized",
            "shaft or flap stuck with carbon: the lever does not move",
            50.0,
            0.3,
        ),
        graded(
            "stiff",
            "carbon or a worn bush: it stops part way",
            50.0,
            0.2,
            share("share of its travel", 0.1, 0.4, 0.7),
        ),
    ],
    weight: 10.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Flap,
    cautions: &[HOT],
    repair: RepairSpec {
        what: "free or renew the flap",
        minutes: 120.0,
        price: 120.0,
        bad_new: 0.01,
    },
    source: "shares from memory: carbon 55, worn bush 25, seized 20 of 100",
};

impl Kind for WastegateFlap {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [travel, friction] = part.values();
        lever(part, travel, friction);
    }
}

/// A lever that turns freely between its stops, is seized at rest, or stops part way.
pub(super) fn lever(part: &mut Assembly, travel: f64, friction: f64) {
    let node = part.rod(0);
    if part.has("seized") {
        part.push_rod(RodElement::Held { node, at: 0.0 });
    }
    let high = part.fault("stiff").map_or(travel, |share| share * travel);
    part.push_rod(RodElement::Stops { node, low: 0.0, high });
    part.push_rod(RodElement::Drag {
        node,
        force: friction,
    });
}
