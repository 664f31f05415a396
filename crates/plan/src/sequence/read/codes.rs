//! The codes of the findings on a table for the planner.
//!
//! A code is permanent: it is never used for anything else, and never taken away while people may have it in their notes.
//! Each has an explanation of a few sentences that stands on its own.

macro_rules! codes {
    ($($name:ident $code:literal $text:literal;)*) => {
        $(#[doc = $text] pub(super) const $name: &str = $code;)*
        /// Every code in order, with its explanation.
        const ALL: &[(&str, &str)] = &[$(($code, $text)),*];
    };
}

codes! {
    SYNTAX "S001" "The text is not JSON: a bracket or a text is not closed, a colon is missing, a word stands where no word can. Nothing behind this place was read.";
    LOOSE "S002" "This is understood, but it is not JSON: a comment, a comma too many or too few, a key without quotes, single quotes, a number such as `+1`, `.5` or `NaN`. Other programs would refuse the file.";
    TOO_LARGE "S003" "The table is larger than any that can be planned with: more than 64 mebibytes, 5,000 causes, 200,000 objects or four million values.";
    MORE "S004" "There are more findings than are worth listing at once. Mend those shown and read the file again.";
    WRONG_TYPE "S010" "A value has another form than this key takes: a text where a number belongs, an object where a list belongs.";
    UNKNOWN_KEY "S011" "An object has a key that it does not know.";
    MISSING_KEY "S012" "An object lacks a key that it cannot do without.";
    DUPLICATE_KEY "S013" "A key is written twice in one object. Which of the two counts would be a guess.";
    EMPTY "S014" "A name is empty. Causes, tests and set-ups are told apart by their names.";
    UNKNOWN_WORD "S015" "A word is not among those this key takes.";
    NOT_FINITE "S020" "A number is too large to be calculated with.";
    PROBABILITY "S021" "A probability lies outside 0 to 1.";
    NEGATIVE "S022" "A cost or a prior is negative.";
    PRIORS "S023" "The priors do not sum to 1 within a thousandth. Exactly one of the causes is there, so one of them is missing or a figure is wrong; priors that are only ratios can be scaled when asked for.";
    NO_CAUSE "S030" "The table has no cause. Without one there is nothing to look for.";
    SAME_NAME "S031" "Two causes, two tests or two set-ups have the same name. What is planned could not be told apart.";
    LENGTH "S032" "A test needs exactly one probability for each cause, in the order of the causes.";
    UNKNOWN_SETUP "S033" "There is no such set-up in this table.";
    SOME_REPAIRS "S034" "Some causes have a repair and others have none. Either all have one, and the aim is that it works again; or none has, and the aim is a name.";
    REPAIRS_AND_WRONG_COST "S035" "`wrong_cost` is what naming the wrong cause costs where nothing is repaired. With repairs a wrong one is paid for by the next.";
    UNUSED_SETUP "S040" "No test and no repair needs this set-up.";
    SETUP_WITHOUT_REPAIR "S041" "A cause names the set-up of its repair, but has no repair. The set-up counts for nothing there.";
}

/// What the finding `code` on a table means, in a few sentences; `None` if no such code exists.
///
/// ```
/// assert!(plan::explain("S023").is_some_and(|text| text.contains("sum to 1")));
/// ```
pub fn explain(code: &str) -> Option<&'static str> {
    ALL.iter()
        .find(|(known, _)| *known == code)
        .map(|(_, text)| *text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_unique_and_in_order() {
        assert!(ALL.windows(2).all(|pair| pair[0].0 < pair[1].0));
    }
}
