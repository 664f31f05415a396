//! Quantities whose dimension is known beforehand.
//!
//! For signatures: a function that takes a [`Pressure`] cannot be given volts, nor a difference of pressures.

use crate::{Dimension, DimensionMismatch, Quantity};
use std::iter::Sum;
use std::ops::{Add, Div, Mul, Neg, Sub};

macro_rules! typed {
    ($($(#[$doc:meta])* $name:ident: $dimension:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// From its value in the SI unit.
            pub const fn from_si(si: f64) -> Self {
                Self(si)
            }

            /// Its value in the SI unit.
            pub const fn si(self) -> f64 {
                self.0
            }
        }

        impl From<$name> for Quantity {
            fn from(value: $name) -> Self {
                Self::new(Dimension::$dimension, value.0)
            }
        }

        impl TryFrom<Quantity> for $name {
            type Error = DimensionMismatch;

            fn try_from(quantity: Quantity) -> Result<Self, DimensionMismatch> {
                quantity.expect(Dimension::$dimension).map(Self)
            }
        }
    )*};
}

typed! {
    /// Absolute pressure, Pa.
    Pressure: Pressure;
    /// Difference of two pressures, Pa: what a gauge shows.
    PressureDifference: Pressure;
    /// Length, m.
    Length: Length;
    /// Voltage, V.
    Voltage: Voltage;
    /// Current, A.
    Current: Current;
    /// Resistance, ohm.
    Resistance: Resistance;
    /// Absolute temperature, K.
    Temperature: Temperature;
    /// A share; 1 is the whole.
    Ratio: Ratio;
    /// Turns of a shaft, revolutions per second.
    RotationalSpeed: RotationalSpeed;
    /// A person's working time. SI value in seconds; see [`Minutes::new`].
    Minutes: Time;
}

macro_rules! additive {
    ($($name:ident)*) => {$(
        impl Add for $name {
            type Output = Self;

            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;

            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;

            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;

            fn mul(self, times: f64) -> Self {
                Self(self.0 * times)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;

            fn div(self, parts: f64) -> Self {
                Self(self.0 / parts)
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(values: I) -> Self {
                Self(values.map(Self::si).sum())
            }
        }
    )*};
}

// Not among them: absolute pressures and temperatures, whose sum means nothing.
additive! { PressureDifference Length Voltage Current Resistance Ratio RotationalSpeed Minutes }

impl Sub for Pressure {
    type Output = PressureDifference;

    fn sub(self, other: Self) -> PressureDifference {
        PressureDifference(self.0 - other.0)
    }
}

impl Add<PressureDifference> for Pressure {
    type Output = Self;

    fn add(self, difference: PressureDifference) -> Self {
        Self(self.0 + difference.0)
    }
}

impl Sub<PressureDifference> for Pressure {
    type Output = Self;

    fn sub(self, difference: PressureDifference) -> Self {
        Self(self.0 - difference.0)
    }
}

impl Temperature {
    /// From degrees Celsius.
    pub const fn from_celsius(degrees: f64) -> Self {
        Self(degrees + 273.15)
    }
}

impl Minutes {
    /// So many minutes.
    pub const fn new(minutes: f64) -> Self {
        Self(minutes * 60.0)
    }

    /// How many minutes.
    pub const fn minutes(self) -> f64 {
        self.0 / 60.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 25 inHg vacuum at the standard barometer, worked by hand.
    #[test]
    fn a_gauge_reads_a_difference() {
        let ambient = Pressure::from_si(101_325.0);
        let line = Pressure::from_si(16_665.275);
        let gauge = line - ambient;
        assert!((gauge.si() + 84_659.725).abs() < 1e-9);
        assert!(((ambient + gauge) - line).si().abs() < 1e-9);
        assert_eq!(ambient - (-gauge), ambient + gauge);
    }

    #[test]
    fn minutes_add_up() {
        let work: Minutes = [Minutes::new(4.0), Minutes::new(2.5)].into_iter().sum();
        assert_eq!(work, Minutes::new(6.5));
        assert!((work.si() - 390.0).abs() < 1e-12);
        assert!((work.minutes() - 6.5).abs() < 1e-12);
    }

    #[test]
    fn a_quantity_goes_only_into_its_own_type() {
        let quantity = Quantity::from(Voltage::from_si(12.6));
        assert_eq!(Voltage::try_from(quantity), Ok(Voltage::from_si(12.6)));
        assert_eq!(
            Current::try_from(quantity),
            Err(DimensionMismatch {
                expected: Dimension::Current,
                found: Dimension::Voltage
            })
        );
    }
}
