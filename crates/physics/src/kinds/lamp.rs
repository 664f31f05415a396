//! Things that glow: lamps and glow plugs. Their resistance rises as they get hot.

use super::Kind;
use super::relay::OPEN_COIL;
use super::spec::{FUSED_LEAD, HOT, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use crate::network::{ElectricElement, Node};
use circuit::{Caution, KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A filament lamp.
pub(crate) struct Lamp;
/// A glow plug of a diesel engine.
pub(crate) struct GlowPlug;

/// Current of a hot tungsten filament grows with the voltage to this power. Lamp makers' re-rating rule, from memory: 0.54
/// to 0.55.
const TUNGSTEN: f64 = 0.54;
/// Cold share of a tungsten filament's hot resistance. From memory: a twelfth to a tenth.
const TUNGSTEN_COLD: f64 = 0.085;
/// The same power for the coil of a metal glow plug, which its sheath keeps cooler. From memory.
const GLOW: f64 = 0.75;

/// A glow plug on the bench.
const GLOWING: Caution = Caution {
    hazard: "a glow plug fed outside the engine passes 850 °C and may burst; a low-voltage plug burns out on 12 V",
    precaution: "check its voltage first; metal vice, shield, at most 10 seconds",
    running_only: false,
};

static LAMP: KindSpec = KindSpec {
    name: "lamp",
    what: "A filament lamp.",
    ports: &[plug("plus", "fed side"), terminal("minus", "returning side")],
    parameters: &[
        parameter(
            "voltage",
            "printed on it",
            &[Dimension::Voltage],
            12.0,
            Spread::Absolute(0.0),
            (1.0, 60.0),
        ),
        parameter(
            "power",
            "printed on it",
            &[Dimension::Power],
            21.0,
            Spread::Relative(0.08),
            (0.1, 500.0),
        ),
    ],
    faults: &[
        fault("blown", "the filament is broken", 70.0, 0.8),
        graded(
            "holder corroded",
            "poor contact in the holder",
            30.0,
            0.5,
            ohms("added resistance", 0.3, 3.0, 50.0),
        ),
    ],
    weight: 6.0,
    checks: &[
        Method::Look,
        Method::Drop,
        Method::Amps,
        Method::Ohms,
        Method::Jumper,
        Method::Swap,
    ],
    command: None,
    supplies: None,
    symbol: Symbol::Lamp,
    cautions: &[FUSED_LEAD],
    repair: RepairSpec {
        what: "renew the lamp",
        minutes: 8.0,
        price: 3.0,
        bad_new: 0.005,
    },
    source: "current with the 0.54th power of voltage and a twelfth of the resistance when cold, from memory; shares from memory",
};

static PLUG: KindSpec = KindSpec {
    name: "glow plug",
    what: "Heats a diesel's combustion chamber before and after the start.",
    ports: &[
        plug("plus", "terminal, from the busbar or its own wire"),
        terminal("minus", "thread, on the engine"),
    ],
    parameters: &[
        parameter(
            "voltage",
            "nominal voltage",
            &[Dimension::Voltage],
            11.5,
            Spread::Absolute(0.0),
            (1.0, 30.0),
        ),
        parameter(
            "hot",
            "resistance after some ten seconds at nominal voltage",
            &[Dimension::Resistance],
            1.05,
            Spread::Relative(0.1),
            (0.05, 20.0),
        ),
        parameter(
            "cold",
            "resistance when cold",
            &[Dimension::Resistance],
            0.45,
            Spread::Relative(0.15),
            (0.02, 10.0),
        ),
    ],
    faults: &[
        fault("open", "the heater is burnt through", 75.0, 0.02),
        graded(
            "high resistance",
            "a damaged heater or a carboned tip",
            15.0,
            0.02,
            ohms("resistance when hot", 2.0, 3.5, 6.0),
        ),
        graded(
            "low resistance",
            "windings touch",
            10.0,
            0.02,
            ohms("resistance left", 0.1, 0.2, 0.35),
        ),
    ],
    weight: 12.0,
    checks: &[Method::Look, Method::Amps, Method::Ohms, Method::Jumper],
    command: None,
    supplies: None,
    symbol: Symbol::GlowPlug,
    cautions: &[GLOWING, HOT],
    repair: RepairSpec {
        what: "renew the glow plug",
        minutes: 25.0,
        price: 18.0,
        bad_new: 0.01,
    },
    source: "0.3 to 0.7 ohm cold, 8 to 12 A after ten seconds: common practice, no source; shares from memory: open 75, high 12, low 8 of 100",
};

impl Kind for Lamp {
    fn spec(&self) -> &'static KindSpec {
        &LAMP
    }

    fn assemble(&self, part: &mut Assembly) {
        let [voltage, power] = part.values();
        let hot = voltage * voltage / power;
        let (mut a, b) = (part.electric(0), part.electric(1));
        if let Some(ohms) = part.fault("holder corroded") {
            let inner = part.inner_electric();
            part.resistor(a, inner, ohms);
            a = inner;
        }
        if !part.has("blown") {
            part.push_electric(filament(a, b, TUNGSTEN_COLD * hot, hot, voltage, TUNGSTEN));
        }
    }
}

impl Kind for GlowPlug {
    fn spec(&self) -> &'static KindSpec {
        &PLUG
    }

    fn assemble(&self, part: &mut Assembly) {
        let [voltage, hot, cold] = part.values();
        let (a, b) = (part.electric(0), part.electric(1));
        if part.has("open") {
            part.resistor(a, b, OPEN_COIL);
        } else if let Some(left) = part.fault("low resistance") {
            part.resistor(a, b, left.min(cold));
        } else {
            let high = part.fault("high resistance").unwrap_or(hot).max(hot);
            let cold = cold.min(hot) + (high - hot);
            part.push_electric(filament(a, b, cold, high, voltage, GLOW));
        }
    }
}

fn filament(a: Node, b: Node, cold: f64, hot: f64, nominal: f64, exponent: f64) -> ElectricElement {
    ElectricElement::Filament {
        a,
        b,
        cold,
        hot,
        nominal,
        exponent,
    }
}
