//! A pressure regulator beside a line: above its set pressure it lets the rest of the flow back to the tank.
//!
//! Dirt keeps it open, it sticks shut, its spring tires or breaks. Open it lowers the pressure and fills the return, which is
//! easily taken for a worn pump until the return is closed or measured; shut, the pressure rises to the pump's own relief
//! valve, as it does with a squashed return line. Left out: regulators that follow the manifold's pressure.

use super::Kind;
use super::spec::{FUEL, bore, fault, graded, parameter, required, share, wet};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct PressureRegulator;

static SPEC: KindSpec = KindSpec {
    name: "pressure regulator",
    what: "Keeps a line at its set pressure: what is too much goes back to the tank.",
    ports: &[
        wet("line", "the line it keeps"),
        wet("return", "back to the tank"),
    ],
    parameters: &[
        required(
            "set",
            "pressure above the return at which it opens",
            &[Dimension::Pressure],
            Spread::Relative(0.03),
            (10e3, 2.0e6),
        ),
        parameter(
            "bore",
            "its opening when lifted",
            &[Dimension::Length],
            3.5e-3,
            Spread::Relative(0.1),
            (0.3e-3, 20e-3),
        ),
    ],
    faults: &[
        graded(
            "stays open",
            "dirt or wear keeps it off its seat",
            45.0,
            0.02,
            bore("opening left", 0.6e-3, 1.2e-3, 2.2e-3),
        ),
        fault("sticks shut", "it does not open", 20.0, 0.02),
        graded(
            "set low",
            "a tired or broken spring",
            35.0,
            0.02,
            share("of its set pressure", 0.25, 0.6, 0.85),
        ),
    ],
    weight: 6.0,
    checks: &[Method::Look, Method::Swap],
    command: None,
    supplies: None,
    symbol: Symbol::PressureValve,
    cautions: &[FUEL],
    repair: RepairSpec {
        what: "renew the pressure regulator",
        minutes: 30.0,
        price: 55.0,
        bad_new: 0.015,
    },
    source: "shares from memory; 3.5 to 6 bar: common practice, no source",
};

impl Kind for PressureRegulator {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [set, bore] = part.values();
        let (line, back) = (part.wet(0), part.wet(1));
        if !part.has("sticks shut") {
            let set = part.fault("set low").unwrap_or(1.0) * set;
            part.wet_valve(line, back, set, bore);
        }
        if let Some(left) = part.fault("stays open") {
            part.wet_opening(line, back, left.min(bore));
        }
    }
}
