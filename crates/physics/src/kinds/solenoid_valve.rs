//! A 3/2 solenoid valve: source or vent to the output, switched fast by a duty or slowly on and off.
//!
//! Its seat leaks, its plunger sticks, its vent filter plugs, its coil breaks or shorts, its hoses get swapped. A click
//! clears coil and plunger, not the seat or the vent; a plugged vent keeps the actuator pulled, which is easily taken
//! for a seized rod. A torn diaphragm behind it is easily taken for a bad valve. A coil that opens only
//! when hot is found while it is hot. Left out: regulators that balance a disc.

use super::Kind;
use super::spec::{
    BELTS, FUSED_LEAD, HOT, air, at_times, bore, fault, graded, ohms, optional_plug, optional_terminal,
    parameter, vent,
};
use crate::assembly::Assembly;
use crate::network::Opening;
use circuit::{CommandSpec, KindSpec, Method, RepairSpec, Shows, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct SolenoidValve;

const SOURCE: usize = 0;
const OUTPUT: usize = 1;
const VENT: usize = 2;
const PLUS: usize = 3;
const MINUS: usize = 4;

static SPEC: KindSpec = KindSpec {
    name: "3/2 solenoid valve",
    what: "Joins its output to the source while its coil is driven, to the vent while it is not. Driven by a duty, it mixes the two.",
    ports: &[
        air("source", "supply side, port 1"),
        air("output", "to the actuator, port 2"),
        vent("vent", "to the air through a filter, port 3"),
        optional_plug("plus", "supply of the coil"),
        optional_terminal("minus", "driven side of the coil"),
    ],
    parameters: &[
        parameter(
            "coil",
            "resistance at 20 °C",
            &[Dimension::Resistance],
            14.5,
            Spread::Relative(0.08),
            (1.0, 500.0),
        ),
        parameter(
            "source-bore",
            "opening to the source",
            &[Dimension::Length],
            1.2e-3,
            Spread::Relative(0.05),
            (0.2e-3, 10e-3),
        ),
        parameter(
            "vent-bore",
            "opening to the vent",
            &[Dimension::Length],
            1.2e-3,
            Spread::Relative(0.05),
            (0.2e-3, 10e-3),
        ),
        parameter(
            "pull-in",
            "current that moves the plunger",
            &[Dimension::Current],
            0.3,
            Spread::Relative(0.15),
            (0.01, 20.0),
        ),
    ],
    faults: &[
        fault(
            "sticks closed",
            "the plunger stays at rest: source shut, vent open",
            20.0,
            0.02,
        ),
        fault(
            "sticks open",
            "the plunger stays pulled in: source open, vent shut",
            6.0,
            0.02,
        ),
        graded(
            "leaks at the seat",
            "source air passes while the valve is at rest",
            26.0,
            0.02,
            bore("hole", 0.2e-3, 0.4e-3, 0.8e-3),
        ),
        graded(
            "vent blocked",
            "the vent filter is plugged: the output cannot empty",
            18.0,
            0.25,
            bore("opening left", 0.05e-3, 0.15e-3, 0.4e-3),
        ),
        fault("coil open", "the winding is broken", 11.0, 0.02),
        graded(
            "coil shorted",
            "turns touch: low resistance",
            6.0,
            0.05,
            ohms("resistance left", 1.0, 3.5, 8.0),
        ),
        fault(
            "hoses swapped",
            "source and output hose fitted the wrong way round",
            4.0,
            0.6,
        ),
        at_times(
            "coil opens when hot",
            "the winding parts as it warms up and closes again when it cools",
            5.0,
            0.02,
            Shows {
                anyway: 0.02,
                heat: 0.85,
                shaking: 0.05,
                wet: 0.0,
                load: 0.1,
                moved: 0.02,
            },
        ),
    ],
    weight: 18.0,
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
    cautions: &[BELTS, HOT, FUSED_LEAD],
    repair: RepairSpec {
        what: "renew the solenoid valve",
        minutes: 20.0,
        price: 75.0,
        bad_new: 0.02,
    },
    source: "shares from memory: seat 28, plunger 20, vent filter 18, coil open 12, open when hot 8, shorted turns 6 of 100; coils 11 to 18 ohm measured by owners",
};

impl Kind for SolenoidValve {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [coil, source_bore, vent_bore, pull_in] = part.values();
        let (mut source, mut output, vent) = (part.air(SOURCE), part.air(OUTPUT), part.air(VENT));
        if part.has("hoses swapped") {
            std::mem::swap(&mut source, &mut output);
        }
        let vent_bore = part
            .fault("vent blocked")
            .map_or(vent_bore, |left| left.min(vent_bore));
        let stuck = if part.has("sticks closed") {
            Some(false)
        } else if part.has("sticks open") {
            Some(true)
        } else {
            None
        };
        let ohms = part.fault("coil shorted").map_or(coil, |left| left.min(coil));
        let open = part.has("coil open") || part.has("coil opens when hot");
        let ohms = if open { 1e7 } else { ohms };
        let plunger = coil_and_plunger(part, ohms, pull_in, stuck);
        part.opening(source, output, source_bore, Opening::Energised(plunger));
        part.opening(output, vent, vent_bore, Opening::AtRest(plunger));
        if let Some(hole) = part.fault("leaks at the seat") {
            part.opening(source, output, hole.min(source_bore), Opening::AtRest(plunger));
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
