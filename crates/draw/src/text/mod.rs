//! The drawing for a terminal: boxes and lines of characters.
//!
//! It follows the same plan as the sheet, laid out anew with characters as units. What is wider than the terminal is cut
//! between columns into bands; a line that is cut carries the same letter on both sides. Where even one column is too
//! wide, the joints are listed instead.

mod boxes;
mod grid;
mod list;

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
/// Width of a cut line's mark, `(A)`.
const MARK: i32 = 3;
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
    let mut lines = match bands(&sheet, width) {
        Some(bands) if width >= NARROWEST => {
            let mut grid = Grid::new(&sheet, pen);
            grid.lines(circuit, &sheet);
            for part in 0..circuit.parts.len() {
                boxes.draw(PartId(part), sheet.cells[part], &mut grid);
            }
            cut(&grid, &sheet, circuit, &bands)
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

/// First and last column of each band; `None` if a column does not fit.
fn bands(sheet: &Sheet, width: i32) -> Option<Vec<(usize, usize)>> {
    let columns = &sheet.columns;
    let mut bands = Vec::new();
    let mut first = 0;
    for last in 0..columns.len() {
        let from = |first: usize| if first == 0 { 0 } else { columns[first - 1].1 };
        let fits = |first: usize| {
            let mark = if first > 0 { MARK } else { 0 };
            let end = if last + 1 < columns.len() {
                columns[last].1 + 1 + MARK
            } else {
                sheet.width.max(columns[last].1) + 1
            };
            end - from(first) + mark <= width
        };
        if !fits(first) {
            if first == last {
                return None;
            }
            bands.push((first, last - 1));
            first = last;
            if !fits(first) {
                return None;
            }
        }
    }
    if !columns.is_empty() {
        bands.push((first, columns.len() - 1));
    }
    Some(bands)
}

/// The bands below each other, lines that are cut marked with the same letters.
fn cut(grid: &Grid, sheet: &Sheet, circuit: &Circuit, bands: &[(usize, usize)]) -> Vec<String> {
    let mut page = Vec::new();
    let mut marks: Vec<JointId> = Vec::new();
    for &(first, last) in bands {
        let from = if first == 0 { 0 } else { sheet.columns[first - 1].1 };
        let cut_right = last + 1 < sheet.columns.len();
        let to = if cut_right {
            sheet.columns[last].1
        } else {
            sheet.width.max(sheet.columns[last].1)
        };
        let mut rows = Vec::new();
        for y in 0..=sheet.height {
            let mut row = String::new();
            if first > 0 {
                row.push_str(&mark(grid.joint_at(from, y), &mut marks));
            }
            row.push_str(&grid.row(y, from, if cut_right { to } else { to + 1 }));
            if cut_right {
                row.push_str(&grid.row(y, to, to + 1));
                row.push_str(mark(grid.joint_at(to, y), &mut marks).trim_end());
            }
            rows.push(row.trim_end().to_owned());
        }
        if !page.is_empty() {
            page.push(String::new());
        }
        page.extend(closed_up(rows, grid.pen));
    }
    debug_assert!(marks.len() <= circuit.joints.len());
    page
}

fn mark(joint: Option<JointId>, marks: &mut Vec<JointId>) -> String {
    let Some(joint) = joint else {
        return "   ".to_owned();
    };
    let place = marks.iter().position(|known| *known == joint).unwrap_or_else(|| {
        marks.push(joint);
        marks.len() - 1
    });
    let letter = ('A'..='Z')
        .chain('a'..='z')
        .chain('0'..='9')
        .nth(place)
        .unwrap_or('*');
    format!("({letter})")
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
            lines.push(format!("{} next check: {}", pen.spot(), circuit.parts[part.0].id))
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
    ];
    let used = media
        .iter()
        .filter(|(medium, _)| circuit.joints.iter().any(|joint| joint.medium == *medium));
    let samples: Vec<String> = used
        .map(|(medium, word)| format!("{} {word}", pen.level(*medium).to_string().repeat(3)))
        .collect();
    samples.join("   ")
}
