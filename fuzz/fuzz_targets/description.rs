//! Any text as a circuit file: never a panic, every finding on the text, and a circuit only where no finding is an error.
//!
//! Half of the sound texts are composed of kinds in an included file; which of the two files is spoilt, the input decides. The
//! checks that follow from an accepted circuit are derived too, since an author sees them next.

#![no_main]

use diag::Severity;
use fuzz::{check_findings, spoilt};
use libfuzzer_sys::fuzz_target;

const SOUND: &str = include_str!("../../circuits/vacuum-wastegate.toml");
const COMPOSED: &str = include_str!("../../docs/two-stages.toml");
const KINDS: &str = include_str!("../../docs/kinds/vacuum-unit.toml");

fuzz_target!(|input: (u16, u8, u8, &str)| {
    let (at, length, which, patch) = input;
    let spoil = |mine: u8, base: &str| {
        if which % 3 == mine {
            spoilt(base, at, length, patch)
        } else {
            base.to_owned()
        }
    };
    let text = if which % 3 == 0 { spoil(0, SOUND) } else { spoil(1, COMPOSED) };
    let kinds = spoil(2, KINDS);
    let bundle = circuit::bundle("fuzzed", &text, &mut |name| match name {
        "kinds/vacuum-unit.toml" => Ok(kinds.clone()),
        _ => Err("there is no such file".to_owned()),
    });
    let file = bundle.read("fuzzed", physics::catalogue());
    check_findings(&bundle.source.text, &file.findings);
    for finding in &file.findings {
        let (source, alone) = bundle.source.alone(finding);
        check_findings(&source.text, &[alone]);
    }
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
