//! Ways back to the battery: small ground points, heavy ground straps, the body itself.

use super::Kind;
use super::conductor::{Faults, carry};
use super::spec::{SHORT_CIRCUIT, fault, graded, milliohms, ohms, optional_terminal, parameter, terminal};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, PortSpec, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// A ring terminal under a body screw.
pub(crate) struct GroundPoint;
/// A braid or cable that carries starter current.
pub(crate) struct GroundStrap;
/// The body as a conductor.
pub(crate) struct Chassis;

const PORTS: &[PortSpec] = &[
    terminal("from", "side towards the load"),
    terminal("to", "side towards the battery's negative"),
];
const FAULTS: Faults = Faults {
    open: &["open"],
    series: &["high resistance"],
    to_ground: &[],
};

static POINT: KindSpec = KindSpec {
    name: "ground point",
    what: "A ring terminal screwed to the body.",
    ports: PORTS,
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

static STRAP: KindSpec = KindSpec {
    name: "ground strap",
    what: "A braid or heavy cable from engine or battery to the body, with its two joints.",
    ports: PORTS,
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

static BODY: KindSpec = KindSpec {
    name: "chassis",
    what: "The body as the common way back: a small resistance from each place to its middle.",
    ports: &[
        optional_terminal("battery", "where the battery's ground cable is screwed on"),
        optional_terminal("engine", "where the engine's strap is screwed on"),
        optional_terminal("front", "ground points at the front"),
        optional_terminal("cabin", "ground points in the cabin"),
        optional_terminal("rear", "ground points at the rear"),
    ],
    parameters: &[parameter(
        "way",
        "resistance from a place to the middle",
        &[Dimension::Resistance],
        0.15e-3,
        Spread::Relative(0.4),
        (0.01e-3, 0.1),
    )],
    faults: &[graded(
        "panel joint corroded",
        "rust between panels on the way to the battery",
        100.0,
        0.3,
        milliohms("added resistance", 2e-3, 10e-3, 100e-3),
    )],
    weight: 0.5,
    checks: &[Method::Look],
    command: None,
    supplies: None,
    symbol: Symbol::Chassis,
    cautions: &[],
    repair: RepairSpec {
        what: "bond the panels",
        minutes: 60.0,
        price: 15.0,
        bad_new: 0.002,
    },
    source: "a few tenths of a milliohm through a welded body: from memory",
};

impl Kind for GroundPoint {
    fn spec(&self) -> &'static KindSpec {
        &POINT
    }

    fn assemble(&self, part: &mut Assembly) {
        let [resistance] = part.values();
        carry(part, resistance, FAULTS);
    }
}

impl Kind for GroundStrap {
    fn spec(&self) -> &'static KindSpec {
        &STRAP
    }

    fn assemble(&self, part: &mut Assembly) {
        let [resistance] = part.values();
        carry(part, resistance, FAULTS);
    }
}

impl Kind for Chassis {
    fn spec(&self) -> &'static KindSpec {
        &BODY
    }

    fn assemble(&self, part: &mut Assembly) {
        let [way] = part.values();
        let middle = part.inner_electric();
        let rust = part.fault("panel joint corroded").unwrap_or(0.0);
        for port in 0..BODY.ports.len() {
            if part.joined(port) {
                let place = part.electric(port);
                part.resistor(place, middle, if port == 0 { way + rust } else { way });
            }
        }
    }
}
