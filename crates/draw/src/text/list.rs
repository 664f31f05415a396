//! The circuit as a list of its joints, for where a drawing has no room, and lines broken to a width.

use super::grid::Pen;
use circuit::Circuit;

/// One line per joint: the ports that meet, with the line of their medium between.
pub(super) fn joints(circuit: &Circuit, width: i32, pen: Pen) -> Vec<String> {
    let line = |joint: &circuit::Joint| {
        let ports: Vec<String> = joint.ports.iter().map(|port| circuit.port_name(*port)).collect();
        ports.join(&format!(" {} ", pen.level(joint.medium)))
    };
    circuit
        .joints
        .iter()
        .flat_map(|joint| wrapped(&line(joint), width))
        .collect()
}

/// `line` broken at spaces so that no piece is longer than `width`, as far as its words allow; later pieces indented.
pub(super) fn wrapped(line: &str, width: i32) -> Vec<String> {
    let width = usize::try_from(width).unwrap_or(0).max(8);
    let mut pieces: Vec<String> = Vec::new();
    let mut piece = String::new();
    for word in line.split(' ') {
        let longer = piece.chars().count() + 1 + word.chars().count();
        if !piece.trim().is_empty() && longer > width {
            pieces.push(std::mem::replace(&mut piece, format!("  {word}")));
        } else {
            if !piece.is_empty() {
                piece.push(' ');
            }
            piece.push_str(word);
        }
    }
    pieces.push(piece);
    pieces
}
