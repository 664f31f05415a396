//! Liquid: tank, pump with its motor, valve held by a spring, load. ISO 1219-1, from memory: the triangle of a liquid is filled.

use super::{Ink, Pen, ROW};
use circuit::{Medium, Symbol};

/// Any symbol of a part that carries liquid; filters, lines and openings are drawn as those of air.
pub(super) fn liquid(pen: &mut Pen) {
    match pen.part.kind.symbol {
        Symbol::Tank => tank(pen),
        Symbol::LiquidPump => pump(pen),
        Symbol::PressureValve => pressure_valve(pen),
        _ => load(pen),
    }
}

/// A vessel open at the top, its surface below the rim.
fn tank(pen: &mut Pen) {
    let rows = i32::try_from(pen.face.rows.len()).unwrap_or(0).max(1);
    let bottom = 36 + (rows - 1) * ROW;
    pen.size(56, bottom, 18);
    pen.line(Ink::Paper, &[(8, 4), (48, 4), (48, bottom - 4), (8, bottom - 4)]);
    pen.path(Ink::Heavy, format!("M8 4V{}H48V4", bottom - 4));
    pen.path(Ink::Line, "M8 10q5 -4 10 0t10 0t10 0t10 0");
    for row in 0..pen.face.rows.len() {
        pen.leads(row, 8, 48);
    }
}

/// Circle with a filled triangle that points where the liquid goes; below it, on the same shaft, the motor.
fn pump(pen: &mut Pen) {
    pen.size(56, 76, 22);
    let rows = pen.face.rows.len();
    let motor = pen.glyph.rows.get(1).copied().unwrap_or(22 + ROW);
    pen.glyph.height = pen.glyph.height.max(motor + 18);
    pen.line(Ink::Line, &[(25, 38), (25, motor - 14)]);
    pen.line(Ink::Line, &[(31, 38), (31, motor - 14)]);
    pen.circle(Ink::Outline, 28, 22, 18);
    pen.circle(Ink::Outline, 28, motor, 14);
    pen.word(28, motor + 5, 13, "M");
    if pen.swapped() {
        pen.line(Ink::Solid, &[(10, 22), (22, 14), (22, 30)]);
    } else {
        pen.line(Ink::Solid, &[(46, 22), (34, 14), (34, 30)]);
    }
    for row in 0..rows {
        let half = if medium(pen, row) == Medium::Liquid {
            18
        } else {
            14
        };
        pen.leads(row, 28 - half, 28 + half);
    }
}

/// A square whose arrow lies beside the way through while its spring holds it; a dashed line from the inlet works against the
/// spring.
fn pressure_valve(pen: &mut Pen) {
    pen.size(56, 52, 30);
    pen.rect(Ink::Outline, 12, 14, 32, 32);
    pen.line(
        Ink::Line,
        &[(28, 0), (22, 2), (34, 5), (22, 8), (34, 11), (28, 14)],
    );
    let (tip, tail, inlet) = if pen.swapped() { (14, 42, 44) } else { (42, 14, 12) };
    let back = if tip > tail { tip - 8 } else { tip + 8 };
    pen.line(Ink::Line, &[(tail, 22), (back, 22)]);
    pen.line(Ink::Solid, &[(tip, 22), (back, 18), (back, 26)]);
    let outside = if inlet > 28 { inlet + 6 } else { inlet - 6 };
    pen.line(Ink::Dashed, &[(outside, 30), (outside, 50), (28, 50), (28, 46)]);
    pen.leads(0, 12, 44);
}

/// What takes the liquid: a nozzle that gives it off.
fn load(pen: &mut Pen) {
    pen.size(52, 36, 18);
    let from_left = pen.face.rows.first().is_none_or(|row| row.left.is_some());
    let x = |x: i32| if from_left { x } else { 52 - x };
    pen.line(
        Ink::Outline,
        &[(x(8), 8), (x(26), 8), (x(38), 18), (x(26), 28), (x(8), 28)],
    );
    pen.line(Ink::Dashed, &[(x(40), 18), (x(50), 10)]);
    pen.line(Ink::Dashed, &[(x(40), 18), (x(50), 18)]);
    pen.line(Ink::Dashed, &[(x(40), 18), (x(50), 26)]);
    pen.leads(0, 8, 44);
}

fn medium(pen: &Pen, row: usize) -> Medium {
    let row = pen.face.rows[row];
    row.left
        .or(row.right)
        .map_or(Medium::Air, |port| pen.part.kind.ports[port].medium)
}
