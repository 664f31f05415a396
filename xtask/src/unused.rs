//! Every dependency of a crate must occur in its sources.
//!
//! A plain search for the name: it finds what nobody uses, and needs no other tool.

use std::path::Path;

use serde_json::Value;

use crate::files::{Source, without_comments};

/// Findings for each dependency whose name no source of the crate mentions; those for tests may be named anywhere in it.
pub(crate) fn check(metadata: &Value, root: &Path, sources: &[Source]) -> Vec<String> {
    let mut findings = Vec::new();
    for package in metadata["packages"].as_array().into_iter().flatten() {
        let name = package["name"].as_str().unwrap_or_default();
        let manifest = Path::new(package["manifest_path"].as_str().unwrap_or_default());
        let folder = manifest
            .parent()
            .and_then(|folder| folder.strip_prefix(root).ok());
        let folder = folder
            .map(|folder| folder.to_string_lossy().replace('\\', "/") + "/")
            .unwrap_or_default();
        let own: Vec<&Source> = sources
            .iter()
            .filter(|source| source.path.starts_with(&folder))
            .collect();
        for dependency in package["dependencies"].as_array().into_iter().flatten() {
            let word = dependency["rename"]
                .as_str()
                .or(dependency["name"].as_str())
                .unwrap_or_default();
            let in_tests = dependency["kind"] == "dev";
            let used = own.iter().any(|source| {
                let text = if in_tests {
                    without_comments(&source.text)
                } else {
                    source.program()
                };
                mentions(&text, &word.replace('-', "_"))
            });
            if !used {
                let kind = if in_tests { "dev-dependency" } else { "dependency" };
                findings.push(format!("{name}: {kind} `{word}` is not used"));
            }
        }
    }
    findings
}

/// Whether `text` contains `word` as a whole word.
fn mentions(text: &str, word: &str) -> bool {
    let inside = |c: char| c.is_alphanumeric() || c == '_';
    text.match_indices(word).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + word.len()..].chars().next();
        !before.is_some_and(inside) && !after.is_some_and(inside)
    })
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn found(text: &str, dependency: &str, kind: Option<&str>) -> usize {
        let package = json!({
            "name": "plan", "manifest_path": "/house/crates/plan/Cargo.toml",
            "dependencies": [{"name": dependency, "kind": kind}],
        });
        let source = Source {
            path: "crates/plan/src/lib.rs".into(),
            text: text.into(),
        };
        check(&json!({"packages": [package]}), Path::new("/house"), &[source]).len()
    }

    #[test]
    fn a_named_dependency_is_used() {
        assert_eq!(found("use owo_colors::Style;", "owo-colors", None), 0);
        assert_eq!(found("use belief::Suspect;", "belief", None), 0);
    }

    #[test]
    fn a_comment_or_a_longer_word_does_not_use_it() {
        assert_eq!(found("// belief\nfn disbelief() {}", "belief", None), 1);
    }

    #[test]
    fn a_use_in_tests_alone_asks_for_a_dev_dependency() {
        let text = "#[cfg(test)]\nmod tests { use insta::assert_snapshot; }";
        assert_eq!(found(text, "insta", None), 1);
        assert_eq!(found(text, "insta", Some("dev")), 0);
    }
}
