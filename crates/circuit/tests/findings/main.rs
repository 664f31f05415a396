//! One mistake at a time in a small circuit: its code, what is underlined, and the hint. Each mistake is found once and
//! leaves no echo.

#[path = "../common/mod.rs"]
mod common;
mod names;
mod parts;
mod states;

use circuit::read;
use common::{Row, SMALL, catalogue, expect, good};

/// Writes `to` in place of `from` in the small circuit; exactly this must be found.
fn check(from: &str, to: &str, expected: Row) {
    check_all(from, to, &[expected]);
}

fn check_all(from: &str, to: &str, expected: &[Row]) {
    assert_eq!(SMALL.matches(from).count(), 1, "{from:?} must be there once");
    let text = SMALL.replace(from, to);
    let file = read("test", &text, &catalogue());
    expect(&text, &file.findings, expected);
    let stops = file
        .findings
        .iter()
        .any(|found| found.severity == diag::Severity::Error);
    assert_eq!(
        file.circuit.is_none(),
        stops,
        "an error leaves no circuit, a warning does"
    );
}

/// A text with a numbered piece for each index.
fn numbered(count: usize, piece: impl Fn(usize) -> String) -> String {
    (0..count).map(piece).collect::<Vec<_>>().concat()
}

#[test]
fn the_small_circuit_is_good() {
    good(SMALL);
}

#[test]
fn syntax() {
    check(
        "title = \"small\"",
        "title = ",
        ("C001", "", "write the value in quotes: `key = \"value\"`"),
    );
    check(
        "title = \"small\"",
        "title = small",
        ("C001", "small", "write the value in quotes: `key = \"value\"`"),
    );
    check(
        "kind = \"tube\"",
        "kind = \"tube",
        ("C001", "", "close the text with the quote it began with"),
    );
    check(
        "bore = \"3 mm\"",
        "bore = \"3 mm\"\nbore = \"4 mm\"",
        (
            "C002",
            "bore",
            "give it another name, or join the two; for several values write a list in `[ ]`",
        ),
    );
    check(
        "[part.can]",
        "[part.hose]",
        (
            "C002",
            "hose",
            "give it another name, or join the two; for several values write a list in `[ ]`",
        ),
    );
}

#[test]
fn a_list_that_is_not_closed_is_found_three_times_at_most() {
    let text = SMALL.replace("needs = [\"cover\"] }", "needs = [\"cover\" }");
    let file = read("test", &text, &catalogue());
    assert!(file.circuit.is_none());
    assert!((1..=3).contains(&file.findings.len()), "{:#?}", file.findings);
    assert!(
        file.findings.iter().all(|found| found.code == "C001"),
        "{:#?}",
        file.findings
    );
}

#[test]
fn too_large() {
    let text = format!("{SMALL}\n#{}", "é".repeat(1 << 20));
    let file = read("test", &text, &catalogue());
    assert_eq!(file.findings.len(), 1);
    assert_eq!(file.findings[0].code, "C003");
}

#[test]
fn too_many_findings_are_counted_not_listed() {
    let many = numbered(500, |index| format!("x{index} = 1\n"));
    let text =
        format!("{SMALL}[circuit.x]\n").replace("title = \"small\"", &format!("title = \"small\"\n{many}"));
    let file = read("test", &text, &catalogue());
    assert_eq!(file.findings.len(), 201);
    let last = &file.findings[200];
    assert_eq!((last.code, last.message.as_str()), ("C005", "301 more findings"));
}
