//! What the two-ended current carriers have in common: a resistance between two ports, more of it where a joint is bad.

use crate::assembly::{Assembly, REFERENCE};

const FROM: usize = 0;
const TO: usize = 1;

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
