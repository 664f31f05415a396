//! One signal input of a control module for a three-wire pressure sensor whose supply it shares with others.
//!
//! It takes the supply for exactly 5 V: when that sags, every pressure reads too low at once. An open signal wire goes
//! where the input's own resistor pulls it. The input seldom dies. Left out: filtering, codes, values put in place of a
//! lost one.

use super::Kind;
use super::module_pins::FIVE;
use super::spec::{PROBING, choice, fault, parameter, required, terminal};
use crate::assembly::Assembly;
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct SensorInput;

const SIGNAL: usize = 0;
const GROUND: usize = 1;

static SPEC: KindSpec = KindSpec {
    name: "module sensor input",
    what: "Turns a pressure sensor's signal into a pressure, as if the shared supply were exactly 5 V.",
    ports: &[
        terminal("signal", "signal input"),
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
    faults: &[fault("input dead", "the signal input reads nothing", 100.0, 0.01)],
    weight: 0.5,
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
    source: "pulls of 10 to 500 kohm: common practice, no source; a module is the cause in at most 2 of 100 cases, from memory",
};

impl Kind for SensorInput {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [_, _, _, _, pull, ohms] = part.values();
        let (signal, ground) = (part.electric(SIGNAL), part.electric(GROUND));
        let up = pull < 0.5 && part.powered();
        let rail = part.inner_electric();
        part.push_electric(ElectricElement::Source {
            plus: rail,
            minus: ground,
            emf: if up { FIVE } else { 0.0 },
            conductance: 1e3,
        });
        part.resistor(signal, rail, ohms);
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
