//! A part's cell on the sheet: symbol, leads, and room for its words.
//!
//! Room is kept for every reading and figure that might be written, so that a drawing never moves when they change.

use crate::face::is_line;
use crate::geometry::Rect;
use crate::shape::Shape;
use crate::sides::Face;
use crate::symbol::{Glyph, glyph};
use crate::words::width;
use circuit::{Circuit, JointId, Medium, PartId, PortRef};

/// Font sizes. None is smaller than 11, so that a drawing at its own scale reads on a phone.
pub(crate) const NAME_SIZE: i32 = 12;
pub(crate) const NOTE_SIZE: i32 = 12;
pub(crate) const PORT_SIZE: i32 = 11;
pub(crate) const READING_SIZE: i32 = 11;
/// Room for a reading: `21.5 inHg`.
pub(crate) const READING_WIDTH: i32 = 64;
/// Least room for a part's figure and words.
const NOTE_WIDTH: i32 = 80;
/// Space between a port's name and the symbol, in which the shading ends.
const GAP: i32 = 6;
const NAME_HEIGHT: i32 = 15;
const NOTE_HEIGHT: i32 = 15;
const PORT_HEIGHT: i32 = 12;
const READING_HEIGHT: i32 = 13;

/// A port's name and the place of the joint's reading beside it.
#[derive(Debug, Clone)]
pub(crate) struct PortLabel {
    pub(crate) port: usize,
    pub(crate) text: String,
    pub(crate) name: Rect,
    /// `true` if the name ends at its box's right edge, beside the symbol.
    pub(crate) ends_right: bool,
    /// The joint that is named here and the room for its reading.
    pub(crate) reading: Option<(JointId, Rect)>,
}

/// A piece of line between the cell's edge and the symbol.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lead {
    pub(crate) medium: Medium,
    pub(crate) y: i32,
    pub(crate) from: i32,
    pub(crate) to: i32,
}

/// A cell, positions relative to its top left corner.
#[derive(Debug, Clone)]
pub(crate) struct Figure {
    pub(crate) shape: Shape,
    pub(crate) glyph: Glyph,
    pub(crate) glyph_at: (i32, i32),
    pub(crate) name: Rect,
    pub(crate) note: Rect,
    pub(crate) ports: Vec<PortLabel>,
    pub(crate) leads: Vec<Lead>,
}

impl Figure {
    /// The symbol's box.
    pub(crate) fn symbol(&self) -> Rect {
        Rect::new(
            self.glyph_at.0,
            self.glyph_at.1,
            self.glyph.width,
            self.glyph.height,
        )
    }

    /// The boxes of all words that are, or may be, written in the cell.
    #[cfg(test)]
    pub(crate) fn words(&self) -> Vec<Rect> {
        let readings = self
            .ports
            .iter()
            .filter_map(|label| label.reading.map(|reading| reading.1));
        [self.name, self.note]
            .into_iter()
            .chain(self.ports.iter().map(|label| label.name))
            .chain(readings)
            .collect()
    }
}

/// The cell of `part`, its ports lying as in `face`.
pub(crate) fn figure(circuit: &Circuit, part: PartId, face: &Face) -> Figure {
    let id = &circuit.parts[part.0].id;
    let name_width = width(id, NAME_SIZE) + 4;
    let line = is_line(circuit.parts[part.0].kind.symbol);
    let glyph = glyph(circuit, part, face, name_width.max(NOTE_WIDTH));
    let (left, right) = (lead(circuit, part, face, true), lead(circuit, part, face, false));
    let words = name_width.max(NOTE_WIDTH);
    let pad = (words - glyph.width + 1) / 2;
    let (left, right) = (left.max(pad), right.max(pad));
    let (top, bottom) = if line {
        (NAME_HEIGHT + 3, glyph.height + 3)
    } else {
        extent(circuit, part, face, &glyph)
    };
    let cell_width = left + glyph.width + right;
    let middle = left + glyph.width / 2;
    let name_top = if line { 0 } else { top + bottom };
    let note_top = if line {
        top + bottom
    } else {
        name_top + NAME_HEIGHT
    };
    let centred = |y: i32, width: i32, height: i32| Rect::new(middle - width / 2, y, width, height);
    let mut shape = Shape {
        width: cell_width,
        height: note_top + NOTE_HEIGHT,
        ports: Vec::new(),
    };
    shape.ports = (0..circuit.parts[part.0].joints.len())
        .map(|port| top + glyph.rows.get(face.row(port)).copied().unwrap_or(0))
        .collect();
    let mut figure = Figure {
        name: centred(name_top, name_width, NAME_HEIGHT),
        note: centred(note_top, words, NOTE_HEIGHT),
        glyph_at: (left, top),
        ports: Vec::new(),
        leads: Vec::new(),
        shape,
        glyph,
    };
    add_ports(&mut figure, circuit, part, face);
    figure
}

/// Length of the leads on one side: as long as the names and readings on it.
fn lead(circuit: &Circuit, part: PartId, face: &Face, left: bool) -> i32 {
    let ports = face
        .rows
        .iter()
        .filter_map(|row| if left { row.left } else { row.right });
    let room = |port: usize| {
        let name = labelled(circuit, part, port).map_or(0, |text| width(&text, PORT_SIZE) + GAP + 3);
        let reading = named_joint(circuit, part, port).map_or(0, |_| READING_WIDTH + GAP + 2);
        name.max(reading)
    };
    ports.map(room).max().unwrap_or(0)
}

/// Room above the symbol and height of symbol and readings.
fn extent(circuit: &Circuit, part: PartId, face: &Face, glyph: &Glyph) -> (i32, i32) {
    let mut top = 0;
    let mut bottom = glyph.height;
    for (row, y) in face.rows.iter().zip(&glyph.rows) {
        for port in [row.left, row.right].into_iter().flatten() {
            if labelled(circuit, part, port).is_some() {
                top = top.max(PORT_HEIGHT + 3 - y);
            }
            if named_joint(circuit, part, port).is_some() {
                bottom = bottom.max(y + 4 + READING_HEIGHT);
            }
        }
    }
    (top, bottom + 2)
}

/// The name to write at a port: where it names its joint, and at parts with more than two lines.
fn labelled(circuit: &Circuit, part: PartId, port: usize) -> Option<String> {
    let owner = &circuit.parts[part.0];
    owner.joints[port]?;
    let many = owner.joints.iter().flatten().count() > 2;
    (many || named_joint(circuit, part, port).is_some()).then(|| owner.kind.ports[port].name.to_owned())
}

/// The joint that is named after this port.
fn named_joint(circuit: &Circuit, part: PartId, port: usize) -> Option<JointId> {
    let joint = circuit.parts[part.0].joints[port]?;
    (circuit.joints[joint.0].ports.first() == Some(&PortRef { part, port })).then_some(joint)
}

fn add_ports(figure: &mut Figure, circuit: &Circuit, part: PartId, face: &Face) {
    let owner = &circuit.parts[part.0];
    let symbol = figure.symbol();
    for row in &face.rows {
        for (port, left) in [(row.left, true), (row.right, false)] {
            let Some(port) = port.filter(|port| owner.joints[*port].is_some()) else {
                continue;
            };
            let y = figure.shape.port(port);
            let (from, to) = if left {
                (0, symbol.x)
            } else {
                (symbol.right(), figure.shape.width)
            };
            figure.leads.push(Lead {
                medium: owner.kind.ports[port].medium,
                y,
                from,
                to,
            });
            let Some(text) = labelled(circuit, part, port) else {
                continue;
            };
            let name_width = width(&text, PORT_SIZE);
            let name_left = if left {
                symbol.x - GAP - name_width
            } else {
                symbol.right() + GAP
            };
            let reading_left = if left {
                2
            } else {
                figure.shape.width - READING_WIDTH - 2
            };
            let reading = Rect::new(reading_left, y + 4, READING_WIDTH, READING_HEIGHT);
            figure.ports.push(PortLabel {
                port,
                text,
                name: Rect::new(name_left, y - PORT_HEIGHT - 3, name_width, PORT_HEIGHT),
                ends_right: left,
                reading: named_joint(circuit, part, port).map(|joint| (joint, reading)),
            });
        }
    }
}
