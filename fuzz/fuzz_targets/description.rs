//! Any text as a circuit file: never a panic, every finding on the text, and a circuit only where no finding is an error.
//!
//! The checks that follow from an accepted circuit are derived too, since an author sees them next.

#![no_main]

use diag::Severity;
use fuzz::{check_findings, spoilt};
use libfuzzer_sys::fuzz_target;

const SOUND: &str = include_str!("../../circuits/vacuum-wastegate.toml");

fuzz_target!(|input: (u16, u8, &str)| {
    let (at, length, patch) = input;
    let text = spoilt(SOUND, at, length, patch);
    let file = circuit::read("fuzzed", &text, physics::catalogue());
    check_findings(&text, &file.findings);
    let failed = file
        .findings
        .iter()
        .any(|finding| finding.severity == Severity::Error);
    assert_eq!(file.circuit.is_none(), failed, "{:?}", file.findings);
    if let Some(circuit) = file.circuit {
        let mut ids: Vec<String> = circuit::derive_checks(&circuit)
            .iter()
            .map(|check| check.id.clone())
            .collect();
        ids.sort();
        assert!(
            ids.windows(2).all(|pair| pair[0] != pair[1]),
            "a check occurs twice: {ids:?}"
        );
    }
});
