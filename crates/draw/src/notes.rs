//! What is written on a drawing beside the circuit itself. All of it comes ready-made: this crate computes no figure.

use circuit::{JointId, PartId, Place};

/// What is known of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct PartNote {
    /// The part.
    pub part: PartId,
    /// How suspect it is, 0 to 1; drawn as shading and as a figure in per cent.
    pub share: Option<f64>,
    /// A few words, drawn beside the figure as far as they fit.
    pub text: Option<String>,
}

/// What was read at a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct JointNote {
    /// The joint.
    pub joint: JointId,
    /// The reading as the trade writes it, how it was taken behind it: `21.5 inHg dead-headed`.
    pub text: String,
}

/// What to write on a drawing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Notes {
    /// Notes on parts; the first per part counts.
    pub parts: Vec<PartNote>,
    /// Readings at joints; a joint may have several, in the order in which they are to stand.
    pub joints: Vec<JointNote>,
    /// The place of the next check, ringed.
    pub highlight: Option<Place>,
}

impl Notes {
    /// The note on `part`.
    pub fn part(&self, part: PartId) -> Option<&PartNote> {
        self.parts.iter().find(|note| note.part == part)
    }

    /// The readings at `joint`, in one line: `2 inHg teed; 23.5 inHg dead-headed`.
    pub fn joint(&self, joint: JointId) -> Option<String> {
        let texts: Vec<&str> = self.at(joint).collect();
        (!texts.is_empty()).then(|| texts.join("; "))
    }

    /// Each reading at `joint`.
    pub(crate) fn at(&self, joint: JointId) -> impl Iterator<Item = &str> {
        let notes = self.joints.iter().filter(move |note| note.joint == joint);
        notes.map(|note| note.text.as_str())
    }

    /// The share of `part`, if it is one.
    pub(crate) fn share(&self, part: PartId) -> Option<f64> {
        self.part(part)
            .and_then(|note| note.share)
            .filter(|share| share.is_finite() && *share > 0.0)
    }
}
