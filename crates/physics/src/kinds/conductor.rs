//! What the two-ended current carriers have in common: a resistance between two ports, more of it where a joint is bad.
//!
//! Wires and cables share their copper here. What each carrier is called, how it fails and what it costs is in its own
//! file.

use super::spec::{parameter, terminal};
use crate::assembly::{Assembly, REFERENCE};
use crate::laws::electric::copper;
use circuit::{ParameterSpec, PortSpec, Spread};
use quantity::Dimension;

const FROM: usize = 0;
const TO: usize = 1;

/// Ends of what feeds a load.
pub(super) const TO_LOAD: &[PortSpec] = &[
    terminal("from", "end towards the source"),
    terminal("to", "end towards the load"),
];
/// Ends of a way back to the battery.
pub(super) const TO_NEGATIVE: &[PortSpec] = &[
    terminal("from", "side towards the load"),
    terminal("to", "side towards the battery's negative"),
];

/// Length of a wire or cable.
pub(super) const LENGTH: ParameterSpec = parameter(
    "length",
    "length",
    &[Dimension::Length],
    1.0,
    Spread::Relative(0.1),
    (0.01, 100.0),
);
/// Temperature of its copper.
pub(super) const TEMPERATURE: ParameterSpec = parameter(
    "temperature",
    "of the copper",
    &[Dimension::Temperature],
    293.15,
    Spread::Absolute(10.0),
    (223.0, 473.0),
);

/// Twisted fine strands are longer than the wire, and the cross-section is nominal: IEC 60228's largest resistances of
/// class 5 lie 11 to 16 % above solid copper of the nominal area, 13 % on average. `references/copper_iec60228.csv`.
const STRANDING: f64 = 1.13;

/// Names of faults of a two-ended carrier and what they do to it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Faults {
    /// Faults that leave no path.
    pub(super) open: &'static [&'static str],
    /// Faults whose severity is a resistance in series.
    pub(super) series: &'static [&'static str],
    /// Faults whose severity is a resistance from its middle to the reference.
    pub(super) to_ground: &'static [&'static str],
}

/// Of what can be open or have a poor joint, and touches nothing else.
pub(super) const OPEN_OR_POOR: Faults = Faults {
    open: &["open"],
    series: &["high resistance"],
    to_ground: &[],
};

/// A carrier of `ohms` between its first two ports, with its faults.
pub(super) fn carry(part: &mut Assembly, ohms: f64, faults: Faults) {
    let (from, to) = (part.electric(FROM), part.electric(TO));
    let added: f64 = faults.series.iter().filter_map(|name| part.fault(name)).sum();
    let open = faults.open.iter().any(|name| part.has(name));
    let shunt = faults.to_ground.iter().find_map(|name| part.fault(name));
    if let Some(shunt) = shunt {
        // It rubs through somewhere along its way; a break as well lies beyond that place.
        let middle = part.inner_electric();
        part.resistor(from, middle, 0.5 * ohms);
        part.resistor(middle, REFERENCE, shunt);
        if !open {
            part.resistor(middle, to, 0.5 * ohms + added);
        }
    } else if !open {
        part.resistor(from, to, ohms + added);
    }
}

/// Resistance of stranded copper, ohm: nominal cross-section in m², length in m, temperature in K.
pub(super) fn stranded_copper(area: f64, length: f64, temperature: f64) -> f64 {
    STRANDING * copper(area, length, temperature)
}
