//! The engine's breathing: turbocharger, charge-air cooler, cylinders.

use super::{Ink, Pen};
use circuit::Symbol;

pub(super) fn charge(pen: &mut Pen) {
    match pen.part.kind.symbol {
        Symbol::Turbocharger => turbocharger(pen),
        Symbol::Cooler => cooler(pen),
        _ => engine(pen),
    }
}

/// Compressor and turbine on one shaft: two wedges, the narrow ends of both where the pressure is high.
fn turbocharger(pen: &mut Pen) {
    pen.size(64, 60, 16);
    pen.path(Ink::Outline, "M12 2l40 8v12l-40 8Z");
    pen.path(Ink::Outline, "M22 38l20 -4v24l-20 -4Z");
    pen.line(Ink::Heavy, &[(32, 26), (32, 36)]);
    for row in 0..pen.face.rows.len() {
        pen.leads(
            row,
            if row == 0 { 12 } else { 22 },
            if row == 0 { 52 } else { 42 },
        );
    }
}

/// A heat exchanger: a box that the line zigzags through.
fn cooler(pen: &mut Pen) {
    pen.size(60, 40, 20);
    pen.rect(Ink::Outline, 10, 2, 40, 36);
    pen.line(
        Ink::Line,
        &[(10, 20), (18, 20), (22, 9), (30, 31), (38, 9), (42, 20), (50, 20)],
    );
    pen.leads(0, 10, 50);
}

/// A cylinder with its piston and crank.
fn engine(pen: &mut Pen) {
    pen.size(56, 60, 18);
    pen.line(Ink::Outline, &[(14, 38), (14, 4), (46, 4), (46, 38)]);
    pen.rect(Ink::Outline, 16, 18, 28, 12);
    pen.line(Ink::Heavy, &[(30, 24), (38, 46), (30, 50)]);
    pen.circle(Ink::Outline, 30, 50, 8);
    for row in 0..pen.face.rows.len() {
        pen.leads(row, 14, 46);
    }
}
