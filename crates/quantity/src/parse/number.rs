//! Numbers as people write them.

use crate::ParseErrorKind;

/// Bytes at the start of `text` that look like a number; 0 if none do.
pub(super) fn length(text: &str) -> usize {
    let sign = text
        .chars()
        .next()
        .filter(|&c| is_sign(c))
        .map_or(0, char::len_utf8);
    let body = sign + prefix(&text[sign..], |c| c.is_ascii_digit() || matches!(c, '.' | ','));
    if !text[sign..body].contains(|c: char| c.is_ascii_digit()) {
        return 0;
    }
    body + exponent(&text[body..])
}

/// Bytes of `e-3`; 0 if an `e` is followed by no digit, so that it may begin a unit.
fn exponent(text: &str) -> usize {
    let Some(after) = text.strip_prefix(['e', 'E']) else {
        return 0;
    };
    let sign = after
        .chars()
        .next()
        .filter(|&c| is_sign(c))
        .map_or(0, char::len_utf8);
    match prefix(&after[sign..], |c| c.is_ascii_digit()) {
        0 => 0,
        digits => 1 + sign + digits,
    }
}

fn prefix(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

fn is_sign(c: char) -> bool {
    matches!(c, '+' | '-' | '\u{2212}')
}

/// The value of what [`length`] found.
pub(super) fn value(text: &str) -> Result<f64, ParseErrorKind> {
    if reads_in_two_ways(text) {
        return Err(ParseErrorKind::AmbiguousComma {
            found: text.to_owned(),
        });
    }
    let not_a_number = || ParseErrorKind::NotANumber {
        found: text.to_owned(),
    };
    let commas = text.matches(',').count();
    if commas > 1 || (commas == 1 && text.contains('.')) {
        return Err(not_a_number());
    }
    let plain = text.replace(',', ".").replace('\u{2212}', "-");
    let value: f64 = plain.parse().map_err(|_| not_a_number())?;
    if value.is_finite() {
        Ok(value)
    } else {
        Err(ParseErrorKind::NotFinite)
    }
}

/// `1,600` is 1600 where commas part thousands and 1.6 where they are decimal. `0,600` and `12,60` are not in doubt.
fn reads_in_two_ways(text: &str) -> bool {
    let Some((before, after)) = text.trim_start_matches(is_sign).split_once(',') else {
        return false;
    };
    let digits = |part: &str| part.chars().all(|c| c.is_ascii_digit());
    (1..=3).contains(&before.len())
        && !before.starts_with('0')
        && digits(before)
        && after.len() == 3
        && digits(after)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: Option<(f64, &str)>) {
        let (number, rest) = text.split_at(length(text));
        assert_eq!(
            value(number).ok().map(|value| (value, rest)),
            expected,
            "{text:?}"
        );
    }

    #[test]
    fn numbers_end_where_the_unit_begins() {
        check("21.5 inHg", Some((21.5, " inHg")));
        check("12V", Some((12.0, "V")));
        check("-60 kPa", Some((-60.0, " kPa")));
        check("\u{2212}60 kPa", Some((-60.0, " kPa")));
        check("+5 V", Some((5.0, " V")));
        check(".5 mm", Some((0.5, " mm")));
        check("5. mm", Some((5.0, " mm")));
        check("780 1/min", Some((780.0, " 1/min")));
    }

    #[test]
    fn an_e_needs_digits_to_be_an_exponent() {
        check("1e3 V", Some((1e3, " V")));
        check("1.5E-3 V", Some((1.5e-3, " V")));
        check("1e\u{2212}3 V", Some((1e-3, " V")));
        check("1e V", Some((1.0, "e V")));
    }

    #[test]
    fn a_comma_is_decimal_where_it_cannot_part_thousands() {
        check("1,2 mm", Some((1.2, " mm")));
        check("0,125 mm", Some((0.125, " mm")));
        check("12,60 V", Some((12.6, " V")));
        check("1234,567 m", Some((1234.567, " m")));
        assert_eq!(
            value("1,600"),
            Err(ParseErrorKind::AmbiguousComma {
                found: "1,600".into()
            })
        );
        assert_eq!(
            value("-1,600"),
            Err(ParseErrorKind::AmbiguousComma {
                found: "-1,600".into()
            })
        );
        check("1,234,567 m", None);
        check("1,234.5 m", None);
    }

    #[test]
    fn what_is_no_number() {
        for text in ["", "-", "V", "e3", "inf V", "nan", "1.2.3", ",", "1e999"] {
            check(text, None);
        }
        assert_eq!(value("1e999"), Err(ParseErrorKind::NotFinite));
    }
}
