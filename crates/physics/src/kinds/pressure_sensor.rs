//! A pressure sensor with three wires whose signal is a share of its supply.
//!
//! It drifts, dies, its port plugs, or it shorts the reference. Drift shows against the barometer with the engine
//! standing; a plugged port is right then and wrong with pressure, so it is easily taken for a real lack of pressure.
//! One that shorts the reference makes its neighbours look bad until it is unplugged. Left out: slowness, temperature,
//! a sensor of another range.

use super::Kind;
use super::spec::{PROBING, fault, graded, ohms, parameter, plug, pressure, required, terminal, vent};
use crate::assembly::{AMBIENT, Assembly};
use crate::network::{ElectricElement, Ratiometric};
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct PressureSensor;

const PLUS: usize = 0;
const SIGNAL: usize = 1;
const MINUS: usize = 2;
const PRESSURE: usize = 3;

/// The sensor's own consumption as a resistance, ohm: 7 mA at 5 V, of the usual 5 to 10 mA.
const CONSUMPTION: f64 = 700.0;
/// Resistance behind the signal, ohm. Common practice, no source.
const OUTPUT: f64 = 1000.0;

static SPEC: KindSpec = KindSpec {
    name: "three-wire pressure sensor",
    what: "Gives a share of its 5 V supply that grows with the absolute pressure at its port.",
    ports: &[
        plug("plus", "5 V reference"),
        plug("signal", "signal"),
        terminal("minus", "sensor ground, returned to the module"),
        vent(
            "pressure",
            "the pressure it measures; the ambient air where nothing is joined",
        ),
    ],
    parameters: &[
        required(
            "from",
            "absolute pressure at the low share",
            &[Dimension::Pressure],
            Spread::Absolute(0.0),
            (0.0, 300e6),
        ),
        required(
            "to",
            "absolute pressure at the high share",
            &[Dimension::Pressure],
            Spread::Absolute(0.0),
            (1e3, 300e6),
        ),
        parameter(
            "low",
            "share of the supply at `from`",
            &[Dimension::Ratio],
            0.1,
            Spread::Absolute(0.005),
            (0.0, 0.5),
        ),
        parameter(
            "high",
            "share of the supply at `to`",
            &[Dimension::Ratio],
            0.9,
            Spread::Absolute(0.005),
            (0.5, 1.0),
        ),
    ],
    faults: &[
        graded(
            "reads high",
            "drifted upwards",
            14.0,
            0.01,
            pressure("error", 3e3, 10e3, 40e3),
        ),
        graded(
            "reads low",
            "drifted downwards",
            14.0,
            0.01,
            pressure("error", 3e3, 10e3, 40e3),
        ),
        fault(
            "port plugged",
            "oil, soot or ice shuts the pressure out",
            38.0,
            0.5,
        ),
        fault("dead", "the signal stays at the ground's level", 16.0, 0.01),
        graded(
            "shorts the reference",
            "it pulls the 5 V supply down",
            8.0,
            0.01,
            ohms("resistance across the supply", 1.0, 10.0, 60.0),
        ),
    ],
    weight: 10.0,
    checks: &[Method::Look, Method::Swap, Method::Substitute],
    command: None,
    supplies: None,
    symbol: Symbol::PressureSensor,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "renew the sensor",
        minutes: 15.0,
        price: 55.0,
        bad_new: 0.02,
    },
    source: "10 and 90 % of the supply, 5 to 10 mA: common practice, no source; shares from memory: port 25, drift 20, dead or shorted 15 of 100",
};

impl Kind for PressureSensor {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [from, to, low_share, high_share] = part.values();
        let (plus, signal, minus) = (part.electric(PLUS), part.electric(SIGNAL), part.electric(MINUS));
        let offset = part.fault("reads high").unwrap_or(0.0) - part.fault("reads low").unwrap_or(0.0);
        let air = if part.has("port plugged") {
            AMBIENT
        } else {
            part.air(PRESSURE)
        };
        part.resistor(plus, minus, CONSUMPTION);
        if let Some(ohms) = part.fault("shorts the reference") {
            part.resistor(plus, minus, ohms);
        }
        if part.has("dead") {
            part.resistor(signal, minus, OUTPUT);
            return;
        }
        let scale = Ratiometric {
            low_share,
            high_share,
            from,
            to: to.max(from + 1.0),
            offset,
        };
        part.push_electric(ElectricElement::Ratiometric {
            plus,
            minus,
            signal,
            conductance: 1.0 / OUTPUT,
            air,
            scale,
        });
    }

    fn stand_in(&self) -> &'static [(usize, usize, f64)] {
        &[(PLUS, SIGNAL, OUTPUT), (SIGNAL, MINUS, OUTPUT)]
    }
}
