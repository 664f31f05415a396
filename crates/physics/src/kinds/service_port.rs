//! The port at which an evaporative system is put under a low pressure: a leak unit feeds it, and shows what it takes to keep
//! the pressure up, or what is left a while after it was shut.
//!
//! Its own valve core leaks. The flow is the better figure: it tells the size of the hole whatever the fuel level. Both mean
//! nothing while the vent valve stands open.

use super::Kind;
use super::spec::{VAPOUR, air, bore, graded};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{KindSpec, Method, RepairSpec, Symbol};

pub(crate) struct ServicePort;

static SPEC: KindSpec = KindSpec {
    name: "service port",
    what: "Where a low-pressure leak unit is joined to an evaporative system.",
    ports: &[air("port", "its line")],
    parameters: &[],
    faults: &[graded(
        "core leaks",
        "the valve core lets vapour out",
        100.0,
        0.3,
        bore("hole", 0.2e-3, 0.4e-3, 0.8e-3),
    )],
    weight: 1.0,
    checks: &[Method::Look, Method::LeakFlow, Method::LeakDown],
    command: None,
    supplies: None,
    symbol: Symbol::AirSpace,
    cautions: &[VAPOUR],
    repair: RepairSpec {
        what: "renew the valve core",
        minutes: 5.0,
        price: 4.0,
        bad_new: 0.005,
    },
    source: "from memory",
};

impl Kind for ServicePort {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let port = part.air(0);
        if let Some(hole) = part.fault("core leaks") {
            part.hole(port, AMBIENT, hole);
        }
    }
}
