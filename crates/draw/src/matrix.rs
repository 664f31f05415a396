//! A table of shares drawn: rows, columns, and in each field how much. In the terminal as digits, as SVG as squares that grow: neither
//! needs colour.

use crate::words::{escaped, width};
use std::fmt::Write as _;

/// A table of shares from 0 to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Matrix {
    /// What it shows.
    pub title: String,
    /// A sentence that explains the fields.
    pub explained: String,
    /// Names of the rows.
    pub rows: Vec<String>,
    /// Names of the columns.
    pub columns: Vec<String>,
    /// Row after row.
    pub values: Vec<Vec<f64>>,
}

/// Side of a field in drawing units.
const FIELD: i32 = 20;
/// Height of letters.
const SIZE: i32 = 12;
const TITLE_SIZE: i32 = 16;
const MARGIN: i32 = 18;
/// A share below this is left empty: it would be a dot.
const LEAST: f64 = 0.05;
/// Every so many rows and columns a line helps the eye.
const GUIDE: usize = 5;

const STYLE: &str = "\
.matrix{color:#1d2127;font-family:system-ui,'DejaVu Sans','Segoe UI',Roboto,Arial,sans-serif}
.matrix .paper{fill:#fdfcf9}
.matrix text{fill:currentColor;font-size:12px}
.matrix .title{font-size:16px;font-weight:600}
.matrix .cell{fill:currentColor}
.matrix .guide{stroke:currentColor;stroke-opacity:.18}
.matrix .strong{stroke-opacity:.45}
@media (prefers-color-scheme:dark){.matrix{color:#e8e6e1}.matrix .paper{fill:#15191e}}
@media print{.matrix{color:#000}.matrix .paper{fill:#fff}}
";

/// The table as an SVG that stands alone.
pub fn matrix_svg(matrix: &Matrix) -> String {
    let widest = |names: &[String]| names.iter().map(|name| width(name, SIZE)).max().unwrap_or(0);
    let (labels, heads) = (widest(&matrix.rows), widest(&matrix.columns));
    let count = |names: &[String]| {
        i32::try_from(names.len())
            .unwrap_or(i32::MAX / FIELD)
            .min(i32::MAX / FIELD / 2)
    };
    let (columns, rows) = (count(&matrix.columns), count(&matrix.rows));
    let left = MARGIN + labels + 8;
    let top = MARGIN + TITLE_SIZE + 2 * SIZE + 10 + heads + 8;
    let text = width(&matrix.title, TITLE_SIZE).max(width(&matrix.explained, SIZE));
    let full = (left + columns * FIELD + MARGIN).max(text + 2 * MARGIN);
    let height = top + rows * FIELD + MARGIN;
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" class="matrix" viewBox="0 0 {full} {height}" width="{full}" height="{height}" role="img" aria-label="{0}">
<title>{0}</title>
<style>
{STYLE}</style>
<rect class="paper" width="{full}" height="{height}"/>
<text class="title" x="{MARGIN}" y="{1}">{0}</text>
<text x="{MARGIN}" y="{2}">{3}</text>
"#,
        escaped(&matrix.title),
        MARGIN + TITLE_SIZE,
        MARGIN + TITLE_SIZE + 2 * SIZE,
        escaped(&matrix.explained),
    );
    guides(&mut out, (left, top), (columns, rows));
    for (column, name) in (0..columns).zip(&matrix.columns) {
        let x = left + column * FIELD + FIELD / 2 + SIZE / 3;
        let y = top - 6;
        // Writing to a string cannot fail, here and below.
        let _ = writeln!(
            out,
            r#"<text transform="translate({x} {y}) rotate(-90)">{}</text>"#,
            escaped(name)
        );
    }
    for (row, (name, values)) in (0..rows).zip(matrix.rows.iter().zip(&matrix.values)) {
        let y = top + row * FIELD;
        let _ = writeln!(
            out,
            r#"<text x="{}" y="{}" text-anchor="end">{}</text>"#,
            left - 8,
            y + FIELD / 2 + SIZE / 3,
            escaped(name)
        );
        for (column, (value, part)) in (0..columns).zip(values.iter().zip(&matrix.columns)) {
            if *value >= LEAST {
                cell(
                    &mut out,
                    (left + column * FIELD, y),
                    *value,
                    &format!("{name}, {part}"),
                );
            }
        }
    }
    out.push_str("</svg>\n");
    out
}

/// Lines between the fields, every fifth stronger.
fn guides(out: &mut String, (left, top): (i32, i32), (columns, rows): (i32, i32)) {
    let class = |index: i32| if index % 5 == 0 { "guide strong" } else { "guide" };
    for column in 0..=columns {
        let (x, end) = (left + column * FIELD, top + rows * FIELD);
        let _ = writeln!(out, r#"<path class="{}" d="M{x} {top}V{end}"/>"#, class(column));
    }
    for row in 0..=rows {
        let (y, end) = (top + row * FIELD, left + columns * FIELD);
        let _ = writeln!(out, r#"<path class="{}" d="M{left} {y}H{end}"/>"#, class(row));
    }
}

/// A square whose area is the share of its field's.
fn cell(out: &mut String, (x, y): (i32, i32), value: f64, what: &str) {
    let side = f64::from(FIELD - 4) * value.clamp(0.0, 1.0).sqrt();
    let start = |at: i32| f64::from(at) + 0.5 * (f64::from(FIELD) - side);
    let _ = writeln!(
        out,
        r#"<rect class="cell" x="{:.1}" y="{:.1}" width="{side:.1}" height="{side:.1}"><title>{}: {:.0} %</title></rect>"#,
        start(x),
        start(y),
        escaped(what),
        100.0 * value
    );
}

/// The table for a terminal of `columns` characters: names of the columns upright, tenths as digits, `#` for all. Rows with nothing
/// in them are left out. What is too wide comes in several tables below one another.
pub fn matrix_text(matrix: &Matrix, columns: usize, ascii: bool) -> String {
    let filled = |values: &[f64]| values.iter().any(|value| *value >= LEAST);
    let rows: Vec<(&String, &Vec<f64>)> = matrix
        .rows
        .iter()
        .zip(&matrix.values)
        .filter(|(_, values)| filled(values))
        .collect();
    let labels = rows
        .iter()
        .map(|(name, _)| name.chars().count())
        .max()
        .unwrap_or(0);
    let room = (columns.saturating_sub(labels + 1) / 2).max(4);
    let mut out = String::new();
    for start in (0..matrix.columns.len()).step_by(room) {
        let end = (start + room).min(matrix.columns.len());
        if !out.is_empty() {
            out.push('\n');
        }
        heads(&mut out, &matrix.columns[start..end], labels);
        for (index, (name, values)) in rows.iter().enumerate() {
            if index > 0 && index % GUIDE == 0 {
                out.push('\n');
            }
            let fields: String = values[start..end]
                .iter()
                .flat_map(|value| [' ', letter(*value, ascii)])
                .collect();
            let _ = writeln!(out, "{}", format!("{name:<labels$}{fields}").trim_end());
        }
    }
    out
}

/// The names upright, their ends on one line.
fn heads(out: &mut String, names: &[String], labels: usize) {
    let tall = names.iter().map(|name| name.chars().count()).max().unwrap_or(0);
    for line in 0..tall {
        let letters = names.iter().flat_map(|name| {
            let blank = tall - name.chars().count();
            [
                ' ',
                line.checked_sub(blank)
                    .and_then(|at| name.chars().nth(at))
                    .unwrap_or(' '),
            ]
        });
        let letters: String = letters.collect();
        let _ = writeln!(out, "{}", format!("{:labels$}{letters}", "").trim_end());
    }
}

fn letter(value: f64, ascii: bool) -> char {
    if value < LEAST {
        return if ascii { '.' } else { '·' };
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from 1 to 10"
    )]
    let tenths = (value * 10.0).round().clamp(1.0, 10.0) as u32;
    char::from_digit(tenths, 10).unwrap_or('#')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn matrix() -> Matrix {
        Matrix {
            title: "What <each> shows".to_owned(),
            explained: "More is more.".to_owned(),
            rows: ["tee:a.b@idle", "nothing", "look:b@off"]
                .map(str::to_owned)
                .to_vec(),
            columns: ["pump", "hose-2", "x"].map(str::to_owned).to_vec(),
            values: vec![vec![1.0, 0.34, 0.0], vec![0.01, 0.0, 0.0], vec![0.0, 0.06, 0.949]],
        }
    }

    #[test]
    fn digits_under_upright_names() {
        let expected = "               h
               o
             p s
             u e
             m -
             p 2 x
tee:a.b@idle # 3 .
look:b@off   . 1 9
";
        assert_eq!(matrix_text(&matrix(), 80, true), expected);
    }

    #[test]
    fn what_is_too_wide_is_cut_between_columns() {
        let mut wide = matrix();
        wide.columns = (0..9).map(|index| format!("p{index}")).collect();
        wide.values = vec![vec![0.5; 9]; 3];
        let text = matrix_text(&wide, 26, true);
        assert!(text.lines().all(|line| line.chars().count() <= 26), "{text}");
        assert_eq!(text.matches("look:b@off").count(), 2, "{text}");
    }

    /// Area is share: the side of a quarter is half of the whole's.
    #[test]
    fn squares_grow_with_the_share_and_words_are_escaped() {
        let svg = matrix_svg(&matrix());
        assert_eq!(svg.matches("class=\"cell\"").count(), 4);
        assert!(svg.contains("width=\"16.0\"") && svg.contains("What &lt;each&gt; shows"));
        assert!(svg.contains("<title>tee:a.b@idle, hose-2: 34 %</title>"));
        let empty = Matrix {
            rows: Vec::new(),
            columns: Vec::new(),
            values: Vec::new(),
            ..matrix()
        };
        assert!(matrix_svg(&empty).ends_with("</svg>\n") && matrix_text(&empty, 40, false).is_empty());
    }
}
