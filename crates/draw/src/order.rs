//! The order of cells within columns: few crossings first, short lines second.
//!
//! Sweeps by the mean height of what a cell is joined to, then swaps of neighbours as long as they help (the two classic
//! heuristics for layered drawings). Heights are those of the ports, so that the two terminals of a battery count as two
//! places. Rows an author pinned keep their order.

use crate::layers::Seat;
use crate::plan::{Cell, End, Plan, Strand};
use crate::shape::Shape;
use circuit::Circuit;

/// Sweeps to and fro from each start; the best order met is kept.
const SWEEPS: usize = 10;
/// Rounds of swaps of neighbours; they end by themselves long before.
const SWAP_ROUNDS: usize = 20;
/// Space between cells while ordering. Only proportions matter.
const GAP: i32 = 20;

/// Crossings, then total height climbed by lines.
type Cost = (usize, i64);

/// A straight connection across a channel.
struct Line {
    strand: usize,
    from: i32,
    to: i32,
    weight: i32,
}

impl Line {
    fn crosses(&self, other: &Self) -> bool {
        self.strand != other.strand && i64::from(self.from - other.from) * i64::from(self.to - other.to) < 0
    }

    fn climb(&self) -> i64 {
        i64::from(self.weight) * i64::from((self.from - self.to).abs())
    }
}

struct Ordering<'a> {
    shapes: &'a [Shape],
    /// Row an author pinned the cell to.
    rows: Vec<Option<f64>>,
    /// `true` for a line that leads back: it keeps to the bottom.
    bottom: Vec<bool>,
    /// The strands that end at each cell, by their index in the channel on its left and on its right.
    touching: Vec<[Vec<usize>; 2]>,
    /// Top of each cell if the columns were stacked now, middles at 0.
    tops: Vec<i32>,
}

/// Orders the cells of every column of `plan`.
pub(crate) fn order(plan: &mut Plan, circuit: &Circuit, shapes: &[Shape], seats: &[Seat]) {
    let rows = plan.cells.iter().map(|cell| match cell {
        Cell::Part(part) => circuit.parts[part.0].pinned.map(|(_, row)| f64::from(row)),
        Cell::Through(_) => None,
    });
    let bottom = plan
        .cells
        .iter()
        .map(|cell| matches!(cell, Cell::Through(joint) if plan.returns[joint.0]));
    let mut ordering = Ordering {
        shapes,
        rows: rows.collect(),
        bottom: bottom.collect(),
        touching: touching(plan),
        tops: vec![0; plan.cells.len()],
    };
    let mut best: Option<(Cost, Vec<Vec<usize>>)> = None;
    for start in starts(seats) {
        ordering.start(plan, seats.len(), start);
        for sweep in 0..SWEEPS {
            let columns = plan.columns.clone();
            ordering.swap(plan);
            keep(&mut best, &ordering, plan);
            plan.columns = columns;
            ordering.stack_all(plan);
            ordering.sweep(plan, sweep % 2 == 0);
        }
    }
    if let Some((_, columns)) = best {
        plan.columns = columns;
    }
}

fn touching(plan: &Plan) -> Vec<[Vec<usize>; 2]> {
    let mut touching = vec![[Vec::new(), Vec::new()]; plan.cells.len()];
    for channel in &plan.channels {
        for (index, strand) in channel.iter().enumerate() {
            for (side, ends) in [(0, &strand.right), (1, &strand.left)] {
                for end in ends {
                    if touching[end.cell][side].last() != Some(&index) {
                        touching[end.cell][side].push(index);
                    }
                }
            }
        }
    }
    touching
}

/// Heights of the parts to start from: the library's, and the order of the file, downwards and upwards.
fn starts(seats: &[Seat]) -> [Vec<f64>; 3] {
    let file: Vec<f64> = (0..seats.len()).map(|part| part as f64).collect();
    let upwards = file.iter().map(|height| -height).collect();
    [seats.iter().map(|seat| seat.height).collect(), file, upwards]
}

fn keep(best: &mut Option<(Cost, Vec<Vec<usize>>)>, ordering: &Ordering, plan: &Plan) {
    let cost = ordering.total(plan);
    if best.as_ref().is_none_or(|best| cost < best.0) {
        *best = Some((cost, plan.columns.clone()));
    }
}

impl Ordering<'_> {
    /// Parts by the heights given; passages at the mean height of their joint's parts.
    fn start(&mut self, plan: &mut Plan, parts: usize, mut height: Vec<f64>) {
        let mut sums = vec![(0.0, 0.0); plan.returns.len()];
        for strand in plan.channels.iter().flatten() {
            for end in strand
                .left
                .iter()
                .chain(&strand.right)
                .filter(|end| end.cell < parts)
            {
                let (sum, count) = &mut sums[strand.joint.0];
                *sum += height[end.cell];
                *count += 1.0;
            }
        }
        for cell in &plan.cells[parts..] {
            let Cell::Through(joint) = cell else { continue };
            let (sum, count) = sums[joint.0];
            height.push(sum / f64::max(count, 1.0));
        }
        for column in &mut plan.columns {
            column.sort_by(|a, b| height[*a].total_cmp(&height[*b]));
        }
        for column in 0..plan.columns.len() {
            self.settle(plan, column);
        }
    }

    /// Puts pinned cells into the order of their rows, in the places they hold together, and stacks the column.
    fn settle(&mut self, plan: &mut Plan, column: usize) {
        let cells = &mut plan.columns[column];
        let places: Vec<usize> = (0..cells.len())
            .filter(|place| self.rows[cells[*place]].is_some())
            .collect();
        let mut pinned: Vec<usize> = places.iter().map(|place| cells[*place]).collect();
        pinned.sort_by(|a, b| {
            self.rows[*a]
                .unwrap_or(0.0)
                .total_cmp(&self.rows[*b].unwrap_or(0.0))
        });
        for (place, cell) in places.into_iter().zip(pinned) {
            cells[place] = cell;
        }
        cells.sort_by_key(|cell| self.bottom[*cell]);
        self.stack(&plan.columns[column]);
    }

    fn stack_all(&mut self, plan: &Plan) {
        for cells in &plan.columns {
            self.stack(cells);
        }
    }

    fn stack(&mut self, cells: &[usize]) {
        let total: i32 = cells.iter().map(|cell| self.shapes[*cell].height + GAP).sum();
        let mut top = -total / 2;
        for &cell in cells {
            self.tops[cell] = top;
            top += self.shapes[cell].height + GAP;
        }
    }

    fn height(&self, end: End) -> i32 {
        self.tops[end.cell] + self.shapes[end.cell].port(end.port)
    }

    /// One pass over the columns, each sorted by what it is joined to on the side just passed.
    fn sweep(&mut self, plan: &mut Plan, rightwards: bool) {
        let columns: Vec<usize> = if rightwards {
            (1..plan.columns.len()).collect()
        } else {
            (0..plan.columns.len()).rev().collect()
        };
        for column in columns {
            let channel = if rightwards { column } else { column + 1 };
            let wish = self.wishes(plan, &plan.channels[channel], rightwards);
            plan.columns[column].sort_by(|a, b| wish[*a].total_cmp(&wish[*b]));
            self.settle(plan, column);
        }
    }

    /// The top each cell would like to have, seen from one channel; where it is joined to nothing there, the one it has.
    fn wishes(&self, plan: &Plan, channel: &[Strand], own_on_right: bool) -> Vec<f64> {
        let mut sums = vec![(0.0, 0.0); plan.cells.len()];
        for strand in channel {
            let (own, far) = if own_on_right {
                (&strand.right, &strand.left)
            } else {
                (&strand.left, &strand.right)
            };
            if far.is_empty() {
                continue;
            }
            let mean = far.iter().map(|end| f64::from(self.height(*end))).sum::<f64>() / far.len() as f64;
            for end in own {
                let (sum, count) = &mut sums[end.cell];
                *sum += mean - f64::from(self.shapes[end.cell].port(end.port));
                *count += 1.0;
            }
        }
        let wish = |(cell, (sum, count)): (usize, &(f64, f64))| {
            if *count > 0.0 {
                sum / count
            } else {
                f64::from(self.tops[cell])
            }
        };
        sums.iter().enumerate().map(wish).collect()
    }

    fn swap(&mut self, plan: &mut Plan) {
        for _ in 0..SWAP_ROUNDS {
            let mut better = false;
            for column in 0..plan.columns.len() {
                for place in 1..plan.columns[column].len() {
                    better |= self.swap_if_better(plan, column, place);
                }
            }
            if !better {
                return;
            }
        }
    }

    fn swap_if_better(&mut self, plan: &mut Plan, column: usize, place: usize) -> bool {
        let (upper, lower) = (plan.columns[column][place - 1], plan.columns[column][place]);
        if let (Some(a), Some(b)) = (self.rows[upper], self.rows[lower])
            && a <= b
        {
            return false;
        }
        if self.bottom[lower] && !self.bottom[upper] {
            return false;
        }
        let before = self.pair(plan, column, upper, lower);
        self.exchange(plan, column, place);
        if self.pair(plan, column, upper, lower) < before {
            return true;
        }
        self.exchange(plan, column, place);
        false
    }

    /// Swaps the cells at `place` and above it; nothing else moves.
    fn exchange(&mut self, plan: &mut Plan, column: usize, place: usize) {
        let (upper, lower) = (plan.columns[column][place - 1], plan.columns[column][place]);
        let top = self.tops[upper];
        self.tops[lower] = top;
        self.tops[upper] = top + self.shapes[lower].height + GAP;
        plan.columns[column].swap(place - 1, place);
    }

    /// Crossings between the lines of two cells of a column, and what their lines climb: all that a swap of the two
    /// changes.
    fn pair(&self, plan: &Plan, column: usize, a: usize, b: usize) -> Cost {
        let mut cost = (0, 0);
        for (channel, on_right) in [(column, true), (column + 1, false)] {
            let (mut of_a, mut of_b) = (Vec::new(), Vec::new());
            for &strand in &self.touching[a][usize::from(!on_right)] {
                self.lines(&plan.channels[channel][strand], strand, a, &mut of_a);
            }
            for &strand in &self.touching[b][usize::from(!on_right)] {
                self.lines(&plan.channels[channel][strand], strand, b, &mut of_b);
            }
            cost.1 += of_a.iter().chain(&of_b).map(Line::climb).sum::<i64>();
            cost.0 += of_a
                .iter()
                .map(|a| of_b.iter().filter(|b| a.crosses(b)).count())
                .sum::<usize>();
        }
        cost
    }

    /// The straight connections a strand makes from `cell` across its channel.
    fn lines(&self, strand: &Strand, index: usize, cell: usize, lines: &mut Vec<Line>) {
        for left in &strand.left {
            for right in strand
                .right
                .iter()
                .filter(|right| left.cell == cell || right.cell == cell)
            {
                let (from, to) = (self.height(*left), self.height(*right));
                lines.push(Line {
                    strand: index,
                    from,
                    to,
                    weight: strand.weight,
                });
            }
        }
    }

    fn total(&self, plan: &Plan) -> Cost {
        plan.channels
            .iter()
            .map(|channel| self.channel_cost(channel))
            .fold((0, 0), |sum, cost| (sum.0 + cost.0, sum.1 + cost.1))
    }

    fn channel_cost(&self, channel: &[Strand]) -> Cost {
        let mut lines: Vec<Line> = Vec::new();
        for (index, strand) in channel.iter().enumerate() {
            for left in &strand.left {
                let line = |right: &End| Line {
                    strand: index,
                    from: self.height(*left),
                    to: self.height(*right),
                    weight: strand.weight,
                };
                lines.extend(strand.right.iter().map(line));
            }
        }
        let crossings = lines
            .iter()
            .enumerate()
            .map(|(index, a)| lines[index + 1..].iter().filter(|b| a.crosses(b)).count());
        (crossings.sum(), lines.iter().map(Line::climb).sum())
    }
}
