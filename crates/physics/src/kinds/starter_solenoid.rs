//! The solenoid on a starter: pull-in and hold windings, and the heavy contact they close. Terminals 50 and 30: DIN
//! 72552.
//!
//! Its contact burns, its plunger sticks, its hold winding breaks. A click without turning is easily taken for a bad
//! motor, a weak battery or a bad cable: the drop from 30 to the motor while it cranks tells. No click is easily taken
//! for a missing command: measure at 50. Left out: the chatter of a broken hold winding, the pinion and its clutch.

use super::Kind;
use super::relay::OPEN_COIL;
use super::spec::{CRANKING, SHORT_CIRCUIT, fault, graded, milliohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct StarterSolenoid;

const CONTROL: usize = 0;
const SUPPLY: usize = 1;
const MOTOR: usize = 2;
const GROUND: usize = 3;

static SPEC: KindSpec = KindSpec {
    name: "starter solenoid",
    what: "Pushes the pinion in and closes the heavy contact to the starter motor.",
    ports: &[
        plug("50", "control terminal, from the start relay or switch"),
        terminal("30", "battery cable"),
        terminal("motor", "strap to the motor"),
        terminal("ground", "its housing, on the engine"),
    ],
    parameters: &[
        parameter(
            "hold",
            "resistance of the hold winding, 50 to ground",
            &[Dimension::Resistance],
            1.2,
            Spread::Relative(0.12),
            (0.1, 50.0),
        ),
        parameter(
            "pull",
            "resistance of the pull-in winding, 50 to the motor",
            &[Dimension::Resistance],
            0.35,
            Spread::Relative(0.12),
            (0.05, 50.0),
        ),
        parameter(
            "pull-in",
            "voltage at 50 that pulls it in",
            &[Dimension::Voltage],
            6.5,
            Spread::Relative(0.1),
            (1.0, 30.0),
        ),
        parameter(
            "drop-out",
            "voltage at 50 that lets it go",
            &[Dimension::Voltage],
            2.0,
            Spread::Relative(0.3),
            (0.1, 20.0),
        ),
        parameter(
            "contact",
            "resistance of the closed contact",
            &[Dimension::Resistance],
            0.5e-3,
            Spread::Relative(0.4),
            (0.05e-3, 0.1),
        ),
    ],
    faults: &[
        graded(
            "contacts burnt",
            "pitted copper: the closed contact drops voltage",
            62.0,
            0.05,
            milliohms("added resistance", 3e-3, 15e-3, 300e-3),
        ),
        fault(
            "coil open",
            "the hold winding is broken: it does not stay in",
            13.0,
            0.02,
        ),
        fault("sticks", "the plunger does not move", 25.0, 0.05),
    ],
    weight: 9.0,
    checks: &[
        Method::Click,
        Method::Look,
        Method::Drop,
        Method::Ohms,
        Method::Jumper,
    ],
    command: None,
    supplies: None,
    symbol: Symbol::StarterSolenoid,
    cautions: &[CRANKING, SHORT_CIRCUIT],
    repair: RepairSpec {
        what: "renew the starter solenoid",
        minutes: 70.0,
        price: 70.0,
        bad_new: 0.02,
    },
    source: "pull-in 25 to 50 A, hold 5 to 12 A: common practice, no source; shares from memory: contacts 40 of 100 starters",
};

impl Kind for StarterSolenoid {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [hold, pull, pull_in, drop_out, contact] = part.values();
        let (control, supply) = (part.electric(CONTROL), part.electric(SUPPLY));
        let (motor, ground) = (part.electric(MOTOR), part.electric(GROUND));
        let stuck = part.has("sticks").then_some(false);
        let ohms = if part.has("coil open") { OPEN_COIL } else { hold };
        // The voltage at 50 decides, so the hold winding's current stands for both windings.
        let plunger = part.coil(
            control,
            ground,
            ohms,
            pull_in / hold,
            drop_out.min(0.9 * pull_in) / hold,
            stuck,
        );
        // Once the contact is closed the pull-in winding has the battery at both ends and carries next to nothing.
        part.resistor(control, motor, pull);
        part.contact(
            supply,
            motor,
            contact + part.fault("contacts burnt").unwrap_or(0.0),
            plunger,
            false,
        );
    }

    fn power(&self) -> Option<(usize, usize)> {
        Some((SUPPLY, MOTOR))
    }

    fn coil(&self) -> Option<(usize, usize)> {
        Some((CONTROL, GROUND))
    }
}
