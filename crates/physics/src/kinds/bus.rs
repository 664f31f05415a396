//! What the modules on a two-wire bus have in common: a transceiver between two wires, alive while its supply is.
//!
//! ISO 11898-2, from memory: a dominant bit holds the wires about 2 V apart across 60 ohm (high 3.5 V, low 1.5 V), a
//! recessive one lets both go to 2.5 V through 5 to 50 kohm. Left out: edges, ringing, errors and their counters, standby.

use super::spec::{fault, graded, ohms, parameter, plug, terminal};
use crate::assembly::Assembly;
use crate::module_checks::BusPins;
use crate::network::ElectricElement;
use circuit::{FaultSpec, ParameterSpec, PortSpec, RepairSpec, Spread};
use quantity::Dimension;

const HIGH: usize = 0;
const LOW: usize = 1;
const PLUS: usize = 2;
const GROUND: usize = 3;

/// What the transceiver works from, and where it lets the wires go to, V.
const FIVE: f64 = 5.0;
const MIDDLE: f64 = 2.5;
/// Each output with its diode, ohm: 2 V remain across 60 ohm.
const OUTPUT: f64 = 45.0;
/// From the middle level to its source, ohm; and to ground in a module without power. From memory.
const BIAS: f64 = 500.0;
const ASLEEP: f64 = 20e3;

pub(super) const PORTS: &[PortSpec] = &[
    plug("high", "bus, high wire"),
    plug("low", "bus, low wire"),
    plug("plus", "supply"),
    terminal("ground", "the module's ground"),
];
/// What the module draws.
pub(super) const CURRENT: ParameterSpec = parameter(
    "current",
    "drawn at 12 V when awake",
    &[Dimension::Current],
    0.4,
    Spread::Relative(0.4),
    (0.01, 30.0),
);
/// Below this supply it is silent.
pub(super) const LEAST: ParameterSpec = parameter(
    "least-supply",
    "supply below which it is silent",
    &[Dimension::Voltage],
    6.5,
    Spread::Relative(0.15),
    (3.0, 24.0),
);
/// From each wire to the middle level.
pub(super) const INPUT: ParameterSpec = parameter(
    "input",
    "resistance from each wire to the middle level",
    &[Dimension::Resistance],
    25e3,
    Spread::Relative(0.4),
    (5e3, 200e3),
);
/// Ways in which it fails.
pub(super) const FAULTS: &[FaultSpec] = &[
    fault("silent", "transceiver or processor dead", 45.0, 0.01),
    fault(
        "holds the bus",
        "its transceiver stays dominant: nobody else is heard",
        10.0,
        0.01,
    ),
    graded(
        "wet pins",
        "water or corrosion bridges the two bus pins",
        45.0,
        0.4,
        ohms("resistance between the wires", 3.0, 30.0, 300.0),
    ),
];
/// What mending it takes.
pub(super) const REPAIR: RepairSpec = RepairSpec {
    what: "renew or repair the control module",
    minutes: 45.0,
    price: 500.0,
    bad_new: 0.02,
};
/// Where shares and values come from.
pub(super) const SOURCE: &str = "levels and input resistances by ISO 11898-2, from memory; supply, current and shares from memory: water 14, module itself 7 of 100 network complaints";

/// Lays out a module of a bus; `talks` if it is the one that a condition lets send.
pub(super) fn lay(part: &mut Assembly, current: f64, least: f64, input: f64, talks: bool) {
    let (high, low) = (part.electric(HIGH), part.electric(LOW));
    let (plus, ground) = (part.electric(PLUS), part.electric(GROUND));
    let ohms = 12.0 / current.max(1e-3);
    let dead = part.has("silent").then_some(false);
    let alive = part.coil(plus, ground, ohms, least / ohms, 0.9 * least / ohms, dead);
    let (five, middle, sink) = (
        part.inner_electric(),
        part.inner_electric(),
        part.inner_electric(),
    );
    // What it makes of its supply reaches the wires only while it is alive.
    for (to, emf, own) in [(five, FIVE, 0.1), (middle, MIDDLE, BIAS)] {
        let source = part.inner_electric();
        part.push_electric(ElectricElement::Source {
            plus: source,
            minus: ground,
            emf: if part.powered() { emf } else { 0.0 },
            conductance: 1.0 / own,
        });
        part.contact(source, to, 0.1, alive, false);
    }
    part.contact(sink, ground, 0.1, alive, false);
    part.contact(middle, ground, ASLEEP, alive, true);
    part.resistor(high, middle, input);
    part.resistor(low, middle, input);
    if part.has("holds the bus") {
        part.resistor(five, high, OUTPUT);
        part.resistor(low, sink, OUTPUT);
    } else if talks {
        let duty = part.duty();
        part.driver(five, high, OUTPUT, duty);
        part.driver(low, sink, OUTPUT, duty);
    }
    if let Some(ohms) = part.fault("wet pins") {
        part.resistor(high, low, ohms);
    }
}

/// A termination between the wires.
pub(super) fn terminate(part: &mut Assembly, ohms: f64) {
    let (high, low) = (part.electric(HIGH), part.electric(LOW));
    part.resistor(high, low, ohms);
}

/// The pins with which it hears.
pub(super) const fn pins(asks: bool) -> BusPins {
    BusPins {
        high: HIGH,
        low: LOW,
        ground: GROUND,
        asks,
    }
}
