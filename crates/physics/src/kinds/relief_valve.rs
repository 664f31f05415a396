//! A valve in a line of liquid that opens one way: a relief valve by its set pressure, a check valve where that is small.
//!
//! It leaks back past its seat or sticks shut. As a relief valve a leak lowers the pressure; as a check valve, fuel runs back
//! while the engine stands and the next start takes long, with every pressure right while it runs. Left out: that
//! running back, since states are steady.

use super::Kind;
use super::spec::{FUEL, bore, fault, graded, parameter, required, wet};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct ReliefValve;

static SPEC: KindSpec = KindSpec {
    name: "relief valve",
    what: "Lets liquid pass from one side to the other above its set pressure, never back.",
    ports: &[wet("from", "side that opens it"), wet("to", "side it opens to")],
    parameters: &[
        required(
            "set",
            "difference of pressure at which it opens",
            &[Dimension::Pressure],
            Spread::Relative(0.08),
            (100.0, 3.0e6),
        ),
        parameter(
            "bore",
            "its opening when lifted",
            &[Dimension::Length],
            4.0e-3,
            Spread::Relative(0.1),
            (0.3e-3, 30e-3),
        ),
    ],
    faults: &[
        graded(
            "leaks",
            "dirt or wear on its seat",
            70.0,
            0.02,
            bore("hole", 0.3e-3, 0.8e-3, 2.0e-3),
        ),
        fault("sticks shut", "it does not open", 30.0, 0.02),
    ],
    weight: 3.0,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::PressureValve,
    cautions: &[FUEL],
    repair: RepairSpec {
        what: "renew the valve",
        minutes: 30.0,
        price: 30.0,
        bad_new: 0.01,
    },
    source: "from memory",
};

impl Kind for ReliefValve {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [set, bore] = part.values();
        let (from, to) = (part.wet(0), part.wet(1));
        if !part.has("sticks shut") {
            part.wet_valve(from, to, set, bore);
        }
        if let Some(hole) = part.fault("leaks") {
            part.wet_opening(from, to, hole.min(bore));
        }
    }
}
