//! The order of cells within columns: few crossings first, short lines second.
//!
//! Sweeps by the mean height of what a cell is joined to, then swaps of neighbours as long as they help (the two classic
//! heuristics for layered drawings). Heights are those of the ports, so that the two terminals of a battery count as two
//! places. Rows an author pinned keep their order.

use crate::layers::Seat;
use crate::plan::{Cell, End, Plan, Strand, is_line_cell};
use crate::shape::Shape;
use circuit::{Circuit, Medium};

/// Sweeps to and fro; the best order met is kept.
const SWEEPS: usize = 12;
/// Rounds of swaps of neighbours; they end by themselves long before.
const SWAP_ROUNDS: usize = 20;
/// Space between cells while ordering. Only proportions matter.
const GAP: i32 = 20;

/// Crossings, then total height climbed by lines.
type Cost = (usize, i64);

struct Ordering<'a> {
    shapes: &'a [Shape],
    /// Row an author pinned the cell to.
    rows: Vec<Option<f64>>,
    /// Top of each cell if the columns were stacked now, middles at 0.
    tops: Vec<i32>,
}

/// Orders the cells of every column of `plan`.
pub(crate) fn order(plan: &mut Plan, circuit: &Circuit, shapes: &[Shape], seats: &[Seat]) {
    let rows = plan.cells.iter().map(|cell| match cell {
        Cell::Part(part) => circuit.parts[part.0]
            .pinned
            .map(|(_, row)| if row.is_nan() { 0.0 } else { row }),
        Cell::Through(_) => None,
    });
    let mut ordering = Ordering {
        shapes,
        rows: rows.collect(),
        tops: vec![0; plan.cells.len()],
    };
    ordering.start(plan, seats);
    let mut best = (ordering.total(plan), plan.columns.clone());
    for sweep in 0..SWEEPS {
        ordering.sweep(plan, sweep % 2 == 0);
        keep(&mut best, ordering.total(plan), plan);
    }
    plan.columns = best.1.clone();
    ordering.stack_all(plan);
    ordering.swap(plan);
    keep(&mut best, ordering.total(plan), plan);
    plan.columns = best.1;
    debug_assert!(
        plan.cells
            .iter()
            .all(|cell| is_line_cell(circuit, *cell) || matches!(cell, Cell::Part(_)))
    );
}

fn keep(best: &mut (Cost, Vec<Vec<usize>>), cost: Cost, plan: &Plan) {
    if cost < best.0 {
        *best = (cost, plan.columns.clone());
    }
}

impl Ordering<'_> {
    /// Parts as the library had them; passages at the mean height of their joint's parts.
    fn start(&mut self, plan: &mut Plan, seats: &[Seat]) {
        let mut height: Vec<f64> = seats.iter().map(|seat| seat.height).collect();
        for cell in &plan.cells[seats.len()..] {
            let Cell::Through(joint) = cell else { continue };
            let strands = plan
                .channels
                .iter()
                .flatten()
                .filter(|strand| strand.joint == *joint);
            let ends = strands.flat_map(|strand| strand.left.iter().chain(&strand.right));
            let parts: Vec<f64> = ends
                .filter(|end| end.cell < seats.len())
                .map(|end| seats[end.cell].height)
                .collect();
            height.push(parts.iter().sum::<f64>() / parts.len().max(1) as f64);
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
        let before = self.around(plan, column);
        plan.columns[column].swap(place - 1, place);
        self.stack(&plan.columns[column]);
        if self.around(plan, column) < before {
            return true;
        }
        plan.columns[column].swap(place - 1, place);
        self.stack(&plan.columns[column]);
        false
    }

    fn around(&self, plan: &Plan, column: usize) -> Cost {
        let (a, b) = (
            self.channel_cost(&plan.channels[column]),
            self.channel_cost(&plan.channels[column + 1]),
        );
        (a.0 + b.0, a.1 + b.1)
    }

    fn total(&self, plan: &Plan) -> Cost {
        plan.channels
            .iter()
            .map(|channel| self.channel_cost(channel))
            .fold((0, 0), |sum, cost| (sum.0 + cost.0, sum.1 + cost.1))
    }

    fn channel_cost(&self, channel: &[Strand]) -> Cost {
        let mut lines: Vec<(usize, i32, i32)> = Vec::new();
        let mut climbed = 0;
        for (index, strand) in channel.iter().enumerate() {
            let weight = if strand.medium == Medium::Air { 3 } else { 1 };
            for left in &strand.left {
                for right in &strand.right {
                    let (from, to) = (self.height(*left), self.height(*right));
                    climbed += weight * i64::from((from - to).abs());
                    lines.push((index, from, to));
                }
            }
        }
        let mut crossings = 0;
        for (index, a) in lines.iter().enumerate() {
            for b in &lines[index + 1..] {
                crossings += usize::from(a.0 != b.0 && i64::from(a.1 - b.1) * i64::from(a.2 - b.2) < 0);
            }
        }
        (crossings, climbed)
    }
}
