//! The unit a misspelt one was probably meant to be.

/// The spelling among `known` nearest to `word`, if it is near.
///
/// Compared is only the middle where the two differ, after all that agrees at the front and at the end: one letter too
/// many, too few or wrong, or two swapped, make a middle of one. Units are short, so a middle of one is near, of two only in five letters
/// or more.
pub(crate) fn nearest(word: &str, known: impl IntoIterator<Item = &'static str>) -> Option<&'static str> {
    let limit = if word.chars().count() < 5 { 1 } else { 2 };
    known
        .into_iter()
        .filter(|spelling| spelling.chars().count() > 1)
        .map(|spelling| (differing(word, spelling), spelling))
        .filter(|&(middle, _)| middle <= limit)
        .min_by_key(|&(middle, _)| middle)
        .map(|(_, spelling)| spelling)
}

/// Length of the longer middle, counted in characters; upper and lower case count alike, two swapped letters as one.
fn differing(a: &str, b: &str) -> usize {
    let folded = |text: &str| -> Vec<char> { text.chars().flat_map(char::to_lowercase).collect() };
    let (a, b) = (folded(a), folded(b));
    let front = a.iter().zip(&b).take_while(|(x, y)| x == y).count();
    let (a, b) = (&a[front..], &b[front..]);
    let back = a
        .iter()
        .rev()
        .zip(b.iter().rev())
        .take_while(|(x, y)| x == y)
        .count();
    match (&a[..a.len() - back], &b[..b.len() - back]) {
        ([x, y], [z, w]) if x == w && y == z => 1,
        (a, b) => a.len().max(b.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Dimension;

    fn check(word: &str, dimension: Dimension, expected: Option<&str>) {
        assert_eq!(nearest(word, dimension.units()), expected, "{word:?}");
    }

    #[test]
    fn one_slip_is_recognised() {
        check("inhgg", Dimension::Pressure, Some("inHg"));
        check("inG", Dimension::Pressure, Some("inHg"));
        check("kPaa", Dimension::Pressure, Some("kPa"));
        check("om", Dimension::Resistance, Some("ohm"));
        check("rmp", Dimension::RotationalSpeed, Some("rpm"));
        check("L/mn", Dimension::VolumeFlow, Some("L/min"));
    }

    #[test]
    fn a_foreign_word_is_not() {
        check("furlong", Dimension::Length, None);
        check("x", Dimension::Voltage, None);
        check("", Dimension::Voltage, None);
    }
}
