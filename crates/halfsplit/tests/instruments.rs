//! The shop's own instruments at the prompt: kept with how right they are, and named with a reading.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::Desk;
use serde_json::{Value, json};

fn shop(desk: &Desk, arguments: &[&str]) -> Value {
    desk.json(&[&["shop", "--database", "shop.db"], arguments].concat())
}

fn job(desk: &Desk, arguments: &[&str]) -> Value {
    desk.json(&[&["job", "--database", "shop.db"], arguments].concat())
}

#[test]
fn a_reading_says_with_which_of_the_shops_instruments_it_was_taken() {
    let desk = Desk::new("own-instruments");
    let red = ["--instrument", "vacuum gauge: red one = class 1.6"];
    let meter = ["--instrument", "voltmeter: yellow = 0.5 % + 2 digits"];
    shop(&desk, &[&red[..], &meter, &["--altitude", "440"]].concat());
    let kept = shop(&desk, &["--instrument", "vacuum gauge: red one = class 4"]);
    assert_eq!(kept["altitude"], "440 m");
    assert_eq!(
        kept["instruments"],
        json!([
            {"sort": "vacuum gauge", "name": "red one", "accuracy": "class 4"},
            {"sort": "voltmeter", "name": "yellow", "accuracy": "0.5 % + 2 digits"}
        ]),
        "an instrument is there once, as it was said last"
    );

    job(&desk, &["new", "--circuit", "vacuum-wastegate", "--invented"]);
    job(
        &desk,
        &[
            "read",
            "1",
            "tee:valve.source@idle = 18.5 inHg",
            "--with",
            "Red One",
        ],
    );
    // A better one later: what was read with it then stays what it was then.
    shop(&desk, &["--instrument", "vacuum gauge: red one = class 0.6"]);
    job(
        &desk,
        &["read", "1", "tee:pump.inlet@idle = 21 inHg", "--with", "borrowed"],
    );
    let told = job(&desk, &["show", "1"]);
    let said: Vec<(&Value, &Value)> = told["readings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|reading| (&reading["instrument"], &reading["accuracy"]))
        .collect();
    assert_eq!(
        said,
        [
            (&json!("red one"), &json!("class 4")),
            (&json!("borrowed"), &Value::Null)
        ]
    );

    let left = shop(&desk, &["--drop-instrument", "red one"]);
    assert_eq!(left["instruments"].as_array().unwrap().len(), 1);
    assert!(
        desk.run(&["shop", "--database", "shop.db"])
            .out
            .contains("yellow: 0.5 % + 2 digits")
    );
}

#[test]
fn what_is_no_instrument_changes_nothing() {
    let desk = Desk::new("no-instruments");
    let before = shop(
        &desk,
        &["--currency", "EUR", "--instrument", "rule: steel one = 0.5 mm"],
    );
    for (wrong, told) in [
        ("gauge: red = class 1.6", "sorts: vacuum gauge"),
        ("vacuum gauge = class 1.6", "vacuum gauge: old one"),
        ("pressure gauge: red = class 1.6", "how far the dial goes"),
        ("voltmeter: red = class 1.6", "0.5 % + 2 digits"),
        ("rule: red = 2 V", "for instance"),
        ("rule: a = b = 1 mm", "no `=`"),
    ] {
        let arguments = [
            "shop",
            "--database",
            "shop.db",
            "--currency",
            "USD",
            "--instrument",
            wrong,
        ];
        let said = desk.refused(&arguments, 2);
        assert!(said.contains(told), "{wrong}: {said}");
    }
    let said = desk.refused(
        &["shop", "--database", "shop.db", "--drop-instrument", "steel"],
        2,
    );
    assert!(said.contains("steel one"), "{said}");
    assert_eq!(shop(&desk, &[]), before);
}
