//! Left or right: on which side of its symbol each port leaves.

use crate::face::{RETURN_NAMES, Row, is_line, named, rows};
use crate::flow::Flow;
use circuit::{Circuit, Joint, Part, PartId, PortRef, Symbol};
use std::cmp::Ordering;

/// Side of a symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    Left,
    Right,
}

/// One row of a placed symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct FaceRow {
    pub(crate) left: Option<usize>,
    pub(crate) right: Option<usize>,
    /// `true` if the kind's upstream port is on the right.
    pub(crate) swapped: bool,
}

/// A symbol's rows with their ports set left and right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Face {
    pub(crate) rows: Vec<FaceRow>,
}

impl Face {
    /// Side of a port.
    pub(crate) fn side(&self, port: usize) -> Side {
        let right = self.rows.iter().any(|row| row.right == Some(port));
        if right { Side::Right } else { Side::Left }
    }

    /// Row of a port.
    pub(crate) fn row(&self, port: usize) -> usize {
        self.rows
            .iter()
            .position(|row| row.left == Some(port) || row.right == Some(port))
            .unwrap_or(0)
    }

    fn flip(&mut self, port: usize) {
        for row in &mut self.rows {
            if row.left == Some(port) || row.right == Some(port) {
                std::mem::swap(&mut row.left, &mut row.right);
                row.swapped = !row.swapped;
            }
        }
    }

    fn is_single(&self, port: usize) -> bool {
        self.rows.iter().any(|row| {
            (row.left, row.right) == (Some(port), None) || (row.left, row.right) == (None, Some(port))
        })
    }
}

/// The faces of all parts.
pub(crate) fn faces(circuit: &Circuit, flow: &Flow) -> Vec<Face> {
    let mut faces: Vec<Face> = circuit.parts.iter().map(|part| face(part, flow)).collect();
    for joint in &circuit.joints {
        give_both_ends(circuit, joint, &mut faces);
    }
    sort_pins(circuit, &mut faces);
    faces
}

fn face(part: &Part, flow: &Flow) -> Face {
    let rows = rows(part).into_iter().map(|row| match row {
        Row::Through(a, b) if swapped(part, a, b, flow) => FaceRow {
            left: Some(b),
            right: Some(a),
            swapped: true,
        },
        Row::Through(a, b) => FaceRow {
            left: Some(a),
            right: Some(b),
            swapped: false,
        },
        Row::Single(port) if leaves_right(part) => FaceRow {
            left: None,
            right: Some(port),
            swapped: false,
        },
        Row::Single(port) => FaceRow {
            left: Some(port),
            right: None,
            swapped: false,
        },
    });
    Face { rows: rows.collect() }
}

fn swapped(part: &Part, a: usize, b: usize, flow: &Flow) -> bool {
    if part.kind.ports[a].medium != part.kind.ports[b].medium {
        return false;
    }
    match (part.joints[a], part.joints[b]) {
        (Some(first), Some(second)) => flow.compare(first, second) == Ordering::Greater,
        (None, Some(_)) => true,
        _ => false,
    }
}

fn leaves_right(part: &Part) -> bool {
    match part.kind.symbol {
        Symbol::ModulePins
        | Symbol::VacuumPump
        | Symbol::Battery
        | Symbol::HighSideDriver
        | Symbol::SolenoidValve
        | Symbol::Relay
        | Symbol::StarterSolenoid => true,
        _ => part.kind.supplies.is_some(),
    }
}

/// A line needs an end on either side: a joint entered by all its parts is left by the likeliest of them.
fn give_both_ends(circuit: &Circuit, joint: &Joint, faces: &mut [Face]) {
    if joint.ports.len() < 2 {
        return;
    }
    let on = |faces: &[Face], side: Side| {
        joint
            .ports
            .iter()
            .filter(|at| faces[at.part.0].side(at.port) == side)
            .count()
    };
    if on(faces, Side::Right) == 0
        && let Some(at) = candidate(
            circuit,
            joint,
            faces,
            &[
                Symbol::ModulePins,
                Symbol::AirSpace,
                Symbol::Reservoir,
                Symbol::Engine,
            ],
        )
    {
        faces[at.part.0].flip(at.port);
    }
    if on(faces, Side::Left) == 0
        && !leads_home(circuit, joint)
        && let Some(at) = candidate(
            circuit,
            joint,
            faces,
            &[Symbol::ModulePins, Symbol::SolenoidValve, Symbol::Relay],
        )
        && circuit.parts[at.part.0].kind.supplies.is_none()
    {
        faces[at.part.0].flip(at.port);
    }
}

/// `true` for the joint at which current returns to its source.
fn leads_home(circuit: &Circuit, joint: &Joint) -> bool {
    joint.ports.iter().any(|at| {
        let kind = circuit.parts[at.part.0].kind;
        kind.supplies.is_some() && named(&kind.ports[at.port], &RETURN_NAMES)
    })
}

/// Pins of a module in the order of what they lead to, so that their lines do not cross; ways home last.
fn sort_pins(circuit: &Circuit, faces: &mut [Face]) {
    for (index, part) in circuit.parts.iter().enumerate() {
        if part.kind.symbol != Symbol::ModulePins {
            continue;
        }
        let mut rows = faces[index].rows.clone();
        rows.sort_by_key(|row| {
            let port = row.left.or(row.right).unwrap_or(0);
            let home = part.joints[port].is_some_and(|joint| leads_home(circuit, &circuit.joints[joint.0]));
            let far = far_end(
                circuit,
                PortRef {
                    part: PartId(index),
                    port,
                },
            );
            (home, far.map(|far| (far.part, faces[far.part.0].row(far.port))))
        });
        faces[index].rows = rows;
    }
}

/// The first port of another part that a port leads to, hoses and wires followed.
fn far_end(circuit: &Circuit, from: PortRef) -> Option<PortRef> {
    let mut at = from;
    for _ in 0..circuit.parts.len() {
        let joint = circuit.parts[at.part.0].joints[at.port]?;
        let far = circuit.joints[joint.0]
            .ports
            .iter()
            .find(|port| port.part != at.part)?;
        if !is_line(circuit.parts[far.part.0].kind.symbol) {
            return Some(*far);
        }
        at = PortRef {
            part: far.part,
            port: 1 - far.port.min(1),
        };
    }
    None
}

fn candidate(circuit: &Circuit, joint: &Joint, faces: &[Face], first: &[Symbol]) -> Option<PortRef> {
    let symbol = |part: PartId| circuit.parts[part.0].kind.symbol;
    let liking = |at: &PortRef| {
        first
            .iter()
            .position(|liked| *liked == symbol(at.part))
            .unwrap_or(first.len())
    };
    let singles = joint
        .ports
        .iter()
        .filter(|at| faces[at.part.0].is_single(at.port));
    singles.min_by_key(|at| (liking(at), at.part, at.port)).copied()
}
