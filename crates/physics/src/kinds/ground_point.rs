//! A ring terminal under a body screw: the way back for small consumers.
//!
//! It fails by paint, rust or a loose screw, seldom by coming off. Unplugged, the consumer's plug shows the full
//! supply, so a bad ground is easily taken for a bad pump, lamp or sensor; the drop to the battery's negative while the
//! current flows tells. Several consumers that misbehave together may share one point. Left out: joints that come and
//! go with movement or damp.

use super::Kind;
use super::conductor::{OPEN_OR_POOR, TO_NEGATIVE, carry};
use super::spec::{fault, graded, ohms, parameter};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A ring terminal under a body screw.
pub(crate) struct GroundPoint;

static SPEC: KindSpec = KindSpec {
    name: "ground point",
    what: "A ring terminal screwed to the body.",
    ports: TO_NEGATIVE,
    parameters: &[parameter(
        "resistance",
        "when clean and tight",
        &[Dimension::Resistance],
        1.5e-3,
        Spread::Relative(0.6),
        (0.01e-3, 1.0),
    )],
    faults: &[
        graded(
            "high resistance",
            "paint, rust or a loose screw",
            85.0,
            0.4,
            ohms("added resistance", 0.1, 0.5, 3.0),
        ),
        fault("open", "off, broken or rusted through", 15.0, 0.7),
    ],
    weight: 4.0,
    checks: &[Method::Look, Method::Drop],
    command: None,
    supplies: None,
    symbol: Symbol::Ground,
    cautions: &[],
    repair: RepairSpec {
        what: "clean and tighten the ground point",
        minutes: 15.0,
        price: 2.0,
        bad_new: 0.002,
    },
    source: "shares and sizes from memory: high resistance 85, open 15 of 100, 0.1 to 2 ohm for small consumers",
};

impl Kind for GroundPoint {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [resistance] = part.values();
        carry(part, resistance, OPEN_OR_POOR);
    }
}
