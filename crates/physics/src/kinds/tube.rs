//! A hose or pipe that carries air.
//!
//! It splits at a nipple, rubs through, slips off, collapses or swells shut. A collapsed lining looks sound from
//! outside and is easily taken for a leak or a weak pump: on its open end the gauge reads full, and only two readings
//! under flow tell. Left out: ends on the wrong nipples, which is a fault of the solenoid valve's kind.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, air, bore, fault, graded, parameter, required};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct Tube;

const FROM: usize = 0;
const TO: usize = 1;

static SPEC: KindSpec = KindSpec {
    name: "tube",
    what: "A hose or pipe that carries air.",
    ports: &[
        air("from", "end towards the source"),
        air("to", "end towards the load"),
    ],
    parameters: &[
        required(
            "bore",
            "inner diameter",
            &[Dimension::Length],
            Spread::Relative(0.05),
            (0.5e-3, 0.2),
        ),
        parameter(
            "length",
            "length",
            &[Dimension::Length],
            0.5,
            Spread::Relative(0.05),
            (0.01, 20.0),
        ),
    ],
    faults: &[
        graded(
            "leaks",
            "split or rubbed through: air gets in or out",
            60.0,
            0.7,
            bore("hole", 0.3e-3, 1.0e-3, 3.0e-3),
        ),
        graded(
            "blocked",
            "collapsed, swollen or plugged: little gets through",
            20.0,
            0.35,
            bore("opening left", 0.25e-3, 0.45e-3, 0.9e-3),
        ),
        fault("off", "an end is off its nipple", 15.0, 0.9),
    ],
    weight: 12.0,
    checks: &[Method::Look, Method::Swap, Method::Smoke],
    command: None,
    supplies: None,
    symbol: Symbol::Hose,
    cautions: &[BELTS, EXHAUST_GAS],
    repair: RepairSpec {
        what: "renew the hose",
        minutes: 20.0,
        price: 12.0,
        bad_new: 0.005,
    },
    source: "shares from memory: split at the nipple 40, rubbed through 20, off 15, collapsed or swollen 18 of 100",
};

impl Kind for Tube {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [bore, length] = part.values();
        let (from, to) = (part.air(FROM), part.air(TO));
        let half = 0.5 * std::f64::consts::FRAC_PI_4 * bore * bore * length;
        part.volume(from, half);
        part.volume(to, half);
        if part.has("off") {
            // The end at the load hangs open; the load sees the air too.
            part.hole(to, crate::assembly::AMBIENT, bore);
            part.line(from, crate::assembly::AMBIENT, bore, length);
        } else if let Some(hole) = part.fault("leaks") {
            let middle = part.inner_air();
            part.line(from, middle, bore, 0.5 * length);
            part.line(middle, to, bore, 0.5 * length);
            part.hole(middle, crate::assembly::AMBIENT, hole.min(bore));
        } else if let Some(left) = part.fault("blocked") {
            let middle = part.inner_air();
            part.line(from, middle, bore, length);
            part.hole(middle, to, left.min(bore));
        } else {
            part.line(from, to, bore, length);
        }
    }
}
