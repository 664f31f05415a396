//! Moving pieces of a placed drawing until no move makes its lines straighter or shorter.
//!
//! A piece is a cell, or all cells joined to it by straight lines. It moves to where one of its bent lines would become
//! straight, or as far as it can; what is in its way is pushed along. Only the lines that moved are looked at again.

use crate::place::{Spacing, line_cost};
use crate::plan::{End, Plan, Strand};
use crate::shape::Shape;
use std::cell::Cell;

/// Rounds over all cells; they end by themselves before.
const ROUNDS: usize = 20;

/// A move of more cells than this is given up: it would rarely help, and takes long.
const MOST_MOVED: usize = 100;

struct Straightening<'a> {
    plan: &'a Plan,
    shapes: &'a [Shape],
    spacing: &'a Spacing,
    /// Cells that may not be taken hold of.
    fixed: &'a [bool],
    strands: Vec<&'a Strand>,
    /// What each strand costs now; 0 if it is straight.
    costs: Vec<i64>,
    /// The strands that end at each cell.
    touching: Vec<Vec<usize>>,
    above: Vec<Option<usize>>,
    below: Vec<Option<usize>>,
    tops: Vec<i32>,
    /// The last search that came to each cell, so that none has to begin with a clean slate.
    seen: Vec<Cell<u32>>,
    search: Cell<u32>,
}

/// Better tops for the cells of `plan`.
pub(crate) fn straighten(
    plan: &Plan,
    shapes: &[Shape],
    spacing: &Spacing,
    fixed: &[bool],
    tops: Vec<i32>,
) -> Vec<i32> {
    let strands: Vec<&Strand> = plan.channels.iter().flatten().collect();
    let mut touching = vec![Vec::new(); plan.cells.len()];
    for (index, strand) in strands.iter().enumerate() {
        for end in ends(strand) {
            touching[end.cell].push(index);
        }
    }
    let (mut above, mut below) = (vec![None; plan.cells.len()], vec![None; plan.cells.len()]);
    for pair in plan.columns.iter().flat_map(|cells| cells.windows(2)) {
        below[pair[0]] = Some(pair[1]);
        above[pair[1]] = Some(pair[0]);
    }
    let costs = vec![0; strands.len()];
    let mut work = Straightening {
        plan,
        shapes,
        spacing,
        fixed,
        strands,
        costs,
        touching,
        above,
        below,
        seen: vec![Cell::new(0); tops.len()],
        search: Cell::new(0),
        tops,
    };
    work.costs = (0..work.strands.len()).map(|strand| work.cost(strand)).collect();
    for _ in 0..ROUNDS {
        if !work.round() {
            break;
        }
    }
    work.lift_loose();
    work.tops
}

fn ends(strand: &Strand) -> impl Iterator<Item = End> {
    strand.left.iter().chain(&strand.right).copied()
}

impl Straightening<'_> {
    fn height(&self, end: End) -> i32 {
        self.tops[end.cell] + self.shapes[end.cell].port(end.port)
    }

    fn cost(&self, strand: usize) -> i64 {
        line_cost(self.strands[strand], |end| self.height(end))
    }

    /// Moves cells that are joined to nothing up to what is above them.
    fn lift_loose(&mut self) {
        for &cell in self.plan.columns.iter().flatten() {
            if self.touching[cell].is_empty() && !self.fixed[cell] {
                self.tops[cell] -= self.room(&[cell], false);
            }
        }
    }

    /// Tries every piece once; `true` if one moved.
    fn round(&mut self) -> bool {
        let mut moved = false;
        for cell in 0..self.tops.len() {
            moved |= self.improve(&[cell]);
            let block = self.block(cell);
            if (2..=MOST_MOVED).contains(&block.len()) && block[0] == cell {
                moved |= self.improve(&block);
            }
        }
        moved
    }

    /// The cells joined to `cell` by straight lines, sorted.
    fn block(&self, cell: usize) -> Vec<usize> {
        let mut block = vec![cell];
        let search = self.search.get().wrapping_add(1);
        self.search.set(search);
        self.seen[cell].set(search);
        let mut next = 0;
        while let Some(&cell) = block.get(next) {
            next += 1;
            for &strand in self.touching[cell]
                .iter()
                .filter(|strand| self.costs[**strand] == 0)
            {
                for end in ends(self.strands[strand]) {
                    if self.seen[end.cell].replace(search) != search {
                        block.push(end.cell);
                    }
                }
            }
        }
        block.sort_unstable();
        block
    }

    /// Moves a piece if that makes the drawing better.
    fn improve(&mut self, piece: &[usize]) -> bool {
        if piece.iter().any(|cell| self.fixed[*cell]) {
            return false;
        }
        let moves = self.moves(piece);
        for (delta, whole) in moves.iter().flat_map(|delta| [(*delta, false), (*delta, true)]) {
            let (before, possible) = self.shift(piece, delta, whole);
            if possible && self.is_better(&before) {
                return true;
            }
            for (cell, top) in before.into_iter().rev() {
                self.tops[cell] = top;
            }
        }
        false
    }

    /// `true`, with the costs brought up to date, if the drawing is better with these cells moved.
    fn is_better(&mut self, moved: &[(usize, i32)]) -> bool {
        let mut strands: Vec<usize> = moved
            .iter()
            .flat_map(|(cell, _)| &self.touching[*cell])
            .copied()
            .collect();
        strands.sort_unstable();
        strands.dedup();
        let costs: Vec<i64> = strands.iter().map(|strand| self.cost(*strand)).collect();
        let change: i64 = strands
            .iter()
            .zip(&costs)
            .map(|(strand, cost)| cost - self.costs[*strand])
            .sum();
        if change >= 0 {
            return false;
        }
        for (strand, cost) in strands.into_iter().zip(costs) {
            self.costs[strand] = cost;
        }
        true
    }

    /// Moves worth trying: to straighten a line, or as far as nothing is in the way.
    fn moves(&self, piece: &[usize]) -> Vec<i32> {
        let mut moves = vec![self.room(piece, true), -self.room(piece, false)];
        let inside = |cell: usize| piece.binary_search(&cell).is_ok();
        for &strand in piece.iter().flat_map(|cell| &self.touching[*cell]) {
            for own in ends(self.strands[strand]).filter(|end| inside(end.cell)) {
                let far = ends(self.strands[strand]).filter(|end| !inside(end.cell));
                moves.extend(far.map(|far| self.height(far) - self.height(own)));
            }
        }
        moves.retain(|delta| *delta != 0);
        moves.sort_unstable();
        moves.dedup();
        moves
    }

    /// How far a piece can move without pushing; 0 where nothing stops it.
    fn room(&self, piece: &[usize], down: bool) -> i32 {
        let next = if down { &self.below } else { &self.above };
        let gaps = piece.iter().filter_map(|&cell| {
            let other = next[cell].filter(|other| piece.binary_search(other).is_err())?;
            let (upper, lower) = if down { (cell, other) } else { (other, cell) };
            Some(self.tops[lower] - self.tops[upper] - self.distance(upper, lower))
        });
        gaps.min().unwrap_or(0)
    }

    fn distance(&self, above: usize, below: usize) -> i32 {
        self.spacing.distance(self.plan, self.shapes, above, below)
    }

    /// Moves a piece, pushing what is in its way, alone or with the `whole` piece it belongs to. Returns the former tops
    /// of all that moved, in order of moving, and whether the move can be done.
    fn shift(&mut self, piece: &[usize], delta: i32, whole: bool) -> (Vec<(usize, i32)>, bool) {
        let mut before: Vec<(usize, i32)> = piece.iter().map(|cell| (*cell, self.tops[*cell])).collect();
        for &cell in piece {
            self.tops[cell] += delta;
        }
        let mut next = 0;
        while let Some(&(cell, _)) = before.get(next) {
            next += 1;
            let Some((other, push)) = self.pushed(cell, delta > 0) else {
                continue;
            };
            let pushed = if whole { self.block(other) } else { vec![other] };
            let again = whole
                && pushed
                    .iter()
                    .any(|cell| before.iter().any(|moved| moved.0 == *cell));
            if again
                || before.len() + pushed.len() > MOST_MOVED
                || pushed.iter().any(|cell| self.fixed[*cell])
            {
                return (before, false);
            }
            for cell in pushed {
                before.push((cell, self.tops[cell]));
                self.tops[cell] += push;
            }
        }
        (before, true)
    }

    /// The neighbour that `cell` presses on, and how far that must give way.
    fn pushed(&self, cell: usize, down: bool) -> Option<(usize, i32)> {
        let other = if down { self.below[cell] } else { self.above[cell] }?;
        let limit = if down {
            self.tops[cell] + self.distance(cell, other)
        } else {
            self.tops[cell] - self.distance(other, cell)
        };
        let push = limit - self.tops[other];
        (if down { push > 0 } else { push < 0 }).then_some((other, push))
    }
}
