//! What a check is expected to read, as bands on one scale: a sound circuit first, then the leading suspects.

use circuit::Reads;
use desk::Case;
use engine::Outlook;
use maud::{Markup, html};
use quantity::Quantity;

/// Width of the scale in drawing units.
const WIDE: f64 = 300.0;
/// Height of a band with its words.
const HIGH: f64 = 40.0;

/// The strip of a check; a table of the same figures for whoever does not see it.
pub(crate) fn of(case: &Case, outlook: &Outlook, check: usize) -> Markup {
    let rows = desk::expectations(case, outlook, check);
    let spec = &case.model.checks()[check];
    let dimension = spec.reads.dimension();
    let in_unit = |si: f64| match (case.units.of(spec.reads), dimension) {
        (Some(unit), Some(dimension)) => Quantity::new(dimension, si).in_unit(unit),
        _ => si,
    };
    // Ohms go from nothing to millions: only their order can be seen on one scale.
    let scale = |si: f64| {
        let value = in_unit(si);
        if spec.reads == Reads::Resistance {
            value.abs().max(0.1).log10()
        } else {
            value
        }
    };
    let ends = rows
        .iter()
        .flat_map(|row| [scale(row.percentiles[0]), scale(row.percentiles[2])]);
    let (low, high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), end| {
        (low.min(end), high.max(end))
    });
    let (low, high) = if spec.reads == Reads::YesNo {
        (0.0, 1.0)
    } else {
        (low.min(0.0), high)
    };
    let place = |si: f64| {
        if high > low {
            WIDE * (scale(si) - low) / (high - low)
        } else {
            0.5 * WIDE
        }
    };
    let tall = HIGH * rows.len() as f64;
    html! {
        svg class="strip" viewBox={ "-4 0 " (WIDE + 8.0) " " (tall) } role="img" aria-label="Expected readings as bands" {
            @for (index, row) in rows.iter().enumerate() {
                @let top = HIGH * index as f64;
                @let [from, middle, to] = row.percentiles.map(place);
                text class="name" x="0" y=(figure(top + 13.0)) { (row.name) ": " (row.range) }
                line class="scale" x1="0" x2=(WIDE) y1=(figure(top + 27.0)) y2=(figure(top + 27.0)) {}
                rect class={ "band " @if row.suspect.is_none() { "sound" } @else { "suspect" } }
                    x=(figure(from)) y=(figure(top + 20.0)) width=(figure((to - from).max(3.0))) height="14" {}
                line class="middle" x1=(figure(middle)) x2=(figure(middle)) y1=(figure(top + 18.0)) y2=(figure(top + 36.0)) {}
            }
        }
    }
}

fn figure(value: f64) -> String {
    format!("{value:.1}")
}
