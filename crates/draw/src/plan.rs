//! The plan of a drawing: columns of cells and the lines between them, without coordinates.
//!
//! A cell is a part, or the place where a line passes through a column. Between columns lie channels; in each, a joint's
//! *strand* connects the ends that reach it from the left with those from the right. A joint is one strand per channel
//! however many ports meet, so a tee is a branch of one line and never a bundle. The plan depends on the circuit only.

use crate::flow::Flow;
use crate::layers::{Arrow, Seat, seats};
use crate::order::order;
use crate::shape::Shape;
use crate::sides::{Face, Side, faces};
use circuit::{Circuit, JointId, Medium, PartId, PortRef};

/// What stands in a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cell {
    Part(PartId),
    Through(JointId),
}

/// One end of a strand: a port of a cell. A line passing through has one port, 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct End {
    pub(crate) cell: usize,
    pub(crate) port: usize,
}

/// A joint's line within one channel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Strand {
    pub(crate) joint: JointId,
    pub(crate) medium: Medium,
    /// How much its being straight and short is worth.
    pub(crate) weight: i32,
    /// Ends on the channel's left bank, i.e. right sides of cells.
    pub(crate) left: Vec<End>,
    pub(crate) right: Vec<End>,
}

/// Columns, cells, strands.
#[derive(Debug, Clone)]
pub(crate) struct Plan {
    pub(crate) faces: Vec<Face>,
    /// For each joint, `true` if its line only leads back: nothing enters it from the left.
    pub(crate) returns: Vec<bool>,
    /// Parts first, by their index, then lines passing through.
    pub(crate) cells: Vec<Cell>,
    /// Cells of each column, top to bottom.
    pub(crate) columns: Vec<Vec<usize>>,
    /// Strands of each channel; channel `k` lies left of column `k`, the last right of all.
    pub(crate) channels: Vec<Vec<Strand>>,
}

impl Plan {
    /// Plans `circuit`; `shape` gives the size of a part's cell once its ports have their sides.
    pub(crate) fn new(circuit: &Circuit, shape: impl Fn(PartId, &Face) -> Shape) -> Self {
        let flow = Flow::of(circuit);
        let faces = faces(circuit, &flow);
        let mut shapes: Vec<Shape> = faces
            .iter()
            .enumerate()
            .map(|(part, face)| shape(PartId(part), face))
            .collect();
        let sizes: Vec<(i32, i32)> = shapes.iter().map(|shape| (shape.width, shape.height)).collect();
        let arrows = arrows(circuit, &faces);
        let seats = pinned(circuit, seats(&sizes, &arrows), &arrows);
        let mut plan = Self::with_seats(circuit, faces, &seats);
        shapes.resize_with(plan.cells.len(), Shape::line);
        order(&mut plan, circuit, &shapes, &seats);
        plan
    }

    fn with_seats(circuit: &Circuit, faces: Vec<Face>, seats: &[Seat]) -> Self {
        let count = seats.iter().map(|seat| seat.column + 1).max().unwrap_or(0);
        let mut plan = Self {
            returns: circuit
                .joints
                .iter()
                .map(|joint| leads_back(&faces, &joint.ports))
                .collect(),
            faces,
            cells: (0..circuit.parts.len())
                .map(|part| Cell::Part(PartId(part)))
                .collect(),
            columns: vec![Vec::new(); count],
            channels: vec![Vec::new(); count + 1],
        };
        for (cell, seat) in seats.iter().enumerate() {
            plan.columns[seat.column].push(cell);
        }
        for joint in 0..circuit.joints.len() {
            plan.lay_joint(circuit, JointId(joint), seats);
        }
        plan
    }

    /// Adds the strands of a joint and its passages through columns.
    fn lay_joint(&mut self, circuit: &Circuit, id: JointId, seats: &[Seat]) {
        let joint = &circuit.joints[id.0];
        let ends: Vec<(usize, Side, End)> = joint
            .ports
            .iter()
            .map(|at| {
                let side = self.faces[at.part.0].side(at.port);
                let channel = seats[at.part.0].column + usize::from(side == Side::Right);
                (
                    channel,
                    side,
                    End {
                        cell: at.part.0,
                        port: at.port,
                    },
                )
            })
            .collect();
        let (Some(first), Some(last)) = (
            ends.iter().map(|end| end.0).min(),
            ends.iter().map(|end| end.0).max(),
        ) else {
            return;
        };
        let weight = weight(joint.medium, self.returns[id.0]);
        let mut passage: Option<End> = None;
        for channel in first..=last {
            let on = |wanted: Side| {
                let here = ends.iter().filter(move |end| end.0 == channel && end.1 == wanted);
                here.map(|end| end.2).collect::<Vec<End>>()
            };
            let (mut left, mut right) = (on(Side::Right), on(Side::Left));
            left.extend(passage.take());
            if channel < last {
                let cell = self.cells.len();
                self.cells.push(Cell::Through(id));
                self.columns[channel].push(cell);
                passage = Some(End { cell, port: 0 });
                right.extend(passage);
            }
            self.channels[channel].push(Strand {
                joint: id,
                medium: joint.medium,
                weight,
                left,
                right,
            });
        }
    }
}

/// `true` for a line with no end on the left of a part, as from the chassis back to the battery.
fn leads_back(faces: &[Face], ports: &[PortRef]) -> bool {
    ports.len() > 1
        && ports
            .iter()
            .all(|at| faces[at.part.0].side(at.port) == Side::Right)
}

/// Air first: it is what a reader follows.
fn weight(medium: Medium, leads_back: bool) -> i32 {
    match medium {
        _ if leads_back => 1,
        Medium::Air | Medium::Liquid => 6,
        Medium::Rod => 4,
        Medium::Electric => 3,
    }
}

/// Who stands left of whom.
fn arrows(circuit: &Circuit, faces: &[Face]) -> Vec<Arrow> {
    let mut arrows: Vec<Arrow> = Vec::new();
    for joint in &circuit.joints {
        let on = |wanted: Side| {
            joint
                .ports
                .iter()
                .filter(move |at| faces[at.part.0].side(at.port) == wanted)
        };
        for from in on(Side::Right) {
            for to in on(Side::Left).filter(|to| to.part != from.part) {
                let weight = if matches!(joint.medium, Medium::Air | Medium::Liquid) {
                    3
                } else {
                    1
                };
                arrows.push(Arrow {
                    from: from.part.0,
                    to: to.part.0,
                    weight,
                });
            }
        }
    }
    arrows.sort_unstable();
    arrows.dedup_by_key(|arrow| (arrow.from, arrow.to));
    arrows
}

/// The seats with the author's columns put in: what follows a pinned part moves right of it and what leads to it left of
/// it, as far as there is room; then empty columns are closed up.
fn pinned(circuit: &Circuit, mut seats: Vec<Seat>, arrows: &[Arrow]) -> Vec<Seat> {
    let pin = |part: usize| circuit.parts[part].pinned.map(|(column, _)| usize::from(column));
    if (0..seats.len()).all(|part| pin(part).is_none()) {
        return seats;
    }
    let ranks: Vec<usize> = seats.iter().map(|seat| seat.column).collect();
    let mut forward: Vec<&Arrow> = arrows
        .iter()
        .filter(|arrow| ranks[arrow.from] < ranks[arrow.to])
        .collect();
    for (part, seat) in seats.iter_mut().enumerate() {
        seat.column = pin(part).unwrap_or(seat.column);
    }
    forward.sort_by_key(|arrow| std::cmp::Reverse(ranks[arrow.from]));
    for arrow in &forward {
        if pin(arrow.from).is_none() {
            let before = seats[arrow.to].column.saturating_sub(1);
            seats[arrow.from].column = seats[arrow.from].column.min(before);
        }
    }
    forward.sort_by_key(|arrow| ranks[arrow.to]);
    for arrow in &forward {
        if pin(arrow.to).is_none() {
            let after = seats[arrow.from].column + 1;
            seats[arrow.to].column = seats[arrow.to].column.max(after);
        }
    }
    let mut used: Vec<usize> = seats.iter().map(|seat| seat.column).collect();
    used.sort_unstable();
    used.dedup();
    for seat in &mut seats {
        seat.column = used.partition_point(|column| *column < seat.column);
    }
    seats
}
