//! Why a text is not a quantity.

use crate::Dimension;
use std::fmt;
use std::ops::Range;

/// A text that is not a quantity, and where it goes wrong.
///
/// Its `Display` is one line of at most 80 columns without a final period; [`ParseError::hint`] says what to write.
#[derive(Debug, Clone, PartialEq)]
pub struct ParseError {
    /// The culprit: bytes of the text, on character boundaries.
    pub span: Range<usize>,
    /// What is wrong with it.
    pub kind: ParseErrorKind,
    /// The dimensions wanted; empty if any would do.
    pub expected: Vec<Dimension>,
}

/// What is wrong with a text.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum ParseErrorKind {
    /// There is nothing where a quantity or a tolerance should be.
    Empty,
    /// Longer than any quantity is written.
    TooLong {
        /// Its length in bytes.
        length: usize,
    },
    /// It does not begin with a number.
    NotANumber {
        /// What stands there instead.
        found: String,
    },
    /// `1,600`: a decimal comma to one reader, thousands to another.
    AmbiguousComma {
        /// The number as written.
        found: String,
    },
    /// Too large for a number.
    NotFinite,
    /// A number without its unit.
    MissingUnit {
        /// The number as written.
        number: String,
    },
    /// Not a unit at all.
    UnknownUnit {
        /// As written.
        found: String,
        /// The accepted spelling nearest to it, if one is near.
        nearest: Option<&'static str>,
    },
    /// A unit of something else.
    WrongDimension {
        /// The unit as written.
        unit: String,
        /// What it measures.
        found: Dimension,
    },
    /// A quantity with something behind it.
    TrailingText {
        /// What stands behind it.
        found: String,
    },
    /// A tolerance below zero.
    NegativeTolerance,
    /// A temperature or an absolute pressure below absolute zero.
    BelowZero {
        /// Which of the two.
        dimension: Dimension,
    },
    /// Said to count from two different points: `40 kPa abs ± 2 kPa gauge`.
    TwoReferences,
}

/// Characters of the user's own text that are repeated in a message.
const REPEATED: usize = 24;

/// Longest message, characters.
const COLUMNS: usize = 80;

impl ParseError {
    /// What to write instead.
    pub fn hint(&self) -> Option<String> {
        match &self.kind {
            ParseErrorKind::MissingUnit { number } => {
                let unit = self
                    .expected
                    .iter()
                    .map(|&dimension| crate::UnitSystem::Trade.unit_for(dimension))
                    .next()?;
                Some(format!("write `{} {unit}`", clipped(number)))
            }
            ParseErrorKind::AmbiguousComma { found } => Some(format!(
                "write `{}` or `{}`",
                clipped(&found.replace(',', "")),
                clipped(&found.replace(',', "."))
            )),
            ParseErrorKind::NegativeTolerance => Some("write `± 10 %`".to_owned()),
            ParseErrorKind::TwoReferences => Some("say `abs`, `gauge` or `vacuum` once".to_owned()),
            ParseErrorKind::BelowZero {
                dimension: Dimension::Pressure,
            } => Some("write `gauge` if it counts from the ambient pressure".to_owned()),
            ParseErrorKind::TrailingText { .. }
            | ParseErrorKind::NotFinite
            | ParseErrorKind::BelowZero { .. } => None,
            _ => self.example(),
        }
    }

    fn example(&self) -> Option<String> {
        let dimension = self.expected.first()?;
        Some(format!(
            "write {}, for instance `{}`",
            dimension.with_article(),
            dimension.example()
        ))
    }

    /// The same error in a text that has `bytes` more in front.
    pub(crate) fn shifted(mut self, bytes: usize) -> Self {
        self.span = self.span.start + bytes..self.span.end + bytes;
        self
    }

    /// `a pressure or a length`, `a quantity` where any will do.
    fn wanted(&self) -> String {
        match self.expected.as_slice() {
            [] => "a quantity".to_owned(),
            [one] => one.with_article(),
            [one, two] => format!("{} or {}", one.with_article(), two.with_article()),
            [one, ..] => format!("{} or the like", one.with_article()),
        }
    }
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.kind {
            ParseErrorKind::Empty => write!(f, "{} is missing here", self.wanted()),
            ParseErrorKind::TooLong { length } => write!(f, "{length} bytes are too long for a quantity"),
            ParseErrorKind::NotANumber { found } => write!(f, "`{}` is not a number", clipped(found)),
            ParseErrorKind::AmbiguousComma { found } => {
                write!(f, "`{}` can be read in two ways", clipped(found))
            }
            ParseErrorKind::NotFinite => write!(f, "the number is too large"),
            ParseErrorKind::MissingUnit { number } => write!(f, "`{}` has no unit", clipped(number)),
            ParseErrorKind::UnknownUnit {
                found,
                nearest: Some(nearest),
            } => {
                write!(f, "`{}` is not a unit; nearest is `{nearest}`", clipped(found))
            }
            ParseErrorKind::UnknownUnit { found, nearest: None } => {
                write!(f, "`{}` is not a unit", clipped(found))
            }
            ParseErrorKind::WrongDimension { unit, found } => {
                let is = format!("`{}` is {}", clipped(unit), found.with_article());
                let first = self
                    .expected
                    .first()
                    .map_or_else(String::new, |one| one.with_article());
                // The hint names what is wanted as well, so that the line may leave it out where it is too long.
                let lines = [
                    format!("{is}, not {}", self.wanted()),
                    format!("{is}, not {first} or the like"),
                ];
                f.write_str(
                    lines
                        .iter()
                        .find(|line| line.chars().count() <= COLUMNS)
                        .unwrap_or(&is),
                )
            }
            ParseErrorKind::TrailingText { found } => {
                write!(f, "`{}` does not belong behind the quantity", clipped(found))
            }
            ParseErrorKind::NegativeTolerance => write!(f, "a tolerance cannot be negative"),
            ParseErrorKind::BelowZero {
                dimension: Dimension::Pressure,
            } => {
                write!(f, "an absolute pressure cannot be negative")
            }
            ParseErrorKind::BelowZero { .. } => write!(f, "no temperature lies below absolute zero"),
            ParseErrorKind::TwoReferences => write!(f, "the two pressures count from different points"),
        }
    }
}

impl std::error::Error for ParseError {}

/// The user's own text, short enough for a line and without control characters.
fn clipped(text: &str) -> String {
    let mut shown: String = text
        .chars()
        .take(REPEATED)
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    if text.chars().count() > REPEATED {
        shown.push('…');
    }
    shown
}
