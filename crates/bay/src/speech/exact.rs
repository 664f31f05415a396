//! How right an instrument is, `class 1.6 of 4 bar`, in the words of the page's language, and back as the desk reads it.

use super::{Language, figures, manner, said};
use std::fmt::Display;

/// The words of it as the desk has them, in the order of `said::exact_words`.
const WORDS: [&str; 5] = ["class", "grade", "of", "digits", "digit"];

/// As the page says it.
pub(crate) fn exact(accuracy: impl Display) -> String {
    let own = own();
    let own = own.each_ref().map(String::as_str);
    figures(&exchanged(&accuracy.to_string(), &WORDS, &own))
}

/// What a person typed, as the desk keeps it: its words English, its figures with points.
pub(crate) fn exact_read(typed: &str) -> String {
    let own = own();
    let own = own.each_ref().map(String::as_str);
    let words = exchanged(typed, &own, &WORDS);
    match manner().language {
        Language::English => words,
        Language::German | Language::Spanish => words.replace(',', "."),
    }
}

fn own() -> [String; 5] {
    [
        said::exact_class(),
        said::exact_grade(),
        said::exact_of(),
        said::exact_digits(),
        said::exact_digit(),
    ]
}

fn exchanged(text: &str, from: &[&str; 5], to: &[&str; 5]) -> String {
    let words = text.split_whitespace().map(|word| {
        let lower = word.to_lowercase();
        let known = from.iter().position(|from| from.to_lowercase() == lower);
        known.map_or(word, |index| to[index])
    });
    words.collect::<Vec<_>>().join(" ")
}
