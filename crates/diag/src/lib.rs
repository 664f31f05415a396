//! Findings on a text: spans, messages, hints. Plain data, no rendering.
//!
//! Whoever reads a text collects a [`Diagnostic`] for everything it has to say about it; the command line and the bay
//! screen each show them in their own way. Nothing here knows what the text describes.

mod diagnostic;
mod nearest;
mod source;

pub use diagnostic::{Diagnostic, Diagnostics, Label, Severity};
pub use nearest::nearest;
pub use source::{Source, Span};
