//! How right an instrument is, as its dial or its manual says it: a class, a grade, or a share of the reading with digits.
//!
//! Text in, limits of error out. What an error within those limits does to a reading is not said here.

use crate::check::Instrument;
use quantity::{Dimension, ParseError, Quantity, Ratio};
use std::fmt;

/// Longest text, letters: none that means something needs more.
const LONGEST: usize = 80;
/// Greatest limits that an instrument may have and still be called one, shares of a reading or of the span. Our own choice.
const WORST: f64 = 0.25;
/// Grades of ASME B40.100: limits in the outer quarters of the dial and in its middle half, percent of span. B was seen as
/// text, A in two halves, the others are from memory (`references/gauge_classes.csv`).
const GRADES: [(&str, f64, f64); 7] = [
    ("a", 2.0, 1.0),
    ("b", 3.0, 2.0),
    ("c", 4.0, 3.0),
    ("d", 5.0, 5.0),
    ("1a", 1.0, 1.0),
    ("2a", 0.5, 0.5),
    ("3a", 0.25, 0.25),
];

/// The limits of an instrument's error: a share of what it reads and a part that stays the same.
#[derive(Debug, Clone, PartialEq)]
pub struct AccuracyClass {
    text: String,
    of_reading: f64,
    fixed: Quantity,
    span: Option<Quantity>,
}

/// Why a text is no accuracy of an instrument.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ClassError {
    /// The instrument has none: eyes and ears, what a module says.
    #[error("{} have no class of accuracy", .0.word())]
    NotOf(Instrument),
    /// A class stands on dials of gauges only.
    #[error("a class or grade is that of a dial gauge, and this is a {}", .0.word())]
    NoDial(Instrument),
    /// Nothing of the forms that are known.
    #[error("`{text}` says no accuracy of a {}", .instrument.word())]
    Unreadable {
        /// What was written.
        text: String,
        /// The instrument.
        instrument: Instrument,
    },
    /// A part of it is no quantity of the right sort.
    #[error("`{text}` of a {}: {why}", .instrument.word())]
    Quantity {
        /// What was written.
        text: String,
        /// The instrument.
        instrument: Instrument,
        /// What is wrong with the part.
        why: ParseError,
    },
    /// The class is a share of the span, and nobody knows the span.
    #[error("`{text}` is a share of the span of the dial, which is not said")]
    SpanWanted {
        /// What was written.
        text: String,
    },
    /// Better than perfect, or no instrument.
    #[error("`{text}` would be an instrument that is more than {} % wrong, or never wrong at all", 100.0 * WORST)]
    OutOfRange {
        /// What was written.
        text: String,
    },
}

impl ClassError {
    /// What could be written instead.
    pub fn hint(&self) -> String {
        let instrument = match self {
            Self::NotOf(_) => return "leave it out".to_owned(),
            Self::NoDial(instrument)
            | Self::Unreadable { instrument, .. }
            | Self::Quantity { instrument, .. } => *instrument,
            Self::SpanWanted { .. } => return "say how far the dial goes: `class 1.6 of 4 bar`".to_owned(),
            Self::OutOfRange { .. } => {
                return "for instance `class 1.6 of 4 bar` for a dial, `0.5 % + 2 digits` for a meter"
                    .to_owned();
            }
        };
        format!("for instance `{}`", example(instrument))
    }
}

/// How one would write it.
fn example(instrument: Instrument) -> &'static str {
    match instrument {
        Instrument::VacuumGauge | Instrument::HandPump => "class 1.6",
        Instrument::PressureGauge => "class 1.6 of 4 bar",
        Instrument::Ohmmeter => "1 % + 3 digits",
        Instrument::Clamp => "2 % + 3 digits of 0.01 A",
        Instrument::Rule => "0.5 mm",
        Instrument::Tachometer | Instrument::DutyMeter => "0.5 % + 1 digit",
        Instrument::FuelGauge => "class 1.6 of 10 bar",
        Instrument::MeasuringCan | Instrument::LeakUnit => "5 %",
        Instrument::LowGauge => "class 1.6 of 50 mbar",
        Instrument::ModuleData => "1 kPa",
        Instrument::Watch => "1 s",
        Instrument::Thermometer => "2 K",
        _ => "0.5 % + 2 digits",
    }
}

impl AccuracyClass {
    /// Reads what stands on a dial or in a manual.
    ///
    /// - `class 1.6 of 4 bar`: EN 837-1, percent of the span; a vacuum gauge without a span goes to 30 inHg.
    /// - `grade B of 100 psi`: ASME B40.100.
    /// - `0.5 % + 2 digits of 10 mV`, `1 % + 20 mV`, `0.5 mm`: percent of the reading, and what is the same everywhere. A
    ///   digit without a size is that of the range which checks on a vehicle need.
    ///
    /// # Errors
    /// [`ClassError`].
    pub fn read(text: &str, instrument: Instrument) -> Result<Self, ClassError> {
        let dimension = measured(instrument).ok_or(ClassError::NotOf(instrument))?;
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let unreadable = || ClassError::Unreadable {
            text: text.chars().take(LONGEST).collect(),
            instrument,
        };
        if text.is_empty() || text.chars().count() > LONGEST {
            return Err(unreadable());
        }
        let words = Words {
            text: &text,
            instrument,
            dimension,
        };
        let class = match words.dial()? {
            Some(class) => class,
            None => words.shares()?.ok_or_else(unreadable)?,
        };
        class.sensible()
    }

    fn sensible(self) -> Result<Self, ClassError> {
        let span = self.span.map(Quantity::si);
        let whole = span.map_or(self.of_reading, |span| {
            self.of_reading.max(self.fixed.si() / span)
        });
        let never = self.of_reading == 0.0 && self.fixed.si() == 0.0;
        let numbers = [self.of_reading, self.fixed.si(), span.unwrap_or(1.0)];
        if never || whole > WORST || !numbers.iter().all(|number| number.is_finite() && *number >= 0.0) {
            return Err(ClassError::OutOfRange { text: self.text });
        }
        Ok(self)
    }

    /// The share of a reading by which it may be wrong.
    pub fn of_reading(&self) -> Ratio {
        Ratio::from_si(self.of_reading)
    }

    /// What it may be wrong by wherever it stands.
    pub fn fixed(&self) -> Quantity {
        self.fixed
    }

    /// How far its dial goes, if it is a dial.
    pub fn span(&self) -> Option<Quantity> {
        self.span
    }
}

impl fmt::Display for AccuracyClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// What an instrument measures; `None` for senses, and for what a module says of other things than a pressure.
fn measured(instrument: Instrument) -> Option<Dimension> {
    Some(match instrument {
        Instrument::VacuumGauge
        | Instrument::PressureGauge
        | Instrument::FuelGauge
        | Instrument::HandPump
        | Instrument::LowGauge
        | Instrument::ModuleData => Dimension::Pressure,
        Instrument::Voltmeter => Dimension::Voltage,
        Instrument::Ohmmeter => Dimension::Resistance,
        Instrument::Clamp => Dimension::Current,
        Instrument::Rule => Dimension::Length,
        Instrument::Tachometer => Dimension::RotationalSpeed,
        Instrument::MeasuringCan | Instrument::LeakUnit => Dimension::VolumeFlow,
        Instrument::Watch => Dimension::Time,
        Instrument::Thermometer => Dimension::TemperatureDifference,
        Instrument::DutyMeter => Dimension::Ratio,
        Instrument::Senses
        | Instrument::SmokeMaker
        | Instrument::ModuleTemperature
        | Instrument::ModulePosition => return None,
    })
}

/// The last digit in the range that checks on a vehicle need, SI; common practice, no source: 10 mV, 0.1 ohm, 10 mA, 1 rpm,
/// a tenth of a percent of the time.
fn digit(instrument: Instrument) -> Option<f64> {
    match instrument {
        Instrument::Voltmeter | Instrument::Clamp => Some(0.01),
        Instrument::Ohmmeter => Some(0.1),
        Instrument::Tachometer => Some(1.0 / 60.0),
        Instrument::DutyMeter => Some(0.001),
        _ => None,
    }
}

/// Thirty inches of mercury, Pa: the usual end of a vacuum gauge.
const THIRTY_INCHES: f64 = 30.0 * 3_386.388_640_341;

/// What was written, being read.
struct Words<'t> {
    text: &'t str,
    instrument: Instrument,
    dimension: Dimension,
}

impl Words<'_> {
    /// `class K`, `grade G`, or the number of a class alone, each with the span behind `of`.
    fn dial(&self) -> Result<Option<AccuracyClass>, ClassError> {
        let lower = self.text.to_lowercase();
        let (what, span) = match lower.split_once(" of ") {
            // The letters of a unit count as they were written.
            Some((what, _)) => (what, self.text.get(what.len() + " of ".len()..)),
            None => (lower.as_str(), None),
        };
        let (grade, named) = match (what.strip_prefix("grade "), what.strip_prefix("class ")) {
            (Some(grade), _) => (Some(grade), true),
            (None, Some(class)) => (None, class.parse::<f64>().is_ok() || number(class).is_some()),
            (None, None) => (None, number(what).is_some()),
        };
        if !named {
            return Ok(None);
        }
        let dial = matches!(
            self.instrument,
            Instrument::VacuumGauge
                | Instrument::PressureGauge
                | Instrument::FuelGauge
                | Instrument::HandPump
                | Instrument::LowGauge
        );
        if !dial {
            return Err(ClassError::NoDial(self.instrument));
        }
        let percents = match grade {
            Some(grade) => GRADES
                .into_iter()
                .find(|(name, ..)| *name == grade.trim())
                .map(|(_, outer, middle)| (outer, middle)),
            None => number(what.trim_start_matches("class ")).map(|class| (class, class)),
        };
        let Some((outer, middle)) = percents else {
            return Ok(None);
        };
        let span = match (span, self.instrument) {
            (Some(span), _) => self.quantity(span)?.abs(),
            (None, Instrument::VacuumGauge | Instrument::HandPump) => THIRTY_INCHES,
            (None, _) => {
                return Err(ClassError::SpanWanted {
                    text: self.text.to_owned(),
                });
            }
        };
        Ok(Some(AccuracyClass {
            text: self.text.to_owned(),
            of_reading: 0.01 * middle,
            // A grade that is better in the middle is taken as between the two all over the dial.
            fixed: Quantity::new(self.dimension, 0.005 * (outer + middle) * span),
            span: Some(Quantity::new(self.dimension, span)).filter(|span| span.si() > 0.0),
        }))
    }

    /// A share of the reading, digits, an amount: at least one of them, with `+` between.
    fn shares(&self) -> Result<Option<AccuracyClass>, ClassError> {
        let bare = self
            .text
            .trim_start_matches(['±', '(', ' '])
            .trim_end_matches([')', ' ']);
        let (mut of_reading, mut fixed) = (None, None);
        for term in bare.split('+').map(str::trim) {
            let place = if let Some(percent) = term.strip_suffix('%') {
                let Some(percent) = number(percent) else {
                    return Ok(None);
                };
                (&mut of_reading, 0.01 * percent)
            } else if let Some(digits) = self.digits(term)? {
                (&mut fixed, digits)
            } else {
                (&mut fixed, self.quantity(term)?)
            };
            if place.0.replace(place.1).is_some() {
                return Ok(None);
            }
        }
        Ok(Some(AccuracyClass {
            text: self.text.to_owned(),
            of_reading: of_reading.unwrap_or_default(),
            fixed: Quantity::new(self.dimension, fixed.unwrap_or_default()),
            span: None,
        }))
    }

    /// `2 digits`, `3 digits of 10 mV`.
    fn digits(&self, term: &str) -> Result<Option<f64>, ClassError> {
        let Some((count, rest)) = term.split_once(" digit") else {
            return Ok(None);
        };
        let Some(count) = number(count) else {
            return Ok(None);
        };
        let size = match rest.trim_start_matches('s').trim().strip_prefix("of ") {
            Some(size) => self.quantity(size)?,
            None => match digit(self.instrument) {
                Some(size) => size,
                None => return Ok(None),
            },
        };
        Ok(Some(count * size))
    }

    fn quantity(&self, text: &str) -> Result<f64, ClassError> {
        let parsed = quantity::parse(text, &[self.dimension]).map_err(|why| ClassError::Quantity {
            text: self.text.to_owned(),
            instrument: self.instrument,
            why,
        })?;
        Ok(parsed.quantity.si())
    }
}

/// A number that is not negative, with a decimal point or comma.
fn number(text: &str) -> Option<f64> {
    let number = text.trim().replace(',', ".").parse::<f64>().ok()?;
    (number.is_finite() && number >= 0.0).then_some(number)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;
    use proptest::prelude::*;

    /// What is read as of-reading percent and a fixed part, SI.
    fn check(text: &str, instrument: Instrument, percent: f64, fixed: f64) {
        let class = AccuracyClass::read(text, instrument).unwrap();
        assert!(
            (100.0 * class.of_reading().si() - percent).abs() < 1e-9,
            "{text}: {class:?}"
        );
        assert!(
            (class.fixed().si() - fixed).abs() < 1e-6 * fixed.max(1e-6),
            "{text}: {class:?}"
        );
        assert_eq!(class.to_string(), text);
    }

    /// EN 837-1: a dial of 0 to 10 bar of class 1.6 is within 0.16 bar, one of -1 to 5 bar of class 1.0 within 0.06 bar.
    #[test]
    fn a_class_is_a_share_of_the_span() {
        check("class 1.6 of 10 bar", Instrument::PressureGauge, 1.6, 0.16e5);
        check("class 1.0 of 6 bar", Instrument::PressureGauge, 1.0, 0.06e5);
        check("class 1.6", Instrument::VacuumGauge, 1.6, 0.016 * THIRTY_INCHES);
        check("1,6", Instrument::VacuumGauge, 1.6, 0.016 * THIRTY_INCHES);
        check("2.5 of -1 bar", Instrument::VacuumGauge, 2.5, 2500.0);
        check("Grade B", Instrument::VacuumGauge, 2.0, 0.025 * THIRTY_INCHES);
    }

    #[test]
    fn a_meter_has_percent_and_digits() {
        check("0.5 % + 2 digits", Instrument::Voltmeter, 0.5, 0.02);
        check("±(0,5 % + 2 digits of 1 mV)", Instrument::Voltmeter, 0.5, 0.002);
        check("1 % + 3 digits", Instrument::Ohmmeter, 1.0, 0.3);
        check("2 % + 50 mA", Instrument::Clamp, 2.0, 0.05);
        check("0.5 mm", Instrument::Rule, 0.0, 0.5e-3);
        check("1 digit", Instrument::Tachometer, 0.0, 1.0 / 60.0);
        check("0.25 % + 1 kPa", Instrument::PressureGauge, 0.25, 1000.0);
        check("2 K", Instrument::Thermometer, 0.0, 2.0);
        check("0.5 % + 1 digit", Instrument::DutyMeter, 0.5, 0.001);
        check("5 %", Instrument::MeasuringCan, 5.0, 0.0);
    }

    proptest! {
        /// Whatever is written: an accuracy that can be kept and read again, or a hint.
        #[test]
        fn any_text_is_an_accuracy_or_says_what_would_be(text in "[classgrde0-9.,% +±()ofbmV-]{0,20}|\\PC{0,90}", sort in 0..Instrument::ALL.len()) {
            let sort = Instrument::ALL[sort];
            match AccuracyClass::read(&text, sort) {
                Ok(class) => prop_assert_eq!(AccuracyClass::read(&class.to_string(), sort), Ok(class)),
                Err(error) => prop_assert!(!error.hint().is_empty() && error.to_string().chars().count() < 400),
            }
        }
    }

    #[test]
    fn what_is_no_accuracy_says_what_would_be() {
        for (text, instrument, told) in [
            ("", Instrument::Voltmeter, "`0.5 % + 2 digits`"),
            ("good", Instrument::Voltmeter, "0.5 % + 2 digits"),
            ("class 1.6", Instrument::Voltmeter, "0.5 % + 2 digits"),
            ("class 1.6", Instrument::PressureGauge, "how far the dial goes"),
            (
                "class 1.6 of 4 V",
                Instrument::PressureGauge,
                "class 1.6 of 4 bar",
            ),
            ("class 0", Instrument::VacuumGauge, "for instance"),
            ("class 90", Instrument::VacuumGauge, "for instance"),
            ("grade Z", Instrument::VacuumGauge, "class 1.6"),
            ("1 % + 2 %", Instrument::Voltmeter, "0.5 % + 2 digits"),
            ("-1 %", Instrument::Voltmeter, "0.5 % + 2 digits"),
            ("2 digits", Instrument::Rule, "0.5 mm"),
            ("class 1", Instrument::Senses, "leave it out"),
            ("class 1", Instrument::ModulePosition, "leave it out"),
            ("class 1.6", Instrument::FuelGauge, "how far the dial goes"),
            ("good", Instrument::Thermometer, "2 K"),
        ] {
            let hint = AccuracyClass::read(text, instrument).unwrap_err().hint();
            assert!(hint.contains(told), "{text:?} of {instrument:?}: {hint}");
        }
    }
}
