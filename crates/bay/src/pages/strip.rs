//! What a check is expected to read, as bands on one scale: a sound circuit first, then the leading suspects.

use crate::speech::lower;
use circuit::Reads;
use desk::Case;
use engine::Outlook;
use maud::{Markup, html};
use quantity::Quantity;

/// Width of the scale in drawing units.
const WIDE: f64 = 300.0;

/// The strip of a check: a band below its words and figures, which say the same.
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
    html! {
        ul class="strip" {
            @for row in &rows {
                @let [from, middle, to] = row.percentiles.map(place);
                li {
                    span { (lower(&row.name)) ": " strong { (lower(&row.range)) } }
                    svg viewBox={ "-4 0 " (WIDE + 8.0) " 20" } preserveAspectRatio="none" aria-hidden="true" {
                        line class="scale" x1="0" x2=(WIDE) y1="10" y2="10" {}
                        rect class=(if row.suspect.is_none() { "band sound" } else { "band suspect" })
                            x=(figure(from)) y="3" width=(figure((to - from).max(3.0))) height="14" {}
                        line class="middle" x1=(figure(middle)) x2=(figure(middle)) y1="1" y2="19" {}
                    }
                }
            }
        }
    }
}

fn figure(value: f64) -> String {
    format!("{value:.1}")
}
