//! Plain two-ended components: resistors and diodes.

use super::Kind;
use super::conductor::{Faults, carry};
use super::spec::{PROBING, fault, graded, ohms, parameter, plug, required, terminal};
use crate::assembly::Assembly;
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A resistor: blower or fan series resistor, terminator, heater.
pub(crate) struct Resistor;
/// A diode, mostly across a coil.
pub(crate) struct Diode;

/// Boltzmann's constant over the elementary charge, V/K; both exact in the SI of 2019.
const THERMAL: f64 = 1.380_649e-23 / 1.602_176_634e-19;

static RESISTOR: KindSpec = KindSpec {
    name: "resistor",
    what: "A fixed resistance: a blower's series resistor, a heater, a terminator.",
    ports: &[
        plug("from", "end towards the source"),
        terminal("to", "end towards the load"),
    ],
    parameters: &[required(
        "resistance",
        "its resistance",
        &[Dimension::Resistance],
        Spread::Relative(0.05),
        (1e-3, 100e6),
    )],
    faults: &[
        fault("open", "burnt through or cracked", 75.0, 0.3),
        graded(
            "high resistance",
            "aged, cracked or badly joined",
            25.0,
            0.1,
            ohms("added resistance", 0.2, 2.0, 50.0),
        ),
    ],
    weight: 3.0,
    checks: &[Method::Look, Method::Drop, Method::Amps, Method::Ohms],
    command: None,
    supplies: None,
    symbol: Symbol::Resistor,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "renew the resistor",
        minutes: 20.0,
        price: 15.0,
        bad_new: 0.01,
    },
    source: "shares from memory",
};

static DIODE: KindSpec = KindSpec {
    name: "diode",
    what: "Lets current pass from anode to cathode only. Across a coil the cathode is at the fed side.",
    ports: &[
        plug("anode", "current goes in here"),
        terminal("cathode", "and out here, marked with a ring"),
    ],
    parameters: &[parameter(
        "drop",
        "forward voltage at 1 A and 20 °C",
        &[Dimension::Voltage],
        0.8,
        Spread::Relative(0.08),
        (0.2, 2.0),
    )],
    faults: &[
        fault("open", "it never conducts", 45.0, 0.05),
        graded(
            "shorted",
            "it conducts both ways",
            45.0,
            0.1,
            ohms("resistance left", 0.02, 0.3, 5.0),
        ),
        fault("reversed", "fitted the wrong way round", 10.0, 0.5),
    ],
    weight: 1.5,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Diode,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "renew the diode",
        minutes: 20.0,
        price: 4.0,
        bad_new: 0.01,
    },
    source: "Shockley's law with emission coefficient 1; forward voltage and shares from memory",
};

impl Kind for Resistor {
    fn spec(&self) -> &'static KindSpec {
        &RESISTOR
    }

    fn assemble(&self, part: &mut Assembly) {
        let [resistance] = part.values();
        carry(
            part,
            resistance,
            Faults {
                open: &["open"],
                series: &["high resistance"],
                to_ground: &[],
            },
        );
    }
}

impl Kind for Diode {
    fn spec(&self) -> &'static KindSpec {
        &DIODE
    }

    fn assemble(&self, part: &mut Assembly) {
        let [drop] = part.values();
        let (mut a, mut b) = (part.electric(0), part.electric(1));
        if part.has("open") {
            return;
        }
        if let Some(ohms) = part.fault("shorted") {
            part.resistor(a, b, ohms);
            return;
        }
        if part.has("reversed") {
            std::mem::swap(&mut a, &mut b);
        }
        let thermal = THERMAL * 293.15;
        part.push_electric(ElectricElement::Diode {
            a,
            b,
            saturation: (-drop / thermal).exp(),
            thermal,
        });
    }
}
