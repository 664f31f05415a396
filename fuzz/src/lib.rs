//! What the fuzz targets share: what must hold of every finding, and how a sound text is spoilt.
//!
//! Plain random text rarely gets past the first line of a reader. So half of the inputs are a sound file with one stretch
//! replaced: the reader then meets one mistake in otherwise good surroundings, as it does with people.

use diag::{Diagnostic, Span};

/// Every span slices `text`, and every message can be shown on a line of a terminal.
pub fn check_findings(text: &str, findings: &[Diagnostic]) {
    for finding in findings {
        let others = finding.others.iter().map(|label| label.span);
        for span in others.chain([finding.span]) {
            assert!(slices(text, span), "{span:?} of {finding:?}");
        }
        let first = finding.message.lines().next().unwrap_or_default();
        assert!(!first.is_empty() && first.chars().count() <= 80, "{first:?}");
        assert!(
            !finding.message.chars().any(|c| c.is_control() && c != '\n'),
            "{:?}",
            finding.message
        );
    }
}

fn slices(text: &str, span: Span) -> bool {
    text.get(span.range()).is_some()
}

/// `base` with `length` bytes from `at` on (both moved to the next character's start) replaced by `patch`; every second
/// input is `patch` alone.
pub fn spoilt(base: &str, at: u16, length: u8, patch: &str) -> String {
    if at % 2 == 1 {
        return patch.to_owned();
    }
    let start = boundary(base, usize::from(at / 2) % (base.len() + 1));
    let end = boundary(base, start + usize::from(length));
    format!("{}{patch}{}", &base[..start], &base[end..])
}

/// The first start of a character at or after `at`, or the end.
fn boundary(text: &str, at: usize) -> usize {
    (at..text.len())
        .find(|&byte| text.is_char_boundary(byte))
        .unwrap_or(text.len())
}
