//! The drawing in the terminal, as wide as the terminal.

use crate::case::Case;
use circuit::Circuit;
use draw::Notes;

/// The case drawn: shares on the parts, readings at their joints, the place of the next check.
pub(crate) fn of_case(case: &Case, next: Option<usize>) -> String {
    let notes = engine::notes(case.model, &case.belief, &case.readings(), next);
    terminal(case.model.circuit(), &notes, case.screen)
}

/// A circuit drawn with characters.
pub(crate) fn terminal(circuit: &Circuit, notes: &Notes, screen: crate::page::Screen) -> String {
    draw::text(&draw::layout(circuit), circuit, notes, screen.width, screen.ascii)
}

/// A circuit drawn as SVG.
pub(crate) fn svg(circuit: &Circuit, notes: &Notes) -> String {
    draw::svg(&draw::layout(circuit), circuit, notes, &draw::Style::default())
}
