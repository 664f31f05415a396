//! A wire of the loom: copper by cross-section, length and temperature.
//!
//! It breaks inside its insulation, is spliced badly, turns green, or rubs through to ground. With nothing drawing
//! current a meter behind a bad splice still shows the full voltage, so the wire passes and the load is blamed; an
//! ohmmeter calls one last strand good. A break that comes and goes reads
//! good until it is moved. Left out: touching another wire.

use super::Kind;
use super::conductor::{Faults, LENGTH, TEMPERATURE, TO_LOAD, carry, stranded_copper};
use super::spec::{PROBING, at_times, fault, graded, ohms, required};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Shows, Spread, Symbol};
use quantity::Dimension;

/// A wire of a loom.
pub(crate) struct Wire;

static SPEC: KindSpec = KindSpec {
    name: "wire",
    what: "A copper wire of the loom.",
    ports: TO_LOAD,
    parameters: &[
        required(
            "area",
            "cross-section",
            &[Dimension::Area],
            Spread::Relative(0.03),
            (0.05e-6, 200e-6),
        ),
        LENGTH,
        TEMPERATURE,
    ],
    faults: &[
        fault(
            "broken",
            "parted inside its insulation, mostly at a clip or a bend",
            30.0,
            0.3,
        ),
        graded(
            "high resistance",
            "a poor splice or green copper",
            25.0,
            0.3,
            ohms("added resistance", 0.1, 1.0, 20.0),
        ),
        graded(
            "chafed to ground",
            "rubbed through against metal",
            35.0,
            0.5,
            ohms("resistance to ground", 0.05, 2.0, 500.0),
        ),
        at_times(
            "breaks at times",
            "strands parted inside the insulation touch until something moves them",
            10.0,
            0.15,
            Shows {
                anyway: 0.08,
                heat: 0.1,
                shaking: 0.5,
                wet: 0.05,
                load: 0.1,
                moved: 0.6,
            },
        ),
    ],
    weight: 3.0,
    checks: &[Method::Look, Method::Drop, Method::Ohms, Method::Wiggle],
    command: None,
    supplies: None,
    symbol: Symbol::Wire,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "repair the wire",
        minutes: 35.0,
        price: 5.0,
        bad_new: 0.005,
    },
    source: "copper 1/58 ohm mm2/m and 0.393 %/K (IEC 60028), stranding fitted to IEC 60228 class 5; shares from memory",
};

impl Kind for Wire {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [area, length, temperature] = part.values();
        let faults = Faults {
            open: &["broken", "breaks at times"],
            series: &["high resistance"],
            to_ground: &["chafed to ground"],
        };
        carry(part, stranded_copper(area, length, temperature), faults);
    }
}
