//! A three-wire position sensor on a lever: a share of its 5 V supply that grows with travel.
//!
//! It drifts, wears a gap into its track, loses contact or shorts. A module that moves the lever until the signal fits puts
//! it in the wrong place by a drifted sensor and sees nothing; travel measured beside the data tells. Left out: two tracks
//! that watch each other.

use super::Kind;
use super::spec::{PROBING, fault, graded, ohms, parameter, plug, rod, share, terminal};
use crate::assembly::Assembly;
use crate::network::{ElectricElement, Ratiometric};
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct PositionSensor;

const PLUS: usize = 0;
const SIGNAL: usize = 1;
const MINUS: usize = 2;
const LEVER: usize = 3;

/// The track across the supply, ohm. Common practice, no source: 1 to 10 kohm.
const TRACK: f64 = 4e3;
/// Resistance behind the signal, ohm. From memory.
const OUTPUT: f64 = 1000.0;

static SPEC: KindSpec = KindSpec {
    name: "three-wire position sensor",
    what: "Gives a share of its 5 V supply that grows with the travel of its lever.",
    ports: &[
        plug("plus", "5 V reference"),
        plug("signal", "signal"),
        terminal("minus", "sensor ground, returned to the module"),
        rod("lever", "the lever whose travel it measures"),
    ],
    parameters: &[
        parameter(
            "at-rest",
            "share of the supply at rest",
            &[Dimension::Ratio],
            0.1,
            Spread::Absolute(0.01),
            (0.0, 0.5),
        ),
        parameter(
            "at-full",
            "share of the supply at full travel",
            &[Dimension::Ratio],
            0.9,
            Spread::Absolute(0.01),
            (0.5, 1.0),
        ),
        parameter(
            "travel",
            "of its lever, from rest to full",
            &[Dimension::Length],
            13e-3,
            Spread::Relative(0.02),
            (1e-3, 0.2),
        ),
    ],
    faults: &[
        graded(
            "reads too far",
            "drifted: it reports more travel than there is",
            22.0,
            0.01,
            share("of the travel", 0.06, 0.15, 0.4),
        ),
        graded(
            "reads too little",
            "drifted: it reports less travel than there is",
            22.0,
            0.01,
            share("of the travel", 0.06, 0.15, 0.4),
        ),
        fault("dead", "the signal stays at the ground's level", 40.0, 0.01),
        graded(
            "shorts the reference",
            "it pulls the 5 V supply down",
            16.0,
            0.01,
            ohms("resistance across the supply", 1.0, 10.0, 60.0),
        ),
    ],
    weight: 9.0,
    checks: &[Method::Look, Method::Swap, Method::Substitute],
    command: None,
    supplies: None,
    symbol: Symbol::PositionSensor,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "renew the sensor",
        minutes: 40.0,
        price: 60.0,
        bad_new: 0.02,
    },
    source: "10 and 90 % of the supply: common practice, no source; shares from memory",
};

impl Kind for PositionSensor {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [at_rest, at_full, travel] = part.values();
        let (plus, signal, minus) = (part.electric(PLUS), part.electric(SIGNAL), part.electric(MINUS));
        let lever = part.rod(LEVER);
        part.resistor(plus, minus, TRACK);
        if let Some(ohms) = part.fault("shorts the reference") {
            part.resistor(plus, minus, ohms);
        }
        if part.has("dead") {
            part.resistor(signal, minus, OUTPUT);
            return;
        }
        let drift =
            part.fault("reads too far").unwrap_or(0.0) - part.fault("reads too little").unwrap_or(0.0);
        part.push_electric(ElectricElement::Position {
            plus,
            minus,
            signal,
            conductance: 1.0 / OUTPUT,
            rod: lever,
            scale: Ratiometric {
                low_share: at_rest,
                high_share: at_full,
                from: 0.0,
                to: travel,
                offset: drift * travel,
            },
        });
    }

    fn stand_in(&self) -> &'static [(usize, usize, f64)] {
        &[(PLUS, SIGNAL, OUTPUT), (SIGNAL, MINUS, OUTPUT)]
    }
}
