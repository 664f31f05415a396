//! Any text as a story about a shipped circuit: never a panic, every finding's span on the text, no story with an error in it.

#![no_main]

use std::sync::LazyLock;

use circuit::{Check, Circuit};
use diag::Severity;
use fuzz::{check_findings, spoilt};
use libfuzzer_sys::fuzz_target;

const CIRCUIT: &str = include_str!("../../circuits/vacuum-wastegate.toml");
const SOUND: &str = include_str!("../../stories/wastegate-gauge-low.toml");

static SHIPPED: LazyLock<(Circuit, Vec<Check>)> = LazyLock::new(|| {
    let file = circuit::read("vacuum-wastegate", CIRCUIT, physics::catalogue());
    let circuit = file
        .circuit
        .unwrap_or_else(|| panic!("the shipped circuit is not sound: {:#?}", file.findings));
    let checks = circuit::derive_checks(&circuit);
    (circuit, checks)
});

fuzz_target!(|input: (u16, u8, &str)| {
    let (at, length, patch) = input;
    let (circuit, checks) = &*SHIPPED;
    let text = spoilt(SOUND, at, length, patch);
    let file = circuit::read_story(&text, &[(circuit, checks)]);
    check_findings(&text, &file.findings);
    if file.story.is_none() {
        let failed = |finding: &diag::Diagnostic| finding.severity == Severity::Error;
        assert!(file.findings.iter().any(failed), "no story, and nothing says why");
    }
});
