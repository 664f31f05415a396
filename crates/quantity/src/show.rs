//! Showing a quantity to a person: in the units they think in, rounded to what they can use.

use crate::{Dimension, Quantity, Unit};
use std::fmt;
use std::str::FromStr;

/// The units a person thinks in.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum UnitSystem {
    /// Vacuum gauges in inHg, everything else metric.
    #[default]
    Trade,
    /// Pressures in kPa.
    Metric,
    /// SI units without prefixes.
    Si,
}

/// A name that is no system of units.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a system of units; there are `trade`, `metric` and `si`")]
pub struct UnknownUnitSystem(pub String);

impl FromStr for UnitSystem {
    type Err = UnknownUnitSystem;

    fn from_str(name: &str) -> Result<Self, UnknownUnitSystem> {
        Self::ALL
            .into_iter()
            .find(|system| system.name() == name)
            .ok_or_else(|| UnknownUnitSystem(name.to_owned()))
    }
}

impl fmt::Display for UnitSystem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl UnitSystem {
    /// Every system.
    pub const ALL: [Self; 3] = [Self::Trade, Self::Metric, Self::Si];

    /// Its name, which [`FromStr`] reads.
    pub fn name(self) -> &'static str {
        match self {
            Self::Trade => "trade",
            Self::Metric => "metric",
            Self::Si => "si",
        }
    }

    /// The unit it uses for `dimension` where size does not matter, as in a table's head or on a number pad.
    pub fn unit_for(self, dimension: Dimension) -> Unit {
        let symbol = match self {
            Self::Si => dimension.si_unit(),
            Self::Trade if dimension == Dimension::Pressure => "inHg",
            Self::Trade | Self::Metric => usual(dimension),
        };
        Unit::named_for(symbol, dimension).unwrap_or_else(|| dimension.si())
    }

    /// The unit that shows `quantity` best: `450 mV` rather than `0.45 V`.
    pub fn unit_to_show(self, quantity: Quantity) -> Unit {
        let usual = self.unit_for(quantity.dimension());
        // A zero has no size; neither has what is no number.
        if self == Self::Si || quantity.si() == 0.0 || !quantity.si().is_finite() {
            return usual;
        }
        let mut smallest = usual;
        for &(symbol, least) in sizes(quantity.dimension()) {
            smallest = Unit::named_for(symbol, quantity.dimension()).unwrap_or(smallest);
            if rounded(quantity.in_unit(smallest)).abs() >= least {
                break;
            }
        }
        smallest
    }

    /// `quantity` as a person reads it: three digits that count, never fewer than stand before the point.
    pub fn show(self, quantity: Quantity) -> String {
        show_in(quantity, self.unit_to_show(quantity))
    }
}

/// `quantity` in `unit`, rounded as [`UnitSystem::show`] does.
pub fn show_in(quantity: Quantity, unit: Unit) -> String {
    let number = number(quantity.in_unit(unit));
    if unit.symbol().is_empty() {
        number
    } else {
        format!("{number} {unit}")
    }
}

/// The unit the trade writes a dimension in. Common practice, no source.
fn usual(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Pressure => "kPa",
        Dimension::Length => "mm",
        Dimension::Area => "mm2",
        Dimension::Volume => "cm3",
        Dimension::SweptVolume => "cm3/rev",
        Dimension::RotationalSpeed => "rpm",
        Dimension::Inductance => "mH",
        Dimension::Capacitance => "uF",
        Dimension::Temperature => "°C",
        Dimension::Ratio => "%",
        Dimension::Stiffness => "N/mm",
        Dimension::Time => "min",
        Dimension::MassFlow => "g/s",
        Dimension::VolumeFlow => "L/min",
        Dimension::SonicConductance => "dm3/(s bar)",
        Dimension::EmfConstant => "mV/rpm",
        Dimension::TorqueConstant => "mN m/A",
        Dimension::Mass => "g",
        Dimension::MomentOfInertia => "kg mm2",
        Dimension::Speed => "km/h",
        Dimension::TemperatureCoefficient => "%/K",
        Dimension::PressureSensitivity => "mV/kPa",
        other => other.si_unit(),
    }
}

/// Units by size, largest first, each with the least number it is used for; the last is for all below.
fn sizes(dimension: Dimension) -> &'static [(&'static str, f64)] {
    match dimension {
        // Altitudes stay in metres.
        Dimension::Length => &[("km", 10.0), ("m", 1.0), ("mm", 0.0)],
        Dimension::Volume => &[("L", 1.0), ("cm3", 0.0)],
        Dimension::Voltage => &[("V", 1.0), ("mV", 0.0)],
        Dimension::Current => &[("A", 1.0), ("mA", 0.0)],
        Dimension::Resistance => &[("Mohm", 1.0), ("kohm", 1.0), ("ohm", 1.0), ("mohm", 0.0)],
        Dimension::Time => &[("min", 1.0), ("s", 1.0), ("ms", 0.0)],
        Dimension::Power => &[("kW", 1.0), ("W", 1.0), ("mW", 0.0)],
        Dimension::Mass => &[("kg", 1.0), ("g", 0.0)],
        Dimension::MassFlow => &[("g/s", 0.01), ("mg/s", 0.0)],
        _ => &[],
    }
}

/// Digits that count. Shop instruments give no more: a gauge of ASME B40.100 grade B is good to 2 or 3 % of its span.
const DIGITS: i32 = 3;

/// `value` rounded to [`DIGITS`] digits, whole numbers kept.
fn rounded(value: f64) -> f64 {
    round_half_away(value, decimals(value))
}

/// Decimals that leave `value` [`DIGITS`] digits, 0 to 20.
fn decimals(value: f64) -> u32 {
    let size = value.abs();
    let mut limit = 1.0;
    let mut decimals = DIGITS.unsigned_abs();
    // Counts digits before the point, then zeros behind it.
    while decimals > 0 && size >= limit {
        limit *= 10.0;
        decimals -= 1;
    }
    limit = 0.1;
    while decimals >= DIGITS.unsigned_abs() && decimals < 20 && size < limit && size > 0.0 {
        limit /= 10.0;
        decimals += 1;
    }
    decimals
}

/// The number as shown: rounded, without zeros at its end, with an exponent where it would be long.
fn number(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-4..1e9).contains(&size) {
        return with_exponent(value);
    }
    let decimals = decimals(value);
    let rounded = round_half_away(value, decimals);
    // Adding zero makes a negative zero positive.
    trimmed(&format!("{:.*}", decimals as usize, rounded + 0.0))
}

/// `6e-5`, with [`DIGITS`] digits that count.
fn with_exponent(value: f64) -> String {
    let exact = format!("{value:e}");
    let parts = exact
        .split_once('e')
        .and_then(|(digits, exponent)| Some((digits.parse::<f64>().ok()?, exponent.parse::<i32>().ok()?)));
    let Some((digits, mut exponent)) = parts else {
        // Not a number, or infinite.
        return exact;
    };
    let mut digits = rounded(digits);
    if digits.abs() >= 10.0 {
        digits /= 10.0;
        exponent += 1;
    }
    format!("{digits}e{exponent}")
}

fn trimmed(digits: &str) -> String {
    if digits.contains('.') {
        digits.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        digits.to_owned()
    }
}

/// `value` rounded to so many decimals as people do it: halves away from zero, 41.25 to 41.3.
///
/// A half is what looks like one in decimal: 1.005 counts as a half although its nearest `f64` lies a hair below. Anything
/// within a part in 10¹² of a half counts as one, which also forgives the last digits lost in changing units.
pub fn round_half_away(value: f64, decimals: u32) -> f64 {
    let scale = 10_f64.powi(i32::try_from(decimals).unwrap_or(i32::MAX));
    let scaled = value.abs() * scale;
    // From 2^53 on an f64 has no decimals left to round.
    if !scaled.is_finite() || scaled >= 9.0e15 {
        return value;
    }
    let units = scaled.mul_add(1.0 + 1e-12, 0.5).floor();
    (units / scale).copysign(value)
}

#[cfg(test)]
mod tests;
