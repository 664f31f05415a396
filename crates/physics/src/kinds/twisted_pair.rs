//! A stretch of the two twisted wires of a bus.
//!
//! A wire breaks, they touch, or one chafes to ground or to a fed wire. With one wire broken the modules behind it fall
//! silent, not always and not all at once, and each of them is easily taken for dead; the ohmmeter shows 120 ohm from
//! either side. Left out: the characteristic impedance, stubs that are too long, and breaks that come and go.

use super::Kind;
use super::conductor::{LENGTH, TEMPERATURE, stranded_copper};
use super::spec::{PROBING, fault, graded, ohms, parameter, terminal};
use crate::assembly::{Assembly, REFERENCE};
use crate::network::ElectricElement;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

pub(crate) struct TwistedPair;

/// What a fed wire beside it has, V. Common practice, no source: a battery that is not charged.
const BATTERY: f64 = 12.4;

static SPEC: KindSpec = KindSpec {
    name: "twisted pair",
    what: "A stretch of the two twisted wires of a bus.",
    ports: &[
        terminal("high-from", "high wire, one end"),
        terminal("high-to", "high wire, other end"),
        terminal("low-from", "low wire, one end"),
        terminal("low-to", "low wire, other end"),
    ],
    parameters: &[
        parameter(
            "area",
            "cross-section of each wire",
            &[Dimension::Area],
            0.35e-6,
            Spread::Relative(0.03),
            (0.1e-6, 2.5e-6),
        ),
        LENGTH,
        TEMPERATURE,
    ],
    faults: &[
        fault(
            "high wire broken",
            "parted at a clip, a bend or a splice",
            22.0,
            0.3,
        ),
        fault(
            "low wire broken",
            "parted at a clip, a bend or a splice",
            22.0,
            0.3,
        ),
        graded(
            "wires touch",
            "crushed or chafed against each other",
            14.0,
            0.5,
            ohms("resistance between them", 0.05, 1.0, 40.0),
        ),
        graded(
            "high wire to ground",
            "rubbed through against metal",
            14.0,
            0.5,
            ohms("resistance to ground", 0.05, 2.0, 100.0),
        ),
        graded(
            "low wire to ground",
            "rubbed through against metal",
            14.0,
            0.5,
            ohms("resistance to ground", 0.05, 2.0, 100.0),
        ),
        graded(
            "high wire to supply",
            "touches a wire that is fed",
            7.0,
            0.5,
            ohms("resistance to it", 0.05, 2.0, 100.0),
        ),
        graded(
            "low wire to supply",
            "touches a wire that is fed",
            7.0,
            0.5,
            ohms("resistance to it", 0.05, 2.0, 100.0),
        ),
    ],
    weight: 7.0,
    checks: &[Method::Look, Method::Swap],
    command: None,
    supplies: None,
    symbol: Symbol::TwistedPair,
    cautions: &[PROBING],
    repair: RepairSpec {
        what: "repair the twisted pair",
        minutes: 45.0,
        price: 8.0,
        bad_new: 0.005,
    },
    source: "shares from memory: connector, pin and splice 38, chafe and later fittings 22 of 100 network complaints; open likelier than short",
};

impl Kind for TwistedPair {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [area, length, temperature] = part.values();
        let half = 0.5 * stranded_copper(area, length, temperature);
        let supply = part.inner_electric();
        part.push_electric(ElectricElement::Source {
            plus: supply,
            minus: REFERENCE,
            emf: if part.powered() { BATTERY } else { 0.0 },
            conductance: 10.0,
        });
        let middles = [
            (
                0,
                "high wire broken",
                "high wire to ground",
                "high wire to supply",
            ),
            (2, "low wire broken", "low wire to ground", "low wire to supply"),
        ]
        .map(|(from, broken, to_ground, to_supply)| {
            let (a, b, middle) = (
                part.electric(from),
                part.electric(from + 1),
                part.inner_electric(),
            );
            part.resistor(a, middle, half);
            // What chafes as well does so before the break.
            if !part.has(broken) {
                part.resistor(middle, b, half);
            }
            if let Some(ohms) = part.fault(to_ground) {
                part.resistor(middle, REFERENCE, ohms);
            }
            if let Some(ohms) = part.fault(to_supply) {
                part.resistor(middle, supply, ohms);
            }
            middle
        });
        if let Some(ohms) = part.fault("wires touch") {
            part.resistor(middles[0], middles[1], ohms);
        }
    }
}
