//! `halfsplit fleet`: hands on to the fleet program, which is built apart because its engine takes minutes to build.

use crate::case::Manner;
use crate::failure::Failure;
use crate::page::Answer;
use clap::Args;
use std::ffi::OsString;
use std::io::ErrorKind;
use std::path::PathBuf;
use std::process::Command;

/// Name of the program.
const PROGRAM: &str = "halfsplit-fleet";

/// What to hand on.
#[derive(Debug, Args)]
pub(crate) struct Fleet {
    /// What the fleet program is asked, as it stands: `screen FOLDER|URL`, `scheduler`, `executor`, `--help`
    #[arg(trailing_var_arg = true, allow_hyphen_values = true, value_name = "WHAT")]
    pub(crate) what: Vec<OsString>,
}

/// Runs it; its words and its exit code are the answer.
pub(crate) fn run(wanted: &Fleet, manner: Manner) -> Result<Answer, Failure> {
    let program = beside().unwrap_or_else(|| PathBuf::from(PROGRAM));
    let mut asked = Command::new(&program);
    asked.args(&wanted.what);
    if wanted.what.is_empty() {
        asked.arg("--help");
    }
    if manner.json && !wanted.what.iter().any(|word| word == "--json") {
        asked.arg("--json");
    }
    match asked.status() {
        Ok(status) if status.success() => Ok(Answer {
            out: String::new(),
            err: String::new(),
        }),
        Ok(status) => Err(Failure {
            code: status
                .code()
                .and_then(|code| u8::try_from(code).ok())
                .unwrap_or(1),
            text: String::new(),
        }),
        Err(error) if error.kind() == ErrorKind::NotFound => Err(Failure::could_not(
            format!("the fleet program `{PROGRAM}` is neither beside this one nor on the path"),
            Some(format!(
                "it is built apart, in some minutes: cargo build --release -p fleet --features engine\nthen put target/release/{PROGRAM} where this program lies"
            )),
        )),
        Err(error) => Err(Failure::could_not(
            format!("`{}` cannot be started: {error}", program.display()),
            None,
        )),
    }
}

/// The program in the folder of this one.
fn beside() -> Option<PathBuf> {
    let own = std::env::current_exe().ok()?;
    let name = format!("{PROGRAM}{}", std::env::consts::EXE_SUFFIX);
    own.parent()
        .map(|folder| folder.join(name))
        .filter(|program| program.is_file())
}
