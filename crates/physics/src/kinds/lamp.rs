//! A filament lamp. Its resistance is about a tenth when cold, so that an ohmmeter's reading looks like a short.
//!
//! It burns out, or its holder corrodes. A dim lamp is easily taken for a wrong or aged one when the feed, the holder
//! or its ground drops voltage: measure across it while it is lit. Left out: the moment of warming up, blackened glass,
//! and lamps of light-emitting diodes.

use super::Kind;
use super::spec::{FUSED_LEAD, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A filament lamp.
pub(crate) struct Lamp;

/// Current of a hot tungsten filament grows with the voltage to this power. Lamp makers' re-rating rule, from memory: 0.54
/// to 0.55.
const TUNGSTEN: f64 = 0.54;
/// Cold share of a tungsten filament's hot resistance. From memory: a twelfth to a tenth.
const TUNGSTEN_COLD: f64 = 0.085;

static SPEC: KindSpec = KindSpec {
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
        Method::Glow,
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

impl Kind for Lamp {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
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
            part.push_electric(ElectricElement::Filament {
                a,
                b,
                cold: TUNGSTEN_COLD * hot,
                hot,
                nominal: voltage,
                exponent: TUNGSTEN,
            });
        }
    }
}
