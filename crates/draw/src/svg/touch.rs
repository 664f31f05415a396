//! Parts and measuring points as buttons or links, and how large the area is that answers to a finger.

use super::{Canvas, Touch, put};
use crate::drawing::Drawing;
use crate::geometry::{Point, Rect};
use crate::words::escaped;
use circuit::{JointId, PartId, Place};
use std::fmt::Write as _;

/// Least width and height of an area for a finger, where its neighbours leave as much: common practice, no source.
const FINGER: i32 = 48;

impl Canvas<'_> {
    /// Attributes that make a group a button; `words` are escaped.
    pub(super) fn button(&self, words: &str) -> String {
        match self.style.touch {
            Touch::Buttons => format!(r#" tabindex="0" role="button" aria-label="{words}""#),
            Touch::Nothing | Touch::Links { .. } => String::new(),
        }
    }

    /// Begins the link of a part or joint, if they are links.
    pub(super) fn open_link(&mut self, place: Place, words: &str) {
        let Touch::Links { part, joint } = &self.style.touch else {
            return;
        };
        let (template, name) = match place {
            Place::Part(id) => (part, &self.circuit.parts[id.0].id),
            Place::Port(_, id) => (joint, &self.circuit.joints[id.0].name),
        };
        let href = escaped(&template.replace("{}", &percent_encoded(name)));
        put!(self, r#"<a href="{href}" aria-label="{words}">"#);
    }

    pub(super) fn close_link(&mut self) {
        if matches!(self.style.touch, Touch::Links { .. }) {
            put!(self, "</a>");
        }
    }
}

impl Drawing {
    /// The area of a part that answers to a finger: its box, at least 48 high and wide where the neighbours leave room.
    pub fn touch(&self, part: PartId) -> Rect {
        let cell = self.part(part);
        let others = (0..self.figures.len()).filter(|other| *other != part.0);
        let mut room = (grown(cell.width), grown(cell.height));
        for other in others.map(|other| self.part(PartId(other))) {
            let aside = (other.x - cell.right()).max(cell.x - other.right());
            let above = (other.y - cell.bottom()).max(cell.y - other.bottom());
            // Both may grow, so each has half of what is between; it is enough that they stay apart in one direction.
            if aside >= above {
                room.0 = room.0.min(aside / 2).max(0);
            } else {
                room.1 = room.1.min(above / 2).max(0);
            }
        }
        Rect::new(
            cell.x - room.0,
            cell.y - room.1,
            cell.width + 2 * room.0,
            cell.height + 2 * room.1,
        )
    }

    /// The area of a joint's measuring point that answers to a finger: 48 high and wide, less where another is nearer.
    pub fn touch_joint(&self, joint: JointId) -> Rect {
        let Point { x, y } = self.points[joint.0];
        let (mut wide, mut high) = (FINGER / 2, FINGER / 2);
        for (other, point) in self.points.iter().enumerate() {
            let (aside, above) = ((point.x - x).abs(), (point.y - y).abs());
            if other == joint.0 || aside >= FINGER || above >= FINGER {
                continue;
            }
            if aside >= above {
                wide = wide.min(aside / 2);
            } else {
                high = high.min(above / 2);
            }
        }
        Rect::new(x - wide, y - high, 2 * wide, 2 * high)
    }
}

/// What is missing on either side.
fn grown(length: i32) -> i32 {
    ((FINGER - length + 1) / 2).max(0)
}

/// `name` as a piece of an address: all but letters, digits, `-`, `.` and `_` written as RFC 3986, section 2.1, has it.
fn percent_encoded(name: &str) -> String {
    let mut encoded = String::with_capacity(name.len());
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._".contains(&byte) {
            encoded.push(char::from(byte));
        } else {
            // Writing to a string cannot fail.
            let _ = write!(encoded, "%{byte:02X}");
        }
    }
    encoded
}
