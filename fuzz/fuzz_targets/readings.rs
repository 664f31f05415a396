//! Any text as a readings file of a shipped circuit: never a panic, every finding and every reading's span on the text.

#![no_main]

use std::sync::LazyLock;

use circuit::{Check, Circuit};
use diag::Severity;
use fuzz::{check_findings, spoilt};
use libfuzzer_sys::fuzz_target;

const CIRCUIT: &str = include_str!("../../circuits/vacuum-wastegate.toml");

const SOUND: &str = r#"altitude = "1600 m"
temperature = "25 °C"
[[reading]]
check = "CHECK"
value = "21.5 inHg"
instrument = "second gauge"
[[reading]]
check = "CHECK"
bound = "> 20 inHg"
[[reading]]
check = "CHECK"
answer = "yes"
"#;

/// The circuit, its checks, and a readings file that names some of them.
static SHIPPED: LazyLock<(Circuit, Vec<Check>, String)> = LazyLock::new(|| {
    let file = circuit::read("shipped", CIRCUIT, physics::catalogue());
    let circuit = file
        .circuit
        .unwrap_or_else(|| panic!("the shipped circuit is not sound: {:#?}", file.findings));
    let checks = circuit::derive_checks(&circuit);
    let mut text = SOUND.to_owned();
    for check in checks.iter().step_by(7) {
        text = text.replacen("\"CHECK\"", &format!("\"{}\"", check.id), 1);
    }
    (circuit, checks, text)
});

fuzz_target!(|input: (u16, u8, &str)| {
    let (at, length, patch) = input;
    let (circuit, checks, sound) = &*SHIPPED;
    let text = spoilt(sound, at, length, patch);
    let file = circuit::read_readings(&text, circuit, checks);
    check_findings(&text, &file.findings);
    let failed = file
        .findings
        .iter()
        .any(|finding| finding.severity == Severity::Error);
    assert_eq!(file.readings.is_none(), failed, "{:?}", file.findings);
    for reading in file.readings.iter().flat_map(|readings| &readings.readings) {
        assert!(text.get(reading.value_span.range()).is_some(), "{reading:?}");
        assert!(reading.check < checks.len(), "{reading:?}");
    }
});
