//! The 5 V supply of a control module that several sensors share, with their common ground pin.
//!
//! One sensor or one wire that draws too much pulls the supply down for all of them: several sensors low at once, and
//! each is easily taken for bad until the right one is unplugged and the others recover. The supply itself fails seldom.
//! Left out: a second supply of the module, codes.

use super::Kind;
use super::module_pins::{FIVE, INNER, LIMIT, TIE};
use super::spec::{PROBING, fault, graded, terminal, volts};
use crate::assembly::{Assembly, REFERENCE};
use crate::network::ElectricElement;
use circuit::{KindSpec, RepairSpec, Symbol};

pub(crate) struct SensorSupply;

/// From the module's ground to the body past its ground point, by its housing and its other inputs, ohm. From memory.
const HOUSING: f64 = 100e3;

static SPEC: KindSpec = KindSpec {
    name: "module sensor supply",
    what: "The 5 V that a control module gives to several sensors, and their common ground.",
    ports: &[
        terminal("reference", "5 V reference"),
        terminal("return", "sensor ground"),
        terminal("ground", "the module's own ground"),
    ],
    parameters: &[],
    faults: &[
        graded(
            "reference low",
            "the module's 5 V supply is low",
            60.0,
            0.01,
            volts("reference", 1.0, 4.3, 4.75),
        ),
        fault(
            "ground pin open",
            "nothing joins sensor ground inside",
            40.0,
            0.01,
        ),
    ],
    weight: 0.8,
    checks: &[],
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
    source: "4.9 to 5.1 V: common practice, no source; some tens of milliamperes for each group of sensors, shares: from memory",
};

impl Kind for SensorSupply {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let (reference, back, ground) = (part.electric(0), part.electric(1), part.electric(2));
        if !part.has("ground pin open") {
            part.resistor(back, ground, TIE);
        }
        part.resistor(ground, REFERENCE, HOUSING);
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
    }
}
