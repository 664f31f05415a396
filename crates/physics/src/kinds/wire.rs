//! Wires of a loom and heavy cables: copper by cross-section, length and temperature.

use super::Kind;
use super::conductor::{Faults, carry};
use super::spec::{PROBING, SHORT_CIRCUIT, fault, graded, milliohms, ohms, parameter, required, terminal};
use crate::assembly::Assembly;
use crate::laws::electric::copper;
use circuit::{KindSpec, Method, ParameterSpec, PortSpec, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A wire of a loom.
pub(crate) struct Wire;
/// A battery or starter cable, with its two lugs.
pub(crate) struct Cable;

/// Twisted fine strands are longer than the wire, and the cross-section is nominal: IEC 60228's largest resistances of
/// class 5 lie 11 to 16 % above solid copper of the nominal area, 13 % on average. `references/copper_iec60228.csv`.
const STRANDING: f64 = 1.13;
/// Both lugs of a sound cable, ohm. From memory: a tenth of a milliohm each.
const LUGS: f64 = 0.2e-3;

const PORTS: &[PortSpec] = &[
    terminal("from", "end towards the source"),
    terminal("to", "end towards the load"),
];
const LENGTH: ParameterSpec = parameter(
    "length",
    "length",
    &[Dimension::Length],
    1.0,
    Spread::Relative(0.1),
    (0.01, 100.0),
);
const TEMPERATURE: ParameterSpec = parameter(
    "temperature",
    "of the copper",
    &[Dimension::Temperature],
    293.15,
    Spread::Absolute(10.0),
    (223.0, 473.0),
);

static WIRE: KindSpec = KindSpec {
    name: "wire",
    what: "A copper wire of the loom.",
    ports: PORTS,
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
    ],
    weight: 3.0,
    checks: &[Method::Look, Method::Drop, Method::Ohms],
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

static CABLE: KindSpec = KindSpec {
    name: "cable",
    what: "A heavy battery, starter or ground cable with its lugs.",
    ports: PORTS,
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

impl Kind for Wire {
    fn spec(&self) -> &'static KindSpec {
        &WIRE
    }

    fn assemble(&self, part: &mut Assembly) {
        let [area, length, temperature] = part.values();
        let faults = Faults {
            open: &["broken"],
            series: &["high resistance"],
            to_ground: &["chafed to ground"],
        };
        carry(part, STRANDING * copper(area, length, temperature), faults);
    }
}

impl Kind for Cable {
    fn spec(&self) -> &'static KindSpec {
        &CABLE
    }

    fn assemble(&self, part: &mut Assembly) {
        let [area, length, temperature] = part.values();
        let faults = Faults {
            open: &["off"],
            series: &["high resistance"],
            to_ground: &["chafed to ground"],
        };
        carry(part, LUGS + STRANDING * copper(area, length, temperature), faults);
    }
}
