//! Every package that may be compiled has a licence that `deny.toml` allows.
//!
//! Reads the SPDX expression of each package: `OR` offers a choice, `AND` asks for both, `WITH` belongs to its licence.
//! For machines without `cargo deny`; the list of licences is the same, so the two cannot drift apart.

use anyhow::{Result, anyhow};
use serde_json::Value;
use toml::de::{DeTable, DeValue};

/// Findings for packages of `cargo metadata` whose licence is missing or not allowed by the text of `deny.toml`.
pub(crate) fn check(metadata: &Value, deny: &str) -> Result<Vec<String>> {
    let allowed = allowed(deny)?;
    let mut findings = Vec::new();
    for package in metadata["packages"].as_array().into_iter().flatten() {
        let name = format!(
            "{} {}",
            package["name"].as_str().unwrap_or("?"),
            package["version"].as_str().unwrap_or("?")
        );
        match package["license"].as_str() {
            None => findings.push(format!("{name}: names no licence")),
            Some(text) if !is_allowed(text, &allowed) => {
                findings.push(format!("{name}: licence `{text}` is not allowed"));
            }
            Some(_) => {}
        }
    }
    Ok(findings)
}

/// The list `licenses.allow`.
fn allowed(deny: &str) -> Result<Vec<String>> {
    let table = DeTable::parse(deny).map_err(|error| anyhow!("deny.toml: {error}"))?;
    let licences = table
        .get_ref()
        .get("licenses")
        .and_then(|entry| entry.get_ref().as_table());
    let list = licences
        .and_then(|table| table.get("allow"))
        .and_then(|entry| entry.get_ref().as_array());
    let list = list.ok_or_else(|| anyhow!("deny.toml: no list `licenses.allow`"))?;
    let names = list.iter().filter_map(|entry| match entry.get_ref() {
        DeValue::String(name) => Some(name.to_string()),
        _ => None,
    });
    Ok(names.collect())
}

/// Whether the expression can be met with allowed licences alone. `/` is the old way to write `OR`.
fn is_allowed(expression: &str, allowed: &[String]) -> bool {
    let spaced = expression
        .replace('/', " OR ")
        .replace('(', " ( ")
        .replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut at = 0;
    any(&words, &mut at, allowed) && at == words.len()
}

fn any(words: &[&str], at: &mut usize, allowed: &[String]) -> bool {
    let mut met = all(words, at, allowed);
    while words.get(*at) == Some(&"OR") {
        *at += 1;
        met |= all(words, at, allowed);
    }
    met
}

fn all(words: &[&str], at: &mut usize, allowed: &[String]) -> bool {
    let mut met = one(words, at, allowed);
    while words.get(*at) == Some(&"AND") {
        *at += 1;
        met &= one(words, at, allowed);
    }
    met
}

fn one(words: &[&str], at: &mut usize, allowed: &[String]) -> bool {
    let Some(word) = words.get(*at) else { return false };
    *at += 1;
    if *word == "(" {
        let met = any(words, at, allowed);
        *at += 1;
        return met;
    }
    let mut name = (*word).to_owned();
    if words.get(*at) == Some(&"WITH") {
        name = format!("{name} WITH {}", words.get(*at + 1).unwrap_or(&""));
        *at += 2;
    }
    allowed.contains(&name)
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn check_expression(expression: &str, expected: bool) {
        let allowed = ["MIT", "Zlib", "Apache-2.0 WITH LLVM-exception", "Unicode-3.0"].map(String::from);
        assert_eq!(is_allowed(expression, &allowed), expected, "{expression}");
    }

    #[test]
    fn expressions_are_read_as_spdx_means_them() {
        check_expression("MIT", true);
        check_expression("MIT OR Apache-2.0", true);
        check_expression("MIT/Apache-2.0", true);
        check_expression("GPL-3.0 OR LGPL-3.0", false);
        check_expression("(MIT OR Apache-2.0) AND Unicode-3.0", true);
        check_expression("MIT AND GPL-2.0", false);
        check_expression("Zlib OR MIT AND GPL-2.0", true);
        check_expression("Apache-2.0 WITH LLVM-exception", true);
        check_expression("Apache-2.0", false);
        check_expression("", false);
        check_expression("(MIT", false);
    }

    #[test]
    fn a_package_without_a_licence_is_found() {
        let metadata = json!({"packages": [{"name": "a", "version": "1.0.0", "license": null}, {"name": "b", "version": "2.0.0", "license": "MIT"}]});
        let found = check(&metadata, "[licenses]\nallow = [\"MIT\"]\n").map_err(|error| error.to_string());
        assert_eq!(found, Ok(vec!["a 1.0.0: names no licence".to_owned()]));
        assert!(check(&metadata, "").is_err());
    }
}
