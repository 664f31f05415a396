//! Reading a quantity: number, unit, where a pressure counts from, tolerance.

mod number;

use crate::piece::Piece;
use crate::{
    Dimension, ParseError, ParseErrorKind, Parsed, PressureReference, Quantity, Tolerance, Unit, spelling,
};

/// Longest text that can be a quantity, bytes. Our own choice: four times the longest sensible one.
const LONGEST: usize = 160;

/// Reads one quantity of one of the dimensions `accepted`; of any dimension if none is named.
///
/// - Number: decimal point, or a single decimal comma where it cannot be one of thousands; `-` or `−`; `1e-3`.
/// - Unit: see [`Dimension::units`]; a plain number is a ratio where one is accepted.
/// - A pressure may say `abs`, `gauge` or `vacuum` behind its unit; `psia` and its like are known.
/// - Tolerance: `±`, `+-` or `+/-`, then a quantity of the same dimension or a percentage. Of a ratio or a temperature in
///   degrees a percentage is taken of what is written: `65 % ± 5 %` is 60 to 70 %. With `12 ± 0.2 V` the unit is shared.
///
/// # Errors
/// [`ParseError`] says what is wrong, where, and what was wanted.
pub fn parse(text: &str, accepted: &[Dimension]) -> Result<Parsed, ParseError> {
    let reader = Reader { accepted };
    if text.len() > LONGEST {
        return Err(reader.error(Piece::new(text), ParseErrorKind::TooLong { length: text.len() }));
    }
    reader.quantity(Piece::new(text).trimmed())
}

/// Number, what follows it.
struct Amount<'t> {
    value: f64,
    number: Piece<'t>,
    rest: Piece<'t>,
}

struct Reader<'a> {
    accepted: &'a [Dimension],
}

impl Reader<'_> {
    fn error(&self, culprit: Piece<'_>, kind: ParseErrorKind) -> ParseError {
        ParseError {
            span: culprit.span(),
            kind,
            expected: self.accepted.to_vec(),
        }
    }

    fn quantity(&self, piece: Piece<'_>) -> Result<Parsed, ParseError> {
        let (main, tolerance) = split_tolerance(piece);
        let amount = self.amount(main)?;
        let tolerance = tolerance.map(|piece| self.amount(piece)).transpose()?;
        let (unit, mut reference) = self.unit_of(&amount, tolerance.as_ref())?;
        let quantity = Quantity::of(amount.value, unit);
        let mut spread = None;
        if let Some(tolerance) = tolerance {
            let (found, behind) = self.tolerance(&tolerance, &amount, unit)?;
            spread = Some(found);
            reference = self.one_reference(reference, behind, tolerance.rest)?;
        }
        self.check_range(quantity, reference, amount.number)?;
        Ok(Parsed {
            quantity,
            unit,
            reference,
            tolerance: spread,
        })
    }

    fn amount<'t>(&self, piece: Piece<'t>) -> Result<Amount<'t>, ParseError> {
        let piece = piece.trimmed();
        if piece.is_empty() {
            return Err(self.error(piece, ParseErrorKind::Empty));
        }
        let (number, rest) = piece.split_at(number::length(piece.text()));
        if number.is_empty() {
            let word = piece.first_word();
            return Err(self.error(
                word,
                ParseErrorKind::NotANumber {
                    found: word.text().to_owned(),
                },
            ));
        }
        let value = number::value(number.text()).map_err(|kind| self.error(number, kind))?;
        Ok(Amount {
            value,
            number,
            rest: rest.trimmed(),
        })
    }

    /// The unit behind the number, or behind the tolerance where the two share it.
    fn unit_of(
        &self,
        amount: &Amount<'_>,
        tolerance: Option<&Amount<'_>>,
    ) -> Result<(Unit, PressureReference), ParseError> {
        if !amount.rest.is_empty() {
            return self.unit(amount.rest);
        }
        if let Some(shared) = tolerance.filter(|tolerance| self.shares_unit(tolerance)) {
            return self.unit(shared.rest);
        }
        if self.accepts(Dimension::Ratio) {
            return Ok((Unit::coherent(Dimension::Ratio), PressureReference::Unstated));
        }
        let number = amount.number.text().to_owned();
        Err(self.error(amount.number, ParseErrorKind::MissingUnit { number }))
    }

    /// `true` if what stands behind a tolerance can also be the unit of the number before it: not so in `12 ± 10 %`.
    fn shares_unit(&self, tolerance: &Amount<'_>) -> bool {
        let is_share = Unit::named_for(tolerance.rest.text(), Dimension::Ratio).is_some();
        !tolerance.rest.is_empty() && (self.accepts(Dimension::Ratio) || !is_share)
    }

    fn accepts(&self, dimension: Dimension) -> bool {
        self.accepted.is_empty() || self.accepted.contains(&dimension)
    }

    /// The dimensions to look in.
    fn dimensions(&self) -> &[Dimension] {
        if self.accepted.is_empty() {
            Dimension::ALL
        } else {
            self.accepted
        }
    }

    fn unit(&self, piece: Piece<'_>) -> Result<(Unit, PressureReference), ParseError> {
        let (unit, reference, behind) = self.known_unit(piece).ok_or_else(|| self.unknown_unit(piece))?;
        let written = piece
            .split_at(piece.text().len() - behind.text().len())
            .0
            .trimmed();
        if !self.accepts(unit.dimension()) {
            let kind = ParseErrorKind::WrongDimension {
                unit: written.text().to_owned(),
                found: unit.dimension(),
            };
            return Err(self.error(written, kind));
        }
        if !behind.is_empty() {
            return Err(self.error(
                behind,
                ParseErrorKind::TrailingText {
                    found: behind.text().to_owned(),
                },
            ));
        }
        Ok((unit, reference))
    }

    /// The longest row of words from the start of `piece` that is a unit, where it counts from, and the words behind.
    fn known_unit<'t>(&self, piece: Piece<'t>) -> Option<(Unit, PressureReference, Piece<'t>)> {
        let mut front = piece;
        loop {
            if let Some((unit, reference)) = self.unit_with_reference(front) {
                let behind = piece.split_at(front.span().end - piece.span().start).1.trimmed();
                return Some((unit, reference, behind));
            }
            front = front.split_last_word()?.0;
        }
    }

    fn unit_with_reference(&self, piece: Piece<'_>) -> Option<(Unit, PressureReference)> {
        if let Some(unit) = self.find(piece.text()) {
            return Some((unit, PressureReference::Unstated));
        }
        let (unit, reference) = match piece.split_last_word() {
            Some((unit, word)) => (unit, PressureReference::from_word(word.text())?),
            None => glued_reference(piece)?,
        };
        let unit = self.find(unit.text())?;
        (unit.dimension() == Dimension::Pressure).then_some((unit, reference))
    }

    /// A unit wanted here, else any unit, so that the error can say what was found.
    fn find(&self, spelling: &str) -> Option<Unit> {
        if spelling.is_empty() {
            return None;
        }
        Unit::find(spelling, self.dimensions()).or_else(|| Unit::named(spelling))
    }

    fn unknown_unit(&self, piece: Piece<'_>) -> ParseError {
        let culprit = match piece.split_last_word() {
            Some((unit, word)) if PressureReference::from_word(word.text()).is_some() => unit,
            _ => piece,
        };
        let known = self.dimensions().iter().flat_map(|dimension| dimension.units());
        let nearest = spelling::nearest(culprit.text(), known);
        self.error(
            culprit,
            ParseErrorKind::UnknownUnit {
                found: culprit.text().to_owned(),
                nearest,
            },
        )
    }

    /// The tolerance, and the reference written behind it.
    fn tolerance(
        &self,
        tolerance: &Amount<'_>,
        main: &Amount<'_>,
        unit: Unit,
    ) -> Result<(Tolerance, PressureReference), ParseError> {
        if tolerance.value < 0.0 {
            return Err(self.error(tolerance.number, ParseErrorKind::NegativeTolerance));
        }
        let (own, reference) = Self::tolerance_unit(tolerance, unit.dimension())?;
        let size = tolerance.value * own.factor();
        let spread = if own.dimension() == unit.dimension() {
            Tolerance::Absolute(size)
        } else if unit.offset() == 0.0 {
            Tolerance::Relative(size)
        } else {
            Tolerance::Absolute(size * main.value.abs() * unit.factor())
        };
        let finite =
            matches!(spread, Tolerance::Absolute(size) | Tolerance::Relative(size) if size.is_finite());
        if finite {
            Ok((spread, reference))
        } else {
            Err(self.error(tolerance.number, ParseErrorKind::NotFinite))
        }
    }

    /// The unit of a tolerance: of the quantity's own dimension, or a percentage. A bare number is neither.
    fn tolerance_unit(
        tolerance: &Amount<'_>,
        dimension: Dimension,
    ) -> Result<(Unit, PressureReference), ParseError> {
        if tolerance.rest.is_empty() {
            return Reader {
                accepted: &[dimension],
            }
            .unit_of(tolerance, None);
        }
        Reader {
            accepted: &[dimension, Dimension::Ratio],
        }
        .unit(tolerance.rest)
    }

    fn one_reference(
        &self,
        main: PressureReference,
        behind: PressureReference,
        culprit: Piece<'_>,
    ) -> Result<PressureReference, ParseError> {
        match (main, behind) {
            (one, PressureReference::Unstated) | (PressureReference::Unstated, one) => Ok(one),
            (one, two) if one == two => Ok(one),
            _ => Err(self.error(culprit, ParseErrorKind::TwoReferences)),
        }
    }

    fn check_range(
        &self,
        quantity: Quantity,
        reference: PressureReference,
        number: Piece<'_>,
    ) -> Result<(), ParseError> {
        let dimension = quantity.dimension();
        let counts_from_nothing = match dimension {
            Dimension::Temperature => true,
            Dimension::Pressure => reference == PressureReference::Absolute,
            _ => false,
        };
        if !quantity.si().is_finite() {
            return Err(self.error(number, ParseErrorKind::NotFinite));
        }
        if counts_from_nothing && quantity.si() < 0.0 {
            return Err(self.error(number, ParseErrorKind::BelowZero { dimension }));
        }
        Ok(())
    }
}

/// `psia`, `barg`: unit and reference in one word.
fn glued_reference(piece: Piece<'_>) -> Option<(Piece<'_>, PressureReference)> {
    let reference = match piece.text().to_lowercase().as_str() {
        "psia" | "bara" | "bar(a)" => PressureReference::Absolute,
        "psig" | "barg" | "bar(g)" => PressureReference::Gauge,
        _ => return None,
    };
    // All of these units are three letters.
    Some((piece.split_at(3).0, reference))
}

/// What stands before and behind the first sign of a tolerance.
fn split_tolerance(piece: Piece<'_>) -> (Piece<'_>, Option<Piece<'_>>) {
    let signs = ["±", "+/-", "+-"];
    let first = signs
        .into_iter()
        .filter_map(|sign| piece.text().find(sign).map(|at| (at, sign.len())))
        .min();
    match first {
        None => (piece, None),
        Some((at, length)) => {
            let (main, rest) = piece.split_at(at);
            (main, Some(rest.split_at(length).1))
        }
    }
}

#[cfg(test)]
mod tests;
