//! Units: the table, and finding one by its spelling.

mod table;

use crate::Dimension;
use std::fmt;

/// A unit: `si = value × factor + offset`.
#[derive(Debug, Clone, Copy)]
pub struct Unit {
    symbol: &'static str,
    dimension: Dimension,
    factor: f64,
    offset: f64,
    /// Other ways to write it.
    aliases: &'static [&'static str],
    /// `true` where a first letter `m` or `M` must be written exactly: milli and mega both occur.
    exact_m: bool,
}

impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        self.dimension == other.dimension && self.symbol == other.symbol
    }
}

impl Unit {
    /// The unit written `spelling`, of whatever dimension. Where several dimensions share a spelling (`1/s`, `K`), the
    /// first in the order of [`Dimension`] is meant.
    pub fn named(spelling: &str) -> Option<Self> {
        Self::find(spelling, Dimension::ALL)
    }

    /// The unit of `dimension` written `spelling`.
    pub fn named_for(spelling: &str, dimension: Dimension) -> Option<Self> {
        Self::find(spelling, &[dimension])
    }

    /// The unit written `spelling` whose dimension is among `dimensions`.
    ///
    /// An exact spelling goes before one that differs in upper and lower case. A sign of multiplication or power joins two
    /// things; a spelling that begins or ends with one is none, else a row of signs alone would be a plain ratio.
    pub(crate) fn find(spelling: &str, dimensions: &[Dimension]) -> Option<Self> {
        if spelling.trim().starts_with(JOINING) || spelling.trim().ends_with(JOINING) {
            return None;
        }
        let candidates = || {
            table::UNITS
                .iter()
                .filter(|unit| dimensions.contains(&unit.dimension))
        };
        candidates()
            .find(|unit| unit.spellings().any(|known| key(known).eq(key(spelling))))
            .or_else(|| candidates().find(|unit| unit.is_loosely(spelling)))
            .copied()
    }

    /// Every unit of `dimension`, in the order of the table.
    pub fn all_of(dimension: Dimension) -> impl Iterator<Item = &'static Self> {
        table::UNITS
            .iter()
            .filter(move |unit| unit.dimension == dimension)
    }

    /// The SI unit of `dimension`.
    pub(crate) fn coherent(dimension: Dimension) -> Self {
        // The table holds one for every dimension (tested); a nameless unit would be as right.
        Self::all_of(dimension)
            .find(|unit| unit.symbol == dimension.si_unit())
            .copied()
            .unwrap_or(table::unit(dimension.si_unit(), dimension, 1.0))
    }

    /// How it is usually written: `inHg`. Empty for a plain ratio.
    pub fn symbol(&self) -> &'static str {
        self.symbol
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// SI units in one of it.
    pub fn factor(&self) -> f64 {
        self.factor
    }

    /// SI value of its zero; other than 0 only for `°C` and `°F`.
    pub fn offset(&self) -> f64 {
        self.offset
    }

    /// Every accepted spelling, the usual one first.
    pub fn spellings(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.symbol).chain(self.aliases.iter().copied())
    }

    /// `value` of it, in SI.
    pub(crate) fn to_si(self, value: f64) -> f64 {
        value.mul_add(self.factor, self.offset)
    }

    /// An SI value, in it.
    pub(crate) fn value_of(self, si: f64) -> f64 {
        (si - self.offset) / self.factor
    }

    fn is_loosely(&self, spelling: &str) -> bool {
        let first = spelling.chars().next();
        self.spellings().any(|known| {
            let same_m = !self.exact_m || first == known.chars().next();
            same_m && folded(known).eq(folded(spelling))
        })
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol)
    }
}

/// Signs of multiplication and power.
const JOINING: [char; 4] = ['·', '⋅', '*', '^'];

/// The characters that tell spellings apart: no blanks, no signs of multiplication or power; raised digits, micro, ohm
/// and degree in one form each.
fn key(spelling: &str) -> impl Iterator<Item = char> {
    spelling
        .chars()
        .filter(|c| !c.is_whitespace() && !JOINING.contains(c))
        .flat_map(|c| match c {
            '²' => ['2', ' ', ' '],
            '³' => ['3', ' ', ' '],
            'µ' | 'μ' => ['u', ' ', ' '],
            'Ω' | '\u{2126}' => ['o', 'h', 'm'],
            'º' | '˚' => ['°', ' ', ' '],
            other => [other, ' ', ' '],
        })
        .filter(|c| *c != ' ')
}

fn folded(spelling: &str) -> impl Iterator<Item = char> {
    key(spelling).flat_map(char::to_lowercase)
}

#[cfg(test)]
mod tests;
