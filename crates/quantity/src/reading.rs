//! What a person records of a check: a value, a bound, a yes or no, or that it could not be done.

use crate::piece::Piece;
use crate::{Dimension, ParseError, Parsed, parse};

/// What was recorded of a check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReadingValue {
    /// A value.
    Value(Parsed),
    /// More than this.
    Over(Parsed),
    /// Less than this.
    Under(Parsed),
    /// Yes.
    Yes,
    /// No.
    No,
    /// The check was not or could not be done: no evidence.
    NotDone,
}

/// Longest first where one begins another.
const OVER: &[&str] = &[
    ">=",
    ">",
    "≥",
    "over",
    "more than",
    "greater than",
    "at least",
    "above",
];
const UNDER: &[&str] = &["<=", "<", "≤", "under", "less than", "at most", "below"];
const NOT_DONE: &[&str] = &[
    "could not do it",
    "couldn't do it",
    "can't do it",
    "could not",
    "not done",
    "skipped",
    "could not reach",
    "could not reach it",
    "can't reach",
    "can't reach it",
    "not sure",
];

/// Reads what a person records of a check: `21.5 inHg`, `> 20 inHg`, `less than 3 V`, `yes`, `could not do it`.
///
/// A bound counts from the value itself: a meter cannot tell `>` from `≥`.
///
/// # Errors
/// As [`parse`], with the span in the whole of `text`.
pub fn parse_reading(text: &str, accepted: &[Dimension]) -> Result<ReadingValue, ParseError> {
    let piece = Piece::new(text).trimmed();
    if let Some(answer) = answer(piece.text()) {
        return Ok(answer);
    }
    let over = OVER
        .iter()
        .find_map(|word| behind(piece, word))
        .map(|rest| (rest, true));
    let under = || {
        UNDER
            .iter()
            .find_map(|word| behind(piece, word))
            .map(|rest| (rest, false))
    };
    match over.or_else(under) {
        None => parse(text, accepted).map(ReadingValue::Value),
        Some((rest, is_over)) => {
            let bound = parse(rest.text(), accepted).map_err(|error| error.shifted(rest.span().start))?;
            Ok(if is_over {
                ReadingValue::Over(bound)
            } else {
                ReadingValue::Under(bound)
            })
        }
    }
}

fn answer(text: &str) -> Option<ReadingValue> {
    // Nothing longer is an answer.
    if text.len() > 40 {
        return None;
    }
    let words = text.to_lowercase().replace('’', "'");
    match words.as_str() {
        "yes" | "y" => Some(ReadingValue::Yes),
        "no" | "n" => Some(ReadingValue::No),
        other if NOT_DONE.contains(&other) => Some(ReadingValue::NotDone),
        _ => None,
    }
}

/// What follows if `piece` begins with `word`, in upper or lower case.
fn behind<'t>(piece: Piece<'t>, word: &str) -> Option<Piece<'t>> {
    let start = piece.text().get(..word.len())?;
    let (_, rest) = start
        .eq_ignore_ascii_case(word)
        .then(|| piece.split_at(word.len()))?;
    let ends_here = !word.ends_with(|c: char| c.is_ascii_alphabetic())
        || !rest.text().starts_with(|c: char| c.is_alphanumeric());
    ends_here.then(|| rest.trimmed())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]

    use super::*;
    use crate::ParseErrorKind;
    use Dimension::{Pressure, Voltage};

    fn check(text: &str, dimension: Dimension, expected: &str) {
        let shown = match parse_reading(text, &[dimension]).unwrap() {
            ReadingValue::Value(parsed) => format!("= {}", parsed.quantity.in_unit(parsed.unit)),
            ReadingValue::Over(parsed) => format!("> {}", parsed.quantity.in_unit(parsed.unit)),
            ReadingValue::Under(parsed) => format!("< {}", parsed.quantity.in_unit(parsed.unit)),
            ReadingValue::Yes => "yes".into(),
            ReadingValue::No => "no".into(),
            ReadingValue::NotDone => "not done".into(),
        };
        assert_eq!(shown, expected, "{text:?}");
    }

    #[test]
    fn a_value_or_a_bound() {
        check("12.5 V", Voltage, "= 12.5");
        for over in [
            "> 20 V",
            ">20 V",
            ">=20 V",
            "≥ 20 V",
            "over 20 V",
            "More than 20 V",
            "at least 20 V",
            "above 20 V",
        ] {
            check(over, Voltage, "> 20");
        }
        for under in [
            "< 3 V",
            "<= 3 V",
            "≤3 V",
            "under 3 V",
            "less than 3 V",
            "BELOW 3 V",
            "at most 3 V",
        ] {
            check(under, Voltage, "< 3");
        }
    }

    #[test]
    fn an_answer() {
        for yes in ["yes", "Yes", " y "] {
            check(yes, Voltage, "yes");
        }
        check("no", Voltage, "no");
        for not_done in [
            "could not do it",
            "Couldn't do it",
            "couldn’t do it",
            "not done",
            "can't reach it",
        ] {
            check(not_done, Voltage, "not done");
        }
    }

    #[test]
    fn the_reference_goes_with_the_bound() {
        let reading = parse_reading("more than 20 inHg vacuum", &[Pressure]).unwrap();
        assert!(
            matches!(reading, ReadingValue::Over(parsed) if parsed.reference == crate::PressureReference::Vacuum)
        );
    }

    #[test]
    fn the_culprit_is_found_behind_the_words() {
        let text = "more than 20 inhgg";
        let error = parse_reading(text, &[Pressure]).unwrap_err();
        assert_eq!(&text[error.span], "inhgg");
        let text = ">";
        let error = parse_reading(text, &[Pressure]).unwrap_err();
        assert_eq!((error.kind, error.span), (ParseErrorKind::Empty, 1..1));
        let error = parse_reading("overt 5 V", &[Voltage]).unwrap_err();
        assert_eq!(
            error.kind,
            ParseErrorKind::NotANumber {
                found: "overt".into()
            }
        );
    }
}
