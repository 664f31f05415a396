//! "Did you mean": the nearest known spelling of a word.
//!
//! Distance of Damerau (1964) and Levenshtein in its optimal string alignment form: inserted, left out and changed
//! characters and swapped neighbours count one each, and no stretch is edited twice. Upper and lower case count alike.

/// The candidate nearest to `word`, or `None` if none is near enough to be meant.
///
/// Near enough is one slip in a word of up to four characters, and one more for every three characters beyond. Of equally
/// near candidates the first is taken.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = folded(word);
    let limit = allowed_slips(word.len());
    candidates
        .into_iter()
        .map(|candidate| (distance(&word, &folded(candidate)), candidate))
        .filter(|&(slips, candidate)| slips <= limit && slips < candidate.chars().count())
        .min_by_key(|&(slips, _)| slips)
        .map(|(_, candidate)| candidate)
}

/// Slips a word of `length` characters may hold and still be recognised. Our own choice: more, and short words match anything.
fn allowed_slips(length: usize) -> usize {
    1 + length.saturating_sub(2) / 3
}

fn folded(word: &str) -> Vec<char> {
    word.chars().flat_map(char::to_lowercase).collect()
}

/// Slips between two words. Keeps three rows of the table: the current and the two above.
fn distance(from: &[char], to: &[char]) -> usize {
    let mut before = vec![0; to.len() + 1];
    let mut above: Vec<usize> = (0..=to.len()).collect();
    for row in 1..=from.len() {
        let mut current = vec![row; to.len() + 1];
        for column in 1..=to.len() {
            let changed = usize::from(from[row - 1] != to[column - 1]);
            let mut least = (above[column - 1] + changed)
                .min(above[column] + 1)
                .min(current[column - 1] + 1);
            let swapped =
                row > 1 && column > 1 && from[row - 1] == to[column - 2] && from[row - 2] == to[column - 1];
            if swapped {
                least = least.min(before[column - 2] + 1);
            }
            current[column] = least;
        }
        before = std::mem::replace(&mut above, current);
    }
    above[to.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn slips(from: &str, to: &str) -> usize {
        distance(&folded(from), &folded(to))
    }

    /// Worked examples everybody uses, from memory: Levenshtein's own pair of words, and the pair that tells the
    /// alignment form (3) from the unrestricted one (2).
    #[test]
    fn distances_of_the_well_known_pairs() {
        assert_eq!(slips("kitten", "sitting"), 3);
        assert_eq!(slips("saturday", "sunday"), 3);
        assert_eq!(slips("ca", "abc"), 3);
    }

    #[test]
    fn each_kind_of_slip_counts_one() {
        assert_eq!(slips("inlet", "inlet"), 0);
        assert_eq!(slips("inlt", "inlet"), 1);
        assert_eq!(slips("inleet", "inlet"), 1);
        assert_eq!(slips("inlat", "inlet"), 1);
        assert_eq!(slips("inelt", "inlet"), 1);
        assert_eq!(slips("", "inlet"), 5);
        assert_eq!(slips("INLET", "inlet"), 0);
    }

    fn check(word: &str, candidates: &[&str], expected: Option<&str>) {
        assert_eq!(
            nearest(word, candidates.iter().copied()),
            expected,
            "{word:?} among {candidates:?}"
        );
    }

    #[test]
    fn a_slip_is_recognised() {
        check("vlave", &["pump", "valve", "tube"], Some("valve"));
        check("bor", &["length", "bore"], Some("bore"));
        check("check vlv", &["check valve", "vane pump"], Some("check valve"));
        check("inhgg", &["inH2O", "inHg"], Some("inHg"));
    }

    #[test]
    fn another_word_is_not() {
        check("pump", &["valve", "tube"], None);
        check("x", &["A", "V"], None);
        check("bore", &[], None);
        check("", &["A"], None);
    }

    #[test]
    fn the_nearer_wins_and_the_first_of_equals() {
        check("supplyy", &["apply", "supply"], Some("supply"));
        check("tute", &["tube", "tune"], Some("tube"));
    }

    proptest! {
        /// What makes it a distance that means "slips": symmetric, zero only for equals, at most the longer word.
        #[test]
        fn distance_is_symmetric_and_bounded(a in "[a-d]{0,7}", b in "[a-d]{0,7}") {
            let there = slips(&a, &b);
            prop_assert_eq!(there, slips(&b, &a));
            prop_assert_eq!(there == 0, a == b);
            prop_assert!(there <= a.len().max(b.len()) && there >= a.len().abs_diff(b.len()));
        }

        /// Swapping two neighbours never costs more than one.
        #[test]
        fn a_swap_costs_at_most_one(word in "[a-z]{2,9}", at in 0_usize..8) {
            let mut letters: Vec<char> = word.chars().collect();
            let at = at % (letters.len() - 1);
            letters.swap(at, at + 1);
            let swapped: String = letters.into_iter().collect();
            prop_assert!(slips(&word, &swapped) <= 1);
        }
    }
}
