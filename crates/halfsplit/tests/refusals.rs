//! What is refused, with which words, and that standard output then holds nothing.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{BENCH, Desk};
use std::fs::File;

fn desk(name: &str) -> Desk {
    let desk = Desk::new(name);
    desk.put("bench.toml", BENCH);
    desk
}

#[test]
fn all_mistakes_of_a_circuit_at_once() {
    let desk = desk("broken-circuit");
    let broken = BENCH
        .replace("kind = \"filter\"", "kind = \"fliter\"")
        .replace("bore = \"3.5 mm\"", "bore = \"3.5 V\"")
        .replace("to = \"filter.from\"", "to = \"filter.frm\"")
        .replace("minutes = 4", "minuts = 4");
    desk.put("broken.toml", broken);
    insta::assert_snapshot!(desk.refused(&["describe", "broken.toml"], 2));
}

#[test]
fn all_mistakes_of_a_readings_file_at_once() {
    let desk = desk("broken-readings");
    desk.put(
        "job.toml",
        r#"altitude = "1600 m"

[[reading]]
check = "deadhed:filter.from@idle"
value = "21 inHg"

[[reading]]
check = "tee:filter.from@idle"
value = "12.4 V"

[[reading]]
check = "tee:actuator.nipple@idle"
value = "14"

[[reading]]
check = "look:pump@off"
value = "3 mm"
"#,
    );
    insta::assert_snapshot!(desk.refused(&["suspects", "bench.toml", "--readings", "job.toml"], 2));
}

/// 40 CFR 86.1803-01: at 1620 m the barometer stands at 83.3 kPa, which is 24.6 inHg.
#[test]
fn a_vacuum_deeper_than_the_barometer_is_refused() {
    let desk = desk("impossible");
    let reading = ["--reading", "deadhead:pump.inlet@idle = 30 inHg"];
    let high = [
        "suspects",
        "bench.toml",
        "--altitude",
        "1600 m",
        reading[0],
        reading[1],
    ];
    insta::assert_snapshot!(desk.refused(&high, 2));
    let low = desk.run(&["suspects", "bench.toml", reading[0], reading[1]]);
    assert_eq!(low.code, 0, "at sea level a gauge may show it: {}", low.err);
}

#[test]
fn arguments_are_shown_with_the_culprit_underlined() {
    let desk = desk("arguments");
    let refused = |more: &[&str]| desk.refused(&[&["expect", "bench.toml"], more].concat(), 2);
    let check = ["--check", "tee:filter.from@idle"];
    let mut all = String::new();
    for more in [
        &["--check", "tea:filter.from@idle"][..],
        &["--check", "ohms:filter.from@idle"],
        &[check[0], check[1], "--fault", "source-hose/leeks"],
        &[check[0], check[1], "--fault", "source-hose/leaks=0.5 V"],
        &[check[0], check[1], "--fault", "source-hose/off=0.5 mm"],
        &[
            check[0],
            check[1],
            "--fault",
            "pump/worn",
            "--fault",
            "pump/not driven",
        ],
        &[check[0], check[1], "--altitude", "1600"],
        &[check[0], check[1], "--altitude", "16000 m"],
    ] {
        all.push_str(&refused(more));
    }
    all.push_str(&desk.refused(&["suspects", "bench.toml", "--reading", "look:pump@off"], 2));
    insta::assert_snapshot!(all);
}

#[test]
fn a_code_leads_to_its_circuits() {
    let desk = desk("code");
    for command in ["describe", "suspects", "draw"] {
        let err = desk.refused(&[command, "p0299"], 2);
        assert!(err.contains("`P0299` is a trouble code"), "{err}");
        assert!(
            err.contains(&format!("halfsplit {command} vacuum-variable-geometry\n")),
            "{err}"
        );
    }
    let err = desk.refused(&["suspects", "P0299", "--readings", "my job.toml"], 2);
    assert!(
        err.contains("halfsplit suspects vacuum-wastegate --readings 'my job.toml'\n"),
        "{err}"
    );
    let err = desk.refused(&["suspects", "P3FFF"], 2);
    assert!(
        err.contains("no shipped circuit is known to set `P3FFF`"),
        "{err}"
    );
}

#[test]
fn a_misspelt_name_is_recognised() {
    let desk = desk("misspelt");
    assert!(
        desk.refused(&["describe", "vacum-wastegate"], 2)
            .contains("did you mean `vacuum-wastegate`?")
    );
    assert!(
        desk.refused(&["describe", "gearbox"], 2)
            .contains("halfsplit circuits")
    );
    assert!(
        desk.refused(&["suspect"], 2)
            .contains("did you mean `halfsplit suspects`?")
    );
    assert!(
        desk.refused(&["vacuum-wastegate"], 2)
            .contains("halfsplit suspects vacuum-wastegate")
    );
    desk.refused(&["suspects"], 2);
    desk.refused(&["describe", "bench.toml", "--unknown"], 2);
}

#[test]
fn what_is_no_circuit_file_is_refused_by_name() {
    let desk = desk("no-file");
    // Sparse: it takes no room on the disk, and no time unless somebody reads it.
    File::create(desk.0.join("large.toml"))
        .unwrap()
        .set_len(100 << 20)
        .unwrap();
    desk.put("empty.toml", " \n")
        .put("binary.toml", [b'a', 0, 1, 2])
        .put("latin.toml", [b't', 0xe9, b'x']);
    std::fs::create_dir(desk.0.join("folder.toml")).unwrap();
    for (file, words) in [
        ("large.toml", "`large.toml` is larger than any circuit file"),
        ("empty.toml", "`empty.toml` is empty"),
        ("binary.toml", "`binary.toml` is not text: byte 2 is zero"),
        ("latin.toml", "`latin.toml` is not UTF-8 text from byte 2 on"),
        ("folder.toml", "`folder.toml` is a folder"),
        ("missing.toml", "there is no circuit file `missing.toml`"),
    ] {
        let err = desk.refused(&["suspects", file], 2);
        assert!(err.contains(words), "{file}: {err}");
        let err = desk.refused(&["suspects", "bench.toml", "--readings", file], 2);
        assert!(
            err.contains(&words.replace("circuit file", "readings file")),
            "{file}: {err}"
        );
    }
}

#[test]
fn what_cannot_be_written_is_no_bad_input() {
    let desk = desk("not-written");
    let err = desk.refused(&["draw", "bench.toml", "--out", "nowhere/bench.svg"], 1);
    assert!(err.contains("`nowhere/bench.svg` cannot be written"), "{err}");
}
