//! The body as the common way back: a small resistance from each place to its middle.
//!
//! It fails by rust between panels on the way to the battery. All places then lie too high at once, which is easily
//! taken for several bad ground points or a bad battery cable. Left out: rust between two other places, and paths finer
//! than this star.

use super::Kind;
use super::spec::{graded, milliohms, optional_terminal, parameter};
use crate::assembly::Assembly;
use circuit::{KindSpec, Method, RepairSpec, Spread, Symbol};
use quantity::Dimension;

/// The body as a conductor.
pub(crate) struct Chassis;

static SPEC: KindSpec = KindSpec {
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

impl Kind for Chassis {
    fn spec(&self) -> &'static KindSpec {
        &SPEC
    }

    fn assemble(&self, part: &mut Assembly) {
        let [way] = part.values();
        let middle = part.inner_electric();
        let rust = part.fault("panel joint corroded").unwrap_or(0.0);
        for port in 0..SPEC.ports.len() {
            if part.joined(port) {
                let place = part.electric(port);
                part.resistor(place, middle, if port == 0 { way + rust } else { way });
            }
        }
    }
}
