//! A diode, mostly across a coil: it lets current pass from anode to cathode only.
//!
//! It fails open, shorted, or by being fitted the wrong way round. Shorted or reversed it loads the line and is easily
//! taken for a shorted coil or wire; open it shows in no steady reading, though what switches the coil then suffers.
//! Left out: breakdown against its direction, temperature, and the spike when a coil is switched off.

use super::Kind;
use super::spec::{PROBING, fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A diode, mostly across a coil.
pub(crate) struct Diode;

/// Boltzmann's constant over the elementary charge, V/K; both exact in the SI of 2019.
const THERMAL: f64 = 1.380_649e-23 / 1.602_176_634e-19;

static SPEC: KindSpec = KindSpec {
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

impl Kind for Diode {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
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
