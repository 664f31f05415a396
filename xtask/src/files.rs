//! Finds the Rust files of the workspace and the data files of `references/`, and says what each is for.
//!
//! Paths are relative to the workspace and use `/` everywhere, so that the rules are plain text comparisons.

use std::path::Path;

use anyhow::{Context, Result};

/// One Rust file of the workspace.
#[derive(Debug, Clone)]
pub(crate) struct Source {
    /// Path from the workspace's folder, with `/`.
    pub(crate) path: String,
    /// The whole text.
    pub(crate) text: String,
}

impl Source {
    /// A file that holds nothing but tests, or is run by them.
    pub(crate) fn is_test(&self) -> bool {
        self.path.contains("/tests/") || self.path.contains("/benches/") || self.path.ends_with("/tests.rs")
    }

    /// The text without comments and without the test module at its end: what the program consists of.
    pub(crate) fn program(&self) -> String {
        if self.is_test() {
            return String::new();
        }
        let before_tests = self
            .text
            .find("#[cfg(test)]\nmod ")
            .or_else(|| self.text.find("#[cfg(test)]\n#["));
        without_comments(&self.text[..before_tests.unwrap_or(self.text.len())])
    }
}

/// Drops `//` comments to the end of their line; a `//` inside a text literal (an address) is kept by its colon.
pub(crate) fn without_comments(text: &str) -> String {
    text.lines()
        .map(|line| match line.find("//") {
            Some(at) if !line[..at].ends_with(':') => &line[..at],
            _ => line,
        })
        .collect::<Vec<_>>()
        .join("\n")
}

/// All Rust files under `crates/`, `xtask/` and `fuzz/`, sorted by path.
pub(crate) fn sources(root: &Path) -> Result<Vec<Source>> {
    let mut found = Vec::new();
    for folder in ["crates", "xtask", "fuzz"] {
        let path = root.join(folder);
        if path.is_dir() {
            collect(root, &path, &mut found)?;
        }
    }
    found.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(found)
}

fn collect(root: &Path, folder: &Path, found: &mut Vec<Source>) -> Result<()> {
    for entry in std::fs::read_dir(folder).with_context(|| folder.display().to_string())? {
        let path = entry?.path();
        if path.is_dir() {
            if path.file_name().is_some_and(|name| name != "target") {
                collect(root, &path, found)?;
            }
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            let text = std::fs::read_to_string(&path).with_context(|| path.display().to_string())?;
            let relative = path
                .strip_prefix(root)
                .unwrap_or(&path)
                .to_string_lossy()
                .replace('\\', "/");
            found.push(Source { path: relative, text });
        }
    }
    Ok(())
}

/// Name and text of each data file in `references/`, sorted by name.
pub(crate) fn references(root: &Path) -> Result<Vec<(String, String)>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(root.join("references")).context("references")? {
        let path = entry?.path();
        if path
            .extension()
            .is_some_and(|extension| extension == "csv" || extension == "json")
        {
            let name = path
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            found.push((
                name,
                std::fs::read_to_string(&path).with_context(|| path.display().to_string())?,
            ));
        }
    }
    found.sort();
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_the_test_module_are_no_program() {
        let text = "let a = 1; // one\nlet url = \"http://x\";\n#[cfg(test)]\nmod tests { secret }\n";
        let source = Source {
            path: "crates/a/src/lib.rs".into(),
            text: text.into(),
        };
        assert_eq!(source.program(), "let a = 1; \nlet url = \"http://x\";");
    }

    #[test]
    fn files_of_tests_are_told_by_their_place() {
        let at = |path: &str| {
            Source {
                path: path.into(),
                text: String::new(),
            }
            .is_test()
        };
        assert!(at("crates/a/tests/story.rs") && at("crates/a/src/net/tests.rs"));
        assert!(!at("crates/a/src/contests.rs"));
    }
}
