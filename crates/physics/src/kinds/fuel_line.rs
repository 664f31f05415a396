//! A line that carries fuel, pipe or hose, with its couplings.
//!
//! It leaks at a coupling or where it rubs, is squashed or its lining comes off, a quick coupling is not home. A leak is
//! mostly smelt and seen before it is measured. A squashed line behind the pump reads high before and low after it, like
//! a plugged filter; one in the return lifts the pressure everywhere. Left out: air that a leak on the suction side lets in, and
//! vapour in a hot line.

use super::Kind;
use super::spec::{FUEL, bore, fault, graded, parameter, required, wet};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct FuelLine;

static SPEC: KindSpec = KindSpec {
    name: "fuel line",
    what: "A pipe or hose that carries fuel.",
    ports: &[
        wet("from", "end towards the source"),
        wet("to", "end towards the load"),
    ],
    parameters: &[
        required(
            "bore",
            "inner diameter",
            &[Dimension::Length],
            Spread::Relative(0.05),
            (1e-3, 50e-3),
        ),
        parameter(
            "length",
            "length",
            &[Dimension::Length],
            2.0,
            Spread::Relative(0.05),
            (0.01, 30.0),
        ),
    ],
    faults: &[
        graded(
            "leaks",
            "a coupling or a rubbed place lets fuel out",
            45.0,
            0.85,
            bore("hole", 0.2e-3, 0.5e-3, 1.2e-3),
        ),
        graded(
            "squashed",
            "kinked, squashed, or its lining has come off: little gets through",
            40.0,
            0.3,
            bore("opening left", 0.7e-3, 1.2e-3, 2.0e-3),
        ),
        fault(
            "coupling not home",
            "a quick coupling keeps its valve shut: nothing gets through",
            15.0,
            0.5,
        ),
    ],
    weight: 4.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Hose,
    cautions: &[FUEL],
    repair: RepairSpec {
        what: "renew the line",
        minutes: 35.0,
        price: 30.0,
        bad_new: 0.005,
    },
    source: "shares from memory",
};

impl Kind for FuelLine {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [bore, length] = part.values();
        let (from, to) = (part.wet(0), part.wet(1));
        if part.has("coupling not home") {
            return;
        }
        let middle = part.inner_wet();
        part.wet_line(from, middle, bore, 0.5 * length);
        if let Some(left) = part.fault("squashed") {
            let squashed = part.inner_wet();
            part.wet_opening(middle, squashed, left.min(bore));
            part.wet_line(squashed, to, bore, 0.5 * length);
        } else {
            part.wet_line(middle, to, bore, 0.5 * length);
        }
        if let Some(hole) = part.fault("leaks") {
            part.wet_hole(middle, hole);
        }
    }
}
