//! The tables of all kinds: what the other rooms rely on without asking.

use circuit::{KindSpec, Medium, Method, ParameterDomain};
use std::collections::BTreeSet;

fn each(test: impl Fn(&KindSpec)) {
    let kinds = physics::catalogue().kinds();
    assert!(kinds.len() >= 30, "{} kinds", kinds.len());
    for kind in kinds {
        test(kind);
    }
}

/// `true` if no name stands twice.
fn distinct<'a>(names: impl Iterator<Item = &'a str>) -> bool {
    let mut seen = BTreeSet::new();
    names.into_iter().all(|name| seen.insert(name))
}

#[test]
fn names_are_distinct() {
    assert!(distinct(
        physics::catalogue().kinds().iter().map(|kind| kind.name)
    ));
    each(|kind| {
        // Ports and parameters are keys of the same table.
        let keys = kind
            .ports
            .iter()
            .map(|port| port.name)
            .chain(kind.parameters.iter().map(|parameter| parameter.name));
        assert!(
            distinct(keys.chain(["kind", "what", "repair", "place"])),
            "{}: a key twice",
            kind.name
        );
        assert!(
            distinct(kind.faults.iter().map(|fault| fault.name)),
            "{}: a fault twice",
            kind.name
        );
        assert!(
            kind.faults.iter().all(|fault| !fault.name.contains('/')),
            "{}: a stroke in a fault's name",
            kind.name
        );
    });
}

#[test]
fn defaults_lie_within_their_ranges() {
    each(|kind| {
        for parameter in kind.parameters {
            let (low, high) = parameter.range;
            assert!(low < high, "{}, {}", kind.name, parameter.name);
            if let Some(default) = parameter.default {
                assert!(
                    (low..=high).contains(&default),
                    "{}, {}: {default}",
                    kind.name,
                    parameter.name
                );
            }
            if let ParameterDomain::Choice(words) = parameter.domain {
                assert!(
                    words.len() > 1 && distinct(words.iter().copied()),
                    "{}, {}",
                    kind.name,
                    parameter.name
                );
            }
        }
    });
}

#[test]
fn faults_are_possible_and_severities_ordered() {
    each(|kind| {
        assert!(kind.weight >= 0.0 && !kind.source.is_empty(), "{}", kind.name);
        assert!(
            kind.repair.minutes > 0.0 && (0.0..0.2).contains(&kind.repair.bad_new),
            "{}",
            kind.name
        );
        for fault in kind.faults {
            let name = format!("{}/{}", kind.name, fault.name);
            assert!(fault.share > 0.0 && (0.0..=1.0).contains(&fault.seen), "{name}");
            if let Some(s) = fault.severity {
                assert!(
                    0.0 < s.low && s.low < s.typical && s.typical < s.high,
                    "{name}: {s:?}"
                );
                assert!(
                    s.dimension.units().contains(&s.unit),
                    "{name}: {} is no unit of {}",
                    s.unit,
                    s.dimension
                );
            }
        }
    });
}

#[test]
fn checks_have_something_to_measure() {
    each(|kind| {
        let electric = kind
            .ports
            .iter()
            .filter(|port| port.medium == Medium::Electric)
            .count();
        for method in kind.checks {
            if matches!(
                method,
                Method::Drop
                    | Method::Amps
                    | Method::Ohms
                    | Method::Click
                    | Method::Speed
                    | Method::Duty
                    | Method::Ripple
                    | Method::LoomOhms
                    | Method::Glow
            ) {
                assert!(electric >= 2, "{}: {} without current", kind.name, method.word());
            }
            if matches!(method, Method::Data | Method::Substitute) {
                assert!(
                    kind.measures().is_some(),
                    "{}: {} of nothing",
                    kind.name,
                    method.word()
                );
            }
        }
    });
}
