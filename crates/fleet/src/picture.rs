//! The named vehicles' figures from drive to drive, drawn.

use crate::told::{Fleet, shown};
use draw::{TrendPane, trends_svg};
use quantity::Dimension;

/// Most trends in one picture, the clearest of them.
const MOST: usize = 40;

/// An SVG with a pane for each drift for which a vehicle is named.
pub fn picture(fleet: &Fleet) -> String {
    let named = fleet.named();
    let panes: Vec<TrendPane> = named
        .iter()
        .take(MOST)
        .map(|(row, drift)| {
            let (unit, factor) = match drift.what.dimension() {
                Dimension::Pressure => ("kPa", 1e-3),
                _ => ("V", 1.0),
            };
            TrendPane {
                title: format!("{}: {}", row.vehicle, drift.what.name()),
                remark: format!(
                    "{} to {} over {} drives; by chance {:.1e}",
                    shown(drift.from),
                    shown(drift.to),
                    drift.figures.len(),
                    drift.chance
                ),
                unit: unit.to_owned(),
                figures: drift.figures.iter().map(|figure| figure * factor).collect(),
                middle: (drift.from.si() * factor, drift.to.si() * factor),
            }
        })
        .collect();
    let title = match named.len() {
        0 => format!("No vehicle of {} drifts", fleet.rows.len()),
        more if more > MOST => format!(
            "The {MOST} clearest of {more} drifts in {} vehicles",
            fleet.rows.len()
        ),
        _ => format!("Drifting from drive to drive, of {} vehicles", fleet.rows.len()),
    };
    let below = format!(
        "Of healthy vehicles at most {:.3} % are named by chance.",
        100.0 * fleet.rate
    );
    trends_svg(&title, &below, &panes)
}
