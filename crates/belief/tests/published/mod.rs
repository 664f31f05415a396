//! The published and computed nets of `references/`, read as they are needed by tests and by the bench.
#![allow(dead_code, reason = "each test program uses a part of it")]
#![allow(clippy::unwrap_used, reason = "the files belong to the repository")]

use belief::net::{BayesNet, NoisyOr, NoisyTest};
use serde_json::Value;

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

pub(crate) fn index(value: &Value) -> usize {
    usize::try_from(
        value
            .as_u64()
            .unwrap_or_else(|| panic!("expected an index, found {value}")),
    )
    .unwrap()
}

/// A net of tables, its nodes listed parents first.
pub(crate) fn bayes_net(nodes: &Value) -> BayesNet {
    let mut net = BayesNet::new();
    for node in list(nodes) {
        let parent = |name: &Value| net.variable(name.as_str().unwrap()).unwrap();
        let parents: Vec<usize> = list(&node["parents"]).iter().map(parent).collect();
        net.add(node["name"].as_str().unwrap(), &parents, &numbers(&node["yes"]))
            .unwrap();
    }
    net
}

/// One invented 30×20 case: what was read and what is known of it.
pub(crate) struct Case {
    pub(crate) name: String,
    pub(crate) net: NoisyOr,
    pub(crate) readings: Vec<(usize, bool)>,
    pub(crate) posterior: Vec<f64>,
    pub(crate) ln_evidence: f64,
}

impl Case {
    pub(crate) fn bad_readings(&self) -> usize {
        self.readings.iter().filter(|(_, positive)| *positive).count()
    }
}

/// The five cases of `noisy_or_30x20.json`.
pub(crate) fn noisy_or_cases() -> Vec<Case> {
    list(&reference("noisy_or_30x20.json")["cases"])
        .iter()
        .map(case)
        .collect()
}

fn case(case: &Value) -> Case {
    let test = |test: &Value| NoisyTest {
        leak: number(&test["leak"]),
        causes: list(&test["faults"])
            .iter()
            .map(index)
            .zip(numbers(&test["sens"]))
            .collect(),
    };
    Case {
        name: format!("k{}-seed{}", case["k"], case["seed"]),
        net: NoisyOr::new(
            numbers(&case["priors"]),
            list(&case["tests"]).iter().map(test).collect(),
        )
        .unwrap(),
        readings: list(&case["readings"])
            .iter()
            .map(|r| index(r) == 1)
            .enumerate()
            .collect(),
        posterior: numbers(&case["posterior"]),
        ln_evidence: number(&case["log_evidence"]),
    }
}
