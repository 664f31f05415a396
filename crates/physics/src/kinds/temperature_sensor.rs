//! A two-wire temperature sensor: a resistance that falls as it gets warmer, in coolant, oil, fuel or air.
//!
//! It opens, shorts, or drifts. Open it reads as cold as can be, shorted as hot, and both are easily taken for a bad sensor
//! where a plug or wire is open or chafed; a drift shows against the air after a cold night. A fan that runs all the
//! time, rich running and a glow time that is too long begin here. Left out: slowness, air pockets, self-heating.

use super::Kind;
use super::relay::OPEN_COIL;
use super::spec::{HOT_COOLANT, PROBING, fault, graded, ohms, parameter, plug, share, terminal};
use crate::assembly::Assembly;
use crate::laws::thermistor::Thermistor;
use circuit::{KindSpec, Method, ParameterSpec, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct TemperatureSensor;

const SIGNAL: usize = 0;
const RETURN: usize = 1;

/// Resistance at 20 °C.
pub(super) const AT_20: ParameterSpec = parameter(
    "at-20",
    "resistance at 20 °C",
    &[Dimension::Resistance],
    2.5e3,
    Spread::Relative(0.06),
    (10.0, 1e6),
);
/// Resistance at 80 °C.
pub(super) const AT_80: ParameterSpec = parameter(
    "at-80",
    "resistance at 80 °C",
    &[Dimension::Resistance],
    320.0,
    Spread::Relative(0.06),
    (1.0, 1e5),
);

static SPEC: KindSpec = KindSpec {
    name: "two-wire temperature sensor",
    what: "A resistance that falls as it gets warmer.",
    ports: &[
        plug("signal", "signal, fed by the module through its own resistor"),
        terminal("return", "sensor ground, returned to the module"),
    ],
    parameters: &[
        parameter(
            "cold",
            "temperature where it sits, engine standing since last night",
            &[Dimension::Temperature],
            293.15,
            Spread::Absolute(3.0),
            (223.0, 333.0),
        ),
        parameter(
            "warm",
            "temperature where it sits, engine running and warm",
            &[Dimension::Temperature],
            363.15,
            Spread::Absolute(5.0),
            (233.0, 473.0),
        ),
        AT_20,
        AT_80,
    ],
    faults: &[
        fault("open", "no path through it", 25.0, 0.02),
        fault("shorted", "its two pins are joined inside", 12.0, 0.02),
        graded(
            "reads cold",
            "drifted to more resistance",
            20.0,
            0.01,
            share("of its own resistance", 1.2, 1.8, 6.0),
        ),
        graded(
            "reads hot",
            "drifted to less resistance, or coolant in it",
            18.0,
            0.01,
            share("of its own resistance", 0.2, 0.6, 0.85),
        ),
        graded(
            "plug corroded",
            "green or spread terminals",
            25.0,
            0.5,
            ohms("added resistance", 20.0, 300.0, 10e3),
        ),
    ],
    weight: 10.0,
    checks: &[
        Method::Look,
        Method::Ohms,
        Method::Swap,
        Method::Temperature,
        Method::Substitute,
    ],
    command: None,
    supplies: None,
    symbol: Symbol::TemperatureSensor,
    cautions: &[PROBING, HOT_COOLANT],
    repair: RepairSpec {
        what: "renew the sensor",
        minutes: 20.0,
        price: 25.0,
        bad_new: 0.01,
    },
    source: "2.1 to 2.9 kohm at 20 °C, 0.3 to 0.35 at 80 °C: common practice, no source; shares from memory",
};

impl Kind for TemperatureSensor {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [cold, warm, at_20, at_80] = part.values();
        let (signal, back) = (part.electric(SIGNAL), part.electric(RETURN));
        let place = if part.engine() > 0.0 { warm } else { cold };
        let sound = Thermistor::through(at_20, at_80).ohms(place);
        let drift = part.fault("reads cold").unwrap_or(1.0) * part.fault("reads hot").unwrap_or(1.0);
        let inside = if part.has("open") {
            OPEN_COIL
        } else if part.has("shorted") {
            1.0
        } else {
            sound * drift
        };
        part.resistor(signal, back, inside + part.fault("plug corroded").unwrap_or(0.0));
    }

    fn stand_in(&self) -> &'static [(usize, usize, f64)] {
        &[(SIGNAL, RETURN, 2200.0)]
    }

    fn place(&self, values: &[f64], running: bool) -> Option<f64> {
        values.get(usize::from(running)).copied()
    }
}
