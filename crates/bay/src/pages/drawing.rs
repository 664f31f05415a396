//! The circuit drawing on a job's screen.

use crate::speech::{drawn, plain};
use desk::{Case, Held};
use draw::{Style, Touch};
use maud::{Markup, PreEscaped, html};

/// Width in drawing units, one a pixel, that a phone held upright has for a drawing.
const NARROW: u32 = 356;
/// The same of a laptop; its words stay readable where it is a little less.
const BROAD: u32 = 1200;

/// The circuit with suspects shaded and readings at their places; parts and joints lead to their pages. Twice: cut into bands
/// for a narrow screen, and whole; the style sheet shows one of them.
pub(crate) fn of(held: &Held, case: &Case, next: Option<usize>) -> Markup {
    let circuit = case.model.circuit();
    let readings: Vec<(usize, String)> = case
        .readings()
        .into_iter()
        .map(|(check, text)| (check, plain(text)))
        .collect();
    let notes = engine::notes(case.model, &case.belief, &readings, next);
    let layout = draw::layout(circuit);
    let svg = |width: u32| {
        let style = Style {
            legend: true,
            touch: Touch::Links {
                part: format!("/jobs/{}/parts/{{}}", held.number),
                joint: format!("/jobs/{}/joints/{{}}", held.number),
            },
            ..Style::within(width)
        };
        PreEscaped(drawn(&draw::svg(&layout, circuit, &notes, &style)))
    };
    html! {
        figure class="drawing narrow" { (svg(NARROW)) }
        figure class="drawing broad" { (svg(BROAD)) }
    }
}
