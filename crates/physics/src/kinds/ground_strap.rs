//! A braid or heavy cable from engine or battery to the body, with both joints: the way back for starter current.
//!
//! It fails by corroded or loose joints, by a frayed braid, or by being left off. Ten milliohms slow a starter while an
//! ohmmeter shows 0.0, so it is easily taken for a worn starter or a weak battery; then the battery's voltage stays up
//! while it cranks. Left out: its heating, and ways past an open strap that nobody drew.

use super::Kind;
use super::conductor::{OPEN_OR_POOR, TO_NEGATIVE, carry};
use super::spec::{SHORT_CIRCUIT, fault, graded, milliohms, parameter};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A braid or cable that carries starter current.
pub(crate) struct GroundStrap;

static SPEC: KindSpec = KindSpec {
    name: "ground strap",
    what: "A braid or heavy cable from engine or battery to the body, with its two joints.",
    ports: TO_NEGATIVE,
    parameters: &[parameter(
        "resistance",
        "with both joints, clean and tight",
        &[Dimension::Resistance],
        0.4e-3,
        Spread::Relative(0.3),
        (0.01e-3, 0.1),
    )],
    faults: &[
        graded(
            "high resistance",
            "corroded or loose joint, frayed braid",
            85.0,
            0.4,
            milliohms("added resistance", 3e-3, 10e-3, 50e-3),
        ),
        fault("open", "off or broken", 15.0, 0.85),
    ],
    weight: 5.0,
    checks: &[Method::Look, Method::Drop],
    command: None,
    supplies: None,
    symbol: Symbol::Ground,
    cautions: &[SHORT_CIRCUIT],
    repair: RepairSpec {
        what: "clean the joints or renew the strap",
        minutes: 25.0,
        price: 18.0,
        bad_new: 0.002,
    },
    source: "shares and sizes from memory: high resistance 85, open 15 of 100, 3 to 50 mohm in starter circuits",
};

impl Kind for GroundStrap {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [resistance] = part.values();
        carry(part, resistance, OPEN_OR_POOR);
    }
}
