//! Bytes as text: by their mark, else UTF-8, else the eight-bit letters of western Europe.

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};
use std::borrow::Cow;

/// The text, and how many letters in it are none.
pub(super) fn decoded(bytes: &[u8]) -> (Cow<'_, str>, usize) {
    let encoding = match Encoding::for_bom(bytes) {
        Some((encoding, _)) => encoding,
        None => without_mark(bytes),
    };
    let (text, _, wrong) = encoding.decode(bytes);
    let unknown = if wrong {
        text.matches(char::REPLACEMENT_CHARACTER).count()
    } else {
        0
    };
    (text, unknown)
}

fn without_mark(bytes: &[u8]) -> &'static Encoding {
    if std::str::from_utf8(bytes).is_ok() {
        return UTF_8;
    }
    // Figures in sixteen bits have a zero in every other byte.
    let head = &bytes[..bytes.len().min(4096)];
    let zeros = |first: usize| {
        head.iter()
            .skip(first)
            .step_by(2)
            .filter(|byte| **byte == 0)
            .count()
    };
    match (zeros(1), zeros(0)) {
        (high, _) if 4 * high > head.len() => UTF_16LE,
        (_, low) if 4 * low > head.len() => UTF_16BE,
        // A few broken letters in UTF-8 are more likely than a text of another alphabet.
        _ if mostly_sound(bytes) => UTF_8,
        _ => WINDOWS_1252,
    }
}

/// Whether most letters beyond ASCII are sound UTF-8.
fn mostly_sound(bytes: &[u8]) -> bool {
    let (mut sound, mut broken) = (0_usize, 0_usize);
    for piece in bytes.utf8_chunks() {
        sound += piece.valid().chars().filter(|letter| !letter.is_ascii()).count();
        broken += usize::from(!piece.invalid().is_empty());
    }
    sound >= broken
}
