//! Heights of cells: order kept, cells apart, lines as straight as can be.
//!
//! Each pass gives every cell of a column the height that would make its lines straight, then moves the column apart by
//! isotonic regression (pool adjacent violators): the least squared shift that keeps order and distance. Passes run to
//! and fro; the straightest picture met is kept.

use crate::plan::{Cell, End, Plan, Strand};
use crate::shape::Shape;
use crate::straighten::straighten;
use circuit::Circuit;

/// Distances, in the units of the shapes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Spacing {
    /// Least space above and below a part.
    pub(crate) cell_gap: i32,
    /// Least distance of a passing line from what is above and below.
    pub(crate) line_gap: i32,
    /// Distance of parallel lines in a channel.
    pub(crate) track: i32,
    /// Free space between a column and the first line of a channel.
    pub(crate) bank: i32,
    /// Step by which a cell gives way where lines would lie on each other.
    pub(crate) step: i32,
    /// Height of a row an author pins to.
    pub(crate) row: i32,
}

const PASSES: usize = 24;
/// A bend costs as much as this many units of height, so that a long straight line beats two nearly straight ones.
const BEND: i64 = 60;

struct Placing<'a> {
    plan: &'a Plan,
    shapes: &'a [Shape],
    spacing: Spacing,
    rows: Vec<Option<f64>>,
    tops: Vec<i32>,
}

/// The top of every cell.
pub(crate) fn heights(plan: &Plan, circuit: &Circuit, shapes: &[Shape], spacing: Spacing) -> Vec<i32> {
    let rows = plan.cells.iter().map(|cell| match cell {
        Cell::Part(part) => circuit.parts[part.0].pinned.map(|(_, row)| f64::from(row)),
        Cell::Through(_) => None,
    });
    let mut placing = Placing {
        plan,
        shapes,
        spacing,
        rows: rows.collect(),
        tops: vec![0; plan.cells.len()],
    };
    placing.stack();
    let mut best = (placing.cost(), placing.tops.clone());
    for pass in 0..PASSES {
        placing.pass(pass % 2 == 0);
        let cost = placing.cost();
        if cost < best.0 {
            best = (cost, placing.tops.clone());
        }
    }
    let fixed: Vec<bool> = placing.rows.iter().map(Option::is_some).collect();
    let tops = straighten(plan, shapes, &spacing, &fixed, best.1);
    let highest = tops.iter().copied().min().unwrap_or(0);
    tops.iter().map(|top| top - highest).collect()
}

impl Spacing {
    /// Least distance between the tops of two cells, one above the other.
    pub(crate) fn distance(&self, plan: &Plan, shapes: &[Shape], above: usize, below: usize) -> i32 {
        let line = |cell: usize| matches!(plan.cells[cell], Cell::Through(_));
        let gap = match (line(above), line(below)) {
            (true, true) => self.track.max(self.line_gap),
            (false, false) => self.cell_gap,
            _ => self.line_gap,
        };
        shapes[above].height + gap
    }
}

/// What a line costs: its climb, and a bend for every height beyond the first at which it ends.
pub(crate) fn line_cost(strand: &Strand, height: impl Fn(End) -> i32) -> i64 {
    // Most strands have two ends, and this is asked very often.
    let mut ends = strand.left.iter().chain(&strand.right);
    if let (Some(a), Some(b), None) = (ends.next(), ends.next(), ends.next()) {
        let climb = i64::from((height(*a) - height(*b)).abs());
        return i64::from(strand.weight) * if climb == 0 { 0 } else { climb + BEND };
    }
    let mut heights: Vec<i32> = strand
        .left
        .iter()
        .chain(&strand.right)
        .map(|end| height(*end))
        .collect();
    heights.sort_unstable();
    heights.dedup();
    let (Some(top), Some(bottom)) = (heights.first(), heights.last()) else {
        return 0;
    };
    let bends = i64::try_from(heights.len() - 1).unwrap_or(0);
    i64::from(strand.weight) * (i64::from(bottom - top) + bends * BEND)
}

impl Placing<'_> {
    fn stack(&mut self) {
        for cells in &self.plan.columns {
            let mut top = 0;
            let mut above = None;
            for &cell in cells {
                top += above.map_or(0, |above| self.distance(above, cell));
                self.tops[cell] = top;
                above = Some(cell);
            }
        }
    }

    fn distance(&self, above: usize, below: usize) -> i32 {
        self.spacing.distance(self.plan, self.shapes, above, below)
    }

    fn height(&self, end: End) -> i32 {
        self.tops[end.cell] + self.shapes[end.cell].port(end.port)
    }

    fn pass(&mut self, rightwards: bool) {
        let count = self.plan.columns.len();
        for step in 0..count {
            let column = if rightwards { step } else { count - 1 - step };
            let wishes = self.wishes(column, rightwards);
            self.settle(&self.plan.columns[column], &wishes);
        }
    }

    /// Wished top and its weight for each cell of a column, from the lines on the side just passed; a cell without any
    /// looks to the other side.
    fn wishes(&self, column: usize, rightwards: bool) -> Vec<(f64, f64)> {
        let from_left = self.pulls(column, true);
        let from_right = self.pulls(column, false);
        let (near, far) = if rightwards {
            (from_left, from_right)
        } else {
            (from_right, from_left)
        };
        let cells = &self.plan.columns[column];
        cells
            .iter()
            .enumerate()
            .map(|(place, &cell)| {
                if let Some(row) = self.rows[cell] {
                    return (row * f64::from(self.spacing.row), 1000.0);
                }
                let pulls = if near[place].is_empty() {
                    &far[place]
                } else {
                    &near[place]
                };
                median(pulls).unwrap_or((f64::from(self.tops[cell]), 0.1))
            })
            .collect()
    }

    /// For each cell of a column the tops that would straighten each of its lines on one side.
    fn pulls(&self, column: usize, left: bool) -> Vec<Vec<(f64, f64)>> {
        let cells = &self.plan.columns[column];
        let mut pulls = vec![Vec::new(); cells.len()];
        for strand in &self.plan.channels[if left { column } else { column + 1 }] {
            let (own, far) = if left {
                (&strand.right, &strand.left)
            } else {
                (&strand.left, &strand.right)
            };
            let Some(target) = middle(far.iter().map(|end| self.height(*end)).collect()) else {
                continue;
            };
            for end in own {
                if let Some(place) = cells.iter().position(|cell| *cell == end.cell) {
                    let wish = target - self.shapes[end.cell].port(end.port);
                    let line = matches!(self.plan.cells[end.cell], Cell::Through(_));
                    let weight = f64::from(strand.weight) * if line { 2.0 } else { 1.0 };
                    pulls[place].push((f64::from(wish), weight));
                }
            }
        }
        pulls
    }

    /// Tops nearest to the wishes that keep order and distance.
    fn settle(&mut self, cells: &[usize], wishes: &[(f64, f64)]) {
        let mut offset = 0;
        let mut offsets = Vec::with_capacity(cells.len());
        for (place, &cell) in cells.iter().enumerate() {
            if place > 0 {
                offset += self.distance(cells[place - 1], cell);
            }
            offsets.push(offset);
        }
        let targets = wishes
            .iter()
            .zip(&offsets)
            .map(|((wish, weight), offset)| (wish - f64::from(*offset), *weight));
        for ((place, &cell), level) in cells.iter().enumerate().zip(isotonic(targets)) {
            self.tops[cell] = round(level) + offsets[place];
        }
    }

    /// Bends and climbs, weighted.
    fn cost(&self) -> i64 {
        let strands = self.plan.channels.iter().flatten();
        strands
            .map(|strand| line_cost(strand, |end| self.height(end)))
            .sum()
    }
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "sheet coordinates; `as` saturates"
)]
fn round(number: f64) -> i32 {
    number.round() as i32
}

/// Lower median.
fn middle(mut heights: Vec<i32>) -> Option<i32> {
    heights.sort_unstable();
    heights.get(heights.len().saturating_sub(1) / 2).copied()
}

/// Weighted median of the wishes, with their total weight: it makes one line straight instead of all nearly so.
fn median(pulls: &[(f64, f64)]) -> Option<(f64, f64)> {
    let mut pulls = pulls.to_vec();
    pulls.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = pulls.iter().map(|pull| pull.1).sum();
    let mut sum = 0.0;
    for (wish, weight) in pulls {
        sum += weight;
        if 2.0 * sum >= total {
            return Some((wish, total));
        }
    }
    None
}

/// Non-decreasing values nearest to the targets in the weighted square sense, by pooling adjacent violators.
fn isotonic(targets: impl Iterator<Item = (f64, f64)>) -> Vec<f64> {
    let mut pools: Vec<(f64, f64, usize)> = Vec::new();
    for (value, weight) in targets {
        let mut pool = (value, weight, 1);
        while let Some(&(above, above_weight, count)) = pools.last() {
            if above <= pool.0 {
                break;
            }
            pools.pop();
            let sum = above_weight + pool.1;
            pool = (
                (above * above_weight + pool.0 * pool.1) / sum,
                sum,
                pool.2 + count,
            );
        }
        pools.push(pool);
    }
    pools
        .into_iter()
        .flat_map(|(value, _, count)| std::iter::repeat_n(value, count))
        .collect()
}
