//! A wide sheet cut between columns into bands that stand below each other.

use crate::sheet::Sheet;
use circuit::JointId;

/// Neighbouring columns that stay together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Band {
    /// Left end on the sheet.
    pub(crate) from: i32,
    /// Right end on the sheet.
    pub(crate) to: i32,
    /// `true` if the sheet goes on to the left.
    pub(crate) cut_left: bool,
    /// `true` if the sheet goes on to the right.
    pub(crate) cut_right: bool,
}

/// Room for what a band has beside its columns.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cut {
    /// Distance of a cut from the column on its left; no upright stands nearer.
    pub(crate) after: i32,
    /// Room for the mark of a cut line.
    pub(crate) mark: i32,
}

/// As few bands as can be, none wider than `width`, and of those cuts the one whose widest band is narrowest, so that the
/// last is no scrap; `None` if a column alone is wider.
pub(crate) fn bands(sheet: &Sheet, width: i32, cut: Cut) -> Option<Vec<Band>> {
    let first = filled(sheet, width, cut)?;
    let (mut too_narrow, mut enough, mut best) = (0, width, first);
    while enough - too_narrow > 1 {
        let middle = i32::midpoint(too_narrow, enough);
        match filled(sheet, middle, cut) {
            Some(bands) if bands.len() == best.len() => (enough, best) = (middle, bands),
            _ => too_narrow = middle,
        }
    }
    Some(best)
}

/// Each band as full as `width` allows.
fn filled(sheet: &Sheet, width: i32, cut: Cut) -> Option<Vec<Band>> {
    let count = sheet.columns.len();
    let band = |first: usize, last: usize| {
        let (cut_left, cut_right) = (first > 0, last + 1 < count);
        let from = if cut_left {
            sheet.columns[first - 1].1 + cut.after
        } else {
            0
        };
        let to = if cut_right {
            sheet.columns[last].1 + cut.after
        } else {
            sheet.width
        };
        let marks = (i32::from(cut_left) + i32::from(cut_right)) * cut.mark;
        (to - from + marks < width).then_some(Band {
            from,
            to,
            cut_left,
            cut_right,
        })
    };
    let mut bands = Vec::new();
    let mut first = 0;
    while first < count {
        let (last, longest) = (first..count)
            .rev()
            .find_map(|last| Some((last, band(first, last)?)))?;
        bands.push(longest);
        first = last + 1;
    }
    Some(bands)
}

/// Letters for cut lines, given out in the order in which they are asked for.
#[derive(Debug, Default)]
pub(crate) struct Marks {
    joints: Vec<JointId>,
}

impl Marks {
    /// The letter of a joint's line.
    pub(crate) fn letter(&mut self, joint: JointId) -> char {
        let place = self
            .joints
            .iter()
            .position(|known| *known == joint)
            .unwrap_or_else(|| {
                self.joints.push(joint);
                self.joints.len() - 1
            });
        ('A'..='Z')
            .chain('a'..='z')
            .chain('0'..='9')
            .nth(place)
            .unwrap_or('*')
    }
}
