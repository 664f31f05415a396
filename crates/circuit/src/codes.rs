//! The codes of the findings on a circuit file and a readings file.
//!
//! A code is permanent: it is never used for anything else, and never taken away while people may have it in their notes.
//! Each has an explanation of a few sentences that stands on its own.

macro_rules! codes {
    (@flag whole) => { true };
    (@flag) => { false };
    ($($name:ident $code:literal $(($whole:ident))? $text:literal;)*) => {
        $(#[doc = $text] pub(crate) const $name: &str = $code;)*
        /// Every code in order: its explanation, and whether it says that something is missing. After a syntax error
        /// such a finding may be an echo.
        const ALL: &[(&str, &str, bool)] = &[$(($code, $text, codes!(@flag $($whole)?))),*];
    };
}

codes! {
    SYNTAX "C001" "The text is not TOML. Texts stand in quotes, a list ends with `]`, a table's header stands on its own line. Only the first three such findings are shown: the later ones are often echoes of the first.";
    DUPLICATE "C002" "A name is written twice. A table may have one header only and a key one value only. To join a port to several others write a list: `to = [\"a.port\", \"b.port\"]`.";
    TOO_LARGE "C003" "The file is larger than any circuit needs. Files of more than one mebibyte are not read.";
    NOT_UTF8 "C004" "The file is not UTF-8 text. Save it as UTF-8; the finding says at which byte it stops being so.";
    MORE "C005" "There are more findings than are worth listing at once. Mend those shown and read the file again.";
    WRONG_TYPE "C010" "A value has another form than this key takes: a text where a list belongs, a table where a text belongs.";
    UNKNOWN_TABLE "C011" "A table has a name that a circuit file does not know.";
    UNKNOWN_KEY "C012" "A table has a key that it does not know.";
    MISSING_KEY "C013" (whole) "A table lacks a key that it cannot do without.";
    ILLEGAL_ID "C014" "Names of parts, conditions and accesses are made of the letters a to z, A to Z, digits, `-` and `_`, so that they never need quotes.";
    SAME_BUT_CASE "C015" "Two names differ in capital letters only. One of them would be read for the other.";
    EMPTY "C016" "A text is empty where words are needed.";
    TROUBLE_CODE "C017" "Not a trouble code in the form of SAE J2012: P, B, C or U, a digit from 0 to 3, then three hexadecimal digits.";
    OFF_IS_OFF "C018" "The condition `off` always exists, with the engine standing and no supply. Its `what` can be given, nothing else.";
    UNREADABLE "C020" "A quantity cannot be read: no number, or a unit that is not known.";
    NO_UNIT "C021" "A number stands without a unit. Every quantity in a file carries its unit.";
    WRONG_DIMENSION "C022" "A quantity is of another sort than this key takes: a voltage where a length belongs.";
    OUT_OF_RANGE "C023" "A value lies outside the range in which this can physically be. Often the unit is the wrong one.";
    TOLERANCE "C024" "A tolerance makes no sense: negative, or larger than the value itself.";
    REFERENCE "C025" "A pressure is given against the wrong reference: `abs`, `gauge` or `vacuum` where that cannot be meant.";
    UNKNOWN_WORD "C026" "A word is not among those this key takes.";
    NUMBER_RANGE "C027" "A plain number is negative, too large or not a number.";
    UNKNOWN_KIND "C030" "There is no such kind of part.";
    UNKNOWN_PART "C031" (whole) "There is no such part in this file.";
    UNKNOWN_PORT "C032" "The part has no such port. A port is written `part.port`.";
    UNKNOWN_FAULT "C033" "The part has no such fault. A fault is written `part/fault`.";
    UNKNOWN_ACCESS "C035" (whole) "There is no such access in this file.";
    UNKNOWN_CHECK "C036" (whole) "There is no such check on this circuit. A check is written `METHOD:PLACE@CONDITION`.";
    UNKNOWN_PARAMETER "C037" "The kind has neither a parameter nor a port of this name.";
    NOT_JOINED "C040" (whole) "A port that must be joined is not. What is to be there: a line, a wire, a plug?";
    MEDIA "C041" "Two ports are joined that carry different things, such as air and electric current.";
    SELF_JOINED "C042" "A port is joined to itself.";
    SHORTED "C043" "Two ports of the same part are joined to each other. Whatever flows would pass the part by.";
    STATED_TWICE "C044" "A connection is stated twice. Once is enough: a port joined to another is joined from both sides.";
    NO_PART "C045" (whole) "The file has no part.";
    TOO_MANY "C046" "There are more of these than can be handled.";
    NO_SOURCE "C047" (whole) "Nothing supplies this medium: there is no pump, no battery, no other source.";
    CUT_OFF "C048" (whole) "A part has no way to any source of what flows through it. A connection is missing somewhere between.";
    SAME_PLACE "C049" "Two parts are pinned to the same place of the drawing. A place is a column, counted from the left, and a row, counted from the top; each holds one part.";
    NOT_COMMANDED "C050" "A condition commands a part that takes no command.";
    COMMAND "C051" "A command is not understood. A switch takes `\"on\"` or `\"off\"`, a valve or driver with a duty takes `\"0 %\"` to `\"100 %\"`.";
    COMMAND_DRIVER "C052" "A part is commanded whose coil is joined to a circuit. What drives that circuit is what has to be commanded.";
    POWER "C053" "A condition contradicts itself: it has no power, yet a supply, a command or a running engine.";
    UNDER "C054" "A condition is `under` something that brings out no fault; it takes heat, shaking, wet and load.";
    LOAD "C055" "A condition has a load, yet its engine stands. An engine works against a load while it turns.";
    CIRCULAR "C060" "Accesses need each other in a circle, so none of them could ever be opened.";
    REACH_TWICE "C061" "The reach of one joint is stated twice, by two of its ports.";
    REACH_OPEN "C062" "The reach of a port is stated at which nothing is joined. No check is made there.";
    PARTS_LISTED "C063" "A common cause needs at least two parts, each listed once.";
    WEIGHTS "C064" "The weights of a part's faults cannot add up to the weight of the part.";
    NO_FAULT "C065" (whole) "No fault is left: all weights are zero.";
    PRIORS "C066" "The ratios in `[prior]` leave nothing for the faults of this circuit.";
    LEAST_MOST "C067" "`[works]`, as every `[[complaint]]`, needs a least or a greatest good reading, or the good answer; a least must lie below the greatest.";
    WORKS_ANSWER "C068" "The check in `[works]` or a `[[complaint]]` is judged in the wrong way: one that reads a quantity is judged by `least` and `most`, one that is answered with yes or no by `answer`.";
    NO_READING "C071" "A reading says nothing: it needs a value, a bound or an answer.";
    SEVERAL_READINGS "C072" "A reading says several things. It has one value, or one bound, or one answer.";
    ANSWER_EXPECTED "C073" "This check is answered with yes or no; a quantity was given.";
    VALUE_EXPECTED "C074" "This check reads a quantity; a yes or no was given.";
    IMPOSSIBLE "C075" "No instrument can have shown this: a negative resistance, an absolute pressure below nothing, a vacuum deeper than the air is heavy.";
    TWO_BAROMETERS "C076" "Altitude and barometer are both given. A barometer that was read says all that the altitude could.";
    ACCURACY "C077" "The accuracy of an instrument cannot be read. A dial has a class and a span, as `class 1.6 of 4 bar`; a meter has a share of the reading and digits, as `0.5 % + 2 digits`.";
    UNKNOWN_CIRCUIT "C078" "A story names a circuit that is not shipped.";
    MADE_OF_ITSELF "C080" "A composed kind is made of itself, directly or through others, so it could never be put together.";
    TOO_DEEP "C081" "A composed kind is made of composed kinds that are made of composed kinds, and so on, further than any vehicle is.";
    KIND_TAKEN "C082" "A composed kind has the name of a shipped one. Every kind has a name of its own.";
    NAME_OUTSIDE "C083" "A port or a parameter that a composed kind shows to its users has a name that something else has already.";
    INCLUDE_NAME "C084" "An included file is named by its place beside the circuit's file: names of folders and a file that ends in `.toml`, with `/` between them. No name leads out of that folder.";
    INCLUDE_MISSING "C085" "An included file is not there, or cannot be read as text.";
    NOT_SHARED "C086" "An included file holds composed kinds, `[kind.NAME]`, and may include others. Everything else belongs into the circuit's own file.";
    TOO_MANY_FILES "C087" "More files are included than any circuit needs.";
}

/// What the finding `code` of this room means, in a few sentences; `None` if no such code exists.
///
/// ```
/// assert!(circuit::explain("C021").is_some_and(|text| text.contains("unit")));
/// ```
pub fn explain(code: &str) -> Option<&'static str> {
    ALL.iter()
        .find(|(known, ..)| *known == code)
        .map(|(_, text, _)| *text)
}

/// `true` for findings that say something is missing.
pub(crate) fn needs_the_whole(code: &str) -> bool {
    ALL.iter().any(|(known, _, whole)| *known == code && *whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_unique_and_in_order() {
        assert!(ALL.windows(2).all(|pair| pair[0].0 < pair[1].0));
    }

    #[test]
    fn missing_things_need_the_whole_file() {
        assert!(needs_the_whole(MISSING_KEY) && needs_the_whole(NOT_JOINED));
        assert!(!needs_the_whole(NO_UNIT) && !needs_the_whole(""));
    }
}
