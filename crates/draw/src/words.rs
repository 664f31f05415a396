//! How wide words are, and how they are made safe for markup.
//!
//! Fonts differ from machine to machine, so widths are taken a little generous: those of a wide sans-serif face
//! (classes of advance widths read off a common open font, rounded up). A label then fits its box everywhere.

/// Width of `text` at font size `size`, in sheet units.
pub(crate) fn width(text: &str, size: i32) -> i32 {
    let hundredths: i32 = text.chars().map(advance).sum();
    (hundredths * size + 99) / 100
}

/// Advance width in hundredths of the font size.
fn advance(letter: char) -> i32 {
    match letter {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | 'I' => 34,
        ' ' | 'f' | 't' | 'r' | '(' | ')' | '-' | '/' => 42,
        'm' | 'w' | 'M' | 'W' | '%' | '@' | '—' | '…' => 100,
        'A'..='Z' => 74,
        _ if letter.is_ascii() => 65,
        // Wide scripts.
        _ if letter > '\u{1100}' => 105,
        _ => 80,
    }
}

/// `text`, or as much of it as fits into `room`, with an ellipsis.
pub(crate) fn fitted(text: &str, size: i32, room: i32) -> String {
    if width(text, size) <= room {
        return text.to_owned();
    }
    let mut kept = String::new();
    for letter in text.chars() {
        kept.push(letter);
        if width(&kept, size) + width("…", size) > room {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

/// `text` in lines of whole words no longer than `room`; a word that alone is too long is cut short.
pub(crate) fn lines(text: &str, size: i32, room: i32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(line, size) + width(" ", size) + width(word, size) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(fitted(word, size, room)),
        }
    }
    lines
}

/// As many whole words of `text` as fit into `room`, at least the first two (a figure and its unit).
pub(crate) fn leading_words(text: &str, size: i32, room: i32) -> &str {
    let ends = text.match_indices(' ').map(|(at, _)| at).chain([text.len()]);
    let fitting = ends
        .enumerate()
        .filter(|&(word, end)| word < 2 || width(&text[..end], size) <= room);
    fitting.last().map_or(text, |(_, end)| &text[..end])
}

/// `text` with what has a meaning in markup written out; characters XML forbids are left out.
pub(crate) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\n' | '\t' => safe.push(' '),
            '\u{fffe}' | '\u{ffff}' => {}
            _ if letter.is_control() => {}
            _ => safe.push(letter),
        }
    }
    safe
}

/// A suspect's share as a figure: `62 %`, `< 1 %`, never 100: nothing is certain. `None` where it is nothing to show.
pub(crate) fn percent(share: f64) -> Option<String> {
    if !share.is_finite() || share < 0.0005 {
        return None;
    }
    let hundred = 100.0 * share.min(1.0);
    Some(match hundred {
        _ if hundred < 0.95 => "< 1 %".to_owned(),
        _ if hundred > 99.0 => "> 99 %".to_owned(),
        _ => format!("{hundred:.0} %"),
    })
}
