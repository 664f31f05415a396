//! The laws against published values, read from `references/`. Each file there names its source in its first line.
#![allow(clippy::unwrap_used, reason = "tests")]

mod atmosphere;
mod electric;
mod lines;
mod liquid;
mod networks;
mod openings;

/// A table of `references/`, row by row: its columns as text, the comment lines left out.
pub(crate) fn table(name: &str) -> Vec<csv::StringRecord> {
    let path = format!("{}/../../references/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap();
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    assert!(!rows.is_empty(), "{name} is empty");
    rows
}

/// Column `index` of a row as a number; `None` where the cell is empty.
pub(crate) fn cell(row: &csv::StringRecord, index: usize) -> Option<f64> {
    row.get(index)
        .filter(|text| !text.is_empty())
        .map(|text| text.parse().unwrap())
}

/// Asserts that `actual` lies within a share `tolerance` of `expected`, and says where it does not.
pub(crate) fn check(what: &str, actual: f64, expected: f64, tolerance: f64) {
    let error = if expected == 0.0 {
        actual
    } else {
        actual / expected - 1.0
    };
    assert!(
        error.abs() <= tolerance,
        "{what}: {actual} instead of {expected}, off by {error:e}"
    );
}
