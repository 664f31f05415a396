//! A glow plug of a diesel engine: a heater whose resistance rises as it glows.
//!
//! It mostly fails open; a damaged heater or touching windings are rarer. One dead plug shows only in the cold and
//! hides among the sound ones, and all plugs low alike are easily taken for worn plugs where the feed drops voltage.
//! Half an ohm is below what a meter grades, so current decides. Left out: pulsed low-voltage and ceramic plugs, the
//! seconds to settle.

use super::Kind;
use super::relay::OPEN_COIL;
use super::spec::{HOT, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use crate::network::ElectricElement;
use circuit::{Caution, KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A glow plug of a diesel engine.
pub(crate) struct GlowPlug;

/// Current of the hot coil grows with the voltage to this power: metal, and kept cooler than a lamp's by its sheath. From
/// memory.
const GLOW: f64 = 0.75;

/// A glow plug on the bench.
const GLOWING: Caution = Caution {
    hazard: "a glow plug fed outside the engine passes 850 °C and may burst; a low-voltage plug burns out on 12 V",
    precaution: "check its voltage first; metal vice, shield, at most 10 seconds",
    running_only: false,
};

static SPEC: KindSpec = KindSpec {
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

impl Kind for GlowPlug {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
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
            part.push_electric(ElectricElement::Filament {
                a,
                b,
                cold,
                hot: high,
                nominal: voltage,
                exponent: GLOW,
            });
        }
    }
}
