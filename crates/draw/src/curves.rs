//! Figures over time: panes below each other on one axis, lines drawn as least and greatest of each step, found stretches marked.
//!
//! It computes no figure: what a step's least and greatest are, what is healthy and what was found it is given.

use crate::words::escaped;
use std::fmt::Write as _;

/// A picture of one drive.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Curves {
    /// What it shows.
    pub title: String,
    /// What has to be said with it: that it is simulated.
    pub remark: String,
    /// First second shown.
    pub from_s: f64,
    /// Last second shown.
    pub to_s: f64,
    /// From top to bottom.
    pub panes: Vec<Pane>,
    /// What was found, in words, in the order of their numbers.
    pub found: Vec<String>,
}

/// One signal, or several that belong together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pane {
    /// What stands above it.
    pub name: String,
    /// Sign of its unit.
    pub unit: String,
    /// What its lines show.
    pub lines: Vec<Line>,
    /// Where the first line is healthy, if that is known.
    pub healthy: Vec<Step>,
    /// Stretches that were found in it: number, first and last second, whether it is as usual.
    pub marks: Vec<Mark>,
}

/// A line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    /// What it is.
    pub name: String,
    /// Step after step; a gap where none is.
    pub steps: Vec<Step>,
}

/// Least and greatest figure of a stretch of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Its place, s.
    pub at_s: f64,
    /// Least.
    pub least: f64,
    /// Greatest.
    pub most: f64,
}

/// A stretch that was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Its number in [`Curves::found`], from 1.
    pub number: usize,
    /// First second.
    pub from_s: f64,
    /// Last second.
    pub to_s: f64,
    /// Not as usual.
    pub odd: bool,
}

/// Width of the field of figures, and what stands left of it.
const WIDTH: f64 = 720.0;
const LEFT: f64 = 62.0;
const RIGHT: f64 = 14.0;
/// Height of a pane's field, and what stands above and below it.
const FIELD: f64 = 84.0;
const HEAD: f64 = 24.0;
const FOOT: f64 = 30.0;
const TITLE: f64 = 30.0;
const ROW: f64 = 17.0;
/// Steps wider apart than this many usual ones are a gap.
const GAP: f64 = 3.5;
/// Numbers below each other in a pane.
const NUMBERS: usize = 6;
/// Letters that fit in a line below, at 12 px.
const LETTERS: usize = 120;

/// How curves look; a page that styles its drawings itself takes it from here.
pub const CURVES_STYLE: &str = "\
.curves{color:#1d2127;font-family:system-ui,'DejaVu Sans','Segoe UI',Roboto,Arial,sans-serif}
.curves .paper{fill:#fdfcf9}
.curves text{fill:currentColor;font-size:12px}
.curves .title{font-size:16px;font-weight:600}
.curves .remark{font-weight:600}
.curves .pane{font-weight:600}
.curves .frame{fill:none;stroke:currentColor;stroke-opacity:.35}
.curves .guide{stroke:currentColor;stroke-opacity:.15}
.curves .line{fill:none;stroke:#0b5cad;stroke-width:1.6;stroke-linejoin:round}
.curves .line.other{stroke:#8a4b00;stroke-dasharray:6 3}
.curves .healthy{fill:#2f7d4f;fill-opacity:.2;stroke:#2f7d4f;stroke-opacity:.5;stroke-dasharray:1 3}
.curves .mark{fill:currentColor;fill-opacity:.08;stroke:currentColor;stroke-opacity:.35}
.curves .mark.odd{fill:#b3261e;fill-opacity:.14;stroke:#b3261e;stroke-opacity:.8}
.curves .number{font-size:11px}
.curves .number.odd{font-weight:700}
@media (prefers-color-scheme:dark){.curves{color:#e8e6e1}.curves .paper{fill:#15191e}.curves .line{stroke:#8ac4ff}.curves .line.other{stroke:#ffb870}}
@media print{.curves{color:#000}.curves .paper{fill:#fff}.curves .line{stroke:#0b5cad}.curves .line.other{stroke:#8a4b00}}
";

/// The pictures beside each other as an SVG that stands alone; panes of the same name have one scale in all of them.
pub fn curves_svg(all: &[Curves]) -> String {
    written(all, true)
}

/// The same for a page that has [`CURVES_STYLE`] among its styles.
pub fn curves_svg_unstyled(all: &[Curves]) -> String {
    written(all, false)
}

fn written(all: &[Curves], styled: bool) -> String {
    let each = LEFT + WIDTH + RIGHT;
    let heights = all.iter().map(height);
    let (full, tall) = (each * all.len().max(1) as f64, heights.fold(60.0, f64::max));
    let titles: Vec<String> = all.iter().map(|one| escaped(&one.title)).collect();
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" class="curves" viewBox="0 0 {full} {tall}" role="img" aria-label="{0}"><title>{0}</title>"#,
        titles.join("; ")
    );
    if styled {
        let _ = write!(out, "<style>\n{CURVES_STYLE}</style>");
    }
    let _ = writeln!(out, r#"<rect class="paper" width="{full}" height="{tall}"/>"#);
    for (place, one) in (0..).zip(all) {
        // Writing to a String cannot fail, here and below.
        let _ = writeln!(out, r#"<g transform="translate({} 0)">"#, each * f64::from(place));
        picture(&mut out, one, all);
        out.push_str("</g>\n");
    }
    out.push_str("</svg>\n");
    out
}

fn height(one: &Curves) -> f64 {
    let head = TITLE + if one.remark.is_empty() { 0.0 } else { ROW };
    head + one.panes.len() as f64 * (HEAD + FIELD) + FOOT + ROW * told(one).len() as f64 + 8.0
}

/// What was found, broken into lines.
fn told(one: &Curves) -> Vec<String> {
    let mut lines = Vec::new();
    for (number, words) in (1..).zip(&one.found) {
        let mut line = format!("{number}  ");
        for word in words.split_whitespace() {
            if line.chars().count() + word.chars().count() >= LETTERS {
                lines.push(std::mem::replace(&mut line, "    ".to_owned()));
            }
            line.push_str(word);
            line.push(' ');
        }
        lines.push(line);
    }
    lines
}

fn picture(out: &mut String, one: &Curves, all: &[Curves]) {
    let _ = writeln!(
        out,
        r#"<text class="title" x="{LEFT}" y="20">{}</text>"#,
        escaped(&one.title)
    );
    let mut top = TITLE;
    if !one.remark.is_empty() {
        let _ = writeln!(
            out,
            r#"<text class="remark" x="{LEFT}" y="{}">{}</text>"#,
            top + 8.0,
            escaped(&one.remark)
        );
        top += ROW;
    }
    for pane in &one.panes {
        drawn(out, one, pane, scale(pane, all), top + HEAD);
        top += HEAD + FIELD;
    }
    for (at, words) in ticks(one.from_s, one.to_s) {
        let _ = writeln!(
            out,
            r#"<text x="{:.1}" y="{:.1}" text-anchor="middle">{words}</text>"#,
            x(one, at),
            top + 16.0
        );
    }
    top += FOOT;
    for line in told(one) {
        top += ROW;
        let _ = writeln!(
            out,
            r#"<text x="{LEFT}" y="{:.1}" xml:space="preserve">{}</text>"#,
            top - 6.0,
            escaped(&line)
        );
    }
}

/// From where to where the panes of one name go, in all pictures.
fn scale(pane: &Pane, all: &[Curves]) -> (f64, f64) {
    let same = all
        .iter()
        .flat_map(|one| &one.panes)
        .filter(|other| other.name == pane.name);
    let steps = same.flat_map(|other| {
        other
            .lines
            .iter()
            .flat_map(|line| &line.steps)
            .chain(&other.healthy)
    });
    let (least, most) = steps.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), step| {
        (least.min(step.least), most.max(step.most))
    });
    if !(least.is_finite() && most.is_finite()) {
        return (0.0, 1.0);
    }
    // A signal that stands still lies in the middle.
    let room = ((most - least) * 0.05).max(least.abs().max(1.0) * 1e-3);
    (least - room, most + room)
}

fn x(one: &Curves, at: f64) -> f64 {
    let length = (one.to_s - one.from_s).max(f64::MIN_POSITIVE);
    LEFT + WIDTH * ((at - one.from_s) / length).clamp(0.0, 1.0)
}

fn drawn(out: &mut String, one: &Curves, pane: &Pane, (low, high): (f64, f64), top: f64) {
    let y = |value: f64| top + FIELD * (1.0 - ((value - low) / (high - low)).clamp(0.0, 1.0));
    let names: Vec<&str> = pane.lines.iter().map(|line| line.name.as_str()).collect();
    let legend = if names.len() > 1 {
        format!(": {} (line), {} (dashes)", names[0], names[1..].join(", "))
    } else {
        String::new()
    };
    let _ = writeln!(
        out,
        r#"<text class="pane" x="{LEFT}" y="{:.1}">{}, {}{}</text>"#,
        top - 6.0,
        escaped(&pane.name),
        escaped(&pane.unit),
        escaped(&legend)
    );
    for value in round_values(low, high) {
        let _ = writeln!(
            out,
            r#"<path class="guide" d="M{LEFT} {0:.1}H{1}"/><text x="{2}" y="{3:.1}" text-anchor="end">{4}</text>"#,
            y(value),
            LEFT + WIDTH,
            LEFT - 6.0,
            y(value) + 4.0,
            plain(value)
        );
    }
    for (place, mark) in pane.marks.iter().enumerate() {
        // Numbers of stretches that begin together stand below each other.
        stretch(out, one, mark, (top, 12.0 + 13.0 * (place % NUMBERS) as f64));
    }
    area(out, one, &pane.healthy, &y);
    for (place, line) in pane.lines.iter().enumerate() {
        let class = if place == 0 { "line" } else { "line other" };
        path(out, one, line, class, &y);
    }
    let _ = writeln!(
        out,
        r#"<rect class="frame" x="{LEFT}" y="{top}" width="{WIDTH}" height="{FIELD}"/>"#
    );
}

fn stretch(out: &mut String, one: &Curves, mark: &Mark, (top, below): (f64, f64)) {
    if mark.to_s < one.from_s || mark.from_s > one.to_s {
        return;
    }
    let (from, to) = (x(one, mark.from_s), x(one, mark.to_s));
    let odd = if mark.odd { " odd" } else { "" };
    let _ = writeln!(
        out,
        r#"<rect class="mark{odd}" x="{from:.1}" y="{top}" width="{:.1}" height="{FIELD}"/><text class="number{odd}" x="{:.1}" y="{:.1}">{}</text>"#,
        (to - from).max(2.0),
        from + 3.0,
        top + below,
        mark.number
    );
}

/// Stretches of steps without a gap between them.
fn whole(steps: &[Step]) -> Vec<&[Step]> {
    let mut apart: Vec<f64> = steps.windows(2).map(|pair| pair[1].at_s - pair[0].at_s).collect();
    apart.sort_by(f64::total_cmp);
    let usual = apart.get(apart.len() / 2).copied().unwrap_or_default();
    steps.chunk_by(|a, b| b.at_s - a.at_s <= GAP * usual).collect()
}

fn area(out: &mut String, one: &Curves, steps: &[Step], y: &dyn Fn(f64) -> f64) {
    for part in whole(steps).into_iter().filter(|part| part.len() > 1) {
        let mut path = String::from("M");
        for step in part {
            let _ = write!(path, "{:.1} {:.1} ", x(one, step.at_s), y(step.most));
        }
        for step in part.iter().rev() {
            let _ = write!(path, "{:.1} {:.1} ", x(one, step.at_s), y(step.least));
        }
        let _ = writeln!(out, r#"<path class="healthy" d="{path}z"/>"#);
    }
}

fn path(out: &mut String, one: &Curves, line: &Line, class: &str, y: &dyn Fn(f64) -> f64) {
    let mut path = String::new();
    for part in whole(&line.steps) {
        path.push('M');
        // One step alone is a dot with width.
        if let [only] = part {
            let _ = write!(path, "{:.1} {:.1}h1.5", x(one, only.at_s), y(only.most));
            continue;
        }
        let mut rising = true;
        for step in part {
            let (first, then) = if rising {
                (step.least, step.most)
            } else {
                (step.most, step.least)
            };
            let at = x(one, step.at_s);
            let _ = write!(path, "{at:.1} {:.1} ", y(first));
            if step.most > step.least {
                let _ = write!(path, "{at:.1} {:.1} ", y(then));
                rising = !rising;
            }
        }
    }
    if !path.is_empty() {
        let _ = writeln!(
            out,
            r#"<path class="{class}" d="{}"><title>{}</title></path>"#,
            path.trim_end(),
            escaped(&line.name)
        );
    }
}

/// Three to five round figures between `low` and `high`.
fn round_values(low: f64, high: f64) -> Vec<f64> {
    let wanted = (high - low) / 4.0;
    let power = 10_f64.powf(wanted.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|times| times * power)
        .find(|step| *step >= wanted)
        .unwrap_or(10.0 * power);
    let mut values = Vec::new();
    let mut value = (low / step).ceil() * step;
    while value <= high && values.len() < 8 {
        values.push(value);
        value += step;
    }
    values
}

fn plain(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Moments below the axis, as minutes and seconds.
fn ticks(from: f64, to: f64) -> Vec<(f64, String)> {
    let wanted = (to - from) / 8.0;
    let steps = [
        0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0,
    ];
    let step = steps
        .into_iter()
        .find(|step| *step >= wanted)
        .unwrap_or_else(|| (wanted / 3600.0).ceil().max(1.0) * 3600.0);
    let mut all = Vec::new();
    let mut at = (from / step).ceil() * step;
    while at <= to && all.len() < 40 {
        let whole = at.floor();
        let mut words = format!("{:.0}:{:02.0}", (whole / 60.0).floor(), whole % 60.0);
        if at > whole {
            let _ = write!(words, ".{:.0}", (at - whole) * 10.0);
        }
        all.push((at, words));
        at += step;
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(at_s: f64, value: f64) -> Step {
        Step {
            at_s,
            least: value,
            most: value,
        }
    }

    fn one(steps: Vec<Step>) -> Curves {
        Curves {
            title: "drive <1>".to_owned(),
            to_s: 100.0,
            panes: vec![Pane {
                name: "boost".to_owned(),
                unit: "kPa".to_owned(),
                lines: vec![Line {
                    name: "actual".to_owned(),
                    steps,
                }],
                ..Pane::default()
            }],
            ..Curves::default()
        }
    }

    #[test]
    fn a_gap_in_the_figures_is_a_gap_in_the_line() {
        let mut steps: Vec<Step> = (0..20).map(|at| step(f64::from(at), 1.0)).collect();
        steps.extend((60..80).map(|at| step(f64::from(at), 2.0)));
        let svg = curves_svg(&[one(steps)]);
        let line = svg.split("class=\"line\" d=\"").nth(1).unwrap();
        assert_eq!(line.split('"').next().unwrap().matches('M').count(), 2, "{svg}");
    }

    #[test]
    fn two_drives_have_one_scale_and_names_are_written_safely() {
        let (small, large) = (
            one(vec![step(0.0, 1.0), step(100.0, 2.0)]),
            one(vec![step(0.0, 1.0), step(100.0, 40.0)]),
        );
        let scale = scale(&small.panes[0], &[small.clone(), large.clone()]);
        assert!(scale.1 > 40.0);
        let svg = curves_svg(&[small, large]);
        assert!(svg.contains("drive &lt;1&gt;") && !svg.contains("drive <1>"));
        assert_eq!(svg.matches("<g transform").count(), 2);
    }

    #[test]
    fn figures_at_the_side_are_round_and_few() {
        for (low, high) in [(0.0, 1.0), (82.3, 210.0), (-3.2, 0.4), (11.9, 14.6), (0.0, 5e5)] {
            let values = round_values(low, high);
            assert!((3..=5).contains(&values.len()), "{low} {high}: {values:?}");
            assert!(values.iter().all(|value| (low..=high).contains(value)));
        }
    }
}
