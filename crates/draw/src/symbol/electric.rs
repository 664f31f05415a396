//! Electric parts.

use super::{Ink, Pen, ROW};
use circuit::{Medium, Symbol};

/// Battery, ground point, chassis.
pub(super) fn ends(pen: &mut Pen) {
    match pen.part.kind.symbol {
        Symbol::Battery => battery(pen),
        Symbol::Ground => ground(pen),
        _ => chassis(pen),
    }
}

/// Two cells upright: long thin plate plus, short heavy plate minus.
fn battery(pen: &mut Pen) {
    pen.size(52, 60, 8);
    let last = pen.glyph.rows.last().copied().unwrap_or(8).max(46);
    if let Some(row) = pen.glyph.rows.get_mut(1) {
        *row = last;
    }
    pen.glyph.height = pen.glyph.height.max(last + 8);
    let x = 20;
    let wire = Ink::Medium(Medium::Electric);
    pen.line(wire, &[(x, 8), (x, 18)]);
    pen.line(Ink::Line, &[(x - 14, 18), (x + 14, 18)]);
    pen.line(Ink::Heavy, &[(x - 7, 24), (x + 7, 24)]);
    pen.line(Ink::Line, &[(x - 14, 30), (x + 14, 30)]);
    pen.line(Ink::Heavy, &[(x - 7, 36), (x + 7, 36)]);
    pen.line(wire, &[(x, 36), (x, last)]);
    // The signs stand on the side that the leads leave free.
    for (row, y, sign) in [(0, 13, "+"), (1, last + 1, "−")] {
        let leaves_left = pen.face.rows.get(row).is_some_and(|row| row.left.is_some());
        pen.word(if leaves_left { x + 10 } else { x - 10 }, y, 12, sign);
    }
    for row in 0..pen.face.rows.len() {
        pen.leads(row, x, x);
    }
}

fn ground(pen: &mut Pen) {
    pen.size(40, 34, 8);
    pen.leads(0, 20, 20);
    pen.line(Ink::Medium(Medium::Electric), &[(20, 8), (20, 18)]);
    pen.line(Ink::Heavy, &[(8, 18), (32, 18)]);
    pen.line(Ink::Heavy, &[(12, 23), (28, 23)]);
    pen.line(Ink::Heavy, &[(16, 28), (24, 28)]);
}

/// The body: hatched below; with several places on it, a bar that joins them.
fn chassis(pen: &mut Pen) {
    if pen.face.rows.len() > 1 {
        pen.size(44, 32, 8);
        let last = pen.glyph.rows.last().copied().unwrap_or(8);
        pen.glyph.height = last + 28;
        for row in 0..pen.face.rows.len() {
            pen.leads(row, 22, 22);
        }
        pen.line(Ink::Heavy, &[(22, 8), (22, last + 14)]);
        pen.line(Ink::Heavy, &[(8, last + 14), (36, last + 14)]);
        let feet = last + 14;
        pen.path(
            Ink::Line,
            format!("M10 {feet}l-5 9M19 {feet}l-5 9M28 {feet}l-5 9M36 {feet}l-5 9"),
        );
        return;
    }
    pen.size(44, 32, 8);
    pen.leads(0, 22, 22);
    pen.line(Ink::Medium(Medium::Electric), &[(22, 8), (22, 18)]);
    pen.line(Ink::Heavy, &[(8, 18), (36, 18)]);
    pen.path(Ink::Line, "M10 18l-5 9M19 18l-5 9M28 18l-5 9M36 18l-5 9");
}

/// Parts that sit in the line.
pub(super) fn in_line(pen: &mut Pen) {
    let symbol = pen.part.kind.symbol;
    let height = match symbol {
        Symbol::Motor | Symbol::Lamp | Symbol::Alternator => 40,
        Symbol::Switch => 30,
        _ => 26,
    };
    pen.size(48, height, if symbol == Symbol::Switch { 20 } else { height / 2 });
    let y = pen.glyph.rows.first().copied().unwrap_or(height / 2);
    match symbol {
        Symbol::Fuse => {
            pen.rect(Ink::Outline, 8, y - 6, 32, 12);
            pen.leads(0, 24, 24);
        }
        Symbol::Resistor => {
            pen.rect(Ink::Outline, 8, y - 6, 32, 12);
            pen.leads(0, 8, 40);
        }
        Symbol::TemperatureSensor => thermistor(pen, y),
        Symbol::GlowPlug => glow_plug(pen, y),
        Symbol::Switch => {
            pen.leads(0, 10, 38);
            pen.line(Ink::Heavy, &[(10, y), (36, y - 14)]);
            pen.circle(Ink::Outline, 10, y, 3);
            pen.circle(Ink::Outline, 38, y, 3);
        }
        Symbol::Connector => connector(pen, y),
        Symbol::Coil => coil(pen, y),
        Symbol::Motor => {
            pen.circle(Ink::Outline, 24, y, 17);
            pen.word(24, y + 6, 17, "M");
            pen.leads(0, 7, 41);
        }
        Symbol::Alternator => {
            pen.circle(Ink::Outline, 24, y, 17);
            pen.word(24, y + 2, 15, "G");
            pen.path(Ink::Line, format!("M17 {}q3.5 -6 7 0t7 0", y + 8));
            pen.leads(0, 7, 41);
            if let Some(&lamp) = pen.glyph.rows.get(1).filter(|_| pen.joined(2)) {
                pen.line(Ink::Medium(Medium::Electric), &[(24, y + 17), (24, lamp)]);
            }
        }
        Symbol::Lamp => {
            pen.circle(Ink::Outline, 24, y, 15);
            pen.line(Ink::Line, &[(13, y - 11), (35, y + 11)]);
            pen.line(Ink::Line, &[(13, y + 11), (35, y - 11)]);
            pen.leads(0, 9, 39);
        }
        _ => diode(pen, y),
    }
    for row in 1..pen.face.rows.len() {
        pen.leads(row, 24, 24);
    }
}

/// A resistance that falls as it gets warmer: the slanted line with its foot.
fn thermistor(pen: &mut Pen, y: i32) {
    pen.rect(Ink::Outline, 8, y - 6, 32, 12);
    pen.leads(0, 8, 40);
    pen.line(Ink::Line, &[(9, y + 12), (15, y + 12), (37, y - 11)]);
}

/// Two wires that cross over each other.
pub(super) fn twisted_pair(pen: &mut Pen) {
    pen.size(64, 2 * ROW, 8);
    let (Some(&first), Some(&second)) = (pen.glyph.rows.first(), pen.glyph.rows.get(1)) else {
        return;
    };
    pen.glyph.height = second + 8;
    let wire = Ink::Medium(Medium::Electric);
    for (start, end) in [(first, second), (second, first)] {
        pen.line(wire, &[(8, start), (24, end), (40, start), (56, end)]);
    }
    for row in 0..2 {
        pen.leads(row, 8, 56);
    }
}

/// Heating element: a rectangle divided along its length.
fn glow_plug(pen: &mut Pen, y: i32) {
    pen.rect(Ink::Outline, 6, y - 7, 36, 14);
    for x in [13, 20, 28, 35] {
        pen.line(Ink::Line, &[(x, y - 7), (x, y + 7)]);
    }
    pen.leads(0, 6, 42);
}

/// Plug (bar) in socket (arc).
fn connector(pen: &mut Pen, y: i32) {
    pen.leads(0, 14, 33);
    pen.path(Ink::Heavy, format!("M34 {}a9 9 0 0 0 0 18", y - 9));
    pen.rect(Ink::Solid, 12, y - 3, 11, 6);
    pen.line(Ink::Medium(Medium::Electric), &[(25, y), (34, y)]);
}

fn coil(pen: &mut Pen, y: i32) {
    pen.leads(0, 6, 42);
    pen.path(
        Ink::Line,
        format!("M6 {y}a4 5 0 0 1 9 0a4 5 0 0 1 9 0a4 5 0 0 1 9 0a4 5 0 0 1 9 0"),
    );
}

fn diode(pen: &mut Pen, y: i32) {
    pen.leads(0, 14, 34);
    let (base, tip) = if pen.swapped() { (34, 14) } else { (14, 34) };
    pen.line(Ink::Outline, &[(base, y - 10), (tip, y), (base, y + 10)]);
    pen.line(Ink::Heavy, &[(tip, y - 10), (tip, y + 10)]);
}

/// Relay, starter solenoid: contact above, coil below, a dashed line for what the coil moves.
pub(super) fn contactor(pen: &mut Pen) {
    let rows = pen.face.rows.len();
    pen.size(72, 0, 22);
    if rows == 0 {
        pen.size(72, 40, 20);
        return;
    }
    let coil = rows - 1;
    if coil > 0 {
        pen.glyph.rows[coil] += 6;
    }
    pen.glyph.height = pen.glyph.rows[coil] + 16;
    let (top, coil_y) = (pen.glyph.rows[0], pen.glyph.rows[coil]);
    pen.rect(Ink::Outline, 6, 2, 60, pen.glyph.height - 4);
    if coil > 0 {
        pen.line(Ink::Dashed, &[(36, top - 7), (36, coil_y - 9)]);
    }
    let swapped = pen.swapped();
    let x = |x: i32| if swapped { 72 - x } else { x };
    pen.leads(0, 20, 52);
    pen.line(Ink::Heavy, &[(x(20), top), (x(50), top - 13)]);
    pen.circle(Ink::Outline, x(20), top, 3);
    pen.circle(Ink::Outline, x(52), top, 3);
    for row in 1..coil {
        throw(pen, row);
    }
    if coil > 0 {
        pen.leads(coil, 22, 50);
        pen.rect(Ink::Outline, 22, coil_y - 9, 28, 18);
        pen.line(Ink::Line, &[(30, coil_y + 9), (42, coil_y - 9)]);
    }
}

/// A second contact below the first.
fn throw(pen: &mut Pen, row: usize) {
    let y = pen.glyph.rows[row];
    pen.leads(row, 20, 52);
    let face = pen.face.rows[row];
    for x in [face.left.map(|_| 20), face.right.map(|_| 52)]
        .into_iter()
        .flatten()
    {
        pen.circle(Ink::Outline, x, y, 3);
    }
    if face.left.is_some() && face.right.is_some() {
        pen.line(Ink::Heavy, &[(20, y), (50, y - ROW / 2)]);
    }
}
