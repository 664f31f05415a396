//! Figures from drive to drive: panes below each other, a dot for each drive and the middle that drifts through them.
//!
//! It computes no figure: where the middle begins and ends it is given.

use crate::curves::CURVES_STYLE;
use crate::words::escaped;
use std::fmt::Write as _;

/// Figures of one sort of one vehicle.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TrendPane {
    /// What stands above it: the vehicle and what drifts.
    pub title: String,
    /// What stands right of that: from where to where, and how likely that is by chance.
    pub remark: String,
    /// Sign of the unit of the figures.
    pub unit: String,
    /// One after the other.
    pub figures: Vec<f64>,
    /// The middle at the first and at the last.
    pub middle: (f64, f64),
}

/// Width of the field of figures, and what stands left and right of it.
const WIDTH: f64 = 640.0;
const LEFT: f64 = 62.0;
const RIGHT: f64 = 18.0;
/// Height of a field, and what stands above and below it.
const FIELD: f64 = 110.0;
const HEAD: f64 = 46.0;
const FOOT: f64 = 26.0;
/// The title of the whole.
const TITLE: f64 = 34.0;
/// A field is so much higher than its figures.
const AIR: f64 = 0.08;

/// The panes as an SVG that stands alone, `title` above and `below` under them.
pub fn trends_svg(title: &str, below: &str, panes: &[TrendPane]) -> String {
    let wide = LEFT + WIDTH + RIGHT;
    let tall = TITLE + panes.len() as f64 * (HEAD + FIELD + FOOT) + 30.0;
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" class="curves" viewBox="0 0 {wide} {tall}" role="img" aria-label="{0}"><title>{0}</title>"#,
        escaped(title)
    );
    // Writing to a String cannot fail, here and below.
    let _ = write!(
        out,
        "<style>\n{CURVES_STYLE}.curves .dot{{fill:#0b5cad}}\n@media (prefers-color-scheme:dark){{.curves .dot{{fill:#8ac4ff}}}}\n@media print{{.curves .dot{{fill:#0b5cad}}}}\n</style>"
    );
    let _ = writeln!(out, r#"<rect class="paper" width="{wide}" height="{tall}"/>"#);
    let _ = writeln!(
        out,
        r#"<text class="title" x="{LEFT}" y="24">{}</text>"#,
        escaped(title)
    );
    for (place, pane) in (0..).zip(panes) {
        let top = TITLE + f64::from(place) * (HEAD + FIELD + FOOT);
        let _ = writeln!(out, r#"<g transform="translate(0 {top})">"#);
        drawn(&mut out, pane);
        out.push_str("</g>\n");
    }
    let _ = writeln!(
        out,
        r#"<text x="{LEFT}" y="{}">{}</text>"#,
        tall - 12.0,
        escaped(below)
    );
    out.push_str("</svg>\n");
    out
}

fn drawn(out: &mut String, pane: &TrendPane) {
    let ends = [pane.middle.0, pane.middle.1];
    let all = pane
        .figures
        .iter()
        .chain(&ends)
        .copied()
        .filter(|figure| figure.is_finite());
    let (least, most) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), figure| {
        (least.min(figure), most.max(figure))
    });
    if least > most {
        return;
    }
    // Figures that are all the same stand in the middle.
    let air = ((most - least) * AIR).max(1e-9 * most.abs().max(1.0));
    let (low, high) = (least - air, most + air);
    let steps = pane.figures.len().saturating_sub(1).max(1) as f64;
    let x = |at: f64| LEFT + WIDTH * at / steps;
    let y = |figure: f64| HEAD + FIELD * (high - figure) / (high - low);
    let _ = writeln!(
        out,
        r#"<text class="pane" x="{LEFT}" y="18">{}</text>"#,
        escaped(&pane.title)
    );
    let _ = writeln!(out, r#"<text x="{LEFT}" y="36">{}</text>"#, escaped(&pane.remark));
    let _ = writeln!(
        out,
        r#"<rect class="frame" x="{LEFT}" y="{HEAD}" width="{WIDTH}" height="{FIELD}"/>"#
    );
    for figure in guides(low, high) {
        let (at, end) = (y(figure), LEFT + WIDTH);
        let _ = writeln!(out, r#"<path class="guide" d="M{LEFT} {at:.1}H{end}"/>"#);
        let _ = writeln!(
            out,
            r#"<text x="{}" y="{:.1}" text-anchor="end">{figure}</text>"#,
            LEFT - 6.0,
            at + 4.0
        );
    }
    let _ = writeln!(
        out,
        r#"<text x="{}" y="{}" text-anchor="end">{}</text>"#,
        LEFT - 6.0,
        HEAD - 8.0,
        escaped(&pane.unit)
    );
    for (at, figure) in (0..).zip(&pane.figures).filter(|(_, figure)| figure.is_finite()) {
        let _ = writeln!(
            out,
            r#"<circle class="dot" cx="{:.1}" cy="{:.1}" r="2.6"/>"#,
            x(f64::from(at)),
            y(*figure)
        );
    }
    let _ = writeln!(
        out,
        r#"<path class="line other" d="M{:.1} {:.1}L{:.1} {:.1}"/>"#,
        x(0.0),
        y(pane.middle.0),
        x(steps),
        y(pane.middle.1)
    );
    let foot = HEAD + FIELD + 16.0;
    let _ = writeln!(out, r#"<text x="{LEFT}" y="{foot}">1</text>"#);
    let _ = writeln!(
        out,
        r#"<text x="{}" y="{foot}" text-anchor="end">drive {}</text>"#,
        LEFT + WIDTH,
        pane.figures.len()
    );
}

/// Round figures between two, two to six of them.
fn guides(low: f64, high: f64) -> Vec<f64> {
    let power = 10_f64.powf(((high - low) / 3.0).log10().floor());
    let rough = (high - low) / 3.0 / power;
    let step = power
        * if rough >= 5.0 {
            5.0
        } else if rough >= 2.0 {
            2.0
        } else {
            1.0
        };
    let (first, last) = ((low / step).ceil(), (high / step).floor());
    let mut all = Vec::new();
    let mut at = first;
    while at <= last && all.len() < 8 {
        // As many digits as the step has, and no remains of the product; no zero with a sign.
        let digits = (0.0_f64.max(-step.log10().floor())).min(12.0);
        let scale = 10_f64.powf(digits);
        all.push((at * step * scale).round() / scale + 0.0);
        at += 1.0;
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn guides_are_round_and_inside() {
        assert_eq!(guides(13.45, 14.37), [13.6, 13.8, 14.0, 14.2]);
        assert_eq!(
            guides(-12.3, 1.2),
            [-12.0, -10.0, -8.0, -6.0, -4.0, -2.0, 0.0, 1.0][..7].to_vec()
        );
    }

    #[test]
    fn every_drive_has_its_dot_and_strange_figures_none() {
        let pane = TrendPane {
            title: "van <7>, charging".to_owned(),
            figures: vec![14.2, f64::NAN, 14.0, 13.9],
            middle: (14.2, 13.9),
            ..TrendPane::default()
        };
        let svg = trends_svg("Fleet", "", &[pane.clone(), TrendPane::default()]);
        assert_eq!(svg.matches("<circle").count(), 3);
        assert!(svg.contains("van &lt;7&gt;") && !svg.contains("NaN") && !svg.contains("inf"));
        let flat = TrendPane {
            figures: vec![14.0; 4],
            middle: (14.0, 14.0),
            ..pane
        };
        assert!(!trends_svg("Fleet", "", &[flat]).contains("NaN"));
    }
}
