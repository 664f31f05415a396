//! A drawing's words in the language of whoever looks: `draw` writes English into its SVG, names and figures apart.

use super::{Language, lower, manner};

/// What holds words: where it begins, and what ends it.
const HOLDERS: [(&str, &str); 5] = [
    ("aria-label=\"", "\""),
    ("<title>", "</title>"),
    ("<desc>", "</desc>"),
    ("<text ", "</text>"),
    ("<tspan ", "</tspan>"),
];

/// Lettering that is a name: what the circuit calls its parts and ports, as readings and faults do.
const NAMES: [&str; 2] = ["class=\"id\"", "class=\"port\""];

/// The SVG with its words said in the language of whoever looks. A name before a colon, as on a part, stays.
pub(crate) fn drawn(svg: &str) -> String {
    if manner().language == Language::English {
        return svg.to_owned();
    }
    let mut said = String::with_capacity(svg.len() + 256);
    let mut rest = svg;
    while let Some((at, begin, end)) = next(rest) {
        let (before, after) = rest.split_at(at + begin.len());
        said.push_str(before);
        // A tag with attributes ends at its bracket.
        let inside = if begin.ends_with(' ') {
            after.find('>').map_or(0, |bracket| bracket + 1)
        } else {
            0
        };
        said.push_str(&after[..inside]);
        rest = &after[inside..];
        let length = rest.find(end).unwrap_or_default();
        let words = &rest[..length];
        // What holds others is looked into.
        let name = NAMES.iter().any(|class| after[..inside].starts_with(class));
        if !name && !words.contains('<') {
            let words = unescaped(words);
            // Lettering is whole; what is read aloud of a part begins with its name.
            let heard = if inside > 0 {
                lower(&words).plain()
            } else {
                named(&words)
            };
            said.push_str(&escaped(&heard));
            rest = &rest[length..];
        }
    }
    said.push_str(rest);
    said
}

fn next(text: &str) -> Option<(usize, &'static str, &'static str)> {
    let found = HOLDERS
        .iter()
        .filter_map(|(begin, end)| Some((text.find(begin)?, *begin, *end)));
    found.min_by_key(|(at, _, _)| *at)
}

/// `valve: boost control solenoid`: the name is the circuit's own. A title with a colon begins with a capital.
fn named(words: &str) -> String {
    let names = |name: &str| !name.contains(' ') && !name.starts_with(char::is_uppercase);
    match words.split_once(": ") {
        Some((name, what)) if names(name) => format!("{name}: {}", lower(what).plain()),
        _ => lower(words).plain(),
    }
}

/// The signs that XML keeps for itself, and how they are written.
const SIGNS: [(&str, &str); 5] = [
    ("&lt;", "<"),
    ("&gt;", ">"),
    ("&quot;", "\""),
    ("&#39;", "'"),
    ("&amp;", "&"),
];

fn unescaped(text: &str) -> String {
    SIGNS.iter().fold(text.to_owned(), |text, (written, sign)| {
        text.replace(written, sign)
    })
}

fn escaped(text: &str) -> String {
    SIGNS.iter().rev().fold(text.to_owned(), |text, (written, sign)| {
        text.replace(sign, written)
    })
}
