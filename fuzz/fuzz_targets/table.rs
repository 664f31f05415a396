//! Any text as a table for the planner: never a panic, every finding on the text, a table only where no finding is an error,
//! JSON exactly where `serde_json` sees JSON. A table that comes out has a plan at once.

#![no_main]

use diag::Severity;
use fuzz::{check_findings, spoilt};
use libfuzzer_sys::fuzz_target;
use plan::{Table, read_table};

/// Invented: all that a table with repairs can have.
const REPAIRED: &str = r#"{
  "causes": [
    {"name": "hose split", "prior": 0.7, "repair": 20, "repair_setup": null},
    {"name": "valve sticks", "prior": 0.3, "repair": 9e1, "repair_setup": "cover off"}
  ],
  "tests": [
    {"name": "gauge", "cost": 5.5, "setup": "cover off", "positive": [0.95, 0.05]},
    {"name": "l\u00f6\"ok", "cost": 2, "setup": null, "positive": [1, 0]}
  ],
  "setups": [{"name": "cover off", "cost": 4}],
  "setup_mode": "one_at_a_time",
  "verify": 3,
  "wrong_cost": null
}"#;

/// Invented: a cause is named, at a cost if it is the wrong one.
const NAMED: &str = r#"{"causes": [{"name": "a", "prior": 0.2}, {"name": "b", "prior": 0.5}, {"name": "c", "prior": 0.3}],
"tests": [{"name": "t", "cost": 1, "positive": [0, 0, 1]}, {"name": "u", "cost": 2, "positive": [0.1, 0.9, 0.5]}], "wrong_cost": 30}"#;

fuzz_target!(|input: (bool, bool, u16, u8, &str)| {
    let (named, scale, at, length, patch) = input;
    let text = spoilt(if named { NAMED } else { REPAIRED }, at, length, patch);
    let (table, findings) = read_table("fuzzed.json", &text, scale);
    check_findings(&text, &findings);
    let failed = findings.iter().any(|finding| finding.severity == Severity::Error);
    assert_eq!(table.is_none(), failed, "{findings:?}");
    as_strict_as_serde(&text, findings.iter().map(|finding| finding.code));
    if let Some(table) = table {
        planned(&table);
    }
});

/// JSON is what `serde_json` takes for it, but for a byte order mark and for numbers beyond its own range.
fn as_strict_as_serde<'c>(text: &str, mut codes: impl Iterator<Item = &'c str> + Clone) {
    if text.starts_with('\u{feff}') || codes.clone().any(|code| code == "S004") {
        return;
    }
    let ours = codes.all(|code| code != "S001" && code != "S002");
    let theirs = serde_json::from_str::<serde_json::Value>(text);
    let minds = theirs.as_ref().is_err_and(|error| {
        let said = error.to_string();
        said.contains("number out of range") || said.contains("recursion limit")
    });
    assert!(ours == theirs.is_ok() || minds, "{text:?}: {theirs:?}");
}

/// The first plan costs what a plan can cost.
fn planned(table: &Table) {
    let Ok(sequence) = plan::sequence(table, &mut |_| false) else {
        return;
    };
    let (cost, bound) = (sequence.expected_cost, sequence.lower_bound);
    assert!(
        cost.is_finite() && cost >= 0.0 && bound >= 0.0,
        "{cost} {bound} of {table:?}"
    );
    // Sums of a few costs in another order, beside the largest of them.
    assert!(bound <= cost * (1.0 + 1e-9), "{cost} below {bound} of {table:?}");
}
