//! How best to cut the outcomes of a box into columns side by side.
//!
//! Heights of each outcome for every width are given; the least height of all of them together is sought over every way
//! to share them out and every width of the columns. Within a column their order stays; it is kept across columns too
//! unless the sheet becomes clearly lower without.

use super::heights::NEVER;
use super::place::{ABOVE, ABOVE_LAST, BUS, SET_IN};

/// Free units between columns.
pub(crate) const GAP: usize = 1;
/// More outcomes than this stay in one column.
const MOST: usize = 6;
/// Height that must be won before outcomes leave their order.
const WORTH: i32 = 100;

/// Which outcomes, bit by bit.
type Set = usize;

/// A column: its outcomes from top to bottom, and its width in units.
pub(crate) type Column = (Vec<usize>, usize);

/// The outcomes of one box, or the trees of a forest.
pub(crate) struct Outcomes {
    count: usize,
    /// Set in and joined by lines; the trees of a forest are not.
    joined: bool,
    /// By set and width: the height of one column of them; where they are too many, of all of them only.
    stacks: Vec<Vec<i32>>,
    /// By set and width: their least height.
    best: Vec<Vec<i32>>,
}

impl Outcomes {
    /// From each outcome's heights by width in units.
    pub(crate) fn new(each: &[Vec<i32>], units: usize, joined: bool) -> Self {
        let count = each.len();
        let mut outcomes = Self {
            count,
            joined,
            stacks: Vec::new(),
            best: Vec::new(),
        };
        if count > MOST {
            let all: Vec<usize> = (0..count).collect();
            outcomes.best = vec![
                (0..=units)
                    .map(|width| stack(each, &all, width, joined))
                    .collect(),
            ];
            return outcomes;
        }
        for set in 0..1 << count {
            let members = members(set, count);
            let heights = (0..=units).map(|width| stack(each, &members, width, joined));
            outcomes.stacks.push(heights.collect());
            outcomes.best.push(Vec::new());
            let best = (0..=units).map(|width| outcomes.choose(set, width).0);
            outcomes.best[set] = best.collect();
        }
        outcomes
    }

    /// The least height of all, in `width` units.
    pub(crate) fn height(&self, width: usize) -> i32 {
        self.best.last().map_or(0, |heights| heights[width])
    }

    /// The columns that have this height.
    pub(crate) fn columns(&self, mut width: usize) -> Vec<Column> {
        if self.count > MOST {
            return vec![((0..self.count).collect(), width)];
        }
        let mut columns = Vec::new();
        let mut left: Set = (1 << self.count) - 1;
        while left != 0 {
            let (_, first, column) = self.choose(left, width);
            columns.push((members(first, self.count), column));
            left &= !first;
            width = width.saturating_sub(column + GAP);
        }
        columns
    }

    /// The least height of `set`, and which of it stand in the first column of which width.
    fn choose(&self, set: Set, width: usize) -> (i32, Set, usize) {
        let mut best = (self.stacks[set][width], set, width);
        let whole = set + 1 == 1 << self.count;
        let bus = if whole && self.joined { BUS } else { 0 };
        let lowest = set & set.wrapping_neg();
        // Trees of a forest follow one from the other: they keep their order.
        let orders: &[bool] = if self.joined { &[true, false] } else { &[true] };
        for &in_order in orders {
            // Proper subsets with the first outcome in them.
            let rest = set & !lowest;
            let mut first = rest;
            while first != 0 {
                first = (first - 1) & rest;
                let (column, other) = (first | lowest, rest & !first);
                if in_order == (column < other & other.wrapping_neg()) {
                    let limit = if in_order { best.0 } else { best.0 - WORTH };
                    let cut = self.cut(column, other, width, bus);
                    if cut.0 < limit {
                        best = (cut.0, column, cut.1);
                    }
                }
            }
        }
        best
    }

    /// The least height with `first` in the first column and `other` beside it, and the width of the first.
    fn cut(&self, first: Set, other: Set, width: usize, bus: i32) -> (i32, usize) {
        let widths = 1..width.saturating_sub(GAP);
        let heights = widths.map(|column| {
            let beside = self.best[other][width - column - GAP];
            (self.stacks[first][column].max(beside).saturating_add(bus), column)
        });
        heights.min().unwrap_or((NEVER, 0))
    }
}

fn members(set: Set, count: usize) -> Vec<usize> {
    (0..count).filter(|outcome| set & (1 << outcome) != 0).collect()
}

/// The height of `members` below each other.
fn stack(each: &[Vec<i32>], members: &[usize], width: usize, joined: bool) -> i32 {
    let mut height: i32 = 0;
    for (place, outcome) in members.iter().enumerate() {
        let last = place + 1 == members.len();
        let (above, set_in) = match (joined, last) {
            (true, false) => (ABOVE, SET_IN),
            (false, true) => (0, 0),
            _ => (ABOVE_LAST, 0),
        };
        let own = width
            .checked_sub(set_in)
            .map_or(NEVER, |width| each[*outcome][width]);
        height = height.saturating_add(own).saturating_add(above);
    }
    height.min(NEVER)
}
