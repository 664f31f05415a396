//! A check valve: air passes one way, so that what lies behind it keeps its vacuum.
//!
//! It leaks back, sticks, or is fitted backwards. While the source draws, one that leaks back shows nothing; afterwards
//! it is easily taken for a leak in the reservoir or booster, which holds when tested alone. Sticking it is easily
//! taken for a blocked hose. On a hand pump from the side of the users it must hold.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, air, bore, fault, graded, parameter};
use crate::assembly::Assembly;
use crate::network::AirElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct CheckValve;

const FROM: usize = 0;
const TO: usize = 1;

static SPEC: KindSpec = KindSpec {
    name: "check valve",
    what: "Lets air pass from `from` to `to` only.",
    ports: &[
        air("from", "side that air comes from"),
        air("to", "side that air goes to"),
    ],
    parameters: &[
        parameter(
            "bore",
            "opening when open",
            &[Dimension::Length],
            4e-3,
            Spread::Relative(0.05),
            (0.3e-3, 50e-3),
        ),
        parameter(
            "opening",
            "pressure difference that opens it fully",
            &[Dimension::Pressure],
            1.0e3,
            Spread::Relative(0.3),
            (50.0, 3.0e4),
        ),
    ],
    faults: &[
        graded(
            "leaks back",
            "the seat does not close",
            60.0,
            0.05,
            bore("hole", 0.2e-3, 0.5e-3, 1.0e-3),
        ),
        graded(
            "sticks closed",
            "it opens only a little",
            25.0,
            0.05,
            bore("opening left", 0.1e-3, 0.3e-3, 0.6e-3),
        ),
        fault("fitted backwards", "it stops the way it should pass", 15.0, 0.6),
    ],
    weight: 5.0,
    checks: &[Method::Look, Method::Swap, Method::Hold],
    command: None,
    supplies: None,
    symbol: Symbol::CheckValve,
    cautions: &[BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "renew the check valve",
        minutes: 10.0,
        price: 14.0,
        bad_new: 0.01,
    },
    source: "shares from memory: leaks back 60, sticks closed 25, reversed 15 of 100; opens at 0.5 to 2 kPa",
};

impl Kind for CheckValve {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [bore, opening] = part.values();
        let (mut a, mut b) = (part.air(FROM), part.air(TO));
        if part.has("fitted backwards") {
            std::mem::swap(&mut a, &mut b);
        }
        let bore = part.fault("sticks closed").map_or(bore, |left| left.min(bore));
        // A sound seat still passes what a 0.02 mm hole would, 0.02 inHg a minute out of a booster.
        let leak = part.conductance(part.fault("leaks back").unwrap_or(2e-5));
        let conductance = part.conductance(bore);
        part.push_air(AirElement::CheckValve {
            a,
            b,
            conductance,
            leak,
            opening,
        });
    }
}
