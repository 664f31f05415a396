//! Bands as a technician says them: `under 3 inHg`, `3 to 14`, `15 and up`.

use crate::show::Units;
use circuit::{Check, Reads};
use engine::Band;
use quantity::{Quantity, Unit, show_in};

/// One unit of those a check is read in, SI: bands end on simple numbers in it.
pub(super) fn unit(units: Units, check: &Check) -> f64 {
    units.of(check.reads).map_or(1.0, |unit| unit.factor())
}

/// The words for every band, in the order of the bands; the unit stands with the first.
pub fn in_words(units: Units, check: &Check, bands: &[Band]) -> Vec<String> {
    let ends = bands.iter().filter_map(|band| match *band {
        Band::Range { to, .. } => to,
        _ => None,
    });
    let largest = ends.fold(0.0, |most: f64, end| most.max(end.abs()));
    let mut named = false;
    let mut words = Vec::with_capacity(bands.len());
    for band in bands {
        words.push(match *band {
            Band::No => "no".to_owned(),
            Band::Yes => "yes".to_owned(),
            Band::Range { from, to } => range(units, check, (from, to), largest, &mut named),
        });
    }
    words
}

fn range(
    units: Units,
    check: &Check,
    ends: (Option<f64>, Option<f64>),
    largest: f64,
    named: &mut bool,
) -> String {
    let unit = units.fitting(check, largest);
    let dimension = check.reads.dimension();
    let show = |si: f64| {
        dimension.map_or_else(String::new, |dimension| {
            show_in(Quantity::new(dimension, si), unit)
        })
    };
    let bare = |si: f64| stripped(&show(si), unit);
    let open = check.reads == Reads::Resistance;
    let text = match ends {
        (None, None) => "with the reading".to_owned(),
        (None, Some(to)) if *named => format!("under {}", bare(to)),
        (None, Some(to)) => format!("under {}", show(to)),
        (Some(from), Some(to)) if *named => format!("{} to {}", bare(from), bare(to)),
        (Some(from), Some(to)) => format!("{} to {}", bare(from), show(to)),
        (Some(from), None) if open => format!("{} and up, or open", bare(from)),
        (Some(from), None) => format!("{} and up", bare(from)),
    };
    *named = true;
    text
}

fn stripped(shown: &str, unit: Unit) -> String {
    shown
        .strip_suffix(unit.symbol())
        .unwrap_or(shown)
        .trim_end()
        .to_owned()
}
