//! The pins of a control module that serve a two-wire temperature sensor: a resistor from 5 V, and sensor ground.
//!
//! The module measures what is left of its 5 V and looks the temperature up. An open circuit reads as its coldest, a short
//! as its hottest value. The input seldom dies; wires and plugs come first. Left out: stored codes, values put in place of a
//! lost one, a second pull-up for the hot range.

use super::Kind;
use super::module_pins::{FIVE, TIE};
use super::spec::{PROBING, fault, parameter, terminal};
use super::temperature_sensor::{AT_20, AT_80};
use crate::assembly::Assembly;
use crate::laws::thermistor::Thermistor;
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct TemperatureInput;

const SIGNAL: usize = 0;
const RETURN: usize = 1;
const GROUND: usize = 2;

static SPEC: KindSpec = KindSpec {
    name: "module temperature pins",
    what: "Feeds a two-wire temperature sensor through a resistor and turns what is left into a temperature.",
    ports: &[
        terminal("signal", "signal input with its resistor to 5 V"),
        terminal("return", "sensor ground"),
        terminal("ground", "the module's own ground"),
    ],
    parameters: &[
        parameter(
            "coldest",
            "what it reports with the circuit open",
            &[Dimension::Temperature],
            233.15,
            Spread::Absolute(0.0),
            (173.0, 293.0),
        ),
        parameter(
            "hottest",
            "what it reports with the circuit shorted",
            &[Dimension::Temperature],
            413.15,
            Spread::Absolute(0.0),
            (323.0, 573.0),
        ),
        parameter(
            "pull-up",
            "resistance from 5 V to the signal",
            &[Dimension::Resistance],
            2.2e3,
            Spread::Relative(0.02),
            (100.0, 1e6),
        ),
        AT_20,
        AT_80,
    ],
    faults: &[
        fault(
            "input dead",
            "the input stays near the ground's level",
            60.0,
            0.01,
        ),
        fault(
            "ground pin open",
            "nothing joins sensor ground inside",
            40.0,
            0.01,
        ),
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
    source: "pull-ups of 1 to 3 kohm for coolant, from memory; a module is the cause in at most 2 of 100 cases, from memory",
};

impl Kind for TemperatureInput {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [_, _, pull_up, _, _] = part.values();
        let (signal, back, ground) = (
            part.electric(SIGNAL),
            part.electric(RETURN),
            part.electric(GROUND),
        );
        if !part.has("ground pin open") {
            part.resistor(back, ground, TIE);
        }
        let five = part.inner_electric();
        part.push_electric(ElectricElement::Source {
            plus: five,
            minus: ground,
            emf: if part.powered() { FIVE } else { 0.0 },
            conductance: 1e3,
        });
        part.resistor(five, signal, pull_up);
        if part.has("input dead") {
            part.resistor(signal, ground, 10.0);
        }
    }

    fn reports(&self, values: &[f64], volts: &dyn Fn(usize) -> f64) -> Option<f64> {
        let &[coldest, hottest, pull_up, at_20, at_80] = values else {
            return None;
        };
        let v = (volts(SIGNAL) - volts(GROUND)).max(0.0);
        let left = (FIVE - v).max(1e-6);
        let temperature = Thermistor::through(at_20, at_80).temperature(pull_up * v / left);
        Some(temperature.max(coldest).min(hottest))
    }
}
