//! The plan of a job as somebody at a terminal or another program calls it.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{BENCH, Desk, list, number, text};
use serde_json::Value;

fn desk(name: &str) -> Desk {
    let desk = Desk::new(name);
    desk.put("bench.toml", BENCH);
    desk
}

/// Every step has one of the three forms; branches share out what comes to their step.
fn check_step(step: &Value) {
    if step["check"].is_string() {
        let branches = list(step, "branches");
        let sum: f64 = branches.iter().map(|branch| number(branch, "probability")).sum();
        assert!((sum - number(step, "probability")).abs() < 1e-9, "{step}");
        for branch in branches {
            assert!(!text(branch, "reading").is_empty(), "{branch}");
            assert!(branch["suspects"].is_array(), "{branch}");
            check_step(&branch["then"]);
        }
        return;
    }
    assert!(
        step["replace"].is_string() || step["look_beyond"] == Value::Bool(true),
        "{step}"
    );
    assert!(
        number(step, "cures") <= number(step, "probability") + 1e-12,
        "{step}"
    );
    if !step["else"].is_null() {
        check_step(&step["else"]);
    }
}

#[test]
fn the_json_of_a_plan_is_the_contract() {
    let desk = desk("plan-json");
    for circuit in ["bench.toml", "vacuum-wastegate"] {
        let plan = desk.json(&["plan", circuit, "--nodes", "3"]);
        assert!(
            number(&plan, "lower_bound") <= number(&plan, "expected_cost"),
            "{circuit}"
        );
        assert!(number(&plan, "parts_first") > 0.0);
        check_step(&plan["steps"]);
    }
}

#[test]
fn readings_change_the_plan() {
    let desk = desk("plan-readings");
    desk.put(
        "job.toml",
        "[[reading]]\ncheck = \"deadhead:pump.inlet@idle\"\nvalue = \"27 inHg\"\n\
         [[reading]]\ncheck = \"deadhead:valve.source@idle\"\nvalue = \"8 inHg\"\n\
         [[reading]]\ncheck = \"look:source-line@off\"\nanswer = \"yes\"\n",
    );
    let before = desk.json(&["plan", "vacuum-wastegate", "--nodes", "30"]);
    let after = desk.json(&[
        "plan",
        "vacuum-wastegate",
        "--readings",
        "job.toml",
        "--nodes",
        "30",
    ]);
    assert!(number(&after, "expected_cost") < number(&before, "expected_cost"));
    let steps = after["steps"].to_string();
    for made in [
        "deadhead:pump.inlet@idle\"",
        "deadhead:valve.source@idle\"",
        "look:source-line@off\"",
    ] {
        assert!(!steps.contains(made), "{made} is planned again");
    }
}

#[test]
fn a_person_is_told_what_another_check_costs() {
    let desk = desk("plan-instead");
    let arguments = [
        "plan",
        "vacuum-wastegate",
        "--nodes",
        "5",
        "--instead",
        "look:pump@off",
    ];
    let plan = desk.json(&arguments);
    assert_eq!(text(&plan["instead"], "check"), "look:pump@off");
    let given = desk.run(&arguments);
    assert_eq!(given.code, 0, "{}", given.err);
    assert!(given.out.contains("instead   look:pump@off"), "{}", given.out);
}

#[test]
fn a_plan_is_told_with_its_figures_reasons_and_cautions() {
    let desk = desk("plan-text");
    // Enough for a first check.
    let given = desk.run(&["plan", "vacuum-wastegate", "--nodes", "30"]);
    assert_eq!(given.code, 0, "{}", given.err);
    for words in [
        "Expected",
        "At least",
        "Parts first",
        "Why ",
        "splits",
        "Steps\n1  ",
        "CAUTION",
        "service information",
    ] {
        assert!(given.out.contains(words), "{words}: {}", given.out);
    }
    let caution = given.out.find("CAUTION").unwrap();
    assert!(
        caution < given.out.find("   Put a").or(given.out.find("   Pull")).unwrap(),
        "the caution comes first"
    );
}

/// Nothing was looked at, so nothing is claimed of the checks.
#[test]
fn a_plan_without_time_claims_nothing_of_the_checks() {
    let desk = desk("plan-no-time");
    let given = desk.run(&["plan", "vacuum-wastegate", "--time", "0"]);
    assert_eq!(given.code, 0, "{}", given.err);
    assert!(!given.out.contains("Every check costs more"), "{}", given.out);
    assert!(given.out.contains("With more time"), "{}", given.out);
}

/// ISO 216: A4 is 210 mm by 297 mm.
#[test]
fn the_test_card_is_one_page() {
    let desk = desk("plan-card");
    for circuit in ["starter-circuit", "vacuum-variable-geometry"] {
        let given = desk.run(&["plan", circuit, "--nodes", "5", "--card", "-"]);
        assert_eq!(given.code, 0, "{}", given.err);
        let head = given.out.split('>').next().unwrap();
        assert!(
            head.contains("210mm") && head.contains("297mm"),
            "{circuit}: {head}"
        );
        assert!(!given.out.contains("href"), "{circuit}");
    }
    let given = desk.run(&["plan", "bench.toml", "--time", "0", "--card", "card.svg"]);
    assert!(given.out.contains("Test card in card.svg"), "{}", given.out);
    assert!(desk.0.join("card.svg").is_file());
    if cfg!(feature = "pdf") {
        desk.run(&["plan", "bench.toml", "--time", "0", "--card", "card.pdf"]);
        let written = std::fs::read(desk.0.join("card.pdf")).unwrap();
        assert!(written.starts_with(b"%PDF-"));
    }
}

#[test]
fn what_cannot_be_asked_is_refused() {
    let desk = desk("plan-refused");
    let check = |arguments: &[&str], told: &str| {
        let given = desk.run(&[&["plan"], arguments].concat());
        assert_eq!((given.code, given.out.as_str()), (2, ""), "{arguments:?}");
        assert!(given.err.contains(told), "{arguments:?}: {}", given.err);
    };
    check(&["vacuum-wastegat"], "did you mean `vacuum-wastegate`");
    check(
        &["vacuum-wastegate", "--instead", "look:pmp@off"],
        "did you mean `look:pump@off`",
    );
    check(&["vacuum-wastegate", "--json", "--card", "-"], "--card card.svg");
    check(&["vacuum-wastegate", "--time", "-1"], "seconds");
    check(&["vacuum-wastegate", "--time", "soon"], "seconds");
    check(&["vacuum-wastegate", "--readings", "none.toml"], "none.toml");
}
