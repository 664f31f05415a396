//! Parts as boxes of characters, hoses and wires as lines with their names.

use super::grid::{Grid, Pen};
use crate::face::is_line;
use crate::geometry::Rect;
use crate::notes::Notes;
use crate::plan::Plan;
use crate::shape::Shape;
use crate::words::percent;
use circuit::{Circuit, Medium, PartId, Place, PortRef, Symbol};

/// Room kept for a figure, which stands here without spaces: `>99%`.
const FIGURE: i32 = 4;

/// Draws the parts of a circuit.
pub(super) struct Boxes<'a> {
    pub(super) circuit: &'a Circuit,
    pub(super) notes: &'a Notes,
    pub(super) plan: &'a Plan,
    pub(super) pen: Pen,
}

impl Boxes<'_> {
    /// Size of a part's box, independent of the notes.
    pub(super) fn shape(&self, part: PartId) -> Shape {
        let rows = self.row_count(part);
        let port = |port: usize| 1 + length(self.plan.faces[part.0].row(port));
        let ports = (0..self.circuit.parts[part.0].joints.len()).map(port).collect();
        Shape {
            width: self.width(part),
            height: 2 + rows,
            ports,
        }
    }

    fn row_count(&self, part: PartId) -> i32 {
        length(self.plan.faces[part.0].rows.len()).max(1)
    }

    fn width(&self, part: PartId) -> i32 {
        let id = count(&self.circuit.parts[part.0].id);
        if is_line(self.circuit.parts[part.0].kind.symbol) {
            return id.max(FIGURE) + 2;
        }
        let word = count(word(self.circuit.parts[part.0].kind.symbol));
        let frame = id.max(word).max(FIGURE) + 4;
        if self.row_count(part) == 1 {
            return frame;
        }
        let rows = self.plan.faces[part.0].rows.iter();
        let names = rows.map(|row| {
            [row.left, row.right].map(|port| port.map_or(0, |port| count(self.port_name(part, port))))
        });
        names
            .map(|[left, right]| left + right + 5)
            .max()
            .unwrap_or(0)
            .max(frame)
    }

    fn port_name(&self, part: PartId, port: usize) -> &str {
        let part = &self.circuit.parts[part.0];
        if part.joints[port].is_some() {
            part.kind.ports[port].name
        } else {
            ""
        }
    }

    /// Draws a part into its box.
    pub(super) fn draw(&self, part: PartId, room: Rect, grid: &mut Grid) {
        let owner = &self.circuit.parts[part.0];
        let share = self
            .notes
            .share(part)
            .and_then(percent)
            .map(|share| share.replace(' ', ""));
        if is_line(owner.kind.symbol) {
            let medium = owner.kind.ports.first().map_or(Medium::Air, |port| port.medium);
            grid.level(room.x, room.y + 1, room.width, medium);
            centre(grid, room, room.y, &owner.id);
            centre(grid, room, room.y + 2, &share.unwrap_or_default());
        } else {
            self.frame(part, room, grid);
            let one = self.row_count(part) == 1;
            centre(
                grid,
                room,
                if one { room.y + 1 } else { room.y },
                &spaced(&owner.id, one),
            );
            let word = word(owner.kind.symbol);
            let below = share.unwrap_or_else(|| {
                if owner.id == word {
                    String::new()
                } else {
                    word.to_owned()
                }
            });
            centre(grid, room, room.bottom() - 1, &spaced(&below, below.is_empty()));
        }
        self.ports(part, room, grid);
    }

    fn frame(&self, part: PartId, room: Rect, grid: &mut Grid) {
        let next = self.notes.highlight == Some(Place::Part(part));
        let [level, upright, top_left, top_right, bottom_left, bottom_right] = match (self.pen, next) {
            (Pen::Drawn, false) => ['─', '│', '┌', '┐', '└', '┘'],
            (Pen::Drawn, true) => ['━', '┃', '┏', '┓', '┗', '┛'],
            (Pen::Ascii, false) => ['-', '|', '.', '.', '\'', '\''],
            (Pen::Ascii, true) => ['#'; 6],
        };
        let (right, bottom) = (room.right() - 1, room.bottom() - 1);
        for y in room.y + 1..bottom {
            for x in room.x + 1..right {
                grid.put(x, y, ' ');
            }
            grid.put(room.x, y, upright);
            grid.put(right, y, upright);
        }
        for x in room.x + 1..right {
            grid.put(x, room.y, level);
            grid.put(x, bottom, level);
        }
        let corners = [
            (room.x, room.y, top_left),
            (right, room.y, top_right),
            (room.x, bottom, bottom_left),
            (right, bottom, bottom_right),
        ];
        for (x, y, letter) in corners {
            grid.put(x, y, letter);
        }
    }

    /// Where lines meet the box, and the ports' names where there are several rows.
    fn ports(&self, part: PartId, room: Rect, grid: &mut Grid) {
        let owner = &self.circuit.parts[part.0];
        let line = is_line(owner.kind.symbol);
        for (index, row) in self.plan.faces[part.0].rows.iter().enumerate() {
            let y = room.y + 1 + length(index);
            for (port, left) in [(row.left, true), (row.right, false)] {
                let Some(port) = port.filter(|port| owner.joints[*port].is_some()) else {
                    continue;
                };
                let x = if left { room.x } else { room.right() - 1 };
                let next =
                    matches!(self.notes.highlight, Some(Place::Port(at, _)) if at == PortRef { part, port });
                if next {
                    grid.put(x, y, self.pen.spot());
                } else if !line {
                    grid.put(x, y, edge(owner.kind.ports[port].medium, left, self.pen));
                }
                if !line && self.row_count(part) > 1 {
                    let name = self.port_name(part, port);
                    let start = if left {
                        room.x + 2
                    } else {
                        room.right() - 2 - count(name)
                    };
                    grid.write(start, y, name);
                }
            }
        }
    }
}

/// The mark where a line meets a box.
fn edge(medium: Medium, left: bool, pen: Pen) -> char {
    match (pen, medium, left) {
        (Pen::Drawn, Medium::Air, true) => '╡',
        (Pen::Drawn, Medium::Air, false) => '╞',
        (Pen::Drawn, Medium::Liquid, true) => '┥',
        (Pen::Drawn, Medium::Liquid, false) => '┝',
        (Pen::Drawn, _, true) => '┤',
        (Pen::Drawn, _, false) => '├',
        (Pen::Ascii, ..) => '+',
    }
}

fn spaced(word: &str, bare: bool) -> String {
    if bare {
        word.to_owned()
    } else {
        format!(" {word} ")
    }
}

fn centre(grid: &mut Grid, room: Rect, y: i32, word: &str) {
    grid.write(room.x + (room.width - count(word)) / 2, y, word);
}

fn count(word: &str) -> i32 {
    length(word.chars().count())
}

fn length(number: usize) -> i32 {
    i32::try_from(number).unwrap_or(i32::MAX / 8)
}

/// A short word for what a symbol shows.
fn word(symbol: Symbol) -> &'static str {
    match symbol {
        Symbol::VacuumPump => "pump",
        Symbol::AirSpace => "space",
        Symbol::Hose => "hose",
        Symbol::Orifice => "orifice",
        Symbol::Filter => "filter",
        Symbol::CheckValve => "check valve",
        Symbol::Reservoir => "reservoir",
        Symbol::SolenoidValve => "3/2 valve",
        Symbol::DiaphragmActuator => "actuator",
        Symbol::Flap => "flap",
        Symbol::VaneRing => "vanes",
        Symbol::Turbocharger => "turbocharger",
        Symbol::Cooler => "cooler",
        Symbol::Engine => "engine",
        Symbol::Battery => "battery",
        Symbol::Wire => "wire",
        Symbol::Fuse => "fuse",
        Symbol::Switch => "switch",
        Symbol::Relay => "relay",
        Symbol::Connector => "connector",
        Symbol::Ground => "ground",
        Symbol::Chassis => "chassis",
        Symbol::Coil => "coil",
        Symbol::StarterSolenoid => "solenoid",
        Symbol::Motor => "motor",
        Symbol::Lamp => "lamp",
        Symbol::GlowPlug => "glow plug",
        Symbol::Diode => "diode",
        Symbol::Resistor => "resistor",
        Symbol::LowSideDriver | Symbol::HighSideDriver => "driver",
        Symbol::PressureSensor | Symbol::TemperatureSensor | Symbol::PositionSensor => "sensor",
        Symbol::ModulePins | Symbol::BusModule => "module",
        Symbol::TwistedPair => "pair",
        Symbol::Alternator => "alternator",
        Symbol::Tank => "tank",
        Symbol::LiquidPump => "fuel pump",
        Symbol::PressureValve => "valve",
        Symbol::LiquidLoad => "consumer",
    }
}
