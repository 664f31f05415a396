//! A reservoir, or any closed volume that hangs on the line: a brake booster at rest.
//!
//! It leaks at a crack, seam or grommet. The loss is the same whichever user has it, so it is easily taken for a weak
//! pump or a leaking hose; capping users one at a time tells. Held alone it must keep its
//! vacuum. Left out: a booster's leaks that depend on the pedal.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, air, bore, graded, parameter};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Reservoir;

static SPEC: KindSpec = KindSpec {
    name: "reservoir",
    what: "A closed volume on the line: it takes time to empty, and while nothing changes only its leaks count.",
    ports: &[air("port", "its connection")],
    parameters: &[parameter(
        "volume",
        "volume",
        &[Dimension::Volume],
        1e-3,
        Spread::Relative(0.05),
        (1e-6, 1.0),
    )],
    faults: &[graded(
        "leaks",
        "a crack, seam or grommet lets air in",
        100.0,
        0.3,
        bore("hole", 0.3e-3, 1.0e-3, 2.5e-3),
    )],
    weight: 3.0,
    checks: &[Method::Look, Method::Hold, Method::PumpDown, Method::LeakDown],
    command: None,
    supplies: None,
    symbol: Symbol::Reservoir,
    cautions: &[BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "renew or seal the reservoir",
        minutes: 40.0,
        price: 45.0,
        bad_new: 0.005,
    },
    source: "shares from memory: crack or seam 70, grommet 30 of 100",
};

impl Kind for Reservoir {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [volume] = part.values();
        let port = part.air(0);
        part.volume(port, volume);
        if let Some(hole) = part.fault("leaks") {
            part.hole(port, AMBIENT, hole);
        }
    }
}
