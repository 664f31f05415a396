//! A solenoid valve that opens or shuts one way: the purge valve (shut at rest) and the vent valve (open at rest) of an
//! evaporative system.
//!
//! Dirt keeps its seat from closing, the plunger sticks, the coil breaks. It clicks all the same while its seat leaks, so a
//! click clears the coil and the plunger only. Alone on a hand pump it must hold where it is shut. Left out: a purge
//! valve's flow with its duty beyond the mean.

use super::Kind;
use super::spec::{
    FUSED_LEAD, VAPOUR, air, bore, choice, fault, graded, ohms, optional_plug, optional_terminal, parameter,
};
use crate::assembly::Assembly;
use crate::network::Opening;
use circuit::{CommandSpec, KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct TwoWayValve;

const FIRST: usize = 0;
const SECOND: usize = 1;
const PLUS: usize = 2;
const MINUS: usize = 3;

static SPEC: KindSpec = KindSpec {
    name: "2/2 solenoid valve",
    what: "Opens or shuts one way while its coil is driven: shut at rest unless said otherwise.",
    ports: &[
        air("from", "side that air comes from"),
        air("to", "side that air goes to"),
        optional_plug("plus", "supply of the coil"),
        optional_terminal("minus", "driven side of the coil"),
    ],
    parameters: &[
        parameter(
            "coil",
            "resistance at 20 °C; 20 to 40 ohm, from memory",
            &[Dimension::Resistance],
            26.0,
            Spread::Relative(0.08),
            (1.0, 500.0),
        ),
        parameter(
            "bore",
            "opening when open",
            &[Dimension::Length],
            4e-3,
            Spread::Relative(0.05),
            (0.2e-3, 30e-3),
        ),
        parameter(
            "pull-in",
            "current that moves the plunger",
            &[Dimension::Current],
            0.2,
            Spread::Relative(0.15),
            (0.01, 20.0),
        ),
        choice("rest", "how it stands without current", &["shut", "open"]),
    ],
    faults: &[
        graded(
            "leaks at the seat",
            "dirt or wear: it does not close",
            50.0,
            0.05,
            bore("hole", 0.3e-3, 0.6e-3, 1.5e-3),
        ),
        fault(
            "sticks at rest",
            "the plunger does not move when driven",
            20.0,
            0.02,
        ),
        fault("sticks driven", "the plunger does not come back", 12.0, 0.02),
        fault("coil open", "the winding is broken", 13.0, 0.02),
        graded(
            "coil shorted",
            "turns touch: low resistance",
            5.0,
            0.05,
            ohms("resistance left", 1.0, 5.0, 12.0),
        ),
    ],
    weight: 14.0,
    checks: &[
        Method::Click,
        Method::Ohms,
        Method::Look,
        Method::Jumper,
        Method::Swap,
        Method::Hold,
    ],
    command: Some(CommandSpec::Duty),
    supplies: None,
    symbol: Symbol::SolenoidValve,
    cautions: &[VAPOUR, FUSED_LEAD],
    repair: RepairSpec {
        what: "renew the valve",
        minutes: 20.0,
        price: 45.0,
        bad_new: 0.02,
    },
    source: "from memory",
};

impl Kind for TwoWayValve {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [coil, bore, pull_in, rest] = part.values();
        let (first, second) = (part.air(FIRST), part.air(SECOND));
        let stuck = if part.has("sticks at rest") {
            Some(false)
        } else if part.has("sticks driven") {
            Some(true)
        } else {
            None
        };
        let ohms = part.fault("coil shorted").map_or(coil, |left| left.min(coil));
        let ohms = if part.has("coil open") { 1e7 } else { ohms };
        let plunger = coil_and_plunger(part, ohms, pull_in, stuck);
        let (open, shut) = if rest > 0.5 {
            (Opening::AtRest(plunger), Opening::Energised(plunger))
        } else {
            (Opening::Energised(plunger), Opening::AtRest(plunger))
        };
        part.opening(first, second, bore, open);
        if let Some(hole) = part.fault("leaks at the seat") {
            part.opening(first, second, hole.min(bore), shut);
        }
    }
}

/// The coil between its pins; without pins the condition's supply and command drive it directly.
fn coil_and_plunger(part: &mut Assembly, ohms: f64, pull_in: f64, stuck: Option<bool>) -> usize {
    if part.joined(PLUS) && part.joined(MINUS) || part.on_the_bench() {
        let (plus, minus) = (part.electric(PLUS), part.electric(MINUS));
        return part.coil(plus, minus, ohms, pull_in, 0.5 * pull_in, stuck);
    }
    let current = part.supply().unwrap_or(0.0) / ohms;
    let duty = if part.powered() { part.duty() } else { 0.0 };
    part.commanded_coil(current, duty, pull_in, stuck)
}
