//! The pins of a control module that serve three-wire sensors: 5 V reference, signal input, sensor ground.
//!
//! The reference sags, or the input dies. A low reference is easily taken for a bad sensor, as the module works out the
//! pressure as if it had its 5 V; a dead input for a signal wire at ground. A module is seldom the cause: sharers of
//! the reference and wires come first. Left out: filtering, stored codes, and values the module puts in place of a lost
//! one.

use super::Kind;
use super::spec::{PROBING, choice, fault, graded, parameter, required, terminal, volts};
use crate::assembly::Assembly;
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct ModulePins;

const REFERENCE: usize = 0;
const SIGNAL: usize = 1;
const RETURN: usize = 2;
const GROUND: usize = 3;

/// What the module holds its reference at, and against which it measures, V.
pub(super) const FIVE: f64 = 5.0;
/// Inner resistance of the reference, ohm; it lies within 0.1 V at 5 to 50 mA.
pub(super) const INNER: f64 = 1.0;
/// Current at which the reference gives way, A. From memory: some tens of milliamperes for each group of sensors.
pub(super) const LIMIT: f64 = 0.1;
/// From the sensor-ground pin to the module's ground, ohm.
pub(super) const TIE: f64 = 50e-3;

static SPEC: KindSpec = KindSpec {
    name: "module sensor pins",
    what: "Feeds a three-wire sensor and turns its signal into a pressure, as if the reference were exactly 5 V.",
    ports: &[
        terminal("reference", "5 V reference"),
        terminal("signal", "signal input"),
        terminal("return", "sensor ground"),
        terminal("ground", "the module's own ground"),
    ],
    parameters: &[
        required(
            "from",
            "absolute pressure programmed for the low share",
            &[Dimension::Pressure],
            Spread::Absolute(0.0),
            (0.0, 300e6),
        ),
        required(
            "to",
            "absolute pressure programmed for the high share",
            &[Dimension::Pressure],
            Spread::Absolute(0.0),
            (1e3, 300e6),
        ),
        parameter(
            "low",
            "share of 5 V at `from`",
            &[Dimension::Ratio],
            0.1,
            Spread::Absolute(0.0),
            (0.0, 0.5),
        ),
        parameter(
            "high",
            "share of 5 V at `to`",
            &[Dimension::Ratio],
            0.9,
            Spread::Absolute(0.0),
            (0.5, 1.0),
        ),
        choice("pull", "where an open signal wire goes", &["up", "down"]),
        parameter(
            "pull-resistance",
            "resistance of that pull",
            &[Dimension::Resistance],
            100e3,
            Spread::Relative(0.1),
            (1e3, 10e6),
        ),
    ],
    faults: &[
        graded(
            "reference low",
            "the module's 5 V supply is low",
            45.0,
            0.01,
            volts("reference", 1.0, 4.3, 4.75),
        ),
        fault("input dead", "the signal input reads nothing", 55.0, 0.01),
    ],
    weight: 0.8,
    checks: &[Method::Data],
    command: None,
    supplies: None,
    symbol: Symbol::ModulePins,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "renew or repair the control module",
        minutes: 60.0,
        price: 600.0,
        bad_new: 0.02,
    },
    source: "reference 4.9 to 5.1 V, pulls of 10 to 500 kohm: common practice, no source; a module is the cause in at most 2 of 100 cases, from memory",
};

impl Kind for ModulePins {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [_, _, _, _, pull, ohms] = part.values();
        let (reference, signal) = (part.electric(REFERENCE), part.electric(SIGNAL));
        let (back, ground) = (part.electric(RETURN), part.electric(GROUND));
        part.resistor(back, ground, TIE);
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
        part.resistor(signal, if pull < 0.5 { five } else { ground }, ohms);
        if part.has("input dead") {
            part.resistor(signal, ground, 10.0);
        }
    }

    fn reports(&self, values: &[f64], volts: &dyn Fn(usize) -> f64) -> Option<f64> {
        let &[from, to, low, high, ..] = values else {
            return None;
        };
        let share = (volts(SIGNAL) - volts(GROUND)) / FIVE;
        Some((from + (to - from) * (share - low) / (high - low)).max(0.0))
    }
}
