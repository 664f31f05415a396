//! The house rules as code: `cargo run -p xtask -- tidy` checks what prose alone would let go stale.
//!
//! Each rule is a pure function from text to findings, tested on small made-up inputs; only this file and [`files`] touch
//! the disk and start `cargo`. A finding names the place and what to do about it.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a command line tool prints"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

use anyhow::{Context, Result, bail};
use serde_json::Value;

mod arrows;
mod files;
mod heavy;
mod licences;
mod references;
mod source;
mod unused;

const USAGE: &str = "usage: cargo run -p xtask -- <tidy | licences | licences-of-all>

  tidy      arrows between crates, headers, file lengths, unfinished places, unused dependencies,
            engines in the default build, sources of check values
  licences  every package the workspace compiles has a licence that deny.toml allows
  licences-of-all
            the same with every feature, for which all of them are fetched";

fn main() -> ExitCode {
    let task = std::env::args().nth(1);
    let findings = match task.as_deref() {
        Some("tidy") => tidy(),
        Some("licences") => check_licences(&["--locked"]),
        Some("licences-of-all") => check_licences(&["--locked", "--all-features"]),
        _ => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    match findings {
        Ok(findings) if findings.is_empty() => ExitCode::SUCCESS,
        Ok(findings) => {
            for finding in &findings {
                println!("{finding}");
            }
            println!("{} to put right", findings.len());
            ExitCode::FAILURE
        }
        Err(error) => {
            eprintln!("{error:#}");
            ExitCode::FAILURE
        }
    }
}

fn tidy() -> Result<Vec<String>> {
    let root = root();
    let own = metadata(&root, &["--no-deps"])?;
    let sources = files::sources(&root)?;
    let mut findings = arrows::check(&own);
    findings.extend(source::check(&sources));
    findings.extend(unused::check(&own, &root, &sources));
    let readme =
        std::fs::read_to_string(root.join("references/README.md")).context("references/README.md")?;
    findings.extend(heavy::check(&metadata(&root, &["--locked"])?));
    findings.extend(references::check(&files::references(&root)?, &readme));
    Ok(findings)
}

fn check_licences(of: &[&str]) -> Result<Vec<String>> {
    let root = root();
    let deny = std::fs::read_to_string(root.join("deny.toml")).context("deny.toml")?;
    licences::check(&metadata(&root, of)?, &deny)
}

/// The workspace's folder: one above this crate's.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .map(Path::to_path_buf)
        .unwrap_or_default()
}

fn metadata(root: &Path, more: &[&str]) -> Result<Value> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(["metadata", "--format-version", "1"])
        .args(more)
        .current_dir(root)
        .output()
        .context("could not start cargo metadata")?;
    if !output.status.success() {
        bail!(
            "cargo metadata: {}",
            String::from_utf8_lossy(&output.stderr).trim()
        );
    }
    serde_json::from_slice(&output.stdout).context("cargo metadata wrote something else than JSON")
}
