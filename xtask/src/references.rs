//! Every file of check values names its source first, stays small, and stands in the table of `references/README.md`.

use std::path::Path;

/// The largest file of check values, in bytes.
const LARGEST: usize = 500_000;

/// Findings for the files (name, text) of `references/`, given the text of its README.
pub(crate) fn check(files: &[(String, String)], readme: &str) -> Vec<String> {
    files
        .iter()
        .flat_map(|(name, text)| check_one(name, text, readme))
        .collect()
}

fn check_one(name: &str, text: &str, readme: &str) -> Vec<String> {
    let mut findings = Vec::new();
    let first = text.lines().next().unwrap_or_default();
    // A collection names the source of each of its members instead, within its first lines.
    let opening: String = text.lines().take(3).collect();
    let table = Path::new(name)
        .extension()
        .is_some_and(|extension| extension == "csv");
    let sourced = if table {
        first.starts_with("# source: ")
    } else {
        opening.contains("\"source\": \"")
    };
    if !sourced {
        findings.push(format!("references/{name}: does not name its source first"));
    }
    if text.len() > LARGEST {
        findings.push(format!(
            "references/{name}: {} bytes; {LARGEST} is the most",
            text.len()
        ));
    }
    if !readme.contains(&format!("`{name}`")) {
        findings.push(format!(
            "references/{name}: is not in the table of references/README.md"
        ));
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(name: &str, text: &str, readme: &str) -> usize {
        check(&[(name.into(), text.into())], readme).len()
    }

    #[test]
    fn a_sourced_and_listed_file_passes() {
        assert_eq!(found("a.csv", "# source: a standard\nx\n1\n", "| `a.csv` |"), 0);
        assert_eq!(
            found("a.json", "{\n\"source\": \"a standard\"}", "| `a.json` |"),
            0
        );
    }

    #[test]
    fn what_is_missing_is_found() {
        assert_eq!(found("a.csv", "x\n1\n", "| `a.csv` |"), 1);
        assert_eq!(found("a.json", "{}", "| `a.json` |"), 1);
        assert_eq!(found("a.csv", "# source: a standard\n", "| `b.csv` |"), 1);
        assert_eq!(
            found(
                "a.csv",
                &format!("# source: a\n{}", "1\n".repeat(300_000)),
                "`a.csv`"
            ),
            1
        );
    }
}
