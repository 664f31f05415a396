//! Problems out of the JSON files of `references/`.

use serde_json::Value;

use super::{Problem, Repair, Test};

/// A file of `references/`.
pub(crate) fn reference(file: &str) -> Value {
    let path = format!("{}/../../references/{file}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"))
}

pub(crate) fn list(value: &Value) -> &[Value] {
    value
        .as_array()
        .unwrap_or_else(|| panic!("expected a list, found {value}"))
}

pub(crate) fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("expected a number, found {value}"))
}

pub(crate) fn numbers(value: &Value) -> Vec<f64> {
    list(value).iter().map(number).collect()
}

/// Indices counted from 1, as people write orders.
pub(crate) fn counted_from_one(value: &Value) -> Vec<usize> {
    list(value)
        .iter()
        .map(|index| usize::try_from(index.as_u64().unwrap()).unwrap() - 1)
        .collect()
}

/// The entry of a list that is called `name`.
pub(crate) fn called<'v>(entries: &'v Value, name: &str) -> &'v Value {
    list(entries)
        .iter()
        .find(|entry| entry["name"] == name)
        .unwrap_or_else(|| panic!("no entry is called `{name}`"))
}

/// A table as `halfsplit sequence` reads it.
pub(crate) fn problem(table: &Value) -> Problem {
    let setups = list(&table["setups"]);
    let setup = |name: &Value| {
        let found = || setups.iter().position(|setup| &setup["name"] == name).unwrap();
        (!name.is_null()).then(found)
    };
    let causes = list(&table["causes"]);
    let test = |test: &Value| Test {
        cost: number(&test["cost"]),
        setup: setup(&test["setup"]),
        positive: numbers(&test["positive"]),
    };
    let repair = |(cause, entry): (usize, &Value)| {
        Some(Repair {
            cost: entry["repair"].as_f64()?,
            setup: setup(&entry["repair_setup"]),
            cures: vec![cause],
        })
    };
    Problem {
        priors: causes.iter().map(|cause| number(&cause["prior"])).collect(),
        tests: list(&table["tests"]).iter().map(test).collect(),
        repairs: causes.iter().enumerate().filter_map(repair).collect(),
        setups: setups.iter().map(|setup| number(&setup["cost"])).collect(),
        stays: table["setup_mode"] == "stays",
        verify: number(&table["verify"]),
        wrong_cost: table["wrong_cost"].as_f64(),
    }
}
