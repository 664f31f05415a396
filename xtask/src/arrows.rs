//! Which room may use which: arrows point downward only.
//!
//! The table names what a room uses directly; it may also use whatever those hand on. Dependencies of tests are free.

use std::collections::BTreeSet;

use serde_json::Value;

/// Each room with the rooms right below it, lowest first; rooms not built yet already have their place.
const ROOMS: &[(&str, &[&str])] = &[
    ("quantity", &[]),
    ("diag", &[]),
    ("numerics", &[]),
    ("circuit", &["quantity", "diag"]),
    ("physics", &["circuit", "numerics"]),
    ("belief", &["physics"]),
    ("plan", &["belief"]),
    ("life", &["quantity", "numerics"]),
    ("job", &["plan", "life"]),
    ("store", &["job"]),
    ("drive", &["circuit", "numerics"]),
    ("draw", &["circuit"]),
    ("report", &["job", "draw"]),
    ("engine", &["plan", "life", "job", "drive", "draw", "report"]),
    ("desk", &["engine", "store"]),
    ("bay", &["desk"]),
    ("halfsplit", &["bay"]),
    ("fleet", &["drive", "draw"]),
];

/// Findings for every arrow of `cargo metadata --no-deps` that the table does not allow.
pub(crate) fn check(metadata: &Value) -> Vec<String> {
    let mut findings = Vec::new();
    for package in metadata["packages"].as_array().into_iter().flatten() {
        let name = package["name"].as_str().unwrap_or_default();
        let inside: Vec<&str> = inner_dependencies(package).collect();
        if name == "xtask" {
            findings.extend(
                inside
                    .iter()
                    .map(|other| format!("xtask: uses `{other}`, but stands outside the house")),
            );
            continue;
        }
        let Some(allowed) = allowed(name) else {
            findings.push(format!("{name}: not in the table of rooms (xtask/src/arrows.rs)"));
            continue;
        };
        for other in inside.into_iter().filter(|other| !allowed.contains(other)) {
            findings.push(format!(
                "{name}: may not use `{other}`; arrows point downward only"
            ));
        }
    }
    findings
}

/// Dependencies on crates of the workspace that are not for tests alone.
fn inner_dependencies(package: &Value) -> impl Iterator<Item = &str> {
    let dependencies = package["dependencies"].as_array().into_iter().flatten();
    dependencies
        .filter(|dependency| dependency["path"].is_string() && dependency["kind"] != "dev")
        .filter_map(|dependency| dependency["name"].as_str())
}

/// Everything below `room`, or `None` if the table does not know it.
fn allowed(room: &str) -> Option<BTreeSet<&'static str>> {
    let (_, direct) = ROOMS.iter().find(|(name, _)| *name == room)?;
    let mut below: BTreeSet<&'static str> = direct.iter().copied().collect();
    for &other in *direct {
        below.extend(allowed(other).unwrap_or_default());
    }
    Some(below)
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn check_one(name: &str, uses: &str, kind: Option<&str>) -> Vec<String> {
        let dependency = json!({"name": uses, "path": "somewhere", "kind": kind});
        check(&json!({"packages": [{"name": name, "dependencies": [dependency]}]}))
    }

    #[test]
    fn what_is_handed_on_may_be_used() {
        assert!(check_one("plan", "quantity", None).is_empty());
        assert!(check_one("halfsplit", "numerics", None).is_empty());
    }

    #[test]
    fn upward_and_sideward_arrows_are_found() {
        assert_eq!(
            check_one("circuit", "physics", None),
            ["circuit: may not use `physics`; arrows point downward only"]
        );
        assert_eq!(check_one("draw", "physics", None).len(), 1);
        assert_eq!(check_one("engine", "store", None).len(), 1);
    }

    #[test]
    fn tests_may_look_anywhere() {
        assert!(check_one("circuit", "physics", Some("dev")).is_empty());
        assert_eq!(check_one("circuit", "physics", Some("build")).len(), 1);
    }

    #[test]
    fn a_room_without_a_place_is_found() {
        assert_eq!(check_one("attic", "quantity", None).len(), 1);
        assert_eq!(check_one("xtask", "quantity", None).len(), 1);
    }

    #[test]
    fn no_room_lies_below_itself() {
        for (position, (name, direct)) in ROOMS.iter().enumerate() {
            for other in *direct {
                let below = ROOMS.iter().position(|(room, _)| room == other);
                assert!(below.is_some_and(|below| below < position), "{name} uses {other}");
            }
        }
    }
}
