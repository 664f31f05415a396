//! Taking out what is empty in a band: a band keeps the heights of its sheet, of which it may fill little.

use crate::bands::Band;
use crate::drawing::Drawing;
use crate::geometry::Segment;
use circuit::{JointId, PartId};

/// Empty height that is left between what is drawn.
const LEFT: i32 = 36;
/// Room above and below a level line.
const AROUND_LINE: i32 = 8;

/// A way to shorten heights that keeps their order.
#[derive(Debug)]
pub(super) struct Squeeze {
    /// Heights from which on more is taken out, and how much altogether.
    cuts: Vec<(i32, i32)>,
}

impl Squeeze {
    /// Shortens what lies between `occupied` spans, which are sorted.
    pub(super) fn new(occupied: &[(i32, i32)]) -> Self {
        let mut cuts = Vec::new();
        let (mut bottom, mut saved) = (occupied.first().map_or(0, |span| span.1), 0);
        for &(from, to) in occupied {
            if from - bottom > LEFT {
                saved += from - bottom - LEFT;
                cuts.push((from, saved));
            }
            bottom = bottom.max(to);
        }
        Self { cuts }
    }

    /// Where a height comes to lie.
    pub(super) fn height(&self, y: i32) -> i32 {
        let above = self.cuts.partition_point(|cut| cut.0 <= y);
        y - above.checked_sub(1).map_or(0, |last| self.cuts[last].1)
    }
}

impl Drawing {
    /// `true` if a joint's line does nothing in a band but pass from cut to cut: it is left out, as its letter says where it
    /// goes on.
    pub(super) fn passes(&self, joint: JointId, band: Band) -> bool {
        let pieces = self.line(joint).iter();
        let shown: Vec<_> = pieces
            .filter(|piece| piece.right() > band.from && piece.left() < band.to)
            .collect();
        let whole = |piece: &Segment| piece.left() <= band.from && piece.right() >= band.to;
        band.cut_left && band.cut_right && shown.len() == 1 && whole(shown[0])
    }

    /// Heights at which something stands in a band, from top to bottom.
    pub(super) fn occupied(&self, band: Band, parts: &[PartId]) -> Vec<(i32, i32)> {
        let joints = (0..self.sheet.lines.len()).map(JointId);
        let pieces = joints
            .filter(|joint| !self.passes(*joint, band))
            .flat_map(|joint| self.line(joint));
        let shown = pieces.filter(|piece| piece.right() > band.from && piece.left() < band.to);
        let level = shown.filter(|piece| piece.is_horizontal());
        let lines = level.map(|piece| (piece.a.y - AROUND_LINE, piece.a.y + AROUND_LINE));
        let boxes = parts
            .iter()
            .map(|part| self.part(*part))
            .map(|cell| (cell.y, cell.bottom()));
        let mut occupied: Vec<(i32, i32)> = lines.chain(boxes).collect();
        occupied.sort_unstable();
        occupied
    }

    /// The drawing with its heights shortened.
    pub(super) fn squeezed(&self, squeeze: &Squeeze) -> Self {
        let mut drawing = self.clone();
        for cell in &mut drawing.sheet.cells {
            cell.y = squeeze.height(cell.y);
        }
        for piece in drawing.sheet.lines.iter_mut().flatten() {
            piece.a.y = squeeze.height(piece.a.y);
            piece.b.y = squeeze.height(piece.b.y);
        }
        for point in &mut drawing.points {
            point.y = squeeze.height(point.y);
        }
        drawing
    }
}
