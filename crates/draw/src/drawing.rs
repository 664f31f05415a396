//! A circuit laid out: the plan, and the sheet it makes in drawing units.

use crate::figure::{Figure, figure};
use crate::geometry::{Point, Rect, Segment};
use crate::place::Spacing;
use crate::plan::{Cell, Plan};
use crate::shape::Shape;
use crate::sheet::Sheet;
use crate::sides::Side;
use circuit::{Circuit, JointId, PartId, PortRef};

/// A circuit with a place for every part and every line. It depends on the circuit only, never on readings.
#[derive(Debug, Clone)]
pub struct Drawing {
    pub(crate) plan: Plan,
    pub(crate) figures: Vec<Figure>,
    pub(crate) sheet: Sheet,
    /// Where each joint can be measured: the port that it is named after.
    pub(crate) points: Vec<Point>,
}

/// Distances on the sheet.
const SPACING: Spacing = Spacing {
    cell_gap: 22,
    line_gap: 14,
    track: 12,
    bank: 9,
    step: 7,
    row: 110,
};

/// Lays out `circuit`: sources on the left, loads on the right.
pub fn layout(circuit: &Circuit) -> Drawing {
    let plan = Plan::new(circuit, |part, face| figure(circuit, part, face).shape);
    let parts = plan.faces.iter().enumerate();
    let figures: Vec<Figure> = parts
        .map(|(part, face)| figure(circuit, PartId(part), face))
        .collect();
    let shapes: Vec<Shape> = plan
        .cells
        .iter()
        .map(|cell| match cell {
            Cell::Part(part) => figures[part.0].shape.clone(),
            Cell::Through(_) => Shape::line(),
        })
        .collect();
    let sheet = Sheet::new(&plan, circuit, &shapes, SPACING);
    let mut drawing = Drawing {
        plan,
        figures,
        sheet,
        points: Vec::new(),
    };
    drawing.points = circuit
        .joints
        .iter()
        .map(|joint| {
            joint
                .ports
                .first()
                .map_or(Point::default(), |port| drawing.port(*port))
        })
        .collect();
    drawing
}

impl Drawing {
    /// Width and height in drawing units.
    pub fn size(&self) -> (i32, i32) {
        (self.sheet.width, self.sheet.height)
    }

    /// The box of a part, words included.
    pub fn part(&self, part: PartId) -> Rect {
        self.sheet.cells[part.0]
    }

    /// The pieces of a joint's line between the boxes of its parts.
    pub fn line(&self, joint: JointId) -> &[Segment] {
        &self.sheet.lines[joint.0]
    }

    /// How often lines of different joints cross.
    pub fn crossings(&self) -> usize {
        let pieces = self.sheet.lines.iter().enumerate();
        pieces
            .flat_map(|(joint, pieces)| pieces.iter().map(move |piece| (JointId(joint), piece)))
            .map(|(joint, piece)| self.sheet.hops(joint, piece).len())
            .sum()
    }

    /// Where a port meets its line, at the edge of its part's box.
    pub fn port(&self, port: PortRef) -> Point {
        let cell = self.part(port.part);
        let left = self.plan.faces[port.part.0].side(port.port) == Side::Left;
        let x = if left { cell.x } else { cell.right() };
        Point {
            x,
            y: cell.y + self.figures[port.part.0].shape.port(port.port),
        }
    }
}
