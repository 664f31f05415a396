//! Symbols, redrawn from the general form of the public standards: ISO 1219-1 for fluid parts, IEC 60617 for electric
//! ones. (Both from memory; no artwork is copied.) A symbol is given by its rows: a line comes in on the left and goes
//! out on the right at the height of its row, and the symbol draws everything between.

mod charge;
mod electric;
mod fluid;
mod liquid;
mod module;

use crate::sides::Face;
use circuit::{Circuit, Medium, Part, PartId, Symbol};
use std::fmt::Write as _;

/// How a path is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    /// Closed outline, filled with the colour of the paper.
    Outline,
    /// A patch of bare paper.
    Paper,
    /// Open line.
    Line,
    /// Heavy open line.
    Heavy,
    /// Dashed line.
    Dashed,
    /// Filled.
    Solid,
    /// A line of a medium.
    Medium(Medium),
}

/// A piece of a symbol.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Piece {
    /// SVG path data.
    Path(Ink, String),
    /// A word, centred.
    Word { x: i32, y: i32, size: i32, text: String },
}

/// A drawn symbol.
#[derive(Debug, Clone, Default)]
pub(crate) struct Glyph {
    pub(crate) width: i32,
    pub(crate) height: i32,
    /// Height of each row of the face.
    pub(crate) rows: Vec<i32>,
    pub(crate) pieces: Vec<Piece>,
}

/// Least distance of rows: a port's name above the line, a reading below it.
pub(crate) const ROW: i32 = 33;

/// The symbol of a part whose ports lie as in `face`. `stretch` is the length of a part drawn as a line.
pub(crate) fn glyph(circuit: &Circuit, part: PartId, face: &Face, stretch: i32) -> Glyph {
    let part = &circuit.parts[part.0];
    let mut pen = Pen {
        part,
        face,
        glyph: Glyph::default(),
    };
    match part.kind.symbol {
        Symbol::Hose | Symbol::Wire => pen.stretch(stretch),
        Symbol::VacuumPump | Symbol::AirSpace | Symbol::Orifice | Symbol::Filter | Symbol::CheckValve => {
            fluid::plain(&mut pen);
        }
        Symbol::Reservoir | Symbol::DiaphragmActuator | Symbol::Flap | Symbol::VaneRing => {
            fluid::moving(&mut pen);
        }
        Symbol::Turbocharger | Symbol::Cooler | Symbol::Engine => charge::charge(&mut pen),
        Symbol::SolenoidValve => fluid::solenoid_valve(&mut pen),
        Symbol::Battery | Symbol::Ground | Symbol::Chassis => electric::ends(&mut pen),
        Symbol::Relay | Symbol::StarterSolenoid => electric::contactor(&mut pen),
        Symbol::Fuse
        | Symbol::Switch
        | Symbol::Connector
        | Symbol::Coil
        | Symbol::Motor
        | Symbol::Lamp
        | Symbol::GlowPlug
        | Symbol::Diode
        | Symbol::TemperatureSensor
        | Symbol::Alternator
        | Symbol::Resistor => electric::in_line(&mut pen),
        Symbol::LowSideDriver | Symbol::HighSideDriver => module::driver(&mut pen),
        Symbol::PressureSensor | Symbol::PositionSensor | Symbol::ModulePins | Symbol::BusModule => {
            module::pins(&mut pen);
        }
        Symbol::TwistedPair => electric::twisted_pair(&mut pen),
        Symbol::Tank | Symbol::LiquidPump | Symbol::PressureValve | Symbol::LiquidLoad => {
            liquid::liquid(&mut pen);
        }
    }
    pen.glyph
}

/// Draws one symbol.
struct Pen<'a> {
    part: &'a Part,
    face: &'a Face,
    glyph: Glyph,
}

impl Pen<'_> {
    /// Sets the size, with all rows `ROW` apart from `first` on.
    fn size(&mut self, width: i32, height: i32, first: i32) {
        let count = i32::try_from(self.face.rows.len()).unwrap_or(0);
        self.glyph.width = width;
        self.glyph.rows = (0..count).map(|row| first + row * ROW).collect();
        self.glyph.height = height.max(self.glyph.rows.last().map_or(0, |last| last + 8));
    }

    fn path(&mut self, ink: Ink, d: impl Into<String>) {
        self.glyph.pieces.push(Piece::Path(ink, d.into()));
    }

    fn line(&mut self, ink: Ink, points: &[(i32, i32)]) {
        let mut d = String::new();
        for (index, (x, y)) in points.iter().enumerate() {
            // Writing to a string cannot fail.
            let _ = write!(d, "{}{x} {y}", if index == 0 { "M" } else { "L" });
        }
        if matches!(ink, Ink::Outline | Ink::Solid | Ink::Paper) {
            d.push('Z');
        }
        self.path(ink, d);
    }

    fn rect(&mut self, ink: Ink, x: i32, y: i32, width: i32, height: i32) {
        self.path(ink, format!("M{x} {y}h{width}v{height}h{}Z", -width));
    }

    fn circle(&mut self, ink: Ink, x: i32, y: i32, r: i32) {
        let d = 2 * r;
        self.path(
            ink,
            format!("M{} {y}a{r} {r} 0 1 0 {d} 0a{r} {r} 0 1 0 {} 0Z", x - r, -d),
        );
    }

    fn word(&mut self, x: i32, y: i32, size: i32, text: &str) {
        self.glyph.pieces.push(Piece::Word {
            x,
            y,
            size,
            text: text.to_owned(),
        });
    }

    /// The lines of a row from the edges of the symbol to `left` and `right`; only where a port is joined.
    fn leads(&mut self, row: usize, left: i32, right: i32) {
        let (Some(face), Some(&y)) = (self.face.rows.get(row).copied(), self.glyph.rows.get(row)) else {
            return;
        };
        let width = self.glyph.width;
        for (port, edge, to) in [(face.left, 0, left), (face.right, width, right)] {
            if let Some(port) = port.filter(|port| self.joined(*port)) {
                let medium = self.part.kind.ports[port].medium;
                self.line(Ink::Medium(medium), &[(edge, y), (to, y)]);
            }
        }
    }

    fn joined(&self, port: usize) -> bool {
        self.part.joints[port].is_some()
    }

    /// `true` if the first row runs from right to left.
    fn swapped(&self) -> bool {
        self.face.rows.first().is_some_and(|row| row.swapped)
    }

    /// A straight piece of line with an open end where nothing is joined.
    fn stretch(&mut self, length: i32) {
        self.size(length, 10, 5);
        let y = 5;
        let medium = self
            .part
            .kind
            .ports
            .first()
            .map_or(Medium::Air, |port| port.medium);
        // One unit longer at both ends: no seam shows.
        self.line(Ink::Medium(medium), &[(-1, y), (length + 1, y)]);
        let row = self.face.rows.first().copied();
        for (port, x) in [
            (row.and_then(|row| row.left), 0),
            (row.and_then(|row| row.right), length),
        ] {
            if port.is_some_and(|port| !self.joined(port)) {
                self.line(Ink::Line, &[(x, y - 5), (x, y + 5)]);
            }
        }
    }
}
