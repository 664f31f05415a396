//! Sizes of type and distances, and words broken into lines.
//!
//! Units are tenths of a point (1 pt = 1/72 inch on paper), so that sizes stay whole numbers.

use super::letters::{hundredths, scaled, wide};

/// The smallest type on a card: 7.5 pt, a little above the 2.5 mm letters that are read at arm's length (common practice,
/// no source).
pub(crate) const SMALLEST: i32 = 75;
/// The largest running text: more helps no one.
pub(crate) const LARGEST: i32 = 100;

/// Sizes that follow from that of the running text.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Type {
    pub(crate) text: i32,
    pub(crate) heading: i32,
    pub(crate) number: i32,
    pub(crate) title: i32,
    /// Inside of a box's outline.
    pub(crate) pad: i32,
    /// Room for a number of two digits.
    pub(crate) numbers: i32,
}

impl Type {
    pub(crate) fn new(text: i32) -> Self {
        Self {
            text,
            heading: text * 115 / 100,
            number: text * 21 / 10,
            title: (text * 17 / 10).min(150),
            pad: 32,
            numbers: wide("00", text * 21 / 10, true) + 28,
        }
    }
}

/// From one line to the next.
pub(crate) fn leading(size: i32) -> i32 {
    size * 117 / 100
}

/// From a line's top to where its letters stand.
pub(crate) fn baseline(size: i32) -> i32 {
    size * 94 / 100
}

/// `text` in lines no wider than `room`. A figure stays with the word behind it; a word that is wider than a line is broken.
pub(crate) fn wrapped(text: &str, size: i32, bold: bool, room: i32) -> Vec<String> {
    let fits = |hundredths: i32| scaled(hundredths, size) <= room;
    let space = hundredths(" ", bold);
    let mut lines: Vec<String> = Vec::new();
    let (mut line, mut length) = (String::new(), 0);
    for word in words(text) {
        let own = hundredths(word, bold);
        if !line.is_empty() && fits(length + space + own) {
            line.push(' ');
            line.push_str(word);
            length += space + own;
            continue;
        }
        lines.extend((!line.is_empty()).then(|| std::mem::take(&mut line)));
        let mut rest = word;
        while !rest.is_empty() && !fits(hundredths(rest, bold)) {
            let (kept, after) = rest.split_at(breaks_at(rest, |part| fits(hundredths(part, bold))));
            lines.push(kept.to_owned());
            rest = after.trim_start();
        }
        rest.clone_into(&mut line);
        length = hundredths(rest, bold);
    }
    lines.extend((!line.is_empty()).then_some(line));
    lines
}

/// Words, a figure together with the word behind it; none longer than [`LONGEST`].
fn words(text: &str) -> Vec<&str> {
    let mut words = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let first = word_end(rest);
        let figure = rest[..first]
            .chars()
            .all(|letter| letter.is_ascii_digit() || ".,–-".contains(letter));
        let second = rest[first..].trim_start();
        let end = if figure
            && rest[first..].starts_with(' ')
            && !second.is_empty()
            && second.len() + first + 1 == rest.len()
        {
            first + 1 + word_end(second)
        } else {
            first
        };
        words.push(&rest[..end]);
        rest = rest[end..].trim_start();
    }
    words
}

/// Letters; longer words are taken as several.
const LONGEST: usize = 200;

/// Where the first word of `text` ends.
fn word_end(text: &str) -> usize {
    let limit = text.char_indices().nth(LONGEST).map_or(text.len(), |(at, _)| at);
    text[..limit].find(char::is_whitespace).unwrap_or(limit)
}

/// How many bytes of `word` fit: up to a space if there is one, or else a letter, and at least one letter.
fn breaks_at(word: &str, fits: impl Fn(&str) -> bool) -> usize {
    let ends = word.char_indices().map(|(at, letter)| at + letter.len_utf8());
    let fitting = ends.take_while(|end| fits(&word[..*end]));
    let first = word.chars().next().map_or(0, char::len_utf8);
    let end = fitting.last().unwrap_or(first);
    word[..end].rfind(' ').unwrap_or(end)
}
