//! Lines of joints: their pieces, branches, hops, and the marks where a band cuts them.

use super::{CUT, Canvas, class, put};
use crate::bands::{Band, Marks};
use crate::geometry::{Point, Segment};
use circuit::{JointId, Medium};
use std::fmt::Write as _;

/// Radius of the arc with which a line hops over another.
const HOP: i32 = 4;

impl Canvas<'_> {
    /// What of a joint's line lies in a band.
    pub(super) fn line(&mut self, id: JointId, band: Band) {
        if self.drawing.passes(id, band) {
            return;
        }
        let joint = &self.circuit.joints[id.0];
        let (mut level, mut upright) = (String::new(), String::new());
        for piece in self
            .drawing
            .line(id)
            .iter()
            .filter_map(|piece| within(piece, band))
        {
            self.piece(
                id,
                &piece,
                if piece.is_horizontal() {
                    &mut level
                } else {
                    &mut upright
                },
            );
        }
        if level.is_empty() && upright.is_empty() {
            return;
        }
        let name = crate::words::escaped(&joint.name);
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
            if band.from < x && x < band.to {
                put!(self, r#"<circle class="dot {class}" cx="{x}" cy="{y}" r="3.6"/>"#);
            }
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

    /// A line of a medium along a path.
    pub(super) fn medium(&mut self, medium: Medium, d: &str) {
        put!(self, r#"<path class="{}" d="{d}"/>"#, class(medium));
        if medium == Medium::Rod {
            put!(self, r#"<path class="core" d="{d}"/>"#);
        }
    }

    /// A letter in a circle at each end where a band cuts a line, from top to bottom.
    pub(super) fn cuts(&mut self, band: Band, marks: &mut Marks) {
        let ends = [
            (band.cut_left, band.from, -CUT.mark / 2),
            (band.cut_right, band.to, CUT.mark / 2),
        ];
        for (_, at, aside) in ends.into_iter().filter(|end| end.0) {
            let lines = self.drawing.sheet.lines.iter().enumerate();
            let lines = lines.filter(|(joint, _)| !self.drawing.passes(JointId(*joint), band));
            let pieces = lines.flat_map(|(joint, pieces)| pieces.iter().map(move |piece| (joint, piece)));
            let cut =
                pieces.filter(|(_, piece)| piece.is_horizontal() && piece.left() < at && at < piece.right());
            let mut heights: Vec<(i32, JointId)> =
                cut.map(|(joint, piece)| (piece.a.y, JointId(joint))).collect();
            heights.sort_unstable();
            for (y, joint) in heights {
                let (x, letter) = (at + aside, marks.letter(joint));
                put!(self, r#"<circle class="spot" cx="{x}" cy="{y}" r="7"/>"#);
                put!(
                    self,
                    r#"<text class="small" x="{x}" y="{}" text-anchor="middle">{letter}</text>"#,
                    y + 4
                );
            }
        }
    }
}

/// The piece, or what of it lies in a band.
fn within(piece: &Segment, band: Band) -> Option<Segment> {
    if piece.is_vertical() {
        return (band.from..=band.to).contains(&piece.a.x).then_some(*piece);
    }
    let (left, right) = (piece.left().max(band.from), piece.right().min(band.to));
    (left < right).then(|| Segment::horizontal(piece.a.y, left, right))
}
