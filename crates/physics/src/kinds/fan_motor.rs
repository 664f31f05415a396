//! A radiator or blower fan with its motor: what it must be given grows with the square of its speed.
//!
//! Brushes wear, the bearing drags until a fuse or a relay's socket burns, something blocks the blade. A fan that drags
//! draws more than it should and heats whatever feeds it, so a burnt socket is easily taken for the cause; after the
//! repair the current tells. Left out: inrush, and fans with electronics of their own.

use super::Kind;
use super::spec::{FAN, FUSED_LEAD, fault, graded, parameter, plug, share, terminal};
use crate::assembly::Assembly;
use crate::laws::alternator::Fan;
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;
use std::f64::consts::TAU;

pub(crate) struct FanMotor;

/// Shares of the load in normal work that do not grow with speed, and that grow with it: brushes and bearing. From memory.
const STEADY: f64 = 0.08;
const LINEAR: f64 = 0.07;

static SPEC: KindSpec = KindSpec {
    name: "fan motor",
    what: "A fan with its direct-current motor.",
    ports: &[plug("plus", "fed side"), terminal("minus", "returning side")],
    parameters: &[
        parameter(
            "voltage",
            "between its terminals in normal work",
            &[Dimension::Voltage],
            12.5,
            Spread::Absolute(0.0),
            (1.0, 60.0),
        ),
        parameter(
            "current",
            "in normal work at that voltage",
            &[Dimension::Current],
            20.0,
            Spread::Relative(0.12),
            (0.1, 200.0),
        ),
        parameter(
            "speed",
            "in normal work at that voltage",
            &[Dimension::RotationalSpeed],
            2400.0 / 60.0,
            Spread::Relative(0.08),
            (1.0, 1000.0),
        ),
        parameter(
            "resistance",
            "of winding and brushes",
            &[Dimension::Resistance],
            0.2,
            Spread::Relative(0.1),
            (5e-3, 100.0),
        ),
    ],
    faults: &[
        graded(
            "worn brushes",
            "short or sticking brushes: added resistance",
            30.0,
            0.05,
            share("of its own resistance", 0.5, 2.5, 20.0),
        ),
        fault("open", "brushes worn off, or a winding open", 22.0, 0.05),
        graded(
            "drags",
            "the bearing or something at the blade brakes it",
            30.0,
            0.4,
            share("of its normal load, at any speed", 0.5, 1.2, 2.5),
        ),
        fault("seized", "it does not turn", 12.0, 0.7),
        fault(
            "blade loose",
            "the blade slips or is gone: it turns free",
            6.0,
            0.8,
        ),
    ],
    weight: 12.0,
    checks: &[
        Method::Look,
        Method::Drop,
        Method::Amps,
        Method::Speed,
        Method::Jumper,
    ],
    command: None,
    supplies: None,
    symbol: Symbol::Motor,
    cautions: &[FAN, FUSED_LEAD],
    repair: RepairSpec {
        what: "renew the fan",
        minutes: 60.0,
        price: 140.0,
        bad_new: 0.02,
    },
    source: "15 to 25 A, two to four times that when it starts: common practice, no source; shares from memory: brushes 40, bearing 35, blade 10 of 100",
};

impl Kind for FanMotor {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [voltage, current, speed, resistance] = part.values();
        if part.has("open") {
            return;
        }
        let (a, b) = (part.electric(0), part.electric(1));
        let ohms = resistance * (1.0 + part.fault("worn brushes").unwrap_or(0.0));
        if part.has("seized") {
            part.resistor(a, b, ohms);
            return;
        }
        // In normal work the winding takes at most nine tenths of the voltage; more is a slip of the pen.
        let radians = speed * TAU;
        let constant = (voltage - current * resistance).max(0.1 * voltage) / radians;
        let torque = constant * current;
        let air = if part.has("blade loose") { 0.0 } else { 1.0 };
        part.push_electric(ElectricElement::Fan {
            a,
            b,
            law: Fan {
                resistance: ohms,
                constant,
                load: torque * (STEADY + part.fault("drags").unwrap_or(0.0)),
                drag: torque * LINEAR / radians,
                square: air * torque * (1.0 - STEADY - LINEAR) / (radians * radians),
            },
        });
    }
}
