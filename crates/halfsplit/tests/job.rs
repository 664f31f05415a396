//! Jobs as they happen: what is said of readings, and the demo from complaint to proven cause.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{BENCH, Desk, list, text};

fn desk(name: &str) -> Desk {
    let desk = Desk::new(name);
    desk.put("bench.toml", BENCH);
    desk
}

/// A pump that gives nothing at its own inlet, and a full vacuum one hose further: possible, if somebody misread.
#[test]
fn an_unlikely_reading_is_taken_and_called_odd() {
    let desk = desk("odd");
    let readings = [
        "--reading",
        "deadhead:pump.inlet@idle = 2 inHg",
        "--reading",
        "deadhead:filter.from@idle = 28 inHg",
        "--reading",
        "tee:filter.to@idle = 28 inHg",
        "--reading",
        "tee:actuator.nipple@idle = 28 inHg",
    ];
    let arguments = [&["suspects", "bench.toml"], &readings[..]].concat();
    assert_eq!(desk.json(&arguments)["odd_reading"], "deadhead:pump.inlet@idle");
    let given = desk.run(&arguments);
    assert!(
        given
            .out
            .contains("`deadhead:pump.inlet@idle` fits nothing else here"),
        "{}",
        given.out
    );
}

#[test]
fn what_is_read_is_explained() {
    let desk = desk("explained");
    let out = desk
        .run(&[
            "suspects",
            "bench.toml",
            "--reading",
            "tee:actuator.nipple@idle < 3 inHg",
        ])
        .out;
    // Lines are wrapped to the terminal.
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        out.contains("less than 3 inHg at actuator.nipple, teed in, idle: healthy there is"),
        "{out}"
    );
    assert!(out.contains("; against flap/"), "{out}");
    assert!(
        out.contains("Not proven. Do not buy a part on this yet."),
        "{out}"
    );
    assert!(out.contains("maker's service information"), "{out}");
}

/// Where something turns or burns, the caution stands before the step.
#[test]
fn cautions_stand_before_what_to_do() {
    let desk = desk("cautions");
    let out = desk
        .run(&[
            "suspects",
            "bench.toml",
            "--reading",
            "look:flap@off = no",
            "--reading",
            "jumper:actuator@off = 11 mm",
        ])
        .out;
    let card = &out[out.find("Next check:").unwrap()..];
    let running = card.contains("@idle");
    let (caution, step) = (card.find("CAUTION"), card.find("  do  ").unwrap());
    assert!(
        !running || caution.is_some_and(|caution| caution < step),
        "{card}"
    );
    assert!(running, "this job goes on at idle: {card}");
}

#[test]
fn close_suspects_are_named_with_the_check_that_tells() {
    let desk = desk("alike");
    let out = desk
        .run(&[
            "suspects",
            "bench.toml",
            "--reading",
            "tee:actuator.nipple@idle < 3 inHg",
        ])
        .out;
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        out.contains("I cannot tell source-hose/off and signal-hose/off apart yet"),
        "{out}"
    );
    let told = out.split("The cheapest check that would: ").nth(1).unwrap();
    // Upstream of the first hose the two differ: one leaves the pump a long way to the hole, the other none.
    assert!(
        told.starts_with("tee:") || told.starts_with("deadhead:"),
        "{told}"
    );
}

#[test]
fn the_demo_ends_with_a_proven_cause() {
    let desk = desk("demo");
    let given = desk.run(&["demo"]);
    assert_eq!(given.code, 0, "{}", given.err);
    let out = &given.out;
    for beat in [
        "invented",
        "P0299",
        "sea level",
        "1600 m",
        "cannot see a restriction",
        "CAUTION",
        "\n  Proven: ",
        "quoted",
    ] {
        assert!(out.contains(beat), "`{beat}` is missing:\n{out}");
    }
    for card in out.split("\nCheck ").skip(1) {
        let steps = card.find("\n  do  ").unwrap();
        assert!(
            card.rfind("CAUTION").is_none_or(|caution| caution < steps),
            "{card}"
        );
    }
    assert!(
        std::fs::read_to_string(desk.0.join("halfsplit-demo.svg"))
            .unwrap()
            .starts_with("<svg")
    );
}

#[test]
fn the_demo_finds_what_is_hidden() {
    let desk = desk("demo-json");
    let demo = desk.json(&["demo", "--out", "job.svg"]);
    assert_eq!(demo["invented"], true);
    assert_eq!(demo["leading"]["proven"], true, "{demo}");
    assert_eq!(list(&demo["leading"], "faults")[0], demo["hidden"]);
    assert!(list(&demo, "steps").len() <= 12);
    assert_eq!(text(&demo, "drawing"), "job.svg");
    assert!(demo["cost"].as_f64().unwrap() < demo["quoted"].as_f64().unwrap());
}
