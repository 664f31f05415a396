//! A small drawing of how the instrument is connected.

use circuit::{Check, Method};
use maud::{Markup, html};

/// The drawing, where a check has one; its words say the same.
pub(crate) fn drawing(check: &Check) -> Markup {
    let what = match check.method {
        Method::Deadhead => {
            "The hose is off; the gauge closes the end that comes from the source, the other end is open"
        }
        Method::Tee => "The hose stays joined; the gauge hangs on a tee between",
        Method::Volts => "Everything plugged in; the meter reads from the pin to the battery's negative post",
        Method::OpenVolts => "Unplugged; the meter reads in the loose plug to the battery's negative post",
        Method::Drop => "Everything plugged in and working; one lead on each side",
        Method::Ohms => "Unplugged; the meter lies across the part's own pins",
        Method::Amps => "The clamp closes around one wire",
        _ => return html! {},
    };
    html! {
        svg class="hookup" lang=[crate::speech::english()] viewBox="0 0 240 90" role="img" aria-label=(what) {
            @match check.method {
                Method::Deadhead => {
                    path class="hose" d="M10 60H95" {}
                    path class="hose" d="M150 60H230" {}
                    path class="thin" d="M95 60V44" {}
                    (gauge(95.0, 26.0))
                    path class="thin" d="M150 52V68" {}
                    text x="10" y="82" { "from the source" }
                    text x="156" y="82" { "open" }
                }
                Method::Tee => {
                    path class="hose" d="M10 60H230" {}
                    path class="thin" d="M120 60V44" {}
                    (gauge(120.0, 26.0))
                    text x="10" y="82" { "joined, working" }
                }
                Method::Volts | Method::OpenVolts => {
                    path class="wire" d=(if check.method == Method::Volts { "M10 60H230" } else { "M10 60H110M140 60H230" }) {}
                    path class="thin" d="M100 60V26H120" {}
                    path class="thin" d="M156 26H200V44" {}
                    (meter(138.0, 26.0, "V"))
                    path class="thin" d="M190 44H210M194 49H206M198 54H202" {}
                    text x="10" y="82" { @if check.method == Method::Volts { "plugged in" } @else { "unplugged" } }
                }
                Method::Drop => {
                    path class="wire" d="M10 60H80M160 60H230" {}
                    rect class="part" x="80" y="48" width="80" height="24" {}
                    path class="thin" d="M60 60V26H102M138 26H180V60" {}
                    (meter(120.0, 26.0, "V"))
                    text x="10" y="86" { "current flowing" }
                }
                Method::Ohms => {
                    path class="wire" d="M10 60H40M200 60H230" {}
                    rect class="part" x="80" y="48" width="80" height="24" {}
                    path class="thin" d="M80 60H64V26H102M138 26H176V60H160" {}
                    (meter(120.0, 26.0, "Ω"))
                    text x="10" y="86" { "unplugged, key off" }
                }
                _ => {
                    path class="wire" d="M10 60H230" {}
                    circle class="part" cx="120" cy="60" r="18" {}
                    path class="thin" d="M120 42V38" {}
                    (meter(120.0, 22.0, "A"))
                    text x="10" y="86" { "one wire only" }
                }
            }
        }
    }
}

fn gauge(x: f64, y: f64) -> Markup {
    html! {
        circle class="part" cx=(x) cy=(y) r="18" {}
        path class="thin" d={ "M" (x) " " (y) "L" (x + 9.0) " " (y - 10.0) } {}
    }
}

fn meter(x: f64, y: f64, letter: &str) -> Markup {
    html! {
        circle class="part" cx=(x) cy=(y) r="18" {}
        text class="letter" x=(x) y=(y + 5.0) text-anchor="middle" { (letter) }
    }
}
