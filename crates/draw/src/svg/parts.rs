//! Parts: symbol, name, figure, ports, readings, and the mark of the next check.

use super::{Canvas, put};
use crate::face::is_line;
use crate::figure::{Figure, NAME_SIZE, NOTE_SIZE, READING_SIZE, READING_WIDTH};
use crate::geometry::{Point, Rect};
use crate::symbol::{Ink, Piece};
use crate::words::{escaped, fitted, leading_words, percent, width};
use circuit::{JointId, PartId, Place, PortRef};
use std::fmt::Write as _;

impl Canvas<'_> {
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

    /// Hatching behind a suspect.
    pub(super) fn shade(&mut self, part: PartId) {
        let Some(share) = self.notes.share(part) else {
            return;
        };
        let Some(level) = hatch_level(share) else { return };
        let Rect { x, y, width, height } = self.symbol_box(part);
        let id = self.hatch_id(level);
        put!(
            self,
            r#"<rect class="shade frame" data-level="{level}" x="{x}" y="{y}" width="{width}" height="{height}" rx="4" fill="url(#{id})"/>"#
        );
        self.clear_symbol(part);
    }

    /// Bare paper along the open lines of a shaded symbol, so that the hatching does not run into them.
    fn clear_symbol(&mut self, part: PartId) {
        let (cell, figure) = (self.drawing.part(part), &self.drawing.figures[part.0]);
        let (x, y) = (cell.x + figure.glyph_at.0, cell.y + figure.glyph_at.1);
        put!(self, r#"<g transform="translate({x} {y})">"#);
        for piece in &figure.glyph.pieces {
            match piece {
                Piece::Path(Ink::Line | Ink::Heavy | Ink::Dashed, d) => {
                    put!(self, r#"<path class="halo" d="{d}"/>"#);
                }
                Piece::Word { x, y, size, text } => put!(
                    self,
                    r#"<text class="halo" x="{x}" y="{y}" font-size="{size}" text-anchor="middle">{}</text>"#,
                    escaped(text)
                ),
                Piece::Path(..) => {}
            }
        }
        put!(self, "</g>");
    }

    /// A part with its words, but without readings.
    pub(super) fn part(&mut self, id: PartId) {
        let part = &self.circuit.parts[id.0];
        let figure = &self.drawing.figures[id.0];
        let Rect { x, y, .. } = self.drawing.part(id);
        let (name, kind) = (escaped(&part.id), escaped(part.kind.name));
        let words = escaped(&self.words_on(id));
        self.open_link(Place::Part(id), &words);
        let button = self.button(&words);
        put!(
            self,
            r#"<g class="part" data-part="{name}" data-kind="{kind}"{button} transform="translate({x} {y})">"#
        );
        put!(self, "<title>{words}</title>");
        let touch = self.drawing.touch(id);
        put!(
            self,
            r#"<rect class="touch" x="{}" y="{}" width="{}" height="{}"/>"#,
            touch.x - x,
            touch.y - y,
            touch.width,
            touch.height
        );
        // One unit longer at both ends: no seam shows.
        for lead in figure.leads.iter().filter(|lead| lead.from < lead.to) {
            self.medium(
                lead.medium,
                &format!("M{} {y}H{}", lead.from - 1, lead.to + 1, y = lead.y),
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
        let Rect { x, width, .. } = figure.name;
        let baseline = figure.name.bottom() - (figure.name.height - NAME_SIZE) / 2 - 2;
        put!(
            self,
            r#"<text class="id" x="{}" y="{baseline}" text-anchor="middle">{name}</text>"#,
            x + width / 2
        );
        self.note(id);
        self.port_names(figure);
        put!(self, "</g>");
        self.close_link();
    }

    fn port_names(&mut self, figure: &Figure) {
        for label in &figure.ports {
            let (anchor, x) = if label.ends_right {
                ("end", label.name.right())
            } else {
                ("start", label.name.x)
            };
            let (y, text) = (label.name.bottom() - 1, escaped(&label.text));
            put!(
                self,
                r#"<text class="port" x="{x}" y="{y}" text-anchor="{anchor}">{text}</text>"#
            );
        }
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

    /// Measuring points and readings of the joints named at a part.
    pub(super) fn points(&mut self, id: PartId) {
        for label in &self.drawing.figures[id.0].ports {
            let Some((joint, room)) = label.reading else {
                continue;
            };
            let Point { x, y } = self.drawing.port(PortRef {
                part: id,
                port: label.port,
            });
            let name = escaped(&self.circuit.joints[joint.0].name);
            let reading = self.notes.joint(joint);
            let told = reading
                .as_deref()
                .map(|text| format!(": {}", escaped(text)))
                .unwrap_or_default();
            let words = format!("{name}{told}");
            let place = Place::Port(
                PortRef {
                    part: id,
                    port: label.port,
                },
                joint,
            );
            self.open_link(place, &words);
            let button = self.button(&words);
            put!(
                self,
                r#"<g class="joint" data-joint="{name}"{button}><title>{words}</title>"#
            );
            let touch = self.drawing.touch_joint(joint);
            put!(
                self,
                r#"<rect class="touch" x="{}" y="{}" width="{}" height="{}" rx="6"/><circle class="spot" cx="{x}" cy="{y}" r="2.6"/>"#,
                touch.x,
                touch.y,
                touch.width,
                touch.height
            );
            if reading.is_some() {
                self.reading(id, room, &self.short_reading(joint));
            }
            put!(self, "</g>");
            self.close_link();
        }
    }

    /// What is written at a joint: the first reading's figure, and how many more there are.
    fn short_reading(&self, joint: JointId) -> String {
        let first = self.notes.at(joint).next().unwrap_or_default();
        let first = leading_words(first, READING_SIZE, READING_WIDTH);
        match self.notes.at(joint).count() {
            0 | 1 => first.to_owned(),
            more => format!("{first} +{}", more - 1),
        }
    }

    /// The joints whose readings are written out below the drawing, as there is no room at the joint for all that is told.
    pub(super) fn listed(&self) -> Vec<String> {
        let joints = self.circuit.joints.iter().enumerate();
        let full =
            joints.filter_map(|(id, joint)| Some((JointId(id), &joint.name, self.notes.joint(JointId(id))?)));
        full.filter(|(id, _, text)| *text != self.short_reading(*id))
            .map(|(_, name, text)| format!("{name}: {text}"))
            .collect()
    }

    /// A reading in its room, squeezed if it is too long.
    fn reading(&mut self, id: PartId, room: Rect, text: &str) {
        let cell = self.drawing.part(id);
        let (x, y) = (cell.x + room.x + room.width / 2, cell.y + room.bottom() - 2);
        let squeeze = if width(text, READING_SIZE) > room.width {
            format!(r#" textLength="{}" lengthAdjust="spacingAndGlyphs""#, room.width)
        } else {
            String::new()
        };
        put!(
            self,
            r#"<text class="reading" x="{x}" y="{y}" text-anchor="middle"{squeeze}>{}</text>"#,
            escaped(text)
        );
    }

    /// What a frame goes around: the symbol; of a line also the words above and below it, which it would run through.
    fn framed(&self, part: PartId) -> Rect {
        let symbol = self.symbol_box(part);
        if !is_line(self.circuit.parts[part.0].kind.symbol) {
            return symbol;
        }
        let (cell, figure) = (self.drawing.part(part), &self.drawing.figures[part.0]);
        let (top, bottom) = (cell.y + figure.name.y, cell.y + figure.note.bottom());
        Rect::new(symbol.x, top, symbol.width, bottom - top)
    }

    /// The place of the next check, if it is at this part: a double frame around it, a ring and a pointer at a port.
    pub(super) fn highlight(&mut self, id: PartId) {
        match self.notes.highlight {
            Some(Place::Part(part)) if part == id => {
                let Rect { x, y, width, height } = self.framed(part);
                for out in [3, 8] {
                    let (x, y, width, height) = (x - out, y - out, width + 2 * out, height + 2 * out);
                    put!(
                        self,
                        r#"<rect class="next" x="{x}" y="{y}" width="{width}" height="{height}" rx="{}"/>"#,
                        4 + out
                    );
                }
            }
            Some(Place::Port(port, _)) if port.part == id => {
                let Point { x, y } = self.drawing.port(port);
                put!(self, r#"<circle class="next" cx="{x}" cy="{y}" r="6"/>"#);
                put!(self, r#"<path class="pointer" d="M{x} {}l-7 -12h14Z"/>"#, y - 9);
            }
            _ => {}
        }
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
