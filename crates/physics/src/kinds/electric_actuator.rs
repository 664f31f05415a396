//! A motor with a gear that turns a lever, against a spring that takes it back to rest: vanes, a wastegate, a flap.
//!
//! The motor opens or shorts, the gear breaks or jams. A lever that does not follow is easily taken for a dead actuator
//! where the vanes are seized; with the rod off, each tells by itself. Left out: that the module pushes harder against a lever
//! that sticks, and actuators with electronics of their own.

use super::Kind;
use super::relay::OPEN_COIL;
use super::spec::{FUSED_LEAD, HOT, fault, graded, ohms, parameter, plug, rod, terminal};
use crate::assembly::Assembly;
use crate::network::RodElement;
use crate::servo::Drive;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct ElectricActuator;

const A: usize = 0;
const B: usize = 1;
const LEVER: usize = 2;

static SPEC: KindSpec = KindSpec {
    name: "electric actuator",
    what: "A motor with a gear that moves a lever; a spring takes it back to rest.",
    ports: &[
        plug("a", "motor, driven side"),
        terminal("b", "motor, returning side"),
        rod("lever", "moves what it is there for"),
    ],
    parameters: &[
        parameter(
            "resistance",
            "of the motor at 20 °C",
            &[Dimension::Resistance],
            3.0,
            Spread::Relative(0.15),
            (0.1, 200.0),
        ),
        parameter(
            "travel",
            "of the lever, from rest to its stop",
            &[Dimension::Length],
            13e-3,
            Spread::Relative(0.03),
            (1e-3, 0.2),
        ),
        parameter(
            "moves",
            "current from which it moves",
            &[Dimension::Current],
            1.2,
            Spread::Relative(0.2),
            (0.01, 50.0),
        ),
        parameter(
            "force",
            "greatest force at the lever",
            &[Dimension::Force],
            60.0,
            Spread::Relative(0.2),
            (1.0, 5e3),
        ),
    ],
    faults: &[
        fault("motor open", "brushes or winding: no current", 30.0, 0.02),
        graded(
            "motor shorted",
            "turns touch: much current and no force",
            10.0,
            0.05,
            ohms("resistance left", 0.2, 0.6, 1.2),
        ),
        graded(
            "worn brushes",
            "added resistance: too little current to move",
            20.0,
            0.02,
            ohms("added resistance", 1.0, 8.0, 60.0),
        ),
        fault("gear broken", "the motor turns, the lever does not", 20.0, 0.05),
        fault("jammed", "gear or shaft stuck at rest", 20.0, 0.1),
    ],
    weight: 14.0,
    checks: &[
        Method::Look,
        Method::Drop,
        Method::Amps,
        Method::Ohms,
        Method::Swap,
    ],
    command: None,
    supplies: None,
    symbol: Symbol::Motor,
    cautions: &[HOT, FUSED_LEAD],
    repair: RepairSpec {
        what: "renew the actuator",
        minutes: 90.0,
        price: 280.0,
        bad_new: 0.02,
    },
    source: "2 to 5 ohm, stall current of 3 to 6 A: from memory; shares from memory",
};

impl Kind for ElectricActuator {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [resistance, travel, moves, force] = part.values();
        let (a, b, lever) = (part.electric(A), part.electric(B), part.rod(LEVER));
        let inside = if part.has("motor open") {
            OPEN_COIL
        } else {
            part.fault("motor shorted")
                .map_or(resistance, |left| left.min(resistance))
                + part.fault("worn brushes").unwrap_or(0.0)
        };
        let powerless = part.has("motor shorted") || part.has("gear broken");
        let switch = part.coil(a, b, inside, moves, 0.5 * moves, powerless.then_some(false));
        part.push_rod(RodElement::Stops {
            node: lever,
            low: 0.0,
            high: travel,
        });
        if part.has("jammed") {
            part.push_rod(RodElement::Held { node: lever, at: 0.0 });
        }
        part.drive(Drive {
            rod: lever,
            full: travel,
            force,
            switch,
        });
    }
}
