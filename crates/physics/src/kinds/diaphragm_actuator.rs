//! A diaphragm that pulls or pushes a rod against a spring.
//!
//! The diaphragm tears, the spring tires, the rod seizes. A torn one pulls the valve's output down while the supply
//! reads nearly right, so the valve is blamed; a seized rod is easily taken for lack of vacuum. A failed hold test
//! proves a leak, not that the leak is big enough to matter. Left out: a can's plugged vent, and a wrongly set rod.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, HOT, air, bore, fault, graded, parameter, rod, share};
use crate::assembly::{AMBIENT, Assembly};
use crate::network::RodElement;
use circuit::{KindSpec, Method, ParameterDomain, ParameterSpec, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct DiaphragmActuator;

const NIPPLE: usize = 0;
const ROD: usize = 1;

static SPEC: KindSpec = KindSpec {
    name: "diaphragm actuator",
    what: "A can with a diaphragm and a spring: pressure difference moves its rod.",
    ports: &[air("nipple", "air side"), rod("rod", "what it moves")],
    parameters: &[
        parameter(
            "diameter",
            "effective diameter of the diaphragm",
            &[Dimension::Length],
            45e-3,
            Spread::Relative(0.02),
            (10e-3, 0.3),
        ),
        parameter(
            "preload",
            "force before the rod starts to move",
            &[Dimension::Force],
            27.0,
            Spread::Relative(0.1),
            (0.0, 2000.0),
        ),
        parameter(
            "rate",
            "spring rate",
            &[Dimension::Stiffness],
            4.5e3,
            Spread::Relative(0.08),
            (100.0, 1e5),
        ),
        parameter(
            "travel",
            "full travel",
            &[Dimension::Length],
            12e-3,
            Spread::Relative(0.04),
            (1e-3, 0.1),
        ),
        ParameterSpec {
            name: "moved-by",
            what: "what moves it",
            domain: ParameterDomain::Choice(&["vacuum", "pressure"]),
            default: Some(0.0),
            spread: Spread::Absolute(0.0),
            range: (0.0, 1.0),
        },
    ],
    faults: &[
        graded(
            "diaphragm leaks",
            "the diaphragm or its can is torn or cracked",
            60.0,
            0.1,
            bore("hole", 0.2e-3, 0.7e-3, 2.0e-3),
        ),
        graded(
            "spring broken",
            "the spring has lost its force",
            10.0,
            0.1,
            share("force left", 0.2, 0.5, 0.75),
        ),
        fault("rod seized", "rod or pivot does not move", 20.0, 0.4),
    ],
    weight: 9.0,
    checks: &[Method::Look, Method::Jumper, Method::Hold],
    command: None,
    supplies: None,
    symbol: Symbol::DiaphragmActuator,
    cautions: &[HOT, BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "renew the actuator",
        minutes: 90.0,
        price: 160.0,
        bad_new: 0.015,
    },
    source: "shares from memory: diaphragm 55, rod or pivot 20, spring 10, housing 15 of 100; data class-typical",
};

impl Kind for DiaphragmActuator {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [diameter, preload, rate, travel, moved_by] = part.values();
        let (nipple, node) = (part.air(NIPPLE), part.rod(ROD));
        if let Some(hole) = part.fault("diaphragm leaks") {
            part.hole(nipple, AMBIENT, hole);
        }
        if part.has("rod seized") {
            part.push_rod(RodElement::Held { node, at: 0.0 });
        }
        let left = part.fault("spring broken").unwrap_or(1.0);
        let area = std::f64::consts::FRAC_PI_4 * diameter * diameter;
        let area = if moved_by > 0.5 { -area } else { area };
        // Cans have 25 to 60 cm³ (from memory): as much behind the diaphragm at the end of its way as the way itself takes.
        let swept = area.abs() * travel;
        part.bellows(
            nipple,
            node,
            area,
            if moved_by > 0.5 { swept } else { 2.0 * swept },
        );
        part.push_rod(RodElement::Diaphragm {
            node,
            air: nipple,
            area,
            preload: preload * left,
            rate: rate * left,
        });
        part.push_rod(RodElement::Stops {
            node,
            low: 0.0,
            high: travel,
        });
    }
}
