//! The fleet program from the terminal: handed on to where it lies beside, and a helpful word where it does not.

#![allow(clippy::unwrap_used, reason = "tests")]
#![cfg(unix)]

use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A folder with the program in it and nothing else.
fn alone(name: &str) -> (PathBuf, PathBuf) {
    let folder = std::env::temp_dir().join(format!("halfsplit-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let program = folder.join("halfsplit");
    std::fs::copy(env!("CARGO_BIN_EXE_halfsplit"), &program).unwrap();
    (folder, program)
}

fn asked(program: &Path, words: &[&str]) -> Output {
    Command::new(program)
        .args(words)
        .env("PATH", "")
        .output()
        .unwrap()
}

#[test]
fn where_the_fleet_program_is_missing_it_is_said_how_to_get_it() {
    let (folder, program) = alone("no-fleet");
    let answer = asked(&program, &["fleet", "screen", "recordings"]);
    let told = String::from_utf8(answer.stderr).unwrap();
    assert_eq!(answer.status.code(), Some(1), "{told}");
    assert!(
        told.contains("cargo build --release -p fleet --features engine"),
        "{told}"
    );
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn words_and_exit_code_are_those_of_the_program_beside() {
    let (folder, program) = alone("fleet-beside");
    let beside = folder.join("halfsplit-fleet");
    std::fs::write(&beside, "#!/bin/sh\necho \"$@\"\n[ \"$1\" = screen ] || exit 3\n").unwrap();
    std::fs::set_permissions(&beside, std::fs::Permissions::from_mode(0o755)).unwrap();
    let answer = asked(&program, &["fleet", "screen", "recordings", "--rate", "0.001"]);
    assert_eq!(
        String::from_utf8(answer.stdout).unwrap(),
        "screen recordings --rate 0.001\n"
    );
    assert_eq!(answer.status.code(), Some(0));
    let answer = asked(&program, &["--json", "fleet", "other"]);
    assert_eq!(String::from_utf8(answer.stdout).unwrap(), "other --json\n");
    assert_eq!(answer.status.code(), Some(3));
    let answer = asked(&program, &["fleet", "--help"]);
    assert_eq!(String::from_utf8(answer.stdout).unwrap(), "--help\n");
    std::fs::remove_dir_all(folder).unwrap();
}
