//! Reading a table for the planner: what comes out of a good one, and every finding with its place.
#![allow(clippy::unwrap_used, reason = "tests")]
#![allow(
    clippy::float_cmp,
    reason = "what is read is the very number that was written"
)]

use diag::{Diagnostic, Severity, Source};
use plan::{SetupMode, Table, read_table};
use std::fmt::Write;

/// An invented table with everything that one can have.
const GOOD: &str = r#"{
  "causes": [
    {"name": "hose split", "prior": 0.7, "repair": 20, "repair_setup": null},
    {"name": "valve sticks", "prior": 0.3, "repair": 90, "repair_setup": "cover off"}
  ],
  "tests": [
    {"name": "gauge", "cost": 5, "setup": "cover off", "positive": [0.95, 0.05]},
    {"name": "look", "cost": 2, "setup": null, "positive": [1, 0]}
  ],
  "setups": [{"name": "cover off", "cost": 4}],
  "setup_mode": "one_at_a_time",
  "verify": 3,
  "wrong_cost": null
}"#;

/// As little as will do.
const SMALL: &str =
    r#"{"causes": [{"name": "a", "prior": 0.25}, {"name": "b", "prior": 0.75}], "tests": []}"#;

fn good(text: &str) -> Table {
    let (table, findings) = read_table("table.json", text, false);
    assert_eq!(findings, [], "{text}");
    table.unwrap()
}

/// Findings as code, underlined text, and a part of what is said of it.
fn check(text: &str, expected: &[(&str, &str, &str)]) {
    let (table, findings) = read_table("table.json", text, false);
    let told: Vec<String> = findings.iter().map(|found| told(text, found)).collect();
    assert_eq!(findings.len(), expected.len(), "{text}\n{told:#?}");
    for (found, (code, culprit, said)) in findings.iter().zip(expected) {
        assert_eq!(
            (found.code, &text[found.span.range()]),
            (*code, *culprit),
            "{told:#?}"
        );
        assert!(
            self::told(text, found).contains(said),
            "`{said}` is not in {told:#?}"
        );
        assert!(plan::explain(found.code).is_some(), "{code}");
    }
    let errors = findings.iter().any(|found| found.severity == Severity::Error);
    assert_eq!(table.is_none(), errors, "{told:#?}");
}

/// A good table with one piece of it replaced.
fn check_with(piece: &str, other: &str, expected: &[(&str, &str, &str)]) {
    assert!(GOOD.contains(piece), "{piece}");
    check(&GOOD.replacen(piece, other, 1), expected);
}

/// A finding as the command line would show it, without the picture.
fn told(text: &str, found: &Diagnostic) -> String {
    let source = Source::new("table.json", text);
    let (line, column) = source.line_column(found.span.start);
    let mut shown = format!("{line}:{column} {} {}\n", found.code, found.message);
    write!(shown, "    `{}` {}", source.slice(found.span), found.label).unwrap();
    for other in &found.others {
        write!(shown, "\n    `{}` {}", source.slice(other.span), other.text).unwrap();
    }
    if let Some(hint) = &found.hint {
        write!(shown, "\n    hint: {hint}").unwrap();
    }
    shown
}

#[test]
fn everything_that_is_written_is_read() {
    let table = good(GOOD);
    assert!(table.repairs());
    assert_eq!(table.mode, SetupMode::OneAtATime);
    assert_eq!((table.verify, table.wrong_cost), (3.0, None));
    let [hose, valve] = &table.causes[..] else {
        panic!("{table:?}")
    };
    assert_eq!(
        (hose.name.as_str(), hose.prior, hose.repair, hose.repair_setup),
        ("hose split", 0.7, Some(20.0), None)
    );
    assert_eq!((valve.repair, valve.repair_setup), (Some(90.0), Some(0)));
    let [gauge, look] = &table.tests[..] else {
        panic!("{table:?}")
    };
    assert_eq!(
        (gauge.name.as_str(), gauge.cost, gauge.setup),
        ("gauge", 5.0, Some(0))
    );
    assert_eq!((&gauge.positive[..], look.setup), (&[0.95, 0.05][..], None));
    assert_eq!(
        (table.setups[0].name.as_str(), table.setups[0].cost),
        ("cover off", 4.0)
    );
}

#[test]
fn what_may_be_left_out_has_its_usual_value() {
    let table = good(SMALL);
    assert_eq!(
        (table.mode, table.verify, table.wrong_cost),
        (SetupMode::Stays, 0.0, None)
    );
    assert!(table.tests.is_empty() && table.setups.is_empty() && !table.repairs());
    let null = SMALL.replace(
        "\"tests\": []",
        "\"tests\": [], \"setups\": null, \"setup_mode\": null, \"verify\": null, \"wrong_cost\": null",
    );
    assert_eq!(good(&null), table);
}

/// RFC 8259, section 8.1: a reader may ignore a byte order mark. Section 7: escapes in names.
#[test]
fn marks_and_escapes_of_the_standard_are_read() {
    assert_eq!(good(&format!("\u{feff}{SMALL}")), good(SMALL));
    let escaped = good(&SMALL.replace("\"a\"", r#""\u00e9\n\ud83d\ude97\/""#));
    assert_eq!(escaped.causes[0].name, "é\n🚗/");
    check_with("\"hose split\"", "\"hose\tsplit\"", &[("S002", "\t", "a tab")]);
    let marked = format!("\u{feff}{}", SMALL.replace("0.25", "-0.25"));
    check(&marked, &[("S022", "-0.25", "negative")]);
}

#[test]
fn many_mistakes_are_found_in_one_pass() {
    let text = include_str!("common/wrong_table.json");
    let (table, findings) = read_table("wrong_table.json", text, false);
    assert!(table.is_none() && findings.is_sorted_by_key(|found| found.span));
    let shown: Vec<_> = findings.iter().map(|found| told(text, found)).collect();
    for found in &findings {
        assert!(
            found.message.chars().count() <= 80 && !found.message.ends_with('.'),
            "{}",
            found.message
        );
        assert!(plan::explain(found.code).is_some(), "{}", found.code);
    }
    insta::assert_snapshot!(shown.join("\n"));
}

#[test]
fn what_is_no_json_is_found_where_it_stops_being_so() {
    check("", &[("S001", "", "`table.json` holds no table")]);
    check("{\"causes\": [", &[("S001", "[", "close it with `]`")]);
    check("{\"causes\": [}", &[("S001", "}", "closed with `}`")]);
    check("{\"causes: []", &[("S001", "\"causes: []", "close it with `\"`")]);
    check(&format!("{SMALL} {{}}"), &[("S001", "{", "behind the end")]);
    check("{\"causes\": yes}", &[("S001", "yes", "without quotes")]);
    check("{\"causes\" []}", &[("S001", "[", "a colon is missing")]);
    check("[1,,2]", &[("S001", ",", "a value is missing")]);
    check("{\"causes\": -}", &[("S001", "}", "a digit is wanted")]);
    check(r#"{"causes": "\q"}"#, &[("S001", r"\q", "backslash")]);
    let large = format!("{SMALL}{} // remark", " ".repeat(1 << 20));
    check(&large, &[("S001", "// remark", "JSON has no comments")]);
    check(&"[".repeat(100_000), &[("S001", "[[", "too deep")]);
}

/// RFC 8259, sections 2, 4 to 7: what the grammar of JSON has no place for.
#[test]
fn what_other_notations_allow_is_found_beside_the_rest() {
    check_with(
        "\"verify\": 3",
        "/* minutes */ \"verify\": 3",
        &[("S002", "/* minutes */", "comment")],
    );
    check_with(
        "\"cost\": 4}]",
        "\"cost\": 4},]",
        &[("S002", ",", "behind the last")],
    );
    check_with(
        "\"repair\": 20,",
        "\"repair\": 20",
        &[("S002", "", "a comma is missing")],
    );
    check_with(
        "\"verify\"",
        "verify",
        &[("S002", "verify", "write `\"verify\"`")],
    );
    check_with("\"look\"", "'look'", &[("S002", "'look'", "single quotes")]);
    for number in ["+3", ".5", "5.", "0x10", "NaN", "-Infinity", "1.e3"] {
        check_with(
            "\"verify\": 3",
            &format!("\"verify\": {number}"),
            &[("S002", number, "not a JSON number")],
        );
    }
    check_with("[1, 0]", "[01]", &[("S002", "1", "does not begin with `0`")]);
    check_with(
        "\"verify\": 3,",
        "\"verify\": 3é: 4,",
        &[
            ("S002", "é", "run into one another"),
            ("S002", "é", "write `\"é\"`"),
            ("S011", "é", "unknown key `é`"),
        ],
    );
    check_with(
        "\"cost\": 2",
        "\u{a0}\"cost\": 2",
        &[("S002", "\u{a0}", "type a space")],
    );
}

#[test]
fn keys_are_known_needed_and_there_once() {
    check_with(
        "\"verify\"",
        "\"verfy\"",
        &[("S011", "\"verfy\"", "did you mean `verify`?")],
    );
    check_with(
        "\"verify\"",
        "\"minutes\"",
        &[("S011", "\"minutes\"", "known here: `causes`")],
    );
    check_with(
        "\"prior\": 0.7",
        "\"prio\": 0.7",
        &[("S011", "\"prio\"", "did you mean `prior`?")],
    );
    check_with(
        "\"prior\": 0.7, ",
        "",
        &[("S012", "{", "add for instance `\"prior\": 0.25`")],
    );
    check_with(
        "\"verify\"",
        "\"setups\": [], \"verify\"",
        &[("S013", "\"setups\"", "first here")],
    );
    check(
        "{}",
        &[
            ("S012", "{", "`causes` is missing"),
            ("S012", "{", "`tests` is missing"),
        ],
    );
}

#[test]
fn values_have_the_form_that_is_wanted() {
    check("[]", &[("S010", "[]", "the table must be an object")]);
    check("3", &[("S010", "3", "this is a number")]);
    check_with(
        "\"prior\": 0.7",
        "\"prior\": \"0.7\"",
        &[("S010", "\"0.7\"", "without quotes")],
    );
    check_with(
        "\"prior\": 0.7",
        "\"prior\": null",
        &[("S010", "null", "takes a number")],
    );
    check_with(
        "\"cost\": 5",
        "\"cost\": [1, 2]",
        &[("S010", "[", "this is a list")],
    );
    check_with("\"look\"", "7", &[("S010", "7", "takes a text")]);
    check_with("\"look\"", "\" \"", &[("S014", "\" \"", "is empty")]);
    check_with("[1, 0]", "{}", &[("S010", "{}", "takes a list")]);
    check_with("[1, 0]", "[1, true]", &[("S010", "true", "takes a number")]);
    check_with(
        "\"one_at_a_time\"",
        "\"one at a time\"",
        &[("S015", "\"one at a time\"", "did you mean `one_at_a_time`?")],
    );
}

#[test]
fn numbers_are_what_they_can_be() {
    check_with(
        "\"verify\": 3",
        "\"verify\": -0.5",
        &[("S022", "-0.5", "`verify` is negative")],
    );
    check_with(
        "\"cost\": 4",
        "\"cost\": -4",
        &[("S022", "-4", "`cost` is negative")],
    );
    check_with(
        "\"repair\": 20",
        "\"repair\": -20",
        &[("S022", "-20", "`repair` is negative")],
    );
    check_with(
        "\"cost\": 4",
        "\"cost\": 1e999",
        &[("S020", "1e999", "too large")],
    );
    check_with(
        "[1, 0]",
        "[1, 1.0001]",
        &[("S021", "1.0001", "the cause `valve sticks`")],
    );
    check_with("[1, 0]", "[-1e-9, 0]", &[("S021", "-1e-9", "outside 0 to 1")]);
    let zero = good(
        &GOOD
            .replace("[1, 0]", "[1, -0.0]")
            .replace("\"cost\": 2", "\"cost\": -0"),
    );
    assert!(zero.tests[1].positive[1].is_sign_positive() && zero.tests[1].cost.is_sign_positive());
}

#[test]
fn priors_sum_to_one_within_a_thousandth() {
    let with = |prior: &str| SMALL.replace("0.25", prior);
    for prior in ["0.249", "0.251", "0.2504"] {
        let table = good(&with(prior));
        let sum: f64 = table.causes.iter().map(|cause| cause.prior).sum();
        // Two priors divided by their sum: a rounding or two.
        assert!((sum - 1.0).abs() < 1e-15, "{prior}: {sum:e}");
        let ratio = table.causes[0].prior / table.causes[1].prior;
        assert!(
            (ratio - prior.parse::<f64>().unwrap() / 0.75).abs() < 1e-15,
            "{prior}: {ratio}"
        );
    }
    check(
        &with("0.2489"),
        &[("S023", "\"causes\"", "the priors sum to 0.9989, not to 1")],
    );
    check(&with("0.2511"), &[("S023", "\"causes\"", "`--scale-priors`")]);
    check(&with("12"), &[("S023", "\"causes\"", "sum to 12.75")]);
    check(&with("-12"), &[("S022", "-12", "`prior` is negative")]);
}

#[test]
fn ratios_are_scaled_on_request() {
    let scaled = |prior: &str| read_table("table.json", &SMALL.replace("0.25", prior), true);
    let (table, findings) = scaled("2.25");
    assert!(findings.is_empty());
    assert_eq!(table.unwrap().causes[1].prior, 0.25);
    let (none, findings) = read_table(
        "table.json",
        &SMALL.replace("0.25", "0").replace("0.75", "0"),
        true,
    );
    assert!(none.is_none() && findings[0].code == "S023", "{findings:?}");
    assert!(findings[0].message.contains("all zero"));
    let (least, _) = scaled("5e-324");
    assert_eq!(least.unwrap().causes[1].prior, 1.0);
}

#[test]
fn causes_and_names_are_told_apart() {
    check(r#"{"causes": [], "tests": []}"#, &[("S030", "[]", "no cause")]);
    check_with(
        "\"valve sticks\"",
        "\"hose split\"",
        &[("S031", "\"hose split\"", "two causes are called `hose split`")],
    );
    check_with("\"look\"", "\"gauge\"", &[("S031", "\"gauge\"", "two tests")]);
    check_with(
        "\"cost\": 4}",
        "\"cost\": 4}, {\"name\": \"cover off\", \"cost\": 1}",
        &[("S031", "\"cover off\"", "two set-ups")],
    );
}

#[test]
fn a_test_has_one_probability_for_each_cause() {
    check_with(
        "[1, 0]",
        "[1]",
        &[("S032", "]", "none is left for `valve sticks`")],
    );
    check_with("[1, 0]", "[1, 0, 0.5, 1]", &[("S032", "0.5", "2 too many")]);
    check_with("[1, 0]", "[]", &[("S032", "]", "needs 2 numbers and has 0")]);
}

#[test]
fn setups_are_those_that_are_listed_and_needed() {
    check_with(
        "\"setup\": \"cover off\"",
        "\"setup\": \"covr off\"",
        &[("S033", "\"covr off\"", "did you mean `cover off`?")],
    );
    check(
        r#"{"causes": [{"name": "a", "prior": 1}], "tests": [{"name": "t", "cost": 1, "setup": "lift", "positive": [1]}]}"#,
        &[("S033", "\"lift\"", "list it in `setups`")],
    );
    check_with(
        "\"cost\": 4}",
        "\"cost\": 4}, {\"name\": \"lift\", \"cost\": 9}",
        &[("S040", "\"lift\"", "nothing needs")],
    );
    check_with(
        "[{\"name\": \"cover off\", \"cost\": 4}]",
        "4",
        &[("S010", "4", "takes a list")],
    );
}

#[test]
fn all_causes_have_a_repair_or_none_has() {
    check_with(
        "\"repair\": 90",
        "\"repair\": null",
        &[
            ("S034", "\"causes\"", "give a `repair` to `valve sticks`"),
            ("S041", "\"repair_setup\"", "no repair"),
        ],
    );
    check_with(
        "\"wrong_cost\": null",
        "\"wrong_cost\": 50",
        &[("S035", "\"wrong_cost\"", "take all repairs out")],
    );
    check_with(
        "\"repair\": 90",
        "\"repiar\": 90",
        &[("S011", "\"repiar\"", "did you mean `repair`?")],
    );
    let named = good(&SMALL.replace("\"tests\"", "\"wrong_cost\": 50, \"tests\""));
    assert_eq!(named.wrong_cost, Some(50.0));
}

#[test]
fn too_many_findings_are_counted() {
    let tests: Vec<String> = (0..1000)
        .map(|test| format!(r#"{{"name": "t{test}", "cost": -1, "positive": [1]}}"#))
        .collect();
    let text = format!(
        r#"{{"causes": [{{"name": "a", "prior": 1}}], "tests": [{}]}}"#,
        tests.join(",")
    );
    let (_, findings) = read_table("table.json", &text, false);
    assert_eq!(findings.len(), 201);
    assert_eq!(
        (findings[200].code, findings[200].message.as_str()),
        ("S004", "800 more findings")
    );
}

/// More would only cost time.
#[test]
fn the_search_for_findings_ends() {
    let text = format!(
        r#"{{"causes": [{{"name": "a", "prior": 1}}], "tests": [{{"name": "t", "cost": 1, "positive": [{}1]}}]}}"#,
        "-1,".repeat(50_000)
    );
    let (_, findings) = read_table("table.json", &text, false);
    assert_eq!(findings.len(), 201);
    assert_eq!(findings[200].message, "at least 10000 more findings");
}

#[test]
fn what_is_too_large_is_not_read() {
    let (_, findings) = read_table("table.json", &format!("[{}0]", "0,".repeat(4_000_001)), false);
    assert_eq!((findings[0].code, findings.len()), ("S003", 1));
    let (_, findings) = read_table("table.json", &format!("[{}0]", "{},".repeat(200_001)), false);
    assert_eq!((findings[0].code, findings.len()), ("S003", 1));
    let causes: Vec<String> = (0..5001)
        .map(|cause| format!(r#"{{"name": "c{cause}", "prior": 1}}"#))
        .collect();
    let text = format!(r#"{{"causes": [{}], "tests": []}}"#, causes.join(","));
    let (table, findings) = read_table("table.json", &text, true);
    assert!(table.is_none());
    assert_eq!(
        (findings[0].code, findings.len(), findings[0].span.start),
        ("S003", 1, text.find("{\"name\": \"c5000\"").unwrap())
    );
    let (_, findings) = read_table("table.json", &" ".repeat((64 << 20) + 1), false);
    assert_eq!((findings[0].code, findings.len()), ("S003", 1));
}
