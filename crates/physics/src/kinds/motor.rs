//! A direct-current motor with its load: starter, fan, pump, wiper.
//!
//! An author gives what a clamp, a meter and a tachometer show of a sound one: voltage, current and speed of whatever it
//! drives. With the winding's resistance the back-EMF constant follows, with the share of the load that does not grow with
//! speed the load line.
//!
//! Brushes wear, a winding opens or shorts, bearings or what it drives turn hard or seize. Worn brushes, dragging
//! bearings and a bad cable all turn slowly and are easily taken for each other: little current at full voltage means
//! brushes, much means drag or a short, little of both means the way to it. Left out: inrush, ripple, a starter's pinion.

use super::Kind;
use super::spec::{CRANKING, SHORT_CIRCUIT, fault, graded, parameter, share, terminal};
use crate::assembly::Assembly;
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;
use std::f64::consts::TAU;

pub(crate) struct Motor;

/// Load of a motor that turns free of what it drives: its brushes and bearings. From memory, 10 % of full load.
const FREE: f64 = 0.1;

static SPEC: KindSpec = KindSpec {
    name: "motor",
    what: "A direct-current motor with what it drives. Speeds are those of the driven shaft: a starter's are the engine's.",
    ports: &[
        terminal("plus", "fed side"),
        terminal("minus", "returning side; a starter's housing"),
    ],
    parameters: &[
        parameter(
            "voltage",
            "between its terminals in normal work",
            &[Dimension::Voltage],
            10.2,
            Spread::Absolute(0.0),
            (1.0, 60.0),
        ),
        parameter(
            "current",
            "in normal work at that voltage",
            &[Dimension::Current],
            275.0,
            Spread::Relative(0.1),
            (0.1, 2000.0),
        ),
        parameter(
            "speed",
            "of the driven shaft in normal work at that voltage",
            &[Dimension::RotationalSpeed],
            227.0 / 60.0,
            Spread::Relative(0.05),
            (0.05, 1000.0),
        ),
        parameter(
            "resistance",
            "of winding and brushes",
            &[Dimension::Resistance],
            10e-3,
            Spread::Relative(0.08),
            (1e-3, 100.0),
        ),
        parameter(
            "steady-load",
            "share of the load that does not grow with speed",
            &[Dimension::Ratio],
            0.82,
            Spread::Absolute(0.06),
            (0.0, 0.99),
        ),
    ],
    faults: &[
        graded(
            "worn brushes",
            "short or sticking brushes, a dirty commutator: added resistance",
            38.0,
            0.1,
            share("of its own resistance", 0.5, 2.5, 15.0),
        ),
        fault(
            "dead spot",
            "an open winding under the brushes: no current",
            14.0,
            0.05,
        ),
        graded(
            "drags",
            "bushes, bearing or what it drives turn hard",
            24.0,
            0.1,
            share("of its normal load", 1.25, 1.6, 2.3),
        ),
        fault("seized", "it does not turn", 9.0, 0.2),
        graded(
            "turns shorted",
            "part of the armature is short-circuited: it draws much and turns slowly",
            15.0,
            0.05,
            share("of the turns left", 0.5, 0.7, 0.85),
        ),
    ],
    weight: 10.0,
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
    cautions: &[CRANKING, SHORT_CIRCUIT],
    repair: RepairSpec {
        what: "renew the motor",
        minutes: 90.0,
        price: 180.0,
        bad_new: 0.02,
    },
    source: "defaults: a car diesel's starter, 180 to 350 A and 180 to 250 rpm, common practice, no source; shares from memory: brushes 25 to 40, armature 10, bushes and bearings 10 to 35 of 100",
};

impl Kind for Motor {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [voltage, current, speed, resistance, steady] = part.values();
        if part.has("dead spot") {
            return;
        }
        let (a, b) = (part.electric(0), part.electric(1));
        let left = part.fault("turns shorted").unwrap_or(1.0).clamp(0.05, 1.0);
        let brushes = part.fault("worn brushes").unwrap_or(0.0) * resistance;
        let ohms = resistance * left + brushes;
        if part.has("seized") {
            part.resistor(a, b, ohms);
            return;
        }
        // In normal work the winding takes at most nine tenths of the voltage; more is a slip of the pen.
        let radians = speed * TAU;
        let emf = (voltage - current * resistance).max(0.1 * voltage) / radians;
        let torque = emf * current;
        let free = if part.on_the_bench() { FREE } else { 1.0 };
        let load = torque * steady * free * part.fault("drags").unwrap_or(1.0);
        // Shorted turns brake like a generator without a load: k² (1 − left) / R of torque per speed.
        let brake = emf * emf * (1.0 - left) / resistance;
        let drag = torque * (1.0 - steady) / radians + brake;
        part.push_electric(ElectricElement::Motor {
            a,
            b,
            resistance: ohms,
            constant: emf * left,
            load,
            drag,
        });
    }
}
