//! A number with its dimension.

use crate::{Dimension, Unit};
use std::ops::{Div, Mul, Neg};

/// Two quantities that cannot be added or compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{} is not {}", found.with_article(), expected.with_article())]
pub struct DimensionMismatch {
    /// The dimension wanted.
    pub expected: Dimension,
    /// The dimension there is.
    pub found: Dimension,
}

/// A number with its dimension; SI inside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    si: f64,
    dimension: Dimension,
}

impl Quantity {
    /// `si` in the SI unit of `dimension`.
    pub fn new(dimension: Dimension, si: f64) -> Self {
        Self { si, dimension }
    }

    /// `value` in `unit`.
    pub fn of(value: f64, unit: Unit) -> Self {
        Self::new(unit.dimension(), unit.to_si(value))
    }

    /// Its value in the SI unit.
    pub fn si(self) -> f64 {
        self.si
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        self.dimension
    }

    /// Its value in `unit`; not a number if `unit` measures something else.
    pub fn in_unit(self, unit: Unit) -> f64 {
        if unit.dimension() == self.dimension {
            unit.value_of(self.si)
        } else {
            f64::NAN
        }
    }

    /// The sum of two quantities of one dimension.
    pub fn plus(self, other: Self) -> Result<Self, DimensionMismatch> {
        other
            .expect(self.dimension)
            .map(|si| Self::new(self.dimension, self.si + si))
    }

    /// The difference of two quantities of one dimension.
    pub fn minus(self, other: Self) -> Result<Self, DimensionMismatch> {
        self.plus(-other)
    }

    /// Its SI value if it is of the dimension `expected`.
    pub fn expect(self, expected: Dimension) -> Result<f64, DimensionMismatch> {
        if self.dimension == expected {
            Ok(self.si)
        } else {
            Err(DimensionMismatch {
                expected,
                found: self.dimension,
            })
        }
    }
}

impl PartialOrd for Quantity {
    /// No order between quantities of different dimensions.
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        other
            .expect(self.dimension)
            .ok()
            .and_then(|si| self.si.partial_cmp(&si))
    }
}

impl Mul<f64> for Quantity {
    type Output = Self;

    fn mul(self, times: f64) -> Self {
        Self {
            si: self.si * times,
            ..self
        }
    }
}

impl Div<f64> for Quantity {
    type Output = Self;

    fn div(self, parts: f64) -> Self {
        Self {
            si: self.si / parts,
            ..self
        }
    }
}

impl Neg for Quantity {
    type Output = Self;

    fn neg(self) -> Self {
        Self { si: -self.si, ..self }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;

    #[test]
    fn only_like_adds_to_like() {
        let battery = Quantity::new(Dimension::Voltage, 12.5);
        let drop = Quantity::new(Dimension::Voltage, 0.5);
        assert_eq!(battery.minus(drop), Ok(Quantity::new(Dimension::Voltage, 12.0)));
        assert_eq!(
            battery.plus(drop * 2.0),
            Ok(Quantity::new(Dimension::Voltage, 13.5))
        );
        let error = battery.plus(Quantity::new(Dimension::Current, 1.0)).unwrap_err();
        assert_eq!(error.to_string(), "a current is not a voltage");
    }

    #[test]
    fn unlike_quantities_have_no_order() {
        let volt = Quantity::new(Dimension::Voltage, 1.0);
        assert!(volt < volt * 2.0);
        assert_eq!(volt.partial_cmp(&Quantity::new(Dimension::Current, 2.0)), None);
    }

    #[test]
    fn a_quantity_is_shown_in_its_own_units_only() {
        let idle = Quantity::of(780.0, Unit::named("rpm").unwrap());
        assert!((idle.si() - 13.0).abs() < 1e-12);
        assert!((idle.in_unit(Unit::named("rad/s").unwrap()) - 81.681_408_993).abs() < 1e-9);
        assert!(idle.in_unit(Unit::named("V").unwrap()).is_nan());
    }
}
