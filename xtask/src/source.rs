//! Rules on the text of the Rust files: headers, lengths, unfinished places, and who may touch the world.
//!
//! They look at text, not at syntax: cheap, and wrong only where somebody goes out of their way to be misread.

use crate::files::Source;

/// A file above this length is more than one room can hold.
const LONGEST: usize = 500;

/// Only the program itself, the store and the bay read files, clock, environment or network: the bay listens, and keeps
/// certificate and paired devices beside the store. The rest is handed what it needs.
const WORLD: &[&str] = &[
    "std::fs",
    "std::env",
    "std::net",
    "std::process",
    "process::Command",
    "SystemTime",
];

/// When and under which new name something is written down is said where entries are made, and nowhere below.
const STAMPS: &[&str] = &["Timestamp::now", "Zoned::now", "now_v7"];

/// What must not stay in a committed file. Split, so that this file does not contain them.
const UNFINISHED: &[&str] = &[
    concat!("FIX", "ME"),
    concat!("todo", "!("),
    concat!("unimplemented", "!("),
    concat!("#[ig", "nore"),
];

/// Findings of every rule of this module.
pub(crate) fn check(sources: &[Source]) -> Vec<String> {
    sources.iter().flat_map(check_one).collect()
}

fn check_one(source: &Source) -> Vec<String> {
    let mut findings = Vec::new();
    findings.extend(header(source));
    findings.extend(length(source));
    findings.extend(world(source));
    findings.extend(unfinished(source));
    findings
}

/// A crate's door says in at least two lines what the room is for; any other file in at least one.
fn header(source: &Source) -> Option<String> {
    if !source.path.contains("/src/") || source.is_test() {
        return None;
    }
    let door = source.path.ends_with("/src/lib.rs") || source.path.ends_with("/src/main.rs");
    let least = if door { 2 } else { 1 };
    let lines = source
        .text
        .lines()
        .take_while(|line| line.starts_with("//!"))
        .filter(|line| line.len() > 4)
        .count();
    (lines < least).then(|| {
        format!(
            "{}: begins with {lines} lines of `//!`; {least} or more say what it is for",
            source.path
        )
    })
}

fn length(source: &Source) -> Option<String> {
    let lines = source.text.lines().count();
    let counted = source.path.starts_with("crates/") && source.path.contains("/src/");
    (counted && lines > LONGEST).then(|| format!("{}: {lines} lines; {LONGEST} is the most", source.path))
}

fn world(source: &Source) -> Vec<String> {
    let outside = [
        "crates/halfsplit/",
        "xtask/",
        "fuzz/",
        "crates/store/",
        "crates/bay/",
        "crates/fleet/",
        "crates/drive/",
    ];
    if outside.iter().any(|folder| source.path.starts_with(folder)) {
        return Vec::new();
    }
    let program = source.program();
    let stamps: &[&str] = if source.path.starts_with("crates/desk/") {
        &[]
    } else {
        STAMPS
    };
    let found = WORLD.iter().chain(stamps).filter(|word| program.contains(**word));
    found
        .map(|word| {
            format!(
                "{}: `{word}` belongs to the program, not to this room",
                source.path
            )
        })
        .collect()
}

fn unfinished(source: &Source) -> Vec<String> {
    let mut findings = Vec::new();
    for (number, line) in source.text.lines().enumerate() {
        for word in UNFINISHED.iter().filter(|word| line.contains(**word)) {
            findings.push(format!(
                "{}:{}: `{word}` is unfinished or switched off",
                source.path,
                number + 1
            ));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Findings for one made-up file with a proper header.
    fn found(path: &str, body: &str) -> Vec<String> {
        let text = format!("//! What this room is for.\n//! And what it does not do.\n{body}");
        check(&[Source {
            path: path.into(),
            text,
        }])
    }

    #[test]
    fn a_plain_file_passes() {
        assert!(found("crates/plan/src/lib.rs", "fn a() {}\n").is_empty());
    }

    #[test]
    fn a_door_without_a_header_is_found() {
        let bare = Source {
            path: "crates/plan/src/lib.rs".into(),
            text: "//! One line.\nfn a() {}\n".into(),
        };
        assert_eq!(check(&[bare]).len(), 1);
        let inner = Source {
            path: "crates/plan/src/tree.rs".into(),
            text: "fn a() {}\n".into(),
        };
        assert_eq!(check(&[inner]).len(), 1);
    }

    #[test]
    fn a_long_file_is_found() {
        assert!(found("crates/plan/src/lib.rs", &"\n".repeat(498)).is_empty());
        assert_eq!(found("crates/plan/src/lib.rs", &"\n".repeat(499)).len(), 1);
    }

    #[test]
    fn the_world_is_for_the_program_and_for_tests() {
        let body = "fn a() { std::fs::read(\"x\"); }\n";
        assert_eq!(found("crates/plan/src/a.rs", body).len(), 1);
        assert!(found("crates/halfsplit/src/a.rs", body).is_empty());
        assert!(found("crates/plan/tests/a.rs", body).is_empty());
        assert!(
            found(
                "crates/plan/src/a.rs",
                &format!("#[cfg(test)]\nmod tests {{ {body} }}\n")
            )
            .is_empty()
        );
        assert!(found("crates/plan/src/a.rs", "// std::fs is not used here\n").is_empty());
    }

    #[test]
    fn unfinished_places_are_found_in_tests_too() {
        for word in UNFINISHED {
            assert_eq!(
                found("crates/plan/tests/a.rs", &format!("{word}\n")).len(),
                1,
                "{word}"
            );
        }
    }
}
