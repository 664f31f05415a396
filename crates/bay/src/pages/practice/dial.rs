//! A dial with a needle that swings to what the instrument shows.

use crate::pages::what_if::{share, top};
use crate::speech::{plain, said};
use circuit::Check;
use maud::{Markup, html};

/// The needle's angle at both ends of the scale, degrees from upright.
const SWING: f64 = 120.0;

/// The dial of `check` at what was read; the scale follows from what a sound vehicle reads.
pub(crate) fn dial(check: &Check, shown: f64, words: &str, sound: f64) -> Markup {
    let angle = SWING * (2.0 * share(check, shown, top(check, sound)) - 1.0);
    let mark = |step: i32| format!("rotate({} 100 100)", SWING * f64::from(step - 5) / 5.0);
    html! {
        svg class="dial" viewBox="20 26 160 172" role="img" aria-label=(said::needle_shows(plain(check.instrument.word()), words)) {
            circle class="rim" cx="100" cy="100" r="68" {}
            @for step in 0..=10 { path class="mark" d=(if step % 5 == 0 { "M100 36V50" } else { "M100 36V44" }) transform=(mark(step)) {} }
            g class="needle" data-to=(format!("{angle:.2}")) data-from=(format!("{:.2}", -SWING)) transform=(format!("rotate({angle:.2} 100 100)")) {
                path d="M98 112L99.4 42H100.6L102 112Z" {}
            }
            circle class="hub" cx="100" cy="100" r="6" {}
            text x="100" y="192" text-anchor="middle" { (words) }
        }
    }
}
