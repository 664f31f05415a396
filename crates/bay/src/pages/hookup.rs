//! A small drawing of how the instrument is connected.

use crate::speech::said;
use circuit::{Check, Method};
use maud::{Markup, html};

/// The drawing, where a check has one; its words say the same.
pub(crate) fn drawing(check: &Check) -> Markup {
    let what = match check.method {
        Method::Deadhead => said::hookup_deadhead(),
        Method::Tee => said::hookup_tee(),
        Method::Volts => said::hookup_volts(),
        Method::OpenVolts => said::hookup_open_volts(),
        Method::Drop => said::hookup_drop(),
        Method::Ohms => said::hookup_ohms(),
        Method::Amps => said::hookup_amps(),
        _ => return html! {},
    };
    html! {
        svg class="hookup" viewBox="0 0 240 90" role="img" aria-label=(what) {
            @match check.method {
                Method::Deadhead => {
                    path class="hose" d="M10 60H95" {}
                    path class="hose" d="M150 60H230" {}
                    path class="thin" d="M95 60V44" {}
                    (gauge(95.0, 26.0))
                    path class="thin" d="M150 52V68" {}
                    text x="10" y="82" { (said::from_source()) }
                    text x="156" y="82" { (said::open_end()) }
                }
                Method::Tee => {
                    path class="hose" d="M10 60H230" {}
                    path class="thin" d="M120 60V44" {}
                    (gauge(120.0, 26.0))
                    text x="10" y="82" { (said::joined()) }
                }
                Method::Volts | Method::OpenVolts => {
                    path class="wire" d=(if check.method == Method::Volts { "M10 60H230" } else { "M10 60H110M140 60H230" }) {}
                    path class="thin" d="M100 60V26H120" {}
                    path class="thin" d="M156 26H200V44" {}
                    (meter(138.0, 26.0, "V"))
                    path class="thin" d="M190 44H210M194 49H206M198 54H202" {}
                    text x="10" y="82" { @if check.method == Method::Volts { (said::plugged_in()) } @else { (said::unplugged()) } }
                }
                Method::Drop => {
                    path class="wire" d="M10 60H80M160 60H230" {}
                    rect class="part" x="80" y="48" width="80" height="24" {}
                    path class="thin" d="M60 60V26H102M138 26H180V60" {}
                    (meter(120.0, 26.0, "V"))
                    text x="10" y="86" { (said::current_flowing()) }
                }
                Method::Ohms => {
                    path class="wire" d="M10 60H40M200 60H230" {}
                    rect class="part" x="80" y="48" width="80" height="24" {}
                    path class="thin" d="M80 60H64V26H102M138 26H176V60H160" {}
                    (meter(120.0, 26.0, "Ω"))
                    text x="10" y="86" { (said::unplugged_off()) }
                }
                _ => {
                    path class="wire" d="M10 60H230" {}
                    circle class="part" cx="120" cy="60" r="18" {}
                    path class="thin" d="M120 42V38" {}
                    (meter(120.0, 22.0, "A"))
                    text x="10" y="86" { (said::one_wire()) }
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
