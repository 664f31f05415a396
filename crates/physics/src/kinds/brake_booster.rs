//! A brake booster: a closed volume that lives on vacuum, and lets air in while the pedal is pressed.
//!
//! Its diaphragm or a seal leaks all the time, its air valve only while the pedal is held. Either loads the pump, so that a
//! worn pump, a split hose or a leaking user is blamed; with the booster's hose pinched off or capped the vacuum comes back,
//! and alone on a hand pump the booster does not hold.
//! Left out: the force on the pedal, and the two chambers.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, air, bore, graded, parameter};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{Caution, CommandSpec, KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct BrakeBooster;

const BRAKES: Caution = Caution {
    hazard: "without its vacuum the brake needs several times the force",
    precaution: "take every tee out again; no road test before the pedal test and a stop at walking pace are good",
    running_only: false,
};

static SPEC: KindSpec = KindSpec {
    name: "brake booster",
    what: "Helps the driver's foot with vacuum. Commanded on, its pedal is held down.",
    ports: &[air("port", "its hose")],
    parameters: &[parameter(
        "volume",
        "volume at rest",
        &[Dimension::Volume],
        5e-3,
        Spread::Relative(0.1),
        (1e-4, 0.1),
    )],
    faults: &[
        graded(
            "leaks",
            "diaphragm, shell or grommet lets air in all the time",
            60.0,
            0.15,
            bore("hole", 0.5e-3, 1.5e-3, 3.0e-3),
        ),
        graded(
            "leaks when applied",
            "the air valve does not close while the pedal is held: it hisses in the footwell",
            40.0,
            0.4,
            bore("hole", 0.5e-3, 1.5e-3, 3.0e-3),
        ),
    ],
    weight: 9.0,
    checks: &[Method::Look, Method::Hold, Method::PumpDown, Method::LeakDown],
    command: Some(CommandSpec::OnOff),
    supplies: None,
    symbol: Symbol::Reservoir,
    cautions: &[BRAKES, BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "renew the booster",
        minutes: 180.0,
        price: 260.0,
        bad_new: 0.01,
    },
    source: "shares from memory: diaphragm 45, air valve 30, seal 25 of 100; 3 to 7 L at rest, holes 0.3 to 3 mm, common practice, no source",
};

impl Kind for BrakeBooster {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [volume] = part.values();
        let port = part.air(0);
        part.volume(port, volume);
        let applied = part.fault("leaks when applied").filter(|_| part.duty() > 0.5);
        for hole in [part.fault("leaks"), applied].into_iter().flatten() {
            part.hole(port, AMBIENT, hole);
        }
    }
}
