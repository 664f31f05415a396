//! How wide letters are, plain and bold.
//!
//! Closer than the drawing's own measure, as a card has no room to spare. Widths are those of an open sans-serif font's
//! condensed face, read off its files, or of the metrics most sans-serif fonts share (from memory) where those are wider,
//! rounded up to hundredths of the font's size. The style sheet asks for fonts of these widths only.

/// Space to tilde.
static PLAIN: [u8; 95] = [
    29, 37, 42, 76, 58, 89, 71, 25, 36, 36, 45, 76, 29, 34, 29, 31, 58, 58, 58, 58, 58, 58, 58, 58, 58, 58,
    31, 31, 76, 76, 76, 56, 102, 67, 67, 73, 73, 67, 62, 78, 73, 28, 50, 67, 56, 84, 73, 78, 67, 78, 73, 67,
    62, 73, 67, 95, 67, 67, 62, 36, 31, 36, 76, 56, 45, 56, 58, 50, 58, 56, 32, 58, 58, 25, 25, 53, 25, 88,
    58, 56, 58, 58, 37, 50, 36, 58, 54, 74, 54, 54, 50, 58, 31, 58, 76,
];

/// The same in bold.
static BOLD: [u8; 95] = [
    32, 42, 48, 76, 63, 91, 79, 28, 42, 42, 48, 76, 35, 38, 35, 33, 63, 63, 63, 63, 63, 63, 63, 63, 63, 63,
    36, 36, 76, 76, 76, 62, 98, 73, 73, 73, 75, 67, 62, 78, 76, 34, 56, 73, 62, 90, 76, 78, 67, 78, 73, 67,
    62, 74, 70, 100, 70, 67, 66, 42, 33, 42, 76, 56, 45, 61, 65, 56, 65, 62, 40, 65, 65, 31, 31, 60, 31, 94,
    65, 62, 65, 65, 45, 56, 44, 65, 59, 84, 59, 59, 53, 65, 33, 65, 76,
];

/// Width of `text` at font size `size`, in the size's units.
pub(crate) fn wide(text: &str, size: i32, bold: bool) -> i32 {
    scaled(hundredths(text, bold), size)
}

/// Width of `text` in hundredths of the font size.
pub(crate) fn hundredths(text: &str, bold: bool) -> i32 {
    text.chars().map(|letter| advance(letter, bold)).sum()
}

/// Hundredths of the font size in the size's units.
pub(crate) fn scaled(hundredths: i32, size: i32) -> i32 {
    (hundredths * size + 99) / 100
}

fn advance(letter: char, bold: bool) -> i32 {
    let table = if bold { &BOLD } else { &PLAIN };
    let known = u32::from(letter)
        .checked_sub(32)
        .and_then(|place| usize::try_from(place).ok());
    if let Some(width) = known.and_then(|place| table.get(place)) {
        return i32::from(*width);
    }
    match letter {
        '·' | '°' | '’' | '‘' => 48,
        '–' => 57,
        // Accented letters; the ligatures among them are wider.
        'Æ' | 'Œ' | 'æ' | 'œ' => 105,
        '\u{c0}'..='\u{17f}' => 82,
        // Dashes, fractions, arrows, Greek, Cyrillic, wide scripts.
        _ => 106,
    }
}
