//! The valve that lets exhaust gas back into the intake: a pintle on a stem, shut at rest.
//!
//! Carbon holds it open, holds it shut, stops it part way, or plugs the passage behind it. Held open, the engine smokes and
//! stalls while every vacuum reads right, and the regulator is blamed; a plugged passage gives full travel and no effect and
//! is seen only with the valve off. Left out: the gas itself, the cooler, a position sensor.

use super::Kind;
use super::spec::{HOT, fault, graded, parameter, rod, share};
use super::wastegate_flap::lever;
use crate::assembly::Assembly;
use crate::network::RodElement;
use circuit::{Caution, KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct GasValve;

const SOOT: Caution = Caution {
    hazard: "soot from the exhaust side harms lungs and eyes",
    precaution: "mask and gloves, wipe damp, no compressed air",
    running_only: false,
};

static SPEC: KindSpec = KindSpec {
    name: "exhaust gas valve",
    what: "Lets exhaust gas back into the intake. Its stem moves with the actuator's rod; at rest it is shut.",
    ports: &[rod("stem", "moved by the actuator")],
    parameters: &[
        parameter(
            "travel",
            "free travel of the stem",
            &[Dimension::Length],
            8e-3,
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
        graded(
            "stuck open",
            "carbon holds the pintle off its seat: it neither shuts nor opens further",
            50.0,
            0.8,
            share("share of its travel", 0.1, 0.3, 0.6),
        ),
        fault(
            "seized",
            "carbon holds it shut: the stem does not move",
            15.0,
            0.5,
        ),
        graded(
            "stiff",
            "carbon: the stem stops part way",
            15.0,
            0.5,
            share("share of its travel", 0.1, 0.35, 0.65),
        ),
        fault(
            "passage plugged",
            "carbon closes the passage behind it: it moves and nothing flows",
            20.0,
            0.85,
        ),
    ],
    weight: 20.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Flap,
    cautions: &[HOT, SOOT],
    repair: RepairSpec {
        what: "clean or renew the valve",
        minutes: 60.0,
        price: 130.0,
        bad_new: 0.01,
    },
    source: "shares from memory: stuck open 25, stuck shut or plugged 22 of 100 complaints",
};

impl Kind for GasValve {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [travel, friction] = part.values();
        lever(part, travel, friction);
        if let Some(share) = part.fault("stuck open") {
            let node = part.rod(0);
            part.push_rod(RodElement::Held {
                node,
                at: share * travel,
            });
        }
    }
}
