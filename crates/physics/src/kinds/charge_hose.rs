//! A wide hose or pipe between air cleaner, turbocharger, cooler and manifold.
//!
//! It splits under a clamp, rubs through on a bracket, slips off, or its lining comes loose and shuts it. A split that closes
//! at rest opens under boost: smoke at a few hundredths of a bar misses it, and the turbocharger is blamed. Left out: that a
//! split grows with the pressure, and friction along the wall, which is little in so wide a hose.

use super::Kind;
use super::spec::{BELTS, EXHAUST_GAS, PRESSED, bore, fault, graded, required, wide};
use crate::assembly::{AMBIENT, Assembly};
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct ChargeHose;

const FROM: usize = 0;
const TO: usize = 1;

static SPEC: KindSpec = KindSpec {
    name: "charge-air hose",
    what: "A wide hose or pipe of the intake, ahead of the compressor or behind it.",
    ports: &[
        wide("from", "end towards the air cleaner"),
        wide("to", "end towards the cylinders"),
    ],
    parameters: &[required(
        "bore",
        "bore of the opening that it equals",
        &[Dimension::Length],
        Spread::Relative(0.03),
        (5e-3, 0.3),
    )],
    faults: &[
        graded(
            "leaks",
            "split under a clamp, rubbed through, a seal pinched: air gets in or out",
            60.0,
            0.5,
            bore("hole", 2e-3, 7e-3, 18e-3),
        ),
        graded(
            "collapsed",
            "the lining has come loose, or it is sucked flat",
            12.0,
            0.2,
            bore("opening left", 8e-3, 16e-3, 26e-3),
        ),
        fault("off", "an end is off", 28.0, 0.9),
    ],
    weight: 12.0,
    checks: &[Method::Look, Method::Swap, Method::Smoke],
    command: None,
    supplies: None,
    symbol: Symbol::Hose,
    cautions: &[BELTS, EXHAUST_GAS, PRESSED],
    repair: RepairSpec {
        what: "renew the hose and its clamps; find what oiled or rubbed it",
        minutes: 25.0,
        price: 60.0,
        bad_new: 0.005,
    },
    source: "shares from memory: split or rubbed 60, off 28, lining 12 of 100",
};

impl Kind for ChargeHose {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [bore] = part.values();
        let (from, to) = (part.air(FROM), part.air(TO));
        if part.has("off") {
            part.hole(from, AMBIENT, bore);
            part.hole(to, AMBIENT, bore);
        } else if let Some(hole) = part.fault("leaks") {
            // Two openings in a row of 2^(1/4) times the bore let through as much as one.
            let (half, middle) = (bore * std::f64::consts::SQRT_2.sqrt(), part.inner_air());
            part.hole(from, middle, half);
            part.hole(middle, to, half);
            part.hole(middle, AMBIENT, hole.min(bore));
        } else {
            part.hole(
                from,
                to,
                part.fault("collapsed").map_or(bore, |left| left.min(bore)),
            );
        }
    }
}
