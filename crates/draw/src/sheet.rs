//! Coordinates: a plan and the sizes of its cells become boxes and lines on a sheet.

use crate::geometry::{Point, Rect, Segment};
use crate::place::{Spacing, heights};
use crate::plan::{Cell, End, Plan, Strand};
use crate::route::{Lane, Tracks, segments, tracks};
use crate::shape::Shape;
use circuit::{Circuit, JointId};

/// Boxes and lines.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    /// One per cell of the plan.
    pub(crate) cells: Vec<Rect>,
    /// Pieces of every joint's line, by joint.
    pub(crate) lines: Vec<Vec<Segment>>,
    /// Left and right edge of each column.
    pub(crate) columns: Vec<(i32, i32)>,
    pub(crate) width: i32,
    pub(crate) height: i32,
}

impl Sheet {
    pub(crate) fn new(plan: &Plan, circuit: &Circuit, shapes: &[Shape], spacing: Spacing) -> Self {
        let mut tops = heights(plan, circuit, shapes, spacing);
        let mut banks = lanes(plan, shapes, &tops, spacing.line_gap);
        for _ in 0..GIVE_WAY {
            let Some(column) = give_way(plan, shapes, &mut tops, &banks, spacing) else {
                break;
            };
            for channel in [column, column + 1] {
                banks[channel] = bank(&plan.channels[channel], shapes, &tops, spacing.line_gap);
            }
        }
        let columns = columns(plan, shapes, &banks, spacing);
        let cells = cells(plan, shapes, &tops, &columns);
        let mut sheet = Self {
            cells,
            lines: vec![Vec::new(); circuit.joints.len()],
            columns,
            width: 0,
            height: 0,
        };
        sheet.draw_passages(plan);
        for (channel, (mut lanes, tracks)) in banks.into_iter().enumerate() {
            for (lane, strand) in lanes.iter_mut().zip(&plan.channels[channel]) {
                let set = |ends: &mut Vec<(i32, i32)>, from: &[End], right_edge: bool| {
                    for (end, at) in ends.iter_mut().zip(from) {
                        end.1 = if right_edge {
                            sheet.cells[at.cell].right()
                        } else {
                            sheet.cells[at.cell].x
                        };
                    }
                };
                set(&mut lane.left, &strand.left, true);
                set(&mut lane.right, &strand.right, false);
            }
            let start = if channel == 0 {
                0
            } else {
                sheet.columns[channel - 1].1
            };
            let pieces = segments(&lanes, &tracks, |track| {
                start + spacing.bank + unit(track) * spacing.track
            });
            for (joint, piece) in pieces {
                sheet.lines[joint.0].push(piece);
            }
        }
        for pieces in &mut sheet.lines {
            merge(pieces);
        }
        sheet.measure(spacing);
        sheet
    }

    fn draw_passages(&mut self, plan: &Plan) {
        for (cell, rect) in plan.cells.iter().zip(&self.cells) {
            if let Cell::Through(joint) = cell {
                self.lines[joint.0].push(Segment::horizontal(rect.y, rect.x, rect.right()));
            }
        }
    }

    fn measure(&mut self, spacing: Spacing) {
        let corners = || self.lines.iter().flatten().flat_map(|piece| [piece.a, piece.b]);
        let last = self.columns.last().map_or(0, |column| column.1);
        self.width = corners().map(|corner| corner.x).max().unwrap_or(0).max(last);
        let lowest = self.cells.iter().map(Rect::bottom).max().unwrap_or(0);
        self.height = corners()
            .map(|corner| corner.y + spacing.line_gap)
            .max()
            .unwrap_or(0)
            .max(lowest);
    }

    /// Places where a line branches: three or more of its pieces meet.
    pub(crate) fn dots(&self, joint: JointId) -> Vec<Point> {
        let pieces = &self.lines[joint.0];
        let mut corners: Vec<Point> = pieces.iter().flat_map(|piece| [piece.a, piece.b]).collect();
        corners.sort_unstable();
        corners.dedup();
        corners.retain(|corner| directions(pieces, *corner) > 2);
        corners
    }

    /// Places on `piece` where an upright of another joint crosses it without touching.
    pub(crate) fn hops(&self, joint: JointId, piece: &Segment) -> Vec<i32> {
        if !piece.is_horizontal() {
            return Vec::new();
        }
        let others = self
            .lines
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != joint.0)
            .flat_map(|(_, pieces)| pieces);
        let crosses = |other: &&Segment| {
            let within = piece.left() < other.a.x && other.a.x < piece.right();
            other.is_vertical() && within && other.top() < piece.a.y && piece.a.y < other.bottom()
        };
        let mut hops: Vec<i32> = others.filter(crosses).map(|other| other.a.x).collect();
        hops.sort_unstable();
        hops.dedup();
        hops
    }
}

/// Makes one piece of level pieces that meet end to end with no branch between, so that no seam shows.
fn merge(pieces: &mut Vec<Segment>) {
    pieces.sort_unstable_by_key(|piece| (piece.is_vertical(), piece.a.y, piece.a.x, piece.b));
    let uprights: Vec<Segment> = pieces
        .iter()
        .filter(|piece| piece.is_vertical())
        .copied()
        .collect();
    let mut merged: Vec<Segment> = Vec::with_capacity(pieces.len());
    for piece in pieces.drain(..) {
        match merged.last_mut() {
            Some(last)
                if last.b == piece.a
                    && last.is_horizontal()
                    && piece.is_horizontal()
                    && !uprights.iter().any(|upright| upright.holds(piece.a)) =>
            {
                last.b = piece.b;
            }
            _ => merged.push(piece),
        }
    }
    *pieces = merged;
}

/// Attempts to keep lines off each other; each settles one clash.
const GIVE_WAY: usize = 400;

/// The lanes of every channel and their tracks.
fn lanes(plan: &Plan, shapes: &[Shape], tops: &[i32], gap: i32) -> Vec<(Vec<Lane>, Tracks)> {
    let channels = plan.channels.iter();
    channels.map(|channel| bank(channel, shapes, tops, gap)).collect()
}

/// The lanes of a channel and their tracks.
fn bank(channel: &[Strand], shapes: &[Shape], tops: &[i32], gap: i32) -> (Vec<Lane>, Tracks) {
    let ends = |ends: &[End]| {
        ends.iter()
            .map(|end| (tops[end.cell] + shapes[end.cell].port(end.port), 0))
            .collect()
    };
    let lane = |strand: &Strand| Lane {
        joint: strand.joint,
        left: ends(&strand.left),
        right: ends(&strand.right),
    };
    let lanes: Vec<Lane> = channel.iter().map(lane).collect();
    let tracks = tracks(&lanes, gap);
    (lanes, tracks)
}

/// Where two lines would lie on each other, moves the cell on the right of one, and all below it, a step down. Returns the
/// column of what moved.
fn give_way(
    plan: &Plan,
    shapes: &[Shape],
    tops: &mut [i32],
    banks: &[(Vec<Lane>, Tracks)],
    spacing: Spacing,
) -> Option<usize> {
    let (column, height) = banks
        .iter()
        .enumerate()
        .find_map(|(channel, bank)| bank.1.clash.map(|height| (channel, height)))?;
    let cells = plan.columns.get(column)?;
    let reaches = |cell: &usize| tops[*cell] + shapes[*cell].height >= height;
    let from = cells.iter().position(reaches).unwrap_or(cells.len());
    for &cell in &cells[from..] {
        tops[cell] += spacing.step;
    }
    (from < cells.len()).then_some(column)
}

/// In how many of the four directions a line leaves `point`.
fn directions(pieces: &[Segment], point: Point) -> usize {
    let near = [(1, 0), (-1, 0), (0, 1), (0, -1)].map(|(x, y)| Point {
        x: point.x + x,
        y: point.y + y,
    });
    near.iter()
        .filter(|next| {
            pieces
                .iter()
                .any(|piece| piece.holds(point) && piece.holds(**next))
        })
        .count()
}

fn unit(number: usize) -> i32 {
    i32::try_from(number).unwrap_or(i32::MAX / 1000)
}

fn columns(
    plan: &Plan,
    shapes: &[Shape],
    banks: &[(Vec<Lane>, Tracks)],
    spacing: Spacing,
) -> Vec<(i32, i32)> {
    let mut x = 0;
    let mut columns = Vec::new();
    for (column, cells) in plan.columns.iter().enumerate() {
        let tracks = unit(banks[column].1.count);
        // The outermost channel takes no room unless a line runs in it.
        if column > 0 || tracks > 0 {
            x += 2 * spacing.bank
                + if tracks > 0 {
                    (tracks - 1) * spacing.track + 1
                } else {
                    0
                };
        }
        let width = cells.iter().map(|cell| shapes[*cell].width).max().unwrap_or(0);
        columns.push((x, x + width));
        x += width;
    }
    columns
}

fn cells(plan: &Plan, shapes: &[Shape], tops: &[i32], columns: &[(i32, i32)]) -> Vec<Rect> {
    let mut cells = vec![Rect::default(); plan.cells.len()];
    for (column, &(left, right)) in plan.columns.iter().zip(columns) {
        for &cell in column {
            let shape = &shapes[cell];
            cells[cell] = match plan.cells[cell] {
                Cell::Part(_) => Rect::new(
                    left + (right - left - shape.width) / 2,
                    tops[cell],
                    shape.width,
                    shape.height,
                ),
                Cell::Through(_) => Rect::new(left, tops[cell], right - left, 0),
            };
        }
    }
    cells
}
