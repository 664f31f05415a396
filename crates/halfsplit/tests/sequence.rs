//! `halfsplit sequence`: the shape of its answer, that the plan it writes costs what it says, and what is refused.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{Desk, Given, list, number, text};
use serde::Deserialize;
use serde_json::{Value, json};
use std::fs::File;
use std::io::Write;
use std::process::Stdio;

/// An invented table with all that one can have.
const TABLE: &str = r#"{
  "causes": [
    {"name": "hose split", "prior": 0.5, "repair": 20},
    {"name": "valve sticks", "prior": 0.3, "repair": 90, "repair_setup": "cover off"},
    {"name": "pump worn", "prior": 0.2, "repair": 240, "repair_setup": "cover off"}
  ],
  "tests": [
    {"name": "gauge at the pump", "cost": 5, "setup": "cover off", "positive": [0.05, 0.05, 0.95]},
    {"name": "smoke", "cost": 8, "positive": [1, 0, 0]}
  ],
  "setups": [{"name": "cover off", "cost": 4}],
  "setup_mode": "stays",
  "verify": 3
}
"#;

/// Runs with `input` on standard input.
fn piped(desk: &Desk, arguments: &[&str], input: &str) -> Given {
    let mut command = desk.command(arguments);
    let piped = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = piped.spawn().unwrap();
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    Given {
        code: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// JSON of any depth.
fn deep(text: &str) -> Value {
    let mut reader = serde_json::Deserializer::from_str(text);
    reader.disable_recursion_limit();
    Value::deserialize(&mut reader).unwrap()
}

/// What a plan costs when it is followed: the definition of the contract, walked through for all causes at once.
struct Walk<'t> {
    table: &'t Value,
}

impl Walk<'_> {
    fn named<'v>(&'v self, key: &str, name: &Value) -> &'v Value {
        list(self.table, key)
            .iter()
            .find(|row| row["name"] == *name)
            .unwrap()
    }

    /// Cost of what `setup` asks for where `stands` is set up; then that stands too.
    fn set_up(&self, setup: &Value, stands: &mut Vec<String>) -> f64 {
        let Some(name) = setup
            .as_str()
            .filter(|name| !stands.iter().any(|stands| stands == name))
        else {
            return 0.0;
        };
        if self.table["setup_mode"] == "one_at_a_time" {
            stands.clear();
        }
        stands.push(name.to_owned());
        number(self.named("setups", setup), "cost")
    }

    /// Expected cost from here on, times the weight that is left in `weights`.
    fn cost(&self, tree: &Value, weights: &[f64], mut stands: Vec<String>) -> f64 {
        let all: f64 = weights.iter().sum();
        if let Some(test) = tree.get("test") {
            let test = self.named("tests", test);
            let once = number(test, "cost") + self.set_up(&test["setup"], &mut stands);
            let positive = list(test, "positive")
                .iter()
                .map(|chance| chance.as_f64().unwrap());
            let (positive, negative): (Vec<f64>, Vec<f64>) = weights
                .iter()
                .zip(positive)
                .map(|(weight, chance)| (weight * chance, weight * (1.0 - chance)))
                .unzip();
            return all * once
                + self.cost(&tree["positive"], &positive, stands.clone())
                + self.cost(&tree["negative"], &negative, stands);
        }
        if let Some(repair) = tree.get("repair") {
            let cause = self.named("causes", repair);
            let once = number(cause, "repair")
                + number(self.table, "verify")
                + self.set_up(&cause["repair_setup"], &mut stands);
            let names = list(self.table, "causes").iter().map(|cause| &cause["name"]);
            let left: Vec<f64> = weights
                .iter()
                .zip(names)
                .map(|(weight, name)| if name == repair { 0.0 } else { *weight })
                .collect();
            if tree["else"].is_null() {
                assert!(left.iter().sum::<f64>() < 1e-12, "not cured at the end: {left:?}");
                return all * once;
            }
            return all * once + self.cost(&tree["else"], &left, stands);
        }
        // Without repairs: naming the wrong cause is paid for; several may stand only where no test tells them apart.
        let said = list(tree, "causes");
        let right: f64 = list(self.table, "causes")
            .iter()
            .zip(weights)
            .filter(|(cause, _)| said.contains(&cause["name"]))
            .map(|(_, weight)| weight)
            .sum();
        if let Some(wrong) = self.table["wrong_cost"].as_f64() {
            return wrong * (all - right);
        }
        // What is left over by rounding a few products of probabilities.
        assert!(
            all - right < 1e-12,
            "causes that are possible are not named: {tree}"
        );
        0.0
    }
}

/// An answer keeps the contract, and its plan costs what it says.
fn keeps_the_contract(table: &Value, answer: &Value) {
    let keys: Vec<&str> = answer.as_object().unwrap().keys().map(String::as_str).collect();
    assert_eq!(keys, ["expected_cost", "lower_bound", "optimal", "tree"]);
    let priors: Vec<f64> = list(table, "causes")
        .iter()
        .map(|cause| number(cause, "prior"))
        .collect();
    let sum: f64 = priors.iter().sum();
    let walked = Walk { table }.cost(&answer["tree"], &priors, Vec::new()) / sum;
    let said = number(answer, "expected_cost");
    // Sums of some dozen costs in another order.
    assert!(
        (walked - said).abs() <= 1e-9 * said.max(1.0),
        "said {said}, walked {walked}"
    );
    assert!(number(answer, "lower_bound") <= said * (1.0 + 1e-9));
    assert!(answer["optimal"].is_boolean());
}

fn answered(desk: &Desk, table: &Value) -> Value {
    let given = piped(desk, &["sequence", "-", "--json"], &table.to_string());
    assert_eq!(given.code, 0, "{}", given.err);
    deep(&given.out)
}

/// Costs found by an exact program of its own, `references/scripts`: printed with six digits behind the point.
#[test]
fn the_reference_tables_are_planned_at_their_optimal_cost() {
    let desk = Desk::new("sequence-references");
    let all: Value = serde_json::from_str(include_str!("../../../references/sequencing.json")).unwrap();
    for case in list(&all, "cases") {
        let answer = answered(&desk, &case["input"]);
        keeps_the_contract(&case["input"], &answer);
        assert_eq!(answer["optimal"], true, "{case}");
        let error = number(&answer, "expected_cost") - number(case, "optimal_cost");
        assert!(error.abs() < 2e-6, "{error} at {case}");
    }
}

/// Six states and five tests of Pattipati and Alexandridis (1990), and the rule of probability over cost (Kadane and Simon
/// 1977), as `references/diagnosis_examples.json` has them.
#[test]
fn published_examples_are_planned() {
    let desk = Desk::new("sequence-examples");
    let all: Value =
        serde_json::from_str(include_str!("../../../references/diagnosis_examples.json")).unwrap();
    let six = &list(&all, "sequencing")[0];
    let answer = answered(&desk, &six["case"]);
    keeps_the_contract(&six["case"], &answer);
    assert!((number(&answer, "expected_cost") - 2.18).abs() < 1e-9);
    let ratio = &list(&all, "repairs")[0];
    let mut tree = &answered(&desk, &ratio["case"])["tree"];
    for cause in list(ratio, "order") {
        assert_eq!(text(tree, "repair"), format!("c{cause}"));
        tree = &tree["else"];
    }
    assert!(tree.is_null());
}

#[test]
fn what_may_be_left_out_may_be_left_out() {
    let desk = Desk::new("sequence-short");
    let table = json!({"causes": [{"name": "a", "prior": 0.25}, {"name": "b", "prior": 0.75}], "tests": []});
    let answer = answered(&desk, &table);
    assert_eq!(
        answer,
        json!({"expected_cost": 0.0, "lower_bound": 0.0, "optimal": true, "tree": {"causes": ["a", "b"]}})
    );
}

#[test]
fn a_plan_in_words() {
    let desk = Desk::new("sequence-words");
    desk.put("table.json", TABLE);
    let given = desk.run(&["sequence", "table.json"]);
    assert_eq!((given.code, given.err.as_str()), (0, ""));
    insta::assert_snapshot!(given.out);
    let table: Value = serde_json::from_str(TABLE).unwrap();
    keeps_the_contract(&table, &desk.json(&["sequence", "table.json"]));
    assert_eq!(piped(&desk, &["sequence", "-"], TABLE).out, given.out);
}

#[test]
fn a_cause_is_said_where_the_wrong_one_has_a_price() {
    let desk = Desk::new("sequence-said");
    let table = |wrong: f64| {
        json!({"causes": [{"name": "a", "prior": 0.9}, {"name": "b", "prior": 0.1}],
            "tests": [{"name": "t", "cost": 2, "positive": [0, 1]}], "wrong_cost": wrong})
        .to_string()
    };
    // 0.1 times the price against 2 for the test.
    let cheap = piped(&desk, &["sequence", "-"], &table(19.0)).out;
    assert_eq!(
        cheap,
        "Expected cost 1.9, proven optimal.\n\nNo test: say it is a.\n"
    );
    let dear = piped(&desk, &["sequence", "-"], &table(21.0)).out;
    assert!(
        dear.contains("Expected cost 2,") && dear.contains("positive: say it is b"),
        "{dear}"
    );
}

/// A reader of JSON may have a limit of its own; the plan has none.
#[test]
fn a_deep_plan_is_written_whole() {
    let desk = Desk::new("sequence-deep");
    let causes: Vec<Value> = (0..300)
        .map(|cause| json!({"name": format!("c{cause}"), "prior": 1.0 / 300.0, "repair": cause + 1}))
        .collect();
    let table = json!({"causes": causes, "tests": [], "verify": 0});
    desk.put("deep.json", table.to_string());
    let given = desk.run(&["sequence", "deep.json", "--nodes", "3", "--json"]);
    assert_eq!(given.code, 0, "{}", given.err);
    let answer = deep(&given.out);
    let mut tree = &answer["tree"];
    let mut order = Vec::new();
    while !tree.is_null() {
        order.push(text(tree, "repair"));
        tree = &tree["else"];
    }
    order.sort_unstable();
    order.dedup();
    assert_eq!(order.len(), 300);
    let words = desk.run(&["sequence", "deep.json", "--nodes", "3"]).out;
    assert!(words.contains("\n300  repair c"), "{words}");
}

#[test]
fn a_plan_that_is_not_proven_says_how_far_it_may_be() {
    let desk = Desk::new("sequence-gap");
    let all: Value =
        serde_json::from_str(include_str!("../../../references/diagnosis_examples.json")).unwrap();
    let table = &list(&all, "sequencing")[0]["case"];
    let given = piped(&desk, &["sequence", "-", "--time", "0"], &table.to_string());
    assert_eq!(given.code, 0, "{}", given.err);
    let first = given.out.lines().next().unwrap();
    assert!(
        first.contains("no plan costs less than") && first.contains("% above the best"),
        "{first}"
    );
    let answer = deep(
        &piped(
            &desk,
            &["sequence", "-", "--time", "0", "--json"],
            &table.to_string(),
        )
        .out,
    );
    keeps_the_contract(table, &answer);
    assert_eq!(answer["optimal"], false);
}

#[test]
fn what_looks_unintended_is_said_beside_the_plan() {
    let desk = Desk::new("sequence-warned");
    desk.put(
        "table.json",
        TABLE.replace("\"cost\": 4}", "\"cost\": 4}, {\"name\": \"lift\", \"cost\": 9}"),
    );
    let given = desk.run(&["sequence", "table.json"]);
    assert!(
        given.code == 0 && given.out.starts_with("Expected cost"),
        "{given:?}"
    );
    assert!(
        given
            .err
            .contains("warning[S040]: nothing needs the set-up `lift`")
            && given.err.contains("table.json:11:57"),
        "{}",
        given.err
    );
}

#[test]
fn all_mistakes_of_a_table_at_once() {
    let desk = Desk::new("sequence-mistakes");
    let wrong = TABLE
        .replace("\"prior\": 0.5", "\"prior\": 0.6")
        .replace("\"setup\": \"cover off\"", "\"setup\": \"covr off\"")
        .replace("[1, 0, 0]", "[1, 0]")
        .replace("\"stays\"", "\"stay\"")
        .replace("\"verify\": 3", "\"verify\": -3, // minutes");
    desk.put("wrong.json", wrong);
    insta::assert_snapshot!(desk.refused(&["sequence", "wrong.json"], 2));
}

#[test]
fn ratios_are_scaled_when_asked_for() {
    let desk = Desk::new("sequence-ratios");
    desk.put("ratios.json", TABLE.replace("\"prior\": 0.", "\"prior\": "));
    let err = desk.refused(&["sequence", "ratios.json"], 2);
    assert!(
        err.contains("the priors sum to 10, not to 1") && err.contains("--scale-priors"),
        "{err}"
    );
    desk.put("table.json", TABLE);
    let scaled = desk.json(&["sequence", "ratios.json", "--scale-priors"]);
    // Priors divided by ten in one way or the other.
    let difference =
        number(&scaled, "expected_cost") - number(&desk.json(&["sequence", "table.json"]), "expected_cost");
    assert!(difference.abs() < 1e-9, "{difference}");
}

/// Each uncertain test doubles the plan, and without a price all must be made.
#[test]
fn a_plan_that_could_not_be_written_down_is_not_looked_for() {
    let desk = Desk::new("sequence-long");
    let tests: Vec<Value> = (0..40)
        .map(|test| json!({"name": format!("t{test}"), "cost": 1, "positive": [0.3, 0.6]}))
        .collect();
    let mut table =
        json!({"causes": [{"name": "a", "prior": 0.5}, {"name": "b", "prior": 0.5}], "tests": tests});
    desk.put("long.json", table.to_string());
    let err = desk.refused(&["sequence", "long.json"], 1);
    assert!(err.contains("40 tests") && err.contains("`wrong_cost`"), "{err}");
    table["wrong_cost"] = json!(5);
    desk.put("long.json", table.to_string());
    let answer = desk.json(&["sequence", "long.json", "--nodes", "30"]);
    keeps_the_contract(&table, &answer);
}

#[test]
fn what_is_no_table_is_refused_by_name() {
    let desk = Desk::new("sequence-no-table");
    // Sparse: it takes no room on the disk, and no time unless somebody reads it.
    File::create(desk.0.join("large.json"))
        .unwrap()
        .set_len(100 << 20)
        .unwrap();
    desk.put("empty.json", " \n")
        .put("binary.json", [b'{', 0, 1])
        .put("latin.json", [b'"', 0xe9, b'"']);
    std::fs::create_dir(desk.0.join("folder.json")).unwrap();
    for (file, words) in [
        ("large.json", "`large.json` is larger than any table"),
        ("empty.json", "`empty.json` is empty"),
        ("binary.json", "`binary.json` is not text: byte 2 is zero"),
        ("latin.json", "`latin.json` is not UTF-8 text from byte 2 on"),
        ("folder.json", "`folder.json` is a folder"),
        ("missing.json", "there is no table `missing.json`"),
    ] {
        let err = desk.refused(&["sequence", file], 2);
        assert!(err.contains(words), "{file}: {err}");
    }
    let given = piped(&desk, &["sequence", "-"], "");
    assert_eq!((given.code, given.out.as_str()), (2, ""));
    assert!(given.err.contains("`standard input` is empty"), "{}", given.err);
    for time in ["-1", "soon", "inf", "NaN"] {
        let err = desk.refused(&["sequence", "missing.json", "--time", time], 2);
        assert!(err.contains("seconds"), "{err}");
    }
}

/// Five thousand findings in one line of some megabytes: shown in no time, with the columns of the whole line.
#[test]
fn mistakes_in_a_table_that_a_program_wrote_are_found_too() {
    let desk = Desk::new("sequence-one-line");
    let causes: Vec<Value> = (0..50)
        .map(|cause| json!({"name": format!("c{cause}"), "prior": 0.02}))
        .collect();
    let tests: Vec<Value> = (0..5000)
        .map(|test| json!({"name": format!("t{test}"), "cost": -1, "positive": vec![0.5; 50]}))
        .collect();
    let table = json!({"causes": causes, "tests": tests}).to_string();
    let column = table.find("-1").unwrap() + 1;
    desk.put("line.json", &table);
    let err = desk.refused(&["sequence", "line.json"], 2);
    assert!(
        err.contains(&format!("--> line.json:1:{column}\n")),
        "{}",
        &err[..1000]
    );
    assert!(err.contains("4800 more findings"), "{}", &err[err.len() - 1000..]);
    assert!(
        err.lines().all(|line| line.chars().count() < 200),
        "a line is too long for a terminal"
    );
}
