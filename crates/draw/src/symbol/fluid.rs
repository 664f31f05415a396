//! Air and rods.

use super::{Ink, Pen, ROW};
use circuit::{Medium, Supplies, Symbol};

/// Pump, space, throttle, filter, check valve: one symbol on the line.
pub(super) fn plain(pen: &mut Pen) {
    match pen.part.kind.symbol {
        Symbol::VacuumPump => vacuum_pump(pen),
        Symbol::AirSpace => air_space(pen),
        Symbol::Orifice => orifice(pen),
        Symbol::Filter => filter(pen),
        _ => check_valve(pen),
    }
}

/// Circle; the triangle points where the air goes: away from the suction port.
fn vacuum_pump(pen: &mut Pen) {
    pen.size(52, 44, 22);
    pen.circle(Ink::Outline, 26, 22, 20);
    let first_right = pen.face.rows.first().is_none_or(|row| row.right.is_some());
    let (tip, base) = if first_right { (6, 20) } else { (46, 32) };
    pen.line(Ink::Outline, &[(tip, 22), (base, 14), (base, 30)]);
    for row in 0..pen.face.rows.len() {
        pen.leads(row, 6, 46);
    }
}

/// A chamber, or a source of pressure (hollow triangle) or vacuum within one.
fn air_space(pen: &mut Pen) {
    pen.size(52, 36, 18);
    pen.path(
        Ink::Outline,
        "M14 4h24a6 6 0 0 1 6 6v16a6 6 0 0 1 -6 6h-24a6 6 0 0 1 -6 -6v-16a6 6 0 0 1 6 -6Z",
    );
    match pen.part.kind.supplies {
        Some(Supplies::Pressure) => pen.line(Ink::Outline, &[(20, 11), (34, 18), (20, 25)]),
        Some(_) => pen.line(Ink::Outline, &[(34, 11), (20, 18), (34, 25)]),
        None => pen.path(Ink::Line, "M15 15q5 -5 11 0t11 0M15 23q5 -5 11 0t11 0"),
    }
    for row in 0..pen.face.rows.len() {
        pen.leads(row, 8, 44);
    }
}

/// Throttle: the line pinched between two arcs.
fn orifice(pen: &mut Pen) {
    pen.size(44, 28, 14);
    pen.leads(0, 22, 22);
    pen.path(Ink::Heavy, "M10 4q12 10 24 0M10 24q12 -10 24 0");
}

/// Diamond with a dashed line across the flow.
fn filter(pen: &mut Pen) {
    pen.size(44, 32, 16);
    pen.line(Ink::Outline, &[(6, 16), (22, 2), (38, 16), (22, 30)]);
    pen.line(Ink::Dashed, &[(22, 3), (22, 29)]);
    pen.leads(0, 6, 38);
}

/// Ball on its seat; it lifts towards the downstream port.
fn check_valve(pen: &mut Pen) {
    pen.size(48, 28, 14);
    // Unswapped: air passes from left to right, the seat opens to the right.
    if pen.swapped() {
        pen.leads(0, 17, 32);
        pen.line(Ink::Heavy, &[(22, 3), (34, 14), (22, 25)]);
        pen.circle(Ink::Outline, 23, 14, 6);
    } else {
        pen.leads(0, 16, 31);
        pen.line(Ink::Heavy, &[(26, 3), (14, 14), (26, 25)]);
        pen.circle(Ink::Outline, 25, 14, 6);
    }
}

/// Reservoir, actuator, flap, ring of vanes.
pub(super) fn moving(pen: &mut Pen) {
    match pen.part.kind.symbol {
        Symbol::Reservoir => {
            pen.size(60, 28, 14);
            pen.path(Ink::Outline, "M20 3h20a11 11 0 0 1 0 22h-20a11 11 0 0 1 0 -22Z");
            for row in 0..pen.face.rows.len() {
                pen.leads(row, 9, 51);
            }
        }
        Symbol::DiaphragmActuator => actuator(pen),
        Symbol::Flap => flap(pen),
        _ => vane_ring(pen),
    }
}

/// Can with a diaphragm, the spring in the chamber with the port, the rod on the other side.
fn actuator(pen: &mut Pen) {
    pen.size(72, 48, 24);
    pen.rect(Ink::Outline, 8, 4, 46, 40);
    pen.leads(0, 8, 40);
    pen.line(
        Ink::Line,
        &[
            (12, 32),
            (16, 38),
            (20, 28),
            (24, 38),
            (28, 28),
            (32, 38),
            (36, 32),
        ],
    );
    pen.path(Ink::Heavy, "M38 4q-4 10 0 20t0 20");
    pen.line(Ink::Heavy, &[(40, 15), (40, 33)]);
    for row in 1..pen.face.rows.len() {
        pen.leads(row, 8, 54);
    }
}

/// A flap in a duct, turned by a lever.
fn flap(pen: &mut Pen) {
    pen.size(56, 44, 14);
    pen.line(Ink::Heavy, &[(10, 22), (50, 22)]);
    pen.line(Ink::Heavy, &[(10, 42), (50, 42)]);
    pen.leads(0, 30, 30);
    pen.line(Ink::Line, &[(30, 14), (30, 32)]);
    pen.line(Ink::Heavy, &[(18, 38), (42, 26)]);
    pen.circle(Ink::Solid, 30, 32, 3);
    pen.circle(Ink::Solid, 30, 14, 2);
}

/// A ring of vanes around a wheel.
fn vane_ring(pen: &mut Pen) {
    pen.size(56, 48, 24);
    pen.circle(Ink::Outline, 30, 24, 20);
    pen.circle(Ink::Outline, 30, 24, 8);
    pen.path(
        Ink::Heavy,
        "M30 7l6 5M45 17l-1 8M43 36l-7 3M24 41l-6 -5M15 32l1 -8M17 12l7 -2",
    );
    pen.leads(0, 10, 50);
}

/// Height of one of the two squares.
const SQUARE: i32 = 32;

/// Two squares, the resting one beside the spring, the energised one beside the coil (box with a slash). The squares are
/// stacked, so that source and output lie opposite each other on the line.
pub(super) fn solenoid_valve(pen: &mut Pen) {
    let air: Vec<usize> = (0..pen.face.rows.len())
        .filter(|row| row_medium(pen, *row) == Medium::Air)
        .collect();
    let electric: Vec<usize> = (0..pen.face.rows.len())
        .filter(|row| row_medium(pen, *row) == Medium::Electric)
        .collect();
    let (left, right, top) = (16, 50, 12);
    pen.size(66, 0, 0);
    pen.glyph.rows = vec![0; pen.face.rows.len()];
    let main = top + 8;
    for (index, &row) in air.iter().enumerate() {
        pen.glyph.rows[row] = main + ROW * i32::try_from(index).unwrap_or(0);
    }
    let coil_top = top + 2 * SQUARE;
    for (index, &row) in electric.iter().enumerate() {
        pen.glyph.rows[row] = coil_top + 9 + ROW * i32::try_from(index).unwrap_or(0);
    }
    pen.glyph.height = coil_top + 18;
    let mirrored = pen.swapped();
    let x = |x: i32| if mirrored { left + right - x } else { x };
    pen.line(
        Ink::Line,
        &[(33, 0), (27, 2), (39, 5), (27, 8), (39, 11), (33, 12)],
    );
    pen.rect(Ink::Outline, left, top, right - left, SQUARE);
    pen.rect(Ink::Outline, left, top + SQUARE, right - left, SQUARE);
    pen.rect(Ink::Outline, left + 2, coil_top, right - left - 4, 18);
    pen.line(Ink::Line, &[(left + 8, coil_top + 18), (right - 8, coil_top)]);
    let vent = top + 24;
    // At rest: source blocked, output to vent.
    pen.line(Ink::Line, &[(x(left), main), (x(left + 7), main)]);
    pen.line(Ink::Heavy, &[(x(left + 7), main - 5), (x(left + 7), main + 5)]);
    pen.line(
        Ink::Line,
        &[
            (x(right), main),
            (x(right - 14), main),
            (x(right - 14), vent),
            (x(right - 6), vent),
        ],
    );
    arrow(pen, (x(right), vent), if mirrored { -1 } else { 1 });
    // Energised: source to output, vent blocked.
    pen.line(
        Ink::Line,
        &[(x(left), main + SQUARE), (x(right - 6), main + SQUARE)],
    );
    arrow(pen, (x(right), main + SQUARE), if mirrored { -1 } else { 1 });
    pen.line(
        Ink::Line,
        &[(x(right), vent + SQUARE), (x(right - 7), vent + SQUARE)],
    );
    pen.line(
        Ink::Heavy,
        &[
            (x(right - 7), vent + SQUARE - 5),
            (x(right - 7), vent + SQUARE + 5),
        ],
    );
    vent_lead(pen, &air, vent, left, right);
    if let Some(row) = air.first() {
        pen.leads(*row, left, right);
    }
    for row in electric {
        pen.leads(row, left + 2, right - 2);
    }
}

/// The vent: its line if something is joined, else the triangle of an open exhaust.
fn vent_lead(pen: &mut Pen, air: &[usize], vent: i32, left: i32, right: i32) {
    let Some(&row) = air.get(1) else { return };
    let face = pen.face.rows[row];
    let y = pen.glyph.rows[row];
    let on_right = !pen.swapped();
    let edge = if on_right { right } else { left };
    let out = if on_right { 1 } else { -1 };
    let Some(port) = face.right.or(face.left) else {
        return;
    };
    if pen.joined(port) {
        let end = if face.right.is_some() { pen.glyph.width } else { 0 };
        pen.line(
            Ink::Medium(Medium::Air),
            &[
                (edge, vent),
                (edge + 8 * out, vent),
                (edge + 8 * out, y),
                (end, y),
            ],
        );
    } else {
        pen.line(
            Ink::Outline,
            &[(edge, vent - 5), (edge + 9 * out, vent), (edge, vent + 5)],
        );
    }
}

fn arrow(pen: &mut Pen, tip: (i32, i32), direction: i32) {
    let back = tip.0 - 7 * direction;
    pen.line(Ink::Solid, &[tip, (back, tip.1 - 3), (back, tip.1 + 3)]);
}

fn row_medium(pen: &Pen, row: usize) -> Medium {
    let row = pen.face.rows[row];
    row.left
        .or(row.right)
        .map_or(Medium::Air, |port| pen.part.kind.ports[port].medium)
}
