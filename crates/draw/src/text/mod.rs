//! The drawing for a terminal: boxes and lines of characters.
//!
//! It follows the same plan as the sheet, laid out anew with characters as units. What is wider than the terminal is cut
//! between columns into bands; a line that is cut carries the same letter on both sides. Where even one column is too
//! wide, the joints are listed instead.

mod boxes;
mod grid;
mod list;

use crate::bands::{Band, Cut, Marks, bands};
use crate::drawing::Drawing;
use crate::notes::Notes;
use crate::place::Spacing;
use crate::plan::Cell;
use crate::shape::Shape;
use crate::sheet::Sheet;
use crate::words::percent;
use boxes::Boxes;
use circuit::{Circuit, JointId, Medium, PartId, Place};
use grid::{Grid, Pen};

/// Distances in characters.
const SPACING: Spacing = Spacing {
    cell_gap: 1,
    line_gap: 1,
    track: 2,
    bank: 1,
    step: 1,
    row: 6,
};
/// A cut line's mark is `(A)`.
const CUT: Cut = Cut { after: 0, mark: 3 };
/// Narrower than this, nothing can be drawn.
const NARROWEST: i32 = 24;

/// Draws `drawing` of `circuit` with `notes` on it, at most `width` columns wide; with `ascii_only` in plain ASCII.
pub fn text(drawing: &Drawing, circuit: &Circuit, notes: &Notes, width: usize, ascii_only: bool) -> String {
    let width = i32::try_from(width).unwrap_or(i32::MAX / 4);
    let pen = if ascii_only { Pen::Ascii } else { Pen::Drawn };
    let boxes = Boxes {
        circuit,
        notes,
        plan: &drawing.plan,
        pen,
    };
    let shapes: Vec<Shape> = drawing
        .plan
        .cells
        .iter()
        .map(|cell| match cell {
            Cell::Part(part) => boxes.shape(*part),
            Cell::Through(_) => Shape::line(),
        })
        .collect();
    let sheet = Sheet::new(&drawing.plan, circuit, &shapes, SPACING);
    let mut lines = match bands(&sheet, width, CUT) {
        Some(bands) if width >= NARROWEST => {
            let mut grid = Grid::new(&sheet, pen);
            grid.lines(circuit, &sheet);
            for part in 0..circuit.parts.len() {
                boxes.draw(PartId(part), sheet.cells[part], &mut grid);
            }
            cut(&grid, sheet.height, &bands)
        }
        _ => list::joints(circuit, width, pen),
    };
    lines.extend(words(circuit, notes, width, pen));
    let mut page = String::new();
    for line in lines {
        page.push_str(line.trim_end());
        page.push('\n');
    }
    page
}

/// The bands below each other, lines that are cut marked with the same letters.
fn cut(grid: &Grid, height: i32, bands: &[Band]) -> Vec<String> {
    let mut page = Vec::new();
    let mut marks = Marks::default();
    for band in bands {
        let mut rows = Vec::new();
        for y in 0..=height {
            let mut mark = |x: i32| {
                grid.joint_at(x, y)
                    .map_or("   ".to_owned(), |joint| format!("({})", marks.letter(joint)))
            };
            let left = if band.cut_left {
                mark(band.from)
            } else {
                String::new()
            };
            let right = if band.cut_right {
                mark(band.to)
            } else {
                String::new()
            };
            let row = format!("{left}{}{right}", grid.row(y, band.from, band.to + 1));
            rows.push(row.trim_end().to_owned());
        }
        if !page.is_empty() {
            page.push(String::new());
        }
        page.extend(closed_up(rows, grid.pen));
    }
    page
}

/// Without empty rows above and below, and without rows that only repeat uprights.
fn closed_up(rows: Vec<String>, pen: Pen) -> Vec<String> {
    let passing = |row: &str| {
        row.chars()
            .all(|letter| letter == ' ' || grid::is_upright(letter, pen))
    };
    let mut kept: Vec<String> = Vec::new();
    for row in rows {
        let repeats = passing(&row) && kept.last().is_none_or(|above| passing(above));
        if !repeats {
            kept.push(row);
        }
    }
    while kept.last().is_some_and(String::is_empty) {
        kept.pop();
    }
    kept
}

/// Legend, next check, readings and what is noted of parts, one line each.
fn words(circuit: &Circuit, notes: &Notes, width: i32, pen: Pen) -> Vec<String> {
    let mut lines = vec![String::new(), legend(circuit, pen)];
    match notes.highlight {
        Some(Place::Port(port, _)) if port.part.0 < circuit.parts.len() => {
            lines.push(format!("{} next check: {}", pen.spot(), circuit.port_name(port)));
        }
        Some(Place::Part(part)) if part.0 < circuit.parts.len() => {
            lines.push(format!("{} next check: {}", pen.spot(), circuit.parts[part.0].id));
        }
        _ => {}
    }
    for (id, joint) in circuit.joints.iter().enumerate() {
        if let Some(reading) = notes.joint(JointId(id)) {
            lines.push(format!("{}: {reading}", joint.name));
        }
    }
    for (id, part) in circuit.parts.iter().enumerate() {
        if let Some(note) = notes.part(PartId(id))
            && let Some(text) = &note.text
        {
            let share = note
                .share
                .and_then(percent)
                .map(|share| format!(" {share}"))
                .unwrap_or_default();
            lines.push(format!("{}{share}: {text}", part.id));
        }
    }
    lines.iter().flat_map(|line| list::wrapped(line, width)).collect()
}

fn legend(circuit: &Circuit, pen: Pen) -> String {
    let media = [
        (Medium::Air, "air"),
        (Medium::Electric, "current"),
        (Medium::Rod, "rod"),
        (Medium::Liquid, "liquid"),
    ];
    let used = media
        .iter()
        .filter(|(medium, _)| circuit.joints.iter().any(|joint| joint.medium == *medium));
    let samples: Vec<String> = used
        .map(|(medium, word)| format!("{} {word}", pen.level(*medium).to_string().repeat(3)))
        .collect();
    samples.join("   ")
}
