//! An engine-driven vane pump that makes vacuum: DERIVATIONS.md, section 5.
//!
//! Vanes and seals wear, an inner valve leaks, or the coupling breaks. A worn pump comes near its normal vacuum with
//! nothing to draw and falls under load, which is easily taken for a leak, since both gain with engine speed; a sound
//! one on a mountain is easily taken for a bad one. What it takes to empty a reservoir shows wear best. Left out: its oil
//! feed, its outlet valve.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, air, fault, graded, parameter, required, share};
use crate::assembly::{AMBIENT, Assembly};
use crate::network::AirElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Supplies, Symbol};
use quantity::Dimension;

pub(crate) struct VanePump;

const INLET: usize = 0;

/// What a standing pump lets back in from the crankcase, as a hole, m: that is what a check valve is fitted for. From memory.
const STANDING: f64 = 1.0e-3;

static SPEC: KindSpec = KindSpec {
    name: "vane pump",
    what: "An engine-driven vane pump: draws air from its inlet and gives it to the crankcase.",
    ports: &[air("inlet", "suction side")],
    parameters: &[
        required(
            "swept",
            "volume per turn of the pump",
            &[Dimension::SweptVolume],
            Spread::Relative(0.05),
            (5e-6, 2e-3),
        ),
        parameter(
            "ratio",
            "turns per turn of the engine; 50 % on a camshaft",
            &[Dimension::Ratio],
            0.5,
            Spread::Absolute(0.0),
            (0.1, 3.0),
        ),
        parameter(
            "filling",
            "share of the swept volume that is filled",
            &[Dimension::Ratio],
            0.85,
            Spread::Relative(0.08),
            (0.05, 1.0),
        ),
        parameter(
            "ultimate",
            "lowest absolute pressure it reaches with nothing to pump, as a share of the barometer; or as a pressure",
            &[Dimension::Ratio, Dimension::Pressure],
            0.06,
            Spread::Relative(0.25),
            (0.005, 60.0e3),
        ),
    ],
    faults: &[
        graded(
            "worn",
            "vanes or seals worn: less air, less vacuum",
            60.0,
            0.05,
            share("filling left", 0.05, 0.2, 0.5),
        ),
        graded(
            "low vacuum",
            "an inner valve or seal leaks: the vacuum stops short",
            25.0,
            0.05,
            share("absolute pressure left, share of the barometer", 0.2, 0.4, 0.75),
        ),
        fault("not driven", "coupling broken", 15.0, 0.1),
    ],
    weight: 7.0,
    checks: &[Method::Look],
    command: None,
    supplies: Some(Supplies::Vacuum),
    symbol: Symbol::VacuumPump,
    cautions: &[BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "renew the vacuum pump",
        minutes: 105.0,
        price: 190.0,
        bad_new: 0.015,
    },
    source: "shares from memory: wear 45, oil feed 15, coupling 15, outlet reed 15, inlet valve 10 of 100; data class-typical",
};

impl Kind for VanePump {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [swept, ratio, filling, ultimate] = part.values();
        let ambient = part.ambient();
        if part.has("not driven") || part.engine() <= 0.0 {
            let inlet = part.air(INLET);
            part.hole(inlet, AMBIENT, STANDING);
            return;
        }
        // The pump's inner leakage is choked flow from the crankcase, so it and the lowest pressure follow the barometer.
        // A value above 1 is no share: the author wrote a pressure.
        let mut lowest = if ultimate > 1.0 {
            ultimate
        } else {
            ultimate * ambient.pressure
        };
        let mut filling = filling;
        if let Some(left) = part.fault("worn") {
            // What leaks past worn vanes stays; less is swept against it, so the lowest pressure rises in proportion,
            // up to a pump that sweeps no more than it leaks.
            let left = left.min(filling);
            lowest = (lowest * filling / left).min(0.8 * ambient.pressure);
            filling = left;
        }
        if let Some(share) = part.fault("low vacuum") {
            lowest = lowest.max(share * ambient.pressure);
        }
        let volume = swept * ratio * part.engine() * filling;
        let node = part.air(INLET);
        part.push_air(AirElement::Pump {
            node,
            speed: volume * ambient.density(1.0),
            ultimate: lowest,
        });
    }
}
