//! Whatever the text: no panic, every span inside it and between characters, an error or a circuit but not both.

mod common;

use circuit::{Circuit, derive_checks, find_check, read, read_bytes, read_readings};
use common::{GOOD, SMALL, catalogue};
use diag::{Diagnostic, Severity, Span};
use proptest::prelude::*;

fn sound(text: &str, findings: &[Diagnostic], came_out: bool) -> Result<(), TestCaseError> {
    let inside = |span: Span| span.start <= span.end && text.get(span.range()).is_some();
    for found in findings {
        prop_assert!(inside(found.span), "{found:?}");
        prop_assert!(found.others.iter().all(|other| inside(other.span)), "{found:?}");
        prop_assert!(found.message.lines().count() == 1, "{found:?}");
    }
    let errors = findings.iter().any(|found| found.severity == Severity::Error);
    prop_assert_eq!(errors, !came_out);
    Ok(())
}

/// Every index leads somewhere, every joint's ports know it.
fn consistent(circuit: &Circuit) -> Result<(), TestCaseError> {
    for (index, joint) in circuit.joints.iter().enumerate() {
        prop_assert!(joint.ports.len() >= 2 && joint.name == circuit.port_name(joint.ports[0]));
        for port in &joint.ports {
            prop_assert_eq!(
                circuit.parts[port.part.0].joints[port.port].map(|joint| joint.0),
                Some(index)
            );
        }
    }
    for part in &circuit.parts {
        prop_assert_eq!(part.values.len(), part.kind.parameters.len());
        prop_assert_eq!(part.joints.len(), part.kind.ports.len());
        prop_assert_eq!(part.weights.len(), part.kind.faults.len());
        prop_assert!(
            part.weights
                .iter()
                .all(|weight| weight.is_finite() && *weight >= 0.0)
        );
        prop_assert!(
            part.values
                .iter()
                .all(|value| value.typical.is_finite() && value.spread >= 0.0)
        );
    }
    prop_assert_eq!(circuit.conditions[0].id.as_str(), "off");
    Ok(())
}

fn survives(text: &str) -> Result<(), TestCaseError> {
    let file = read("any", text, &catalogue());
    sound(text, &file.findings, file.circuit.is_some())?;
    file.circuit.as_ref().map_or(Ok(()), consistent)
}

/// A good text with a few bytes' worth of it taken out, doubled or replaced.
fn mutated(good: &'static str) -> impl Strategy<Value = String> {
    let edit = (0..good.len(), 0..40_usize, "[ -~é\\n\"\\[\\]={}.,±]{0,6}");
    proptest::collection::vec(edit, 1..6).prop_map(move |edits| {
        let mut text = good.to_owned();
        for (start, length, with) in edits {
            let start = text.floor_char_boundary(start);
            let end = text.ceil_char_boundary(start + length);
            text.replace_range(start..end, &with);
        }
        text
    })
}

/// A good text whose lines come in another order, some of them twice, some not at all.
fn shuffled(good: &'static str) -> impl Strategy<Value = String> {
    let lines: Vec<&str> = good.lines().collect();
    proptest::collection::vec(proptest::sample::select(lines), 0..60).prop_map(|lines| lines.join("\n"))
}

proptest! {
    #[test]
    fn any_text_is_survived(text in "\\PC{0,200}") {
        survives(&text)?;
    }

    #[test]
    fn a_mutated_file_is_survived(text in mutated(GOOD)) {
        survives(&text)?;
    }

    #[test]
    fn a_shuffled_file_is_survived(text in shuffled(GOOD)) {
        survives(&text)?;
    }

    #[test]
    fn any_bytes_are_survived(bytes in proptest::collection::vec(any::<u8>(), 0..100)) {
        prop_assert!(read_bytes("any", &bytes, &catalogue()).circuit.is_none());
    }

    #[test]
    fn mutated_readings_are_survived(text in mutated(READINGS)) {
        let circuit = common::good(SMALL);
        let checks = derive_checks(&circuit);
        let file = read_readings(&text, &circuit, &checks);
        sound(&text, &file.findings, file.readings.is_some())?;
        for entry in file.readings.iter().flat_map(|readings| &readings.readings) {
            prop_assert!(entry.check < checks.len());
        }
    }

    /// The order of the tables of a file changes no joint's ports, only which comes first.
    #[test]
    fn tables_may_come_in_any_order(order in Just(SMALL.split_inclusive('\n').collect::<Vec<_>>()), by in 1_usize..8) {
        let mut tables: Vec<String> = Vec::new();
        for line in order {
            if line.starts_with('[') { tables.push(String::new()); }
            if let Some(last) = tables.last_mut() { last.push_str(line); }
        }
        let turn = by % tables.len();
        tables.rotate_left(turn);
        let (turned, straight) = (common::good(&tables.concat()), common::good(SMALL));
        let names = |circuit: &Circuit| {
            let mut joints: Vec<Vec<String>> = circuit
                .joints
                .iter()
                .map(|joint| joint.ports.iter().map(|port| circuit.port_name(*port)).collect())
                .collect();
            for joint in &mut joints { joint.sort(); }
            joints.sort();
            joints
        };
        prop_assert_eq!(names(&turned), names(&straight));
        prop_assert_eq!(derive_checks(&turned).len(), derive_checks(&straight).len());
    }
}

const READINGS: &str = "altitude = \"1600 m\"\n[[reading]]\ncheck = \"deadhead:valve.source@idle\"\nvalue = \"21.5 inHg\"\n\
    [[reading]]\ncheck = \"look:hose@off\"\nanswer = \"yes\"\ninstrument = \"second gauge\"\n";

/// Every id of every derived check finds that very check.
#[test]
fn every_check_is_found_by_its_id() {
    let circuit = common::good(GOOD);
    let checks = derive_checks(&circuit);
    for check in &checks {
        assert_eq!(find_check(&circuit, &checks, &check.id), Some(check));
    }
}
