//! A heavy battery, starter or ground cable with its two lugs: copper by cross-section, length and temperature.
//!
//! It fails mostly at a lug that is loose, corroded or badly crimped, seldom by coming off or rubbing through. A few
//! milliohms are below what an ohmmeter shows, so it is easily taken for a weak battery or a bad starter; measure the
//! drop while the starter turns. Left out: its heating, and a short that burns it through.

use super::Kind;
use super::conductor::{Faults, LENGTH, TEMPERATURE, TO_LOAD, carry, stranded_copper};
use super::spec::{SHORT_CIRCUIT, fault, graded, milliohms, parameter};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A battery or starter cable, with its two lugs.
pub(crate) struct Cable;

/// Both lugs of a sound cable, ohm. From memory: a tenth of a milliohm each.
const LUGS: f64 = 0.2e-3;

static SPEC: KindSpec = KindSpec {
    name: "cable",
    what: "A heavy battery, starter or ground cable with its lugs.",
    ports: TO_LOAD,
    parameters: &[
        parameter(
            "area",
            "cross-section",
            &[Dimension::Area],
            35e-6,
            Spread::Relative(0.03),
            (2.5e-6, 300e-6),
        ),
        LENGTH,
        TEMPERATURE,
    ],
    faults: &[
        graded(
            "high resistance",
            "a lug is loose, corroded or badly crimped",
            75.0,
            0.45,
            milliohms("added resistance", 3e-3, 9e-3, 50e-3),
        ),
        fault("off", "broken or not connected", 15.0, 0.85),
        graded(
            "chafed to ground",
            "rubbed through against metal",
            10.0,
            0.6,
            milliohms("resistance to ground", 5e-3, 100e-3, 5.0),
        ),
    ],
    weight: 5.0,
    checks: &[Method::Look, Method::Drop],
    command: None,
    supplies: None,
    symbol: Symbol::Wire,
    cautions: &[SHORT_CIRCUIT],
    repair: RepairSpec {
        what: "clean the lugs or renew the cable",
        minutes: 25.0,
        price: 30.0,
        bad_new: 0.005,
    },
    source: "copper and stranding as for wires; 3 to 50 mohm in bad starter cables and all shares from memory",
};

impl Kind for Cable {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [area, length, temperature] = part.values();
        let faults = Faults {
            open: &["off"],
            series: &["high resistance"],
            to_ground: &["chafed to ground"],
        };
        carry(part, LUGS + stranded_copper(area, length, temperature), faults);
    }
}
