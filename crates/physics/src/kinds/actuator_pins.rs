//! The pins of a control module that drive an electric actuator and read its position: bridge, 5 V, signal, sensor ground.
//!
//! The module drives the motor until the position it reads is the one it asks for. A bridge fails seldom, its supply and
//! ground come first; a dead input sends the lever to its stop. Left out: codes, limp mode, how it learns the stops.

use super::Kind;
use super::module_pins::{FIVE, INNER, LIMIT, TIE};
use super::spec::{PROBING, fault, graded, parameter, plug, terminal, volts};
use crate::assembly::Assembly;
use crate::network::ElectricElement;
use crate::servo::Target;
use circuit::{CommandSpec, KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct ActuatorPins;

const SIGNAL: usize = 0;
const REFERENCE: usize = 1;
const RETURN: usize = 2;
const A: usize = 3;
const B: usize = 4;
const PLUS: usize = 5;
const GROUND: usize = 6;

/// Each side of the bridge while it conducts, ohm. From memory.
const BRIDGE: f64 = 0.15;
/// What the module itself draws, as a resistance, ohm: without it a lost ground would leave it hanging in the air. From memory.
const OWN: f64 = 20.0;
/// From the signal to ground, ohm: an open wire reads nothing. From memory.
const PULL_DOWN: f64 = 220e3;

static SPEC: KindSpec = KindSpec {
    name: "module actuator pins",
    what: "Drives an electric actuator until its position sensor reports what is asked for; commanded with that position.",
    ports: &[
        terminal("signal", "position signal"),
        terminal("reference", "5 V reference"),
        terminal("return", "sensor ground"),
        plug("a", "motor, driven side"),
        plug("b", "motor, returning side"),
        terminal("plus", "supply of the bridge"),
        terminal("ground", "the module's own ground"),
    ],
    parameters: &[
        parameter(
            "at-rest",
            "share of 5 V programmed for the lever at rest",
            &[Dimension::Ratio],
            0.1,
            Spread::Absolute(0.0),
            (0.0, 0.5),
        ),
        parameter(
            "at-full",
            "share of 5 V programmed for full travel",
            &[Dimension::Ratio],
            0.9,
            Spread::Absolute(0.0),
            (0.5, 1.0),
        ),
    ],
    faults: &[
        fault("bridge dead", "the motor is not driven", 45.0, 0.01),
        fault("input dead", "the position input reads nothing", 30.0, 0.01),
        graded(
            "reference low",
            "the module's 5 V supply is low",
            25.0,
            0.01,
            volts("reference", 1.0, 4.3, 4.75),
        ),
    ],
    weight: 0.8,
    checks: &[Method::Data],
    command: Some(CommandSpec::Duty),
    supplies: None,
    symbol: Symbol::ModulePins,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "renew or repair the control module",
        minutes: 60.0,
        price: 600.0,
        bad_new: 0.02,
    },
    source: "a module is the cause in at most 2 of 100 cases, half of them outputs: from memory",
};

impl Kind for ActuatorPins {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [at_rest, at_full] = part.values();
        let (signal, reference, back) = (
            part.electric(SIGNAL),
            part.electric(REFERENCE),
            part.electric(RETURN),
        );
        let (a, b) = (part.electric(A), part.electric(B));
        let (plus, ground) = (part.electric(PLUS), part.electric(GROUND));
        part.resistor(back, ground, TIE);
        part.resistor(plus, ground, OWN);
        let five = part.inner_electric();
        let held = if part.powered() {
            part.fault("reference low").unwrap_or(FIVE).min(FIVE)
        } else {
            0.0
        };
        part.push_electric(ElectricElement::Source {
            plus: five,
            minus: ground,
            emf: held,
            conductance: 1e3,
        });
        part.push_electric(ElectricElement::Limited {
            a: five,
            b: reference,
            conductance: 1.0 / INNER,
            limit: LIMIT,
        });
        part.resistor(
            signal,
            ground,
            if part.has("input dead") { 10.0 } else { PULL_DOWN },
        );
        let share = if part.powered() { part.duty() } else { 0.0 };
        if share > 0.0 && !part.has("bridge dead") {
            part.resistor(plus, a, BRIDGE);
            part.resistor(b, ground, BRIDGE);
        }
        part.aim(Target {
            share,
            signal,
            ground,
            five: FIVE,
            at_rest,
            at_full: at_full.max(at_rest + 0.01),
        });
    }

    fn reports(&self, values: &[f64], volts: &dyn Fn(usize) -> f64) -> Option<f64> {
        let &[at_rest, at_full] = values else {
            return None;
        };
        let share = (volts(SIGNAL) - volts(GROUND)) / FIVE;
        Some(((share - at_rest) / (at_full - at_rest).max(0.01)).clamp(0.0, 1.1))
    }
}
