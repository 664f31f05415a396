//! A fuel filter: what it takes of the pressure grows with the flow and with what it has caught.
//!
//! It plugs with dirt, wax or water, or its seal leaks. Plugged it starves the engine under load and not at idle; before it
//! the pressure is high, behind it low, and only with fuel flowing. It is easily taken for a worn pump: the pump's volume
//! before the filter tells. Left out: the heater, the water sensor, a filter fitted the wrong way round.

use super::Kind;
use super::spec::{FUEL, graded, parameter, wet};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, SeveritySpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct FuelFilter;

/// Share of a clean element's loss that grows in proportion to the flow: fine paper. From memory.
const EVEN: f64 = 0.7;
/// Hole of a leaking seal, m. From memory.
const SEAL: f64 = 0.4e-3;

static SPEC: KindSpec = KindSpec {
    name: "fuel filter",
    what: "Holds back dirt and water.",
    ports: &[wet("from", "dirty side"), wet("to", "clean side")],
    parameters: &[
        parameter(
            "loss",
            "pressure it takes at its flow when clean",
            &[Dimension::Pressure],
            25e3,
            Spread::Relative(0.3),
            (0.1e3, 200e3),
        ),
        parameter(
            "flow",
            "flow at which it takes that",
            &[Dimension::VolumeFlow],
            120e-3 / 3600.0,
            Spread::Absolute(0.0),
            (1e-6, 1e-3),
        ),
    ],
    faults: &[
        graded(
            "plugged",
            "dirt, wax or water: little gets through",
            85.0,
            0.15,
            TIMES,
        ),
        super::spec::fault("leaks", "its seal or drain lets fuel out", 15.0, 0.85),
    ],
    weight: 25.0,
    checks: &[Method::Look, Method::Swap],
    command: None,
    supplies: None,
    symbol: Symbol::Filter,
    cautions: &[FUEL],
    repair: RepairSpec {
        what: "renew the fuel filter",
        minutes: 20.0,
        price: 28.0,
        bad_new: 0.005,
    },
    source: "shares from memory: restricted 75, wax or water 15, seal 10 of 100; 2 to 20 times the loss of a clean one",
};

const TIMES: SeveritySpec = SeveritySpec {
    what: "times the loss of a clean one",
    dimension: Dimension::Ratio,
    unit: "%",
    low: 5.0,
    typical: 20.0,
    high: 80.0,
};

impl Kind for FuelFilter {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [loss, flow] = part.values();
        let (from, to) = (part.wet(0), part.wet(1));
        let times = part.fault("plugged").unwrap_or(1.0).max(1.0);
        part.wet_loss(from, to, loss * times, flow, EVEN);
        if part.has("leaks") {
            part.wet_hole(from, SEAL);
        }
    }
}
