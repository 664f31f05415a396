//! Runs the program as somebody at a terminal would, away from their settings.

#![allow(clippy::unwrap_used, reason = "tests")]
#![allow(dead_code, reason = "each test file uses its own share of this")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

/// What a command gave back.
#[derive(Debug)]
pub(crate) struct Given {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// A folder of its own for one test, empty.
#[derive(Debug)]
pub(crate) struct Desk(pub(crate) PathBuf);

impl Desk {
    pub(crate) fn new(name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        Self(folder)
    }

    pub(crate) fn put(&self, name: &str, text: impl AsRef<[u8]>) -> &Self {
        std::fs::write(self.0.join(name), text).unwrap();
        self
    }

    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_halfsplit"));
        command.args(arguments).current_dir(&self.0);
        command
            .env("XDG_CONFIG_HOME", self.0.join("config"))
            .env("HALFSPLIT_DATABASE", self.0.join("shop.db"))
            .env("COLUMNS", "100")
            .env_remove("NO_COLOR");
        command
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Given {
        let output = self.command(arguments).output().unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        Given {
            code: output.status.code().unwrap(),
            out: text(output.stdout),
            err: text(output.stderr),
        }
    }

    /// A command that must succeed and answer in JSON.
    pub(crate) fn json(&self, arguments: &[&str]) -> Value {
        let given = self.run(&[arguments, &["--json"]].concat());
        assert_eq!(given.code, 0, "{arguments:?}: {}", given.err);
        serde_json::from_str(&given.out).unwrap()
    }

    /// A command that must be refused: exit code `code`, nothing on standard output. Gives standard error.
    pub(crate) fn refused(&self, arguments: &[&str], code: i32) -> String {
        let given = self.run(arguments);
        assert_eq!(
            (given.code, given.out.as_str()),
            (code, ""),
            "{arguments:?}: {}",
            given.err
        );
        assert!(!given.err.is_empty(), "{arguments:?} is refused without a word");
        given.err
    }
}

/// An invented circuit without electrics: a pump draws through two hoses and a filter on an actuator with its flap.
pub(crate) const BENCH: &str = r#"[circuit]
title = "Invented: pump, filter, actuator"
codes = ["P0299"]
symptoms = ["weak below 2,000 rpm"]
invented = true

[part.pump]
kind = "vane pump"
swept = "120 cm3/rev ± 8 %"

[part.source-hose]
kind = "tube"
what = "hose from the pump to the filter"
bore = "3.5 mm"
length = "0.9 m"
from = "pump.inlet"
to = "filter.from"

[part.filter]
kind = "filter"

[part.signal-hose]
kind = "tube"
what = "hose to the actuator"
bore = "3.0 mm"
from = "filter.to"
to = "actuator.nipple"

[part.actuator]
kind = "diaphragm actuator"
rod = "flap.lever"

[part.flap]
kind = "wastegate flap"

[condition.idle]
what = "idling warm"
engine = "820 rpm ± 40 rpm"
minutes = 3

[access.cover]
what = "engine cover off"
minutes = 4

[reach]
"filter" = { minutes = 1, needs = ["cover"] }

[works]
check = "travel:actuator.rod@idle"
least = "7 mm"
"#;

/// The number at a path of keys.
pub(crate) fn number(value: &Value, key: &str) -> f64 {
    value[key]
        .as_f64()
        .unwrap_or_else(|| panic!("`{key}` is no number in {value}"))
}

/// The text at a key.
pub(crate) fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key]
        .as_str()
        .unwrap_or_else(|| panic!("`{key}` is no text in {value}"))
}

/// The list at a key.
pub(crate) fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key]
        .as_array()
        .unwrap_or_else(|| panic!("`{key}` is no list in {value}"))
}
