//! Trouble codes by the structure of SAE J2012 / ISO 15031-6: what one is, who defines it, what sort of trouble it names.
//!
//! A code names a symptom, not a part. [`root_first`] puts several codes in the order in which the trade looks at them;
//! [`proposed`] finds the circuits that list a code. Nothing here knows a maker's own meanings.

mod nature;
mod wording;

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

pub use nature::{Nature, Ranked, nature, root_first};
pub use wording::wording;

/// A trouble code as its two bytes: letter (bits 15-14), first digit 0-3 (bits 13-12), three hexadecimal digits.
///
/// Text form `P0299`, also in serde. Reading accepts lower case and spaces around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct TroubleCode(u16);

/// The letters in the order of their two bits: powertrain, chassis, body, network.
const LETTERS: [char; 4] = ['P', 'C', 'B', 'U'];

/// Who says what a code means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DefinedBy {
    /// The standard: the same trouble on every vehicle.
    Standard,
    /// The vehicle's maker: only the maker's service information says what it means.
    Maker,
    /// Nobody yet.
    Reserved,
}

impl TroubleCode {
    /// From the two bytes in the order in which they are sent. Every pair of bytes is a code.
    pub const fn from_bytes(bytes: [u8; 2]) -> Self {
        Self(u16::from_be_bytes(bytes))
    }

    /// The two bytes in the order in which they are sent.
    pub const fn to_bytes(self) -> [u8; 2] {
        self.0.to_be_bytes()
    }

    /// `P`, `C`, `B` or `U`.
    pub const fn letter(self) -> char {
        LETTERS[(self.0 >> 14) as usize]
    }

    /// Who defines the code, by the ranges of SAE J2012 as remembered (the standard's table has not been read).
    ///
    /// Standard: P0, P2, P34 to P3F, C0, B0, U0, U3. Maker: P1, P30 to P33, C1, C2, B1, B2, U1, U2. Reserved: C3, B3.
    /// Old editions reserve U3 too; newer ones give some of it a wording.
    pub const fn defined_by(self) -> DefinedBy {
        match (self.letter(), (self.0 >> 12) & 3, (self.0 >> 8) & 0xF) {
            ('P', 3, 0..4) | ('P', 1, _) | ('C' | 'B' | 'U', 1 | 2, _) => DefinedBy::Maker,
            ('C' | 'B', 3, _) => DefinedBy::Reserved,
            _ => DefinedBy::Standard,
        }
    }

    /// The four digits as a number, first digit 0-3: `0x0299` of `P0299`.
    const fn digits(self) -> u16 {
        self.0 & 0x3FFF
    }
}

impl fmt::Display for TroubleCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}{:04X}", self.letter(), self.digits()))
    }
}

impl From<TroubleCode> for String {
    fn from(code: TroubleCode) -> Self {
        code.to_string()
    }
}

impl TryFrom<String> for TroubleCode {
    type Error = NotACode;

    fn try_from(text: String) -> Result<Self, NotACode> {
        text.parse()
    }
}

/// A text that is no trouble code.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{shown}` is no trouble code: {slip}")]
pub struct NotACode {
    /// The text as written, without spaces around it; its beginning if it is long.
    pub shown: String,
    /// What is wrong with it.
    pub slip: Slip,
}

/// What is wrong with a text that should be a trouble code. Positions count characters from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Slip {
    /// No text at all.
    #[error("there is nothing")]
    Empty,
    /// The first character is not one of the four letters.
    #[error("it begins with `{0}`")]
    Letter(char),
    /// The second character is not 0, 1, 2 or 3.
    #[error("character 2 is `{0}`, not 0 to 3")]
    FirstDigit(char),
    /// A later character is no hexadecimal digit.
    #[error("character {at} is `{found}`, not 0 to 9 or A to F")]
    Digit {
        /// Where, from 1.
        at: usize,
        /// What stands there.
        found: char,
    },
    /// Fewer or more than five characters.
    #[error("it has {0} characters, not 5")]
    Length(usize),
}

impl NotACode {
    /// What to write instead.
    pub fn hint(&self) -> String {
        const FORM: &str =
            "write P, C, B or U, a digit 0 to 3 and three digits 0 to 9 or A to F, as in P0299";
        match self.slip {
            Slip::FirstDigit(found) | Slip::Digit { found, .. } => match digit_meant(found) {
                Some(digit) => format!("write the digit {digit} for `{found}`; {FORM}"),
                None => FORM.to_owned(),
            },
            Slip::Letter(found) if found.is_ascii_hexdigit() => {
                format!(
                    "the letter in front is missing: P engine and gearbox, C chassis, B body, U network; {FORM}"
                )
            }
            Slip::Length(length) if length > 5 => {
                format!("one code at a time, without the failure type that some tools put behind it; {FORM}")
            }
            _ => FORM.to_owned(),
        }
    }
}

/// The digit that a letter is often written for.
const fn digit_meant(found: char) -> Option<char> {
    match found.to_ascii_uppercase() {
        'O' | 'Q' => Some('0'),
        'I' | 'L' => Some('1'),
        'Z' => Some('2'),
        'S' => Some('5'),
        'G' => Some('6'),
        _ => None,
    }
}

impl FromStr for TroubleCode {
    type Err = NotACode;

    /// # Errors
    /// [`NotACode`] with the first slip from the left; a wrong length only if what is there is right.
    fn from_str(text: &str) -> Result<Self, NotACode> {
        let text = text.trim();
        read(text).map_err(|slip| NotACode {
            shown: text.chars().take(12).collect(),
            slip,
        })
    }
}

fn read(text: &str) -> Result<TroubleCode, Slip> {
    let mut code = 0;
    for (index, found) in text.chars().take(5).enumerate() {
        let value = match index {
            0 => LETTERS
                .iter()
                .position(|letter| letter.eq_ignore_ascii_case(&found))
                .and_then(|bits| u16::try_from(bits).ok())
                .ok_or(Slip::Letter(found))?,
            1 => match found.to_digit(4) {
                // The letter and this digit share the first nibble.
                Some(digit) => {
                    code = (code << 2) | nibble(digit);
                    continue;
                }
                None => return Err(Slip::FirstDigit(found)),
            },
            _ => nibble(found.to_digit(16).ok_or(Slip::Digit { at: index + 1, found })?),
        };
        code = (code << 4) | value;
    }
    match text.chars().count() {
        0 => Err(Slip::Empty),
        5 => Ok(TroubleCode(code)),
        other => Err(Slip::Length(other)),
    }
}

/// A digit below 16 as the code's bits.
fn nibble(digit: u32) -> u16 {
    u16::try_from(digit & 0xF).unwrap_or_default()
}
