//! The circuit drawing on a job's screen.

use desk::{Case, Held};
use maud::{Markup, PreEscaped, html};

/// The circuit with suspects shaded and readings at their places; parts and joints lead to their pages.
pub(crate) fn of(held: &Held, case: &Case, next: Option<usize>) -> Markup {
    let circuit = case.model.circuit();
    let notes = engine::notes(case.model, &case.belief, &case.readings(), next);
    let svg = draw::svg(&draw::layout(circuit), circuit, &notes, &draw::Style::default());
    html! {
        figure class="drawing" data-job=(held.number) { (PreEscaped(svg)) }
    }
}
