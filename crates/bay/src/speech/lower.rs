//! What lower rooms say, in the language of whoever looks: they speak English, and files in `lower/` hold what that is in
//! German and Spanish, by the English text itself, as gettext does.
//!
//! A key may have holes, `{part}`: what stands there is looked up by itself, `{at:name}` is a name and stays, `{n:figure}`
//! and `{price:money}` take the language's decimal mark, `{why:said}` was said by a person and stays. A text without an entry is tried in
//! pieces: its sentences, its clauses, a list, a fault's name. What is found nowhere stays English and is marked so.

mod catalogue;
mod pattern;

use super::{Language, manner, with_commas};
use catalogue::{Catalogue, catalogue};
use maud::{Markup, Render, html};
use pattern::{Hole, Kind};

/// How deep what stands in holes is looked up; no text of ours goes deeper.
const DEEPEST: usize = 6;

/// A run of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Run {
    /// In the language of whoever looks, or in none: a name, a figure.
    Said(String),
    /// Left in English.
    English(String),
}

/// A text as it was heard.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Heard(Vec<Run>);

impl Heard {
    fn said(text: impl Into<String>) -> Self {
        Self(vec![Run::Said(text.into())])
    }

    fn english(text: impl Into<String>) -> Self {
        Self(vec![Run::English(text.into())])
    }

    fn push(&mut self, run: Run) {
        match (self.0.last_mut(), &run) {
            (Some(Run::Said(before)), Run::Said(text)) | (Some(Run::English(before)), Run::English(text)) => {
                before.push_str(text);
            }
            _ => self.0.push(run),
        }
    }

    fn add(&mut self, text: &str) {
        if !text.is_empty() {
            self.push(Run::Said(text.to_owned()));
        }
    }

    fn extend(&mut self, other: Self) {
        for run in other.0 {
            self.push(run);
        }
    }

    fn is_whole(&self) -> bool {
        self.0.iter().all(|run| matches!(run, Run::Said(_)))
    }

    fn capital(mut self) -> Self {
        if let Some(Run::Said(text) | Run::English(text)) = self.0.first_mut() {
            let mut letters = text.chars();
            let first = letters.next().map(char::to_uppercase);
            *text = first.into_iter().flatten().chain(letters).collect();
        }
        self
    }

    /// A capital in front, a full stop behind.
    pub(crate) fn sentence(self) -> Self {
        let mut heard = self.capital();
        if let Some(Run::Said(text) | Run::English(text)) = heard.0.last_mut()
            && !text.ends_with(['.', '!', '?', ':'])
        {
            text.push('.');
        }
        heard
    }

    /// Without marks, where an attribute or a figure's label cannot have any.
    pub(crate) fn plain(&self) -> String {
        let texts = self.0.iter().map(|run| match run {
            Run::Said(text) | Run::English(text) => text.as_str(),
        });
        texts.collect()
    }

    /// `en` where something in it stayed English: for an element whose words stand in attributes.
    pub(crate) fn lang(&self) -> Option<&'static str> {
        (!self.is_whole()).then_some("en")
    }
}

impl Render for Heard {
    fn render(&self) -> Markup {
        html! {
            @for run in &self.0 {
                @match run { Run::Said(text) => (text), Run::English(text) => span lang="en" { (text) } }
            }
        }
    }
}

/// A text of a lower room in the language of whoever looks.
pub(crate) fn lower(text: impl AsRef<str>) -> Heard {
    let text = text.as_ref();
    match manner().language {
        Language::English => Heard::said(text),
        Language::German => within(text, catalogue(), Tongue(0)),
        Language::Spanish => within(text, catalogue(), Tongue(1)),
    }
}

/// The same without marks.
pub(crate) fn plain(text: impl AsRef<str>) -> String {
    lower(text).plain()
}

/// What no entry says, of a text: English in the midst of another language.
#[cfg(test)]
pub(crate) fn missing(text: &str) -> Vec<String> {
    let heard = within(text, catalogue(), Tongue(0));
    let runs = heard.0.into_iter().filter_map(|run| match run {
        Run::English(text) => Some(text),
        Run::Said(_) => None,
    });
    runs.collect()
}

/// Which text of an entry is meant.
#[derive(Debug, Clone, Copy)]
struct Tongue(usize);

impl Tongue {
    /// Between the last two of a list.
    fn and(self) -> &'static str {
        [" und ", " y "][self.0]
    }

    fn or(self) -> &'static str {
        [" oder ", " o "][self.0]
    }
}

fn within(text: &str, catalogue: &Catalogue, tongue: Tongue) -> Heard {
    let words: Vec<&str> = text.split_whitespace().collect();
    Hearing { catalogue, tongue }.heard(&words.join(" "), 0)
}

#[derive(Clone, Copy)]
struct Hearing<'c> {
    catalogue: &'c Catalogue,
    tongue: Tongue,
}

impl Hearing<'_> {
    fn heard(self, text: &str, depth: usize) -> Heard {
        if let Some(known) = self.catalogue.plain(text) {
            return Heard::said(&known[self.tongue.0]);
        }
        if neutral(text) {
            return Heard::said(with_commas(text));
        }
        if depth > DEEPEST {
            return Heard::english(text);
        }
        // Sentences before patterns: what a person said in the first would take the others along.
        let apart = split_sentence(text).and_then(|(one, rest)| self.both(one, " ", rest, depth));
        if let Some(whole) = apart.as_ref().filter(|heard| heard.is_whole()) {
            return whole.clone();
        }
        let mut partly = None;
        for entry in self.catalogue.patterns_for(text) {
            let Some(given) = entry.key.matches(text) else {
                continue;
            };
            let heard = self.filled(entry.said(self.tongue.0), &entry.key.holes, &given, depth);
            if heard.is_whole() {
                return heard;
            }
            partly.get_or_insert(heard);
        }
        let joined = apart.or_else(|| self.joined(text, depth));
        if let Some(whole) = joined.as_ref().filter(|heard| heard.is_whole()) {
            return whole.clone();
        }
        self.as_words(text, depth)
            .or(partly)
            .or(joined)
            .unwrap_or_else(|| Heard::english(text))
    }

    /// A sentence that is known without its full stop or its capital.
    fn as_words(self, text: &str, depth: usize) -> Option<Heard> {
        if let Some(words) = text.strip_suffix('.') {
            let mut heard = self.heard(words, depth + 1);
            heard.add(".");
            return Some(heard).filter(Heard::is_whole);
        }
        let first = text.chars().next().filter(|first| first.is_uppercase())?;
        let words = format!("{}{}", first.to_lowercase(), &text[first.len_utf8()..]);
        let heard = self.heard(&words, depth + 1);
        heard.is_whole().then(|| heard.capital())
    }

    fn filled(self, said: &[pattern::Piece], holes: &[Hole], given: &[&str], depth: usize) -> Heard {
        let mut heard = Heard::default();
        for piece in said {
            match piece {
                pattern::Piece::Text(text) => heard.add(text),
                pattern::Piece::Hole(name) => {
                    let at = holes.iter().position(|hole| hole.name == *name);
                    // An entry without the hole in its key is refused by a test.
                    let Some((hole, text)) = at.and_then(|at| Some((&holes[at], given.get(at)?))) else {
                        continue;
                    };
                    match hole.kind {
                        Kind::Free => heard.extend(self.heard(text, depth + 1)),
                        Kind::Name | Kind::Said => heard.add(text),
                        Kind::Figure | Kind::Money => heard.add(&with_commas(text)),
                        Kind::Names => heard.add(&text.replace(" and ", self.tongue.and())),
                    }
                }
            }
        }
        heard
    }

    /// A sentence in pieces: clauses, what belongs to a name, several faults, a list, one fault.
    fn joined(self, text: &str, depth: usize) -> Option<Heard> {
        for between in ["; ", ": "] {
            if let Some((one, rest)) = text.split_once(between) {
                return self.both(one, between, rest, depth);
            }
        }
        for (between, said) in [
            (" + ", " + "),
            (" and ", self.tongue.and()),
            (" or ", self.tongue.or()),
            (", ", ", "),
        ] {
            // What belongs together may hold the mark itself, in front or behind.
            let splits = [text.rsplit_once(between), text.split_once(between)];
            if splits[0].is_some() {
                let heard = splits.into_iter().flatten();
                let mut heard = heard.filter_map(|(one, other)| self.both(one, said, other, depth));
                return heard.find(Heard::is_whole);
            }
        }
        let (part, fault) = text.split_once('/')?;
        let fault = self.catalogue.plain(fault)?;
        (!part.contains(' ')).then(|| Heard::said(format!("{part}/{}", fault[self.tongue.0])))
    }

    /// Both, if either is known.
    fn both(self, one: &str, between: &str, other: &str, depth: usize) -> Option<Heard> {
        let mut heard = self.heard(one, depth + 1);
        let rest = self.heard(other, depth + 1);
        let known = |heard: &Heard| heard.0.iter().any(|run| matches!(run, Run::Said(_)));
        if !known(&heard) && !known(&rest) {
            return None;
        }
        heard.add(between);
        heard.extend(rest);
        Some(heard)
    }
}

/// The first sentence with its full stop, and the rest.
fn split_sentence(text: &str) -> Option<(&str, &str)> {
    let end = ['.', '?', '!'].into_iter().filter_map(|stop| {
        let at = text.find(&format!("{stop} "))?;
        Some(at + 1)
    });
    let end = end.min()?;
    Some((&text[..end], text[end..].trim_start()))
}

/// Signs of units that are the same everywhere.
const SIGNS: &[&str] = &[
    "%", "Pa", "hPa", "kPa", "MPa", "bar", "mbar", "inHg", "inH2O", "mmHg", "psi", "m", "mm", "cm", "km",
    "mm2", "cm3", "L", "L/min", "V", "mV", "A", "mA", "ohm", "mohm", "kohm", "Mohm", "K", "°C", "N", "N/mm",
    "s", "ms", "min", "h", "rpm", "Hz", "kg/s", "g/s", "W", "Ω",
];

/// `true` of figures, units and what a program calls things, which no language changes but for the decimal mark: each word
/// begins with a digit or a sign, is a unit, or has a mark within that no word has.
fn neutral(text: &str) -> bool {
    text.split(' ').all(|word| {
        let word = word.trim_matches(['(', ')', ',', ';', ':', '.', '"', '`', '?', '!']);
        word.is_empty()
            || word.starts_with(|first: char| first.is_ascii_digit() || "<>≤≥+-−–±=~".contains(first))
            || SIGNS.contains(&word)
            || word.contains([':', '@', '.', '='])
    })
}

#[cfg(test)]
mod tests;
