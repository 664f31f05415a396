//! What an author of circuits asks: a review, the drawing of what each check shows, which circuits there are for a code, a medium, a
//! complaint.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::Desk;
use serde_json::Value;

fn names(list: &Value) -> Vec<String> {
    list.as_array()
        .unwrap()
        .iter()
        .map(|row| row["name"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn a_review_in_words_and_as_json() {
    let desk = Desk::new("authors-review");
    let given = desk.run(&[
        "describe",
        "vacuum-wastegate",
        "--review",
        "--drawing",
        "shows.svg",
        "--ascii",
    ]);
    assert_eq!(given.code, 0, "{}", given.err);
    for heading in [
        "No check tells these apart",
        "No reading depends on",
        "Unusual for their kind",
        "What each check shows of each part",
    ] {
        assert!(given.out.contains(heading), "{heading}:\n{}", given.out);
    }
    assert!(
        given.out.is_ascii() && given.out.contains("Drawn in shows.svg"),
        "{}",
        given.out
    );
    let svg = std::fs::read_to_string(desk.0.join("shows.svg")).unwrap();
    assert!(svg.starts_with("<svg") && svg.contains("deadhead:pump.inlet@idle, pump: "));
    // The same to the last letter, whenever it is asked for.
    let again = desk.run(&["describe", "vacuum-wastegate", "--review", "--drawing", "-"]);
    assert_eq!(again.out, svg);

    let review = desk.json(&["describe", "vacuum-wastegate", "--review"]);
    let described = desk.json(&["describe", "vacuum-wastegate"]);
    let matrix = &review["sensitivity"];
    let count = |value: &Value| value.as_array().unwrap().len();
    assert_eq!(count(&matrix["checks"]), count(&described["checks"]));
    assert_eq!(count(&matrix["parts"]), count(&described["parts"]));
    assert!(
        matrix["values"]
            .as_array()
            .unwrap()
            .iter()
            .all(|row| count(row) == count(&described["parts"]))
    );
    assert!(
        review["idle_parameters"]
            .as_array()
            .unwrap()
            .contains(&Value::from("battery.voltage"))
    );
    // A drawing of nothing that was asked for.
    let given = desk.run(&["describe", "vacuum-wastegate", "--drawing", "x.svg"]);
    assert_eq!((given.code, given.out.as_str()), (2, ""));
}

#[test]
fn circuits_by_code_medium_and_complaint() {
    let desk = Desk::new("authors-circuits");
    let all = names(&desk.json(&["circuits"]));
    let vacuum = names(&desk.json(&["circuits", "--medium", "vacuum"]));
    assert!(
        vacuum.contains(&"vacuum-wastegate".to_owned()) && !vacuum.contains(&"starter-circuit".to_owned()),
        "{vacuum:?}"
    );
    let electric = names(&desk.json(&["circuits", "--medium", "Electric"]));
    assert!(electric.contains(&"starter-circuit".to_owned()) && electric.len() < all.len() + 1);
    let both = names(&desk.json(&["circuits", "--medium", "vacuum", "--medium", "electric"]));
    assert!(
        both.iter()
            .all(|name| vacuum.contains(name) && electric.contains(name))
    );
    let code = names(&desk.json(&["circuits", "--code", "p0299"]));
    assert!(
        code.contains(&"vacuum-wastegate".to_owned()) && code.len() < all.len(),
        "{code:?}"
    );
    let complaint = names(&desk.json(&["circuits", "--code", "P0299", "--symptom", "no power"]));
    assert!(!complaint.is_empty() && complaint.iter().all(|name| code.contains(name)));
    let none = desk.run(&["circuits", "--symptom", "sings at night"]);
    assert!(
        none.code == 0 && none.out.contains("No shipped circuit"),
        "{}",
        none.out
    );
    for wrong in [["--code", "P02"], ["--medium", "vacum"]] {
        let given = desk.run(&[&["circuits"], &wrong[..]].concat());
        assert_eq!((given.code, given.out.as_str()), (2, ""), "{wrong:?}");
    }
    assert!(
        desk.run(&["circuits", "--medium", "vacum"])
            .err
            .contains("did you mean `vacuum`?")
    );
    // Checking is of all of them.
    assert_eq!(desk.run(&["circuits", "--check", "--code", "P0299"]).code, 2);
}
