//! The drawing as a standalone SVG.
//!
//! Every part is a group with `data-part`, every joint's line and measuring point one with `data-joint`, so that a page
//! can make them answer to a finger. Words that come from outside are escaped; nothing is loaded from elsewhere.

use crate::drawing::Drawing;
use crate::figure::{NAME_SIZE, NOTE_SIZE, READING_SIZE};
use crate::geometry::{Point, Rect, Segment};
use crate::notes::Notes;
use crate::style::sheet;
pub use crate::style::{Style, Theme};
use crate::symbol::{Ink, Piece};
use crate::words::{escaped, fitted, percent, width};
use circuit::{Circuit, JointId, Medium, PartId, Place};
use std::fmt::Write as _;

/// Free paper around the drawing.
const MARGIN: i32 = 18;
/// Height of the title's line.
const TITLE: i32 = 26;
/// Height of the legend.
const LEGEND: i32 = 30;
/// Radius of the arc with which a line hops over another.
const HOP: i32 = 4;

/// Draws `drawing` of `circuit` with `notes` on it.
pub fn svg(drawing: &Drawing, circuit: &Circuit, notes: &Notes, style: &Style) -> String {
    let mut canvas = Canvas {
        drawing,
        circuit,
        notes,
        out: String::new(),
    };
    canvas.document(style);
    canvas.out
}

/// Adds formatted markup. Writing to a string cannot fail, so the result is dropped.
macro_rules! put {
    ($canvas:expr, $($arg:tt)*) => {{ let _ = writeln!($canvas.out, $($arg)*); }};
}

struct Canvas<'a> {
    drawing: &'a Drawing,
    circuit: &'a Circuit,
    notes: &'a Notes,
    out: String,
}

impl Canvas<'_> {
    fn document(&mut self, style: &Style) {
        let (width, height) = self.drawing.size();
        let top = MARGIN + if style.title { TITLE } else { 0 };
        let full_width = (width + 2 * MARGIN).max(320);
        let full_height = top + height + MARGIN + if style.legend { LEGEND } else { 0 };
        let title = escaped(&self.circuit.title);
        put!(
            self,
            r#"<svg xmlns="http://www.w3.org/2000/svg" class="circuit" viewBox="0 0 {full_width} {full_height}" role="img" aria-label="{title}">"#
        );
        put!(self, "<title>{title}</title>");
        put!(self, "<desc>{}</desc>", escaped(&self.description()));
        put!(self, "<style>\n{}</style>", sheet(style.theme));
        self.hatches();
        put!(
            self,
            r#"<rect class="paper" width="{full_width}" height="{full_height}"/>"#
        );
        if style.title {
            put!(
                self,
                r#"<text class="title" x="{MARGIN}" y="{}">{}</text>"#,
                MARGIN + 8,
                escaped(&fitted(&self.circuit.title, 15, full_width - 2 * MARGIN))
            );
        }
        put!(self, r#"<g transform="translate({MARGIN} {top})">"#);
        self.body();
        put!(self, "</g>");
        if style.legend {
            self.legend(full_height - MARGIN + 2);
        }
        put!(self, "</svg>");
    }

    fn description(&self) -> String {
        let names: Vec<&str> = self.circuit.parts.iter().map(|part| part.id.as_str()).collect();
        let about = if self.circuit.about.is_empty() {
            String::new()
        } else {
            format!(" {}", self.circuit.about)
        };
        format!(
            "Circuit drawing, sources on the left, loads on the right. Parts: {}.{about}",
            names.join(", ")
        )
    }

    fn hatch_id(&self, level: usize) -> String {
        let safe = |letter: char| {
            if letter.is_ascii_alphanumeric() {
                letter
            } else {
                '-'
            }
        };
        let name: String = self.circuit.name.chars().map(safe).collect();
        format!("hatch-{name}-{level}")
    }

    /// Hatchings from sparse to dense; the densest is crossed.
    fn hatches(&mut self) {
        put!(self, "<defs>");
        for (level, pitch) in [(1, 11), (2, 7), (3, 4), (4, 5)] {
            let id = self.hatch_id(level);
            let crossed = if level == 4 {
                format!("M0 1h{pitch}")
            } else {
                String::new()
            };
            put!(
                self,
                r#"<pattern id="{id}" width="{pitch}" height="{pitch}" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatch" d="M1 0v{pitch}{crossed}"/></pattern>"#
            );
        }
        put!(self, "</defs>");
    }

    fn body(&mut self) {
        for part in 0..self.circuit.parts.len() {
            self.shade(PartId(part));
        }
        for joint in 0..self.circuit.joints.len() {
            self.line(JointId(joint));
        }
        for part in 0..self.circuit.parts.len() {
            self.part(PartId(part));
        }
        for part in 0..self.circuit.parts.len() {
            self.points(PartId(part));
        }
        self.highlight();
    }

    /// The symbol's box on the sheet, with a little air around it.
    fn symbol_box(&self, part: PartId) -> Rect {
        let cell = self.drawing.part(part);
        let symbol = self.drawing.figures[part.0].symbol();
        Rect::new(
            cell.x + symbol.x - 4,
            cell.y + symbol.y - 3,
            symbol.width + 8,
            symbol.height + 6,
        )
    }

    fn shade(&mut self, part: PartId) {
        let Some(share) = self.notes.share(part) else {
            return;
        };
        let Some(level) = hatch_level(share) else { return };
        let Rect { x, y, width, height } = self.symbol_box(part);
        let id = self.hatch_id(level);
        put!(
            self,
            r#"<rect class="frame" x="{x}" y="{y}" width="{width}" height="{height}" rx="4" style="fill:url(#{id})"/>"#
        );
    }

    fn line(&mut self, id: JointId) {
        let joint = &self.circuit.joints[id.0];
        let mut level = String::new();
        let mut upright = String::new();
        for piece in self.drawing.line(id) {
            self.piece(
                id,
                piece,
                if piece.is_horizontal() {
                    &mut level
                } else {
                    &mut upright
                },
            );
        }
        let name = escaped(&joint.name);
        put!(self, r#"<g data-joint="{name}"><title>{name}</title>"#);
        // Uprights end square, which fills the corners.
        let class = class(joint.medium);
        let core = (joint.medium == Medium::Rod).then_some("core");
        for layer in std::iter::once(class).chain(core) {
            for (d, corner) in [(&level, ""), (&upright, " upright")] {
                if !d.is_empty() {
                    put!(self, r#"<path class="{layer}{corner}" d="{d}"/>"#);
                }
            }
        }
        for Point { x, y } in self.drawing.sheet.dots(id) {
            put!(self, r#"<circle class="dot {class}" cx="{x}" cy="{y}" r="3.6"/>"#);
        }
        put!(self, "</g>");
    }

    /// A piece of line, hopping over the uprights it crosses.
    fn piece(&self, joint: JointId, piece: &Segment, d: &mut String) {
        let _ = write!(d, "M{} {}", piece.a.x, piece.a.y);
        for x in self.drawing.sheet.hops(joint, piece) {
            let _ = write!(d, "H{}a{HOP} {HOP} 0 0 1 {} 0", x - HOP, 2 * HOP);
        }
        let _ = write!(d, "L{} {}", piece.b.x, piece.b.y);
    }

    fn medium(&mut self, medium: Medium, d: &str) {
        put!(self, r#"<path class="{}" d="{d}"/>"#, class(medium));
        if medium == Medium::Rod {
            put!(self, r#"<path class="core" d="{d}"/>"#);
        }
    }

    fn part(&mut self, id: PartId) {
        let part = &self.circuit.parts[id.0];
        let figure = &self.drawing.figures[id.0];
        let cell = self.drawing.part(id);
        let name = escaped(&part.id);
        put!(
            self,
            r#"<g class="part" data-part="{name}" data-kind="{}" transform="translate({} {})">"#,
            escaped(part.kind.name),
            cell.x,
            cell.y
        );
        put!(self, "<title>{}</title>", escaped(&self.words_on(id)));
        put!(
            self,
            r#"<rect class="touch" width="{}" height="{}"/>"#,
            cell.width,
            cell.height
        );
        for lead in &figure.leads {
            self.medium(
                lead.medium,
                &format!("M{} {y}H{}", lead.from, lead.to, y = lead.y),
            );
        }
        put!(
            self,
            r#"<g transform="translate({} {})">"#,
            figure.glyph_at.0,
            figure.glyph_at.1
        );
        for piece in &figure.glyph.pieces {
            self.glyph_piece(piece);
        }
        put!(self, "</g>");
        self.word("id", figure.name, "middle", &part.id, NAME_SIZE);
        self.note(id);
        for label in &figure.ports {
            let anchor = if label.ends_right { "end" } else { "start" };
            let x = if label.ends_right {
                label.name.right()
            } else {
                label.name.x
            };
            put!(
                self,
                r#"<text class="port" x="{x}" y="{}" text-anchor="{anchor}">{}</text>"#,
                label.name.bottom() - 1,
                escaped(&label.text)
            );
        }
        put!(self, "</g>");
    }

    /// What a pointer held over the part shows.
    fn words_on(&self, id: PartId) -> String {
        let part = &self.circuit.parts[id.0];
        let mut words = format!("{}: {}", part.id, part.what.as_deref().unwrap_or(part.kind.name));
        if let Some(note) = self.notes.part(id) {
            for more in [note.share.and_then(percent), note.text.clone()]
                .into_iter()
                .flatten()
            {
                let _ = write!(words, "; {more}");
            }
        }
        words
    }

    fn glyph_piece(&mut self, piece: &Piece) {
        match piece {
            Piece::Path(Ink::Medium(medium), d) => self.medium(*medium, d),
            Piece::Path(ink, d) => {
                let class = match ink {
                    Ink::Outline => "outline",
                    Ink::Paper => "paper",
                    Ink::Line | Ink::Medium(_) => "line",
                    Ink::Heavy => "heavy",
                    Ink::Dashed => "dashed",
                    Ink::Solid => "solid",
                };
                put!(self, r#"<path class="{class}" d="{d}"/>"#);
            }
            Piece::Word { x, y, size, text } => {
                put!(
                    self,
                    r#"<text x="{x}" y="{y}" font-size="{size}" text-anchor="middle">{}</text>"#,
                    escaped(text)
                );
            }
        }
    }

    fn note(&mut self, id: PartId) {
        let Some(note) = self.notes.part(id) else { return };
        let room = self.drawing.figures[id.0].note;
        let share = note.share.and_then(percent).unwrap_or_default();
        let gap = if share.is_empty() { 0 } else { 5 };
        let left = room.width - width(&share, NOTE_SIZE) - gap;
        let text = note
            .text
            .as_deref()
            .map(|text| fitted(text, READING_SIZE, left))
            .filter(|text| text != "…")
            .unwrap_or_default();
        let (x, y) = (room.x + room.width / 2, room.bottom() - 3);
        put!(
            self,
            r#"<text x="{x}" y="{y}" text-anchor="middle"><tspan class="share">{}</tspan><tspan class="note" dx="{gap}">{}</tspan></text>"#,
            escaped(&share),
            escaped(&text)
        );
    }

    fn word(&mut self, class: &str, room: Rect, anchor: &str, text: &str, size: i32) {
        let x = room.x + room.width / 2;
        let y = room.bottom() - (room.height - size) / 2 - 2;
        put!(
            self,
            r#"<text class="{class}" x="{x}" y="{y}" text-anchor="{anchor}">{}</text>"#,
            escaped(text)
        );
    }

    /// Measuring points and readings of the joints named at a part.
    fn points(&mut self, id: PartId) {
        let cell = self.drawing.part(id);
        for label in &self.drawing.figures[id.0].ports {
            let Some((joint, room)) = label.reading else {
                continue;
            };
            let Point { x, y } = self.drawing.port(circuit::PortRef {
                part: id,
                port: label.port,
            });
            let name = escaped(&self.circuit.joints[joint.0].name);
            let reading = self.notes.joint(joint);
            let told = reading
                .map(|text| format!(": {}", escaped(text)))
                .unwrap_or_default();
            put!(
                self,
                r#"<g class="joint" data-joint="{name}"><title>{name}{told}</title><circle class="touch" cx="{x}" cy="{y}" r="11"/><circle class="spot" cx="{x}" cy="{y}" r="2.6"/>"#
            );
            if let Some(text) = reading {
                let text_width = width(text, READING_SIZE);
                let squeeze = if text_width > room.width {
                    format!(r#" textLength="{}" lengthAdjust="spacingAndGlyphs""#, room.width)
                } else {
                    String::new()
                };
                put!(
                    self,
                    r#"<text class="reading" x="{}" y="{}" text-anchor="middle"{squeeze}>{}</text>"#,
                    cell.x + room.x + room.width / 2,
                    cell.y + room.bottom() - 2,
                    escaped(text)
                );
            }
            put!(self, "</g>");
        }
    }

    /// The place of the next check: a double frame around a part, a ring and a pointer at a port.
    fn highlight(&mut self) {
        match self.notes.highlight {
            Some(Place::Part(part)) if part.0 < self.circuit.parts.len() => {
                let Rect { x, y, width, height } = self.symbol_box(part);
                for out in [3, 8] {
                    put!(
                        self,
                        r#"<rect class="next" x="{}" y="{}" width="{}" height="{}" rx="{}"/>"#,
                        x - out,
                        y - out,
                        width + 2 * out,
                        height + 2 * out,
                        4 + out
                    );
                }
            }
            Some(Place::Port(port, _)) if port.part.0 < self.circuit.parts.len() => {
                let Point { x, y } = self.drawing.port(port);
                put!(self, r#"<circle class="next" cx="{x}" cy="{y}" r="6"/>"#);
                put!(self, r#"<path class="pointer" d="M{x} {}l-7 -12h14Z"/>"#, y - 9);
            }
            _ => {}
        }
    }

    fn legend(&mut self, y: i32) {
        let mut x = MARGIN;
        let media = [
            (Medium::Air, "air"),
            (Medium::Electric, "current"),
            (Medium::Rod, "rod"),
        ];
        for (medium, word) in media {
            if !self.circuit.joints.iter().any(|joint| joint.medium == medium) {
                continue;
            }
            self.medium(medium, &format!("M{x} {}h26", y - 4));
            put!(
                self,
                r#"<text class="small" x="{}" y="{y}">{word}</text>"#,
                x + 32
            );
            x += 32 + width(word, 10) + 16;
        }
        if self
            .circuit
            .parts
            .iter()
            .enumerate()
            .any(|(part, _)| self.notes.share(PartId(part)).is_some())
        {
            for level in 1..=4 {
                let id = self.hatch_id(level);
                put!(
                    self,
                    r#"<rect class="frame" x="{x}" y="{}" width="16" height="12" style="fill:url(#{id})"/>"#,
                    y - 10
                );
                x += 16;
            }
            put!(
                self,
                r#"<text class="small" x="{}" y="{y}">denser: likelier the cause</text>"#,
                x + 6
            );
        }
    }
}

fn class(medium: Medium) -> &'static str {
    match medium {
        Medium::Air => "air",
        Medium::Electric => "electric",
        Medium::Rod => "rod",
    }
}

/// Which hatching shows a share; `None` for one too small to shade.
fn hatch_level(share: f64) -> Option<usize> {
    match share {
        _ if share >= 0.5 => Some(4),
        _ if share >= 0.2 => Some(3),
        _ if share >= 0.05 => Some(2),
        _ if share >= 0.01 => Some(1),
        _ => None,
    }
}
