//! How the program behaves at a terminal: first words, colours, pipes, remembered units.

#![allow(clippy::unwrap_used, reason = "tests")]

mod common;

use common::{BENCH, Desk};
use std::process::Stdio;

fn desk(name: &str) -> Desk {
    let desk = Desk::new(name);
    desk.put("bench.toml", BENCH);
    desk
}

#[test]
fn typed_alone_it_says_what_to_type_next() {
    let given = desk("alone").run(&[]);
    assert_eq!((given.code, given.err.as_str()), (0, ""));
    for next in ["halfsplit P0299", "halfsplit demo", "halfsplit circuits"] {
        assert!(given.out.contains(next), "{}", given.out);
    }
}

#[test]
fn a_code_typed_alone_lists_its_circuits() {
    let given = desk("code-alone").run(&["P0299"]);
    assert_eq!(given.code, 0, "{}", given.err);
    assert!(
        given.out.contains("halfsplit suspects vacuum-variable-geometry"),
        "{}",
        given.out
    );
}

#[test]
fn no_colours_where_there_is_no_terminal() {
    let desk = desk("colours");
    assert!(!desk.run(&["suspects", "bench.toml"]).out.contains('\u{1b}'));
    assert!(!desk.run(&["describe", "nothing.toml"]).err.contains('\u{1b}'));
}

#[test]
fn plain_characters_on_request() {
    let given = desk("ascii").run(&["suspects", "bench.toml", "--ascii"]);
    assert!(given.out.is_ascii(), "{}", given.out);
}

#[test]
fn nothing_is_wider_than_the_terminal() {
    let desk = desk("width");
    let output = desk
        .command(&["suspects", "bench.toml"])
        .env("COLUMNS", "72")
        .output()
        .unwrap();
    let out = String::from_utf8(output.stdout).unwrap();
    let ids = desk.json(&["describe", "bench.toml"]);
    let longest = ids["checks"]
        .as_array()
        .unwrap()
        .iter()
        .map(|check| check["id"].as_str().unwrap().len())
        .max()
        .unwrap();
    // A heading holds one id that is never broken, and its minutes.
    let most = 72.max(longest + 40);
    assert!(out.lines().all(|line| line.chars().count() <= most), "{out}");
}

#[test]
fn whoever_has_seen_enough_may_close_the_pipe() {
    let mut command = desk("pipe").command(&["describe", "bench.toml"]);
    let mut child = command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((output.status.code(), output.stderr.len()), (Some(0), 0));
}

#[test]
fn units_are_remembered() {
    let desk = desk("remembered");
    let unit = |more: &[&str]| {
        let arguments = [&["expect", "bench.toml", "--check", "tee:filter.from@idle"], more].concat();
        desk.json(&arguments)["unit"].as_str().unwrap().to_owned()
    };
    assert_eq!(desk.run(&["units"]).out, "trade\n");
    assert_eq!(unit(&[]), "inHg");
    let given = desk.run(&["units", "metric"]);
    assert!(given.code == 0 && given.out.contains("settings.txt"), "{given:?}");
    assert_eq!(desk.run(&["units"]).out, "metric\n");
    assert_eq!(unit(&[]), "kPa");
    assert_eq!(unit(&["--units", "si"]), "Pa");
}

#[test]
fn broken_settings_are_a_warning() {
    let desk = desk("broken-settings");
    std::fs::create_dir_all(desk.0.join("config/halfsplit")).unwrap();
    desk.put("config/halfsplit/settings.txt", "units = furlongs\n");
    let given = desk.run(&["units"]);
    assert_eq!((given.code, given.out.as_str()), (0, "trade\n"));
    assert!(
        given.err.starts_with("warning: ") && given.err.contains("settings.txt"),
        "{}",
        given.err
    );
}

#[test]
fn shells_and_manual_are_served() {
    let desk = desk("shells");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        assert!(
            desk.run(&["completions", shell]).out.contains("suspects"),
            "{shell}"
        );
    }
    let manual = desk.run(&["man"]).out;
    assert!(manual.starts_with(".ie") || manual.starts_with(".TH"), "{manual}");
    assert!(manual.contains("Exit codes"), "{manual}");
}
