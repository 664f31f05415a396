//! Whatever the text: no panic, every span inside it and between characters, a table only where no finding is an error, and
//! that table as its own documentation promises.
#![allow(clippy::unwrap_used, reason = "tests")]
#![allow(
    clippy::float_cmp,
    reason = "what is read is the very number that was written"
)]

use diag::{Diagnostic, Severity, Span};
use plan::{Table, read_table};
use proptest::prelude::*;
use serde_json::Value;

const GOOD: &str = r#"{
  "causes": [{"name": "split", "prior": 0.7, "repair": 20}, {"name": "sticks", "prior": 0.3, "repair": 9e1, "repair_setup": "lift"}],
  "tests": [{"name": "gauge", "cost": 5.5, "setup": "lift", "positive": [0.95, 0.05]}, {"name": "\u00e9", "cost": 2, "positive": [1, 0]}],
  "setups": [{"name": "lift", "cost": 4}], "setup_mode": "stays", "verify": 3, "wrong_cost": null
}"#;

fn sound(text: &str, table: Option<&Table>, findings: &[Diagnostic]) -> Result<(), TestCaseError> {
    let inside = |span: Span| span.start <= span.end && text.get(span.range()).is_some();
    for found in findings {
        prop_assert!(inside(found.span), "{found:?}");
        prop_assert!(found.others.iter().all(|other| inside(other.span)), "{found:?}");
        prop_assert!(
            found.message.chars().count() <= 80 && !found.message.contains('\n'),
            "{found:?}"
        );
        prop_assert!(plan::explain(found.code).is_some(), "{found:?}");
    }
    let errors = findings.iter().any(|found| found.severity == Severity::Error);
    prop_assert_eq!(errors, table.is_none());
    table.map_or(Ok(()), consistent)
}

fn consistent(table: &Table) -> Result<(), TestCaseError> {
    let sum: f64 = table.causes.iter().map(|cause| cause.prior).sum();
    // A rounding for each cause and each addition.
    prop_assert!((sum - 1.0).abs() <= 1e-15 * table.causes.len() as f64, "{sum}");
    let given = table.causes.iter().filter(|cause| cause.repair.is_some()).count();
    prop_assert!(given == 0 || given == table.causes.len());
    prop_assert!(given == 0 || table.wrong_cost.is_none());
    let setup = |index: Option<usize>| index.is_none_or(|index| index < table.setups.len());
    let cost = |cost: f64| cost.is_finite() && cost >= 0.0;
    for cause in &table.causes {
        prop_assert!(
            (0.0..=1.0).contains(&cause.prior) && cause.repair.is_none_or(cost) && setup(cause.repair_setup)
        );
    }
    for test in &table.tests {
        prop_assert_eq!(test.positive.len(), table.causes.len());
        prop_assert!(test.positive.iter().all(|chance| (0.0..=1.0).contains(chance)));
        prop_assert!(cost(test.cost) && setup(test.setup));
    }
    prop_assert!(table.setups.iter().all(|setup| cost(setup.cost)));
    prop_assert!(cost(table.verify) && table.wrong_cost.is_none_or(cost));
    Ok(())
}

fn survives(text: &str) -> Result<(), TestCaseError> {
    for scale in [false, true] {
        let (table, findings) = read_table("any.json", text, scale);
        sound(text, table.as_ref(), &findings)?;
    }
    as_strict_as_serde(text)
}

/// What is found to be JSON is what `serde_json` takes. It alone minds the depth of 128 and numbers beyond its own range.
fn as_strict_as_serde(text: &str) -> Result<(), TestCaseError> {
    let (_, findings) = read_table("any.json", text, false);
    if findings.iter().any(|found| found.code == "S004") || text.starts_with('\u{feff}') {
        return Ok(());
    }
    let ours = findings
        .iter()
        .all(|found| !["S001", "S002"].contains(&found.code));
    let theirs = serde_json::from_str::<Value>(text);
    let minds = theirs
        .as_ref()
        .is_err_and(|error| error.to_string().contains("number out of range"));
    prop_assert!(
        ours == theirs.is_ok() || minds,
        "{text:?}\n{theirs:?}\n{findings:#?}"
    );
    Ok(())
}

/// A good text with a few bytes' worth of it taken out, doubled or replaced.
fn mutated() -> impl Strategy<Value = String> {
    let edit = (
        0..GOOD.len(),
        0..30_usize,
        "[ -~é\\n\"\\[\\]{}:.,'/\\\\0-9\t\u{a0}]{0,4}",
    );
    proptest::collection::vec(edit, 1..5).prop_map(|edits| {
        let mut text = GOOD.to_owned();
        for (start, length, with) in edits {
            let start = text.floor_char_boundary(start);
            let end = text.ceil_char_boundary(start + length);
            text.replace_range(start..end, &with);
        }
        text
    })
}

/// Scraps of JSON in any order.
fn scraps() -> impl Strategy<Value = String> {
    let scraps = [
        "{",
        "}",
        "[",
        "]",
        ",",
        ":",
        "\"",
        "'",
        "\\",
        " ",
        "\n",
        "0",
        "1",
        "-",
        "+",
        ".5",
        "e9",
        "null",
        "true",
        "NaN",
        "//",
        "/*",
        "*/",
        "\"causes\"",
        "\"name\"",
        "\"prior\"",
        "\"tests\"",
        "\"a\"",
        "\\u00e9",
        "é",
        "\u{a0}",
        "\u{b}",
    ];
    proptest::collection::vec(proptest::sample::select(scraps.to_vec()), 0..24)
        .prop_map(|scraps| scraps.concat())
}

proptest! {
    #[test]
    fn any_text_is_survived(text in "\\PC{0,200}") {
        survives(&text)?;
    }

    #[test]
    fn scraps_are_survived(text in scraps()) {
        survives(&text)?;
    }

    #[test]
    fn a_mutated_table_is_survived(text in mutated()) {
        survives(&text)?;
    }

    /// Any table, written by `serde_json` with or without line breaks, comes out as it went in.
    #[test]
    fn what_is_written_is_read(
        priors in proptest::collection::vec(0.01..1.0_f64, 1..6),
        chances in proptest::collection::vec(0.0..=1.0_f64, 0..4),
        names in proptest::collection::vec("[a-z\"\\\\é]{1,5}", 1..6),
        cost in 0.0..1e6_f64,
        pretty in any::<bool>(),
    ) {
        let causes: Vec<Value> = priors.iter().enumerate()
            .map(|(index, prior)| serde_json::json!({"name": format!("{index}{}", names[index % names.len()]), "prior": prior}))
            .collect();
        let tests: Vec<Value> = chances.iter().enumerate()
            .map(|(index, chance)| serde_json::json!({"name": format!("t{index}"), "cost": cost, "positive": vec![chance; priors.len()]}))
            .collect();
        let value = serde_json::json!({"causes": causes, "tests": tests, "verify": cost});
        let text = if pretty { serde_json::to_string_pretty(&value).unwrap() } else { value.to_string() };
        let (table, findings) = read_table("written.json", &text, true);
        prop_assert!(findings.is_empty(), "{findings:#?}");
        let table = table.unwrap();
        let sum: f64 = priors.iter().sum();
        for (index, cause) in table.causes.iter().enumerate() {
            prop_assert_eq!(&cause.name, causes[index]["name"].as_str().unwrap());
            prop_assert_eq!(cause.prior, priors[index] / sum);
        }
        for (test, chance) in table.tests.iter().zip(&chances) {
            prop_assert!(test.cost == cost && test.positive.iter().all(|positive| positive == chance));
        }
        prop_assert_eq!(table.verify, cost);
    }
}

/// Every published or invented problem in `references/` is a table in this form, and is read as `serde_json` reads it.
#[test]
fn the_reference_tables_are_read() {
    let sequencing: Value =
        serde_json::from_str(include_str!("../../../references/sequencing.json")).unwrap();
    let examples: Value =
        serde_json::from_str(include_str!("../../../references/diagnosis_examples.json")).unwrap();
    let inputs = sequencing["cases"]
        .as_array()
        .unwrap()
        .iter()
        .map(|case| &case["input"]);
    let worked = ["sequencing", "repairs"];
    let worked = worked
        .iter()
        .flat_map(|key| examples[key].as_array().unwrap())
        .map(|case| &case["case"]);
    let mut read = 0;
    for value in inputs.chain(worked).filter(|value| !value.is_null()) {
        let (table, findings) = read_table("reference", &value.to_string(), false);
        assert!(findings.iter().all(|found| found.code == "S040"), "{findings:#?}");
        let table = table.unwrap();
        for (test, written) in table.tests.iter().zip(value["tests"].as_array().unwrap()) {
            let positive: Vec<f64> = written["positive"]
                .as_array()
                .unwrap()
                .iter()
                .map(|chance| chance.as_f64().unwrap())
                .collect();
            assert_eq!(
                (&test.positive, test.cost),
                (&positive, written["cost"].as_f64().unwrap())
            );
            assert_eq!(
                test.setup.map(|setup| table.setups[setup].name.as_str()),
                written["setup"].as_str()
            );
        }
        for (cause, written) in table.causes.iter().zip(value["causes"].as_array().unwrap()) {
            assert_eq!(cause.repair, written["repair"].as_f64());
            assert_eq!(
                cause.repair_setup.map(|setup| table.setups[setup].name.as_str()),
                written["repair_setup"].as_str()
            );
        }
        read += 1;
    }
    assert!(read >= 30, "only {read} tables");
}
