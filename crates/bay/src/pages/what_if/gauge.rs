//! One reading as a gauge: a scale, the healthy band on it, where a sound vehicle stands and where this one does.

use crate::speech::{plain, said};
use circuit::{Check, Method, Reads};
use desk::show::Units;
use desk::words;
use engine::{Model, WhatIf};
use maud::{Markup, html};
use serde::Serialize;

/// Length of the scale in the drawing, and where it begins.
pub(crate) const SCALE: (f64, f64) = (10.0, 280.0);
/// Lowest and highest resistance on the scale, which is logarithmic, ohm.
const OHMS: (f64, f64) = (1e-3, 1e6);
/// Thirty inches of mercury, Pa: the end of a vacuum gauge.
const VACUUM: f64 = 30.0 * 3_386.388_640_341;
/// A share of the scale that the eye sees, and of a chance that is more than rounding.
const SEEN: f64 = 0.01;

/// A gauge as it stands, for the page and its script.
#[derive(Debug, Serialize)]
pub(crate) struct Gauge {
    /// The check's id.
    check: String,
    /// What is read where, in words.
    #[serde(skip)]
    words: String,
    #[serde(skip)]
    manner: String,
    /// The end of the scale.
    #[serde(skip)]
    top: String,
    /// What a perfect instrument shows, as the trade writes it.
    pub(crate) shown: String,
    /// What it shows without the faults.
    sound: String,
    /// Places along the scale, 0 to 1; none where no balance is found.
    at: Option<f64>,
    was: Option<f64>,
    /// Whether the faults move it by more than the eye's least.
    moved: bool,
    /// Where healthy vehicles stand.
    #[serde(skip_serializing_if = "Option::is_none")]
    band: Option<Band>,
}

/// From the 5th to the 95th percentile of sound vehicles, as instruments show them.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Band {
    from: f64,
    to: f64,
    words: String,
}

impl Gauge {
    pub(crate) fn new(model: &Model, read: &WhatIf, band: Option<[f64; 3]>, units: Units) -> Self {
        let check = &model.checks()[read.check];
        let circuit = model.circuit();
        let sound = read.sound.as_ref().ok().copied();
        let faulty = read.faulty.as_ref().ok().copied();
        let top = top(check, sound.unwrap_or_default());
        let at = |si: f64| share(check, si, top);
        let value =
            |si: Option<f64>| plain(si.map_or_else(|| "no balance".to_owned(), |si| units.value(check, si)));
        let (now, was) = (faulty.map(at), sound.map(at));
        let moved = match (now, was) {
            (Some(now), Some(was)) => (now - was).abs() > SEEN || beyond(faulty, sound),
            (now, was) => now.is_some() != was.is_some(),
        };
        Self {
            check: check.id.clone(),
            words: plain(words::plainly(circuit, check)),
            manner: said::manner_at(plain(words::manner(check)), words::place(circuit, check)),
            top: match check.reads {
                Reads::YesNo => said::said_yes(),
                _ => plain(units.value(check, top)),
            },
            shown: value(faulty),
            sound: value(sound),
            at: now,
            was,
            moved,
            band: band.map(|band| Band {
                from: at(band[0]),
                to: at(band[2]),
                words: plain(units.range(check, band)),
            }),
        }
    }

    pub(crate) fn drawn(&self) -> Markup {
        let x = |share: f64| format!("{:.1}", SCALE.0 + SCALE.1 * share);
        let (from, to) = self
            .band
            .as_ref()
            .map_or((0.0, 0.0), |band| (band.from, band.to.max(band.from + SEEN)));
        let place = |share: Option<f64>| format!("translate({} 0)", x(share.unwrap_or_default()));
        html! {
            li class="gauge" data-check=(self.check) data-moved=[self.moved.then_some("yes")] {
                span class="what" { (self.words) " " span class="aside" { (self.manner) } }
                output class="value" { (self.shown) }
                svg viewBox="0 0 300 30" aria-hidden="true" {
                    rect class="band" x=(x(from)) y="8" width=(format!("{:.1}", SCALE.1 * (to - from))) height="10" {}
                    path class="scale" d="M10 13H290M10 8V18M290 8V18" {}
                    path class="was" d="M0 6V20" transform=(place(self.was)) {}
                    path class="at" d="M0 13L-6 1H6Z" transform=(place(self.at)) visibility=[self.at.is_none().then_some("hidden")] {}
                    text x="10" y="28" { @if self.top == said::said_yes() { (said::said_no()) } @else { "0" } }
                    text x="290" y="28" text-anchor="end" { (self.top) }
                }
                span class="aside healthy" {
                    (said::sound()) span class="sound" { (self.sound) }
                    span class="range" { @if let Some(band) = &self.band { (said::healthy_band().replace("{range}", &band.words)) } }
                }
            }
        }
    }
}

/// Two values beyond the end of the scale that differ all the same.
fn beyond(one: Option<f64>, other: Option<f64>) -> bool {
    let (Some(one), Some(other)) = (one, other) else {
        return false;
    };
    (one - other).abs() > 0.1 * one.abs().max(other.abs()).max(1e-6) && (one < 0.0) != (other < 0.0)
}

/// The end of a check's scale, SI: round, and the same whatever the faults are.
pub(crate) fn top(check: &Check, sound: f64) -> f64 {
    match (check.reads, check.method) {
        (Reads::Vacuum, _) => VACUUM,
        (Reads::Voltage, Method::Drop | Method::Ripple) => round_up((2.0 * sound.abs()).max(2.0)),
        (Reads::Voltage, _) => round_up(sound.abs().max(16.0)),
        (Reads::Current, _) => round_up((1.5 * sound.abs()).max(1.0)),
        (Reads::Travel, _) => round_up((1.5 * sound).max(0.02)),
        (Reads::Time, _) => 60.0,
        // Litres a minute.
        (Reads::Flow, _) => round_up(60.0e3 * (1.5 * sound.abs()).max(1.0e-5)) / 60.0e3,
        (Reads::Speed, _) => round_up(60.0 * (1.5 * sound).max(5.0)) / 60.0,
        (Reads::GaugePressure | Reads::AbsolutePressure, _) => round_up((1.5 * sound).max(2.0e5)),
        (Reads::Temperature, _) => 423.15,
        (Reads::Resistance, _) => OHMS.1,
        (Reads::Share | Reads::YesNo, _) => 1.0,
    }
}

/// The next of 1, 2, 3, 5 and 8 times a power of ten, and 16.
fn round_up(value: f64) -> f64 {
    let power = 10_f64.powf(value.log10().floor());
    [1.0, 1.6, 2.0, 3.0, 5.0, 8.0]
        .into_iter()
        .map(|step| step * power)
        .find(|round| *round >= value * 0.999_999)
        .unwrap_or(10.0 * power)
}

/// Where a value stands along the scale, 0 to 1.
pub(crate) fn share(check: &Check, si: f64, top: f64) -> f64 {
    let share = if check.reads == Reads::Resistance {
        (si.max(OHMS.0) / OHMS.0).ln() / (OHMS.1 / OHMS.0).ln()
    } else {
        si / top
    };
    share.clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_ends_on_a_round_number_not_below_the_value() {
        for (value, round) in [
            (0.7, 0.8),
            (16.0, 16.0),
            (17.0, 20.0),
            (9.1, 10.0),
            (275.0, 300.0),
        ] {
            assert!(
                (round_up(value) - round).abs() < 1e-9,
                "{value}: {}",
                round_up(value)
            );
        }
    }
}
