//! Parts of a control module, and sensors: boxes with pins.

use super::{Ink, Pen};
use circuit::{Medium, Symbol};

/// An electronic switch within the dashed outline of its module. The arrow head marks the electronic control.
pub(super) fn driver(pen: &mut Pen) {
    pen.size(60, 44, 22);
    let height = pen.glyph.height;
    pen.rect(Ink::Paper, 6, 2, 48, height - 4);
    pen.rect(Ink::Dashed, 6, 2, 48, height - 4);
    let y = 22;
    pen.leads(0, 18, 42);
    pen.line(Ink::Heavy, &[(18, y), (40, y - 12)]);
    pen.circle(Ink::Outline, 18, y, 3);
    pen.circle(Ink::Outline, 42, y, 3);
    pen.line(Ink::Line, &[(30, y + 13), (30, y - 1)]);
    pen.line(Ink::Solid, &[(30, y - 5), (26, y + 3), (34, y + 3)]);
    // Where the row has but one port, the other end is the module's own supply or ground.
    let row = pen.face.rows.first().copied();
    let free = |port: Option<usize>| port.is_none_or(|port| !pen.joined(port));
    let (left, right) = (
        free(row.and_then(|row| row.left)),
        free(row.and_then(|row| row.right)),
    );
    let wire = Ink::Medium(Medium::Electric);
    if right {
        pen.line(wire, &[(45, y), (48, y), (48, y + 8)]);
        pen.line(Ink::Heavy, &[(43, y + 8), (53, y + 8)]);
        pen.line(Ink::Line, &[(45, y + 11), (51, y + 11)]);
        pen.line(Ink::Line, &[(47, y + 14), (49, y + 14)]);
    }
    if left {
        pen.line(wire, &[(15, y), (12, y), (12, y - 8)]);
        pen.word(14, y - 10, 11, "+");
    }
    for row in 1..pen.face.rows.len() {
        pen.leads(row, 6, 54);
    }
}

/// A sensor's or a module's pins.
pub(super) fn pins(pen: &mut Pen) {
    pen.size(60, 40, 18);
    let height = pen.glyph.height + 4;
    pen.glyph.height = height;
    pen.rect(Ink::Outline, 8, 2, 44, height - 4);
    let senses = match pen.part.kind.symbol {
        Symbol::PressureSensor => Some("p"),
        Symbol::PositionSensor => Some("s"),
        _ => None,
    };
    if let Some(quantity) = senses {
        pen.line(Ink::Line, &[(8, height - 2), (52, 2)]);
        pen.word(19, height / 2 - 4, 12, quantity);
        pen.word(41, height / 2 + 12, 12, "U");
    } else {
        pen.rect(Ink::Dashed, 12, 6, 36, height - 12);
        let middle = height / 2;
        pen.line(
            Ink::Line,
            &[
                (22, middle - 7),
                (38, middle - 7),
                (38, middle + 7),
                (22, middle + 7),
                (22, middle - 7),
            ],
        );
        pen.path(
            Ink::Line,
            format!("M26 {0}v-4M34 {0}v-4M26 {1}v4M34 {1}v4", middle - 7, middle + 7),
        );
    }
    for row in 0..pen.face.rows.len() {
        pen.leads(row, 8, 52);
    }
}
