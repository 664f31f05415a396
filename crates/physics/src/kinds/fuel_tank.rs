//! A tank of fuel: what a pump draws from and where the return ends, open to the air.
//!
//! It runs empty, or wax or dirt closes the pick-up. An empty tank under a lying gauge is easily taken for a worn pump, a
//! blocked pick-up for a bad strainer. Left out: water, wrong fuel, the level itself, and a plugged vent, since the vacuum in
//! the tank takes its time to build up.

use super::Kind;
use super::spec::{FUEL, bore, choice, fault, graded, immersed, wet};
use crate::assembly::Assembly;
use crate::liquid_assembly::SURFACE;
use circuit::{KindSpec, Method, RepairSpec, Supplies, Symbol};

pub(crate) struct FuelTank;

/// Its name, by which the liquid of a circuit is found.
pub(crate) const NAME: &str = "fuel tank";

/// Opening of a clear pick-up, m. From memory; it hardly takes any pressure.
const PICK_UP: f64 = 10e-3;

static SPEC: KindSpec = KindSpec {
    name: NAME,
    what: "Fuel at the ambient pressure: where the pump draws and the return ends.",
    ports: &[immersed("pick-up", "where the pump draws"), RETURN],
    parameters: &[choice("fuel", "what is in it", &["diesel", "petrol"])],
    faults: &[
        fault(
            "empty",
            "no fuel reaches the pick-up, whatever the gauge says",
            40.0,
            0.3,
        ),
        graded(
            "pick-up blocked",
            "wax, dirt or a foil before the pick-up",
            60.0,
            0.05,
            bore("opening left", 0.8e-3, 1.8e-3, 3.0e-3),
        ),
    ],
    weight: 4.0,
    checks: &[Method::Look],
    command: None,
    supplies: Some(Supplies::Liquid),
    symbol: Symbol::Tank,
    cautions: &[FUEL],
    repair: RepairSpec {
        what: "empty and clean the tank",
        minutes: 120.0,
        price: 20.0,
        bad_new: 0.0,
    },
    source: "shares from memory: water or bad fuel 3, waxing and strainer part of 25 of 100 causes of a lift-pump circuit",
};

const RETURN: circuit::PortSpec = circuit::PortSpec {
    may_stay_open: true,
    ..wet("return", "where what is not used comes back")
};

impl Kind for FuelTank {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let pick_up = part.wet(0);
        if part.joined(1) {
            let back = part.wet(1);
            part.wet_opening(back, SURFACE, PICK_UP);
        }
        if !part.has("empty") {
            let bore = part.fault("pick-up blocked").unwrap_or(PICK_UP);
            part.wet_opening(SURFACE, pick_up, bore);
        }
    }
}
