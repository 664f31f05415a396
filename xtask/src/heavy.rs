//! What takes minutes to build comes into no build by itself: only a feature that is asked for brings it in.

use serde_json::Value;

/// Packages that stay out, each with the feature that brings it in.
const HEAVY: &[(&str, &str)] = &[
    ("datafusion", "fleet/engine"),
    ("ballista", "fleet/engine"),
    ("arrow", "drive/parquet"),
    ("parquet", "drive/parquet"),
];

/// Findings for each of them in `cargo metadata` of the workspace with the features that it has by default.
pub(crate) fn check(metadata: &Value) -> Vec<String> {
    let nodes = metadata["resolve"]["nodes"].as_array();
    let names: Vec<&str> = nodes
        .into_iter()
        .flatten()
        .filter_map(|node| node["id"].as_str())
        .filter_map(name)
        .collect();
    if names.is_empty() {
        return vec!["cargo metadata: no package is resolved".to_owned()];
    }
    HEAVY
        .iter()
        .filter(|(heavy, _)| names.contains(heavy))
        .map(|(heavy, feature)| {
            format!("{heavy}: comes into the default build; only the feature {feature} may bring it in")
        })
        .collect()
}

/// `datafusion` of `registry+https://github.com/rust-lang/crates.io-index#datafusion@55.2.0`.
fn name(id: &str) -> Option<&str> {
    let (_, named) = id.rsplit_once('#')?;
    named.split_once('@').map(|(name, _)| name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn resolved(names: &[&str]) -> Value {
        let nodes: Vec<Value> = names
            .iter()
            .map(|name| json!({"id": format!("registry+https://example#{name}@1.0.0")}))
            .collect();
        json!({"resolve": {"nodes": nodes}})
    }

    #[test]
    fn an_engine_in_the_default_build_is_found() {
        assert!(check(&resolved(&["serde", "datafusion-common"])).is_empty());
        assert_eq!(check(&resolved(&["serde", "datafusion"])).len(), 1);
        assert_eq!(check(&json!({})).len(), 1);
    }
}
