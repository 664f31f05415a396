//! The throttle of a petrol engine: nearly shut at idle, wide open at full load.
//!
//! It cokes up around the plate, and a motor or a shaft sticks part way. Stuck part way it looks like a weak turbocharger, but the
//! pressure ahead of it is right and behind it low. Left out: the plate's own motor and its two position sensors.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, graded, parameter, share, wide};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct ThrottleBody;

static SPEC: KindSpec = KindSpec {
    name: "throttle body",
    what: "Lets the cylinders draw as much as the load asks for.",
    ports: &[
        wide("from", "side of the air cleaner"),
        wide("to", "side of the cylinders"),
    ],
    parameters: &[
        parameter(
            "bore",
            "bore wide open",
            &[Dimension::Length],
            52e-3,
            Spread::Relative(0.02),
            (5e-3, 0.3),
        ),
        parameter(
            "idle-bore",
            "bore of the opening that is left at idle",
            &[Dimension::Length],
            5.3e-3,
            Spread::Relative(0.05),
            (1e-3, 0.05),
        ),
    ],
    faults: &[graded(
        "sticks part way",
        "coked or jammed: it does not open all the way",
        100.0,
        0.3,
        share("share of its area", 0.08, 0.15, 0.4),
    )],
    weight: 3.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Orifice,
    cautions: &[BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "clean the throttle body, renew it where it is worn",
        minutes: 40.0,
        price: 140.0,
        bad_new: 0.01,
    },
    source: "from memory",
};

impl Kind for ThrottleBody {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [bore, idle] = part.values();
        let (from, to) = (part.air(0), part.air(1));
        let least = (idle / bore).powi(2);
        let open = least + (1.0 - least) * part.load();
        let open = part.fault("sticks part way").map_or(open, |most| open.min(most));
        part.hole(from, to, bore * open.sqrt());
    }
}
