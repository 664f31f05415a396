//! The drawing as an SVG: on its own, or within a page that styles it.
//!
//! Every part is a group with `data-part`, every joint's line and measuring point one with `data-joint`, so that a page
//! can make them answer to a finger; if asked for they are buttons or links by themselves ([`Touch`]). Words that come from outside are escaped; nothing is loaded from elsewhere. A sheet
//! too wide for the page is cut into bands below each other; a cut line carries the same letter on both sides.

mod lines;
mod page;
mod parts;
mod squeeze;
mod style;
mod touch;

use crate::bands::{Band, Cut, Marks, bands};
use crate::drawing::Drawing;
use crate::figure::READING_SIZE;
use crate::geometry::Rect;
use crate::notes::Notes;
use crate::words::{escaped, lines};
use circuit::{Circuit, JointId, Medium, PartId};
use std::fmt::Write as _;
pub use style::{Sheet, Style, Theme, Touch, stylesheet};

/// Free paper around the drawing.
const MARGIN: i32 = 18;
/// Height of a line of readings below the drawing.
const READING_LINE: i32 = 16;
/// Space between bands.
const BAND_GAP: i32 = 26;
/// The mark of a cut line is a letter in a circle.
const CUT: Cut = Cut { after: 4, mark: 18 };
/// Least width, so that the legend has room.
const NARROWEST: i32 = 360;

/// Draws `drawing` of `circuit` with `notes` on it.
pub fn svg(drawing: &Drawing, circuit: &Circuit, notes: &Notes, style: &Style) -> String {
    let mut canvas = Canvas {
        drawing,
        circuit,
        notes,
        style,
        out: String::new(),
    };
    canvas.document();
    canvas.out
}

/// Adds formatted markup. Writing to a string cannot fail, so the result is dropped.
macro_rules! put {
    ($canvas:expr, $($arg:tt)*) => {{ let _ = writeln!($canvas.out, $($arg)*); }};
}
pub(crate) use put;

struct Canvas<'a> {
    drawing: &'a Drawing,
    circuit: &'a Circuit,
    notes: &'a Notes,
    style: &'a Style,
    out: String,
}

/// A band and what of the sheet it shows.
struct Strip {
    band: Band,
    top: i32,
    bottom: i32,
    parts: Vec<PartId>,
    /// The drawing with what is empty in this band taken out, where the sheet is cut.
    squeezed: Option<Drawing>,
}

impl Strip {
    fn width(&self) -> i32 {
        let marks = i32::from(self.band.cut_left) + i32::from(self.band.cut_right);
        self.band.to - self.band.from + marks * CUT.mark
    }
}

impl Canvas<'_> {
    fn document(&mut self) {
        let style = self.style;
        let strips = self.strips(style.width);
        let widest = strips.iter().map(Strip::width).max().unwrap_or(0);
        let full_width = (widest + 2 * MARGIN).max(NARROWEST);
        let room = full_width - 2 * MARGIN;
        let heading = if style.title {
            self.heading(room)
        } else {
            Vec::new()
        };
        let top = MARGIN + page::heading_height(&heading);
        let gaps = BAND_GAP * i32::try_from(strips.len().saturating_sub(1)).unwrap_or(0);
        let height = strips.iter().map(|strip| strip.bottom - strip.top).sum::<i32>() + gaps;
        let readings: Vec<String> = self
            .listed()
            .iter()
            .flat_map(|line| lines(line, READING_SIZE, room))
            .collect();
        let list = READING_LINE * i32::try_from(readings.len()).unwrap_or(0);
        let legend = if style.legend { self.legend_height(room) } else { 0 };
        let full_height = top + height + MARGIN + list + legend;
        let title = escaped(&self.full_title());
        let size = if style.natural {
            format!(r#" width="{full_width}" height="{full_height}""#)
        } else {
            String::new()
        };
        // What is inside a picture cannot be reached; what is inside a group can.
        let role = if style.touch == Touch::Nothing {
            "img"
        } else {
            "group"
        };
        put!(
            self,
            r#"<svg xmlns="http://www.w3.org/2000/svg" class="circuit" viewBox="0 0 {full_width} {full_height}"{size} role="{role}" aria-label="{title}">"#
        );
        put!(self, "<title>{title}</title>");
        put!(self, "<desc>{}</desc>", escaped(&self.description()));
        if style.sheet == Sheet::Inside {
            put!(self, "<style>\n{}</style>", stylesheet(style.theme));
        }
        self.hatches();
        put!(
            self,
            r#"<rect class="paper" width="{full_width}" height="{full_height}"/>"#
        );
        self.title(&heading, room);
        self.bands(&strips, top);
        if style.legend {
            self.legend(full_height - list - MARGIN + 2, room);
        }
        let mut y = full_height - list - MARGIN + 2;
        for line in &readings {
            y += READING_LINE;
            put!(
                self,
                r#"<text class="reading" x="{MARGIN}" y="{y}">{}</text>"#,
                escaped(line)
            );
        }
        put!(self, "</svg>");
    }

    fn full_title(&self) -> String {
        let mark = if self.circuit.invented { " (invented)" } else { "" };
        format!("{}{mark}", self.circuit.title)
    }

    fn bands(&mut self, strips: &[Strip], mut top: i32) {
        let mut marks = Marks::default();
        for strip in strips {
            let left = MARGIN - strip.band.from + if strip.band.cut_left { CUT.mark } else { 0 };
            put!(self, r#"<g transform="translate({left} {})">"#, top - strip.top);
            let mut canvas = Canvas {
                drawing: strip.squeezed.as_ref().unwrap_or(self.drawing),
                circuit: self.circuit,
                notes: self.notes,
                style: self.style,
                out: std::mem::take(&mut self.out),
            };
            canvas.strip(strip, &mut marks);
            self.out = canvas.out;
            put!(self, "</g>");
            top += strip.bottom - strip.top + BAND_GAP;
        }
    }

    fn strip(&mut self, strip: &Strip, marks: &mut Marks) {
        for part in &strip.parts {
            self.shade(*part);
        }
        for joint in 0..self.circuit.joints.len() {
            self.line(JointId(joint), strip.band);
        }
        self.cuts(strip.band, marks);
        for part in &strip.parts {
            self.part(*part);
        }
        for part in &strip.parts {
            self.points(*part);
        }
        for part in &strip.parts {
            self.highlight(*part);
        }
    }

    /// The sheet in bands no wider than `width`; in one if that cannot be.
    fn strips(&self, width: Option<u32>) -> Vec<Strip> {
        let sheet = &self.drawing.sheet;
        let whole = Band {
            from: 0,
            to: sheet.width,
            cut_left: false,
            cut_right: false,
        };
        let width = width.map(|width| i32::try_from(width).unwrap_or(i32::MAX) - 2 * MARGIN);
        let cut = width
            .filter(|width| *width < sheet.width)
            .and_then(|width| bands(sheet, width, CUT));
        cut.unwrap_or_else(|| vec![whole])
            .into_iter()
            .map(|band| self.fill(band))
            .collect()
    }

    fn fill(&self, band: Band) -> Strip {
        let inside = |part: &PartId| {
            let Rect { x, width, .. } = self.drawing.part(*part);
            let middle = x + width / 2;
            (band.from..=band.to).contains(&middle)
        };
        let parts: Vec<PartId> = (0..self.circuit.parts.len()).map(PartId).filter(inside).collect();
        let whole = self.drawing.occupied(band, &parts);
        let mut strip = Strip {
            band,
            top: whole.first().map_or(0, |span| span.0),
            bottom: whole.iter().map(|span| span.1).max().unwrap_or(0),
            parts,
            squeezed: None,
        };
        if band.cut_left || band.cut_right {
            let squeeze = squeeze::Squeeze::new(&whole);
            strip.bottom = squeeze.height(strip.bottom);
            strip.squeezed = Some(self.drawing.squeezed(&squeeze));
        }
        strip
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
}

fn class(medium: Medium) -> &'static str {
    match medium {
        Medium::Air => "air",
        Medium::Electric => "electric",
        Medium::Rod => "rod",
        Medium::Liquid => "liquid",
    }
}
