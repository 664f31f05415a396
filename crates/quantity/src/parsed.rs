//! A quantity as it was written: with its unit, its tolerance and, for a pressure, where it counts from.

use crate::{Dimension, Pressure, Quantity, Unit};

/// Where a pressure counts from.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PressureReference {
    /// Not said.
    #[default]
    Unstated,
    /// From nothing, upwards.
    Absolute,
    /// From the ambient pressure, upwards.
    Gauge,
    /// From the ambient pressure, downwards: 20 inHg vacuum is less pressure than 10.
    Vacuum,
}

impl PressureReference {
    /// The word behind a pressure; empty if unstated.
    pub fn word(self) -> &'static str {
        match self {
            Self::Unstated => "",
            Self::Absolute => "abs",
            Self::Gauge => "gauge",
            Self::Vacuum => "vacuum",
        }
    }

    /// What a word behind a pressure says; `None` if it says nothing of the kind.
    pub(crate) fn from_word(word: &str) -> Option<Self> {
        match word.trim_matches(['(', ')']).to_lowercase().as_str() {
            "abs" | "abs." | "absolute" => Some(Self::Absolute),
            "gauge" | "gage" => Some(Self::Gauge),
            "vacuum" | "vac" | "vac." => Some(Self::Vacuum),
            _ => None,
        }
    }
}

/// How far the true value may lie from the one given, to either side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// Share of the value: 0.1 for ± 10 %.
    Relative(f64),
    /// In the SI unit of the value's dimension.
    Absolute(f64),
}

/// A quantity as it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parsed {
    /// The quantity. A vacuum is positive here: see `reference`.
    pub quantity: Quantity,
    /// The unit it was written in.
    pub unit: Unit,
    /// Where it counts from, if it is a pressure.
    pub reference: PressureReference,
    /// Tolerance, if one was given.
    pub tolerance: Option<Tolerance>,
}

impl Parsed {
    /// The tolerance in the SI unit of the quantity, to either side; `None` if none was given.
    pub fn spread(&self) -> Option<f64> {
        self.tolerance.map(|tolerance| match tolerance {
            Tolerance::Relative(share) => share * self.quantity.si().abs(),
            Tolerance::Absolute(si) => si,
        })
    }

    /// The absolute pressure this is where the barometer stands at `ambient`.
    ///
    /// - `unstated`: what is meant where the text does not say.
    /// - `None` if it is no pressure, below absolute zero, or unstated on both counts.
    pub fn absolute_pressure(&self, ambient: Pressure, unstated: PressureReference) -> Option<Pressure> {
        let si = self.quantity.expect(Dimension::Pressure).ok()?;
        let said = if self.reference == PressureReference::Unstated {
            unstated
        } else {
            self.reference
        };
        let pascal = match said {
            PressureReference::Unstated => return None,
            PressureReference::Absolute => si,
            PressureReference::Gauge => ambient.si() + si,
            PressureReference::Vacuum => ambient.si() - si,
        };
        (pascal >= 0.0).then_some(Pressure::from_si(pascal))
    }
}
