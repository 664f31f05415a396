//! The shop's own instruments in a belief: how right one is counts, two are two, and without any word all is as before.

#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use engine::{Effort, Model, belief, evidence, load, shipped_called};
use proptest::prelude::*;
use std::fmt::Write as _;

fn wastegate() -> Model {
    let shipped = shipped_called("vacuum-wastegate").unwrap();
    load(shipped.name, shipped.text).model.unwrap()
}

/// A reading of a vacuum gauge as a readings file has it, by an instrument of a name and a class.
fn reading(place: &str, inches: f64, with: Option<(&str, Option<&str>)>) -> String {
    let mut text = format!("[[reading]]\ncheck = \"tee:{place}@idle\"\nvalue = \"{inches} inHg\"\n");
    if let Some((name, class)) = with {
        writeln!(text, "instrument = \"{name}\"").unwrap();
        if let Some(class) = class {
            writeln!(text, "accuracy = \"{class}\"").unwrap();
        }
    }
    text
}

fn nothing_wrong(model: &Model, text: &str) -> f64 {
    let (evidence, findings) = evidence(model, text);
    let evidence = evidence.unwrap_or_else(|| panic!("{findings:?}"));
    belief(model, &evidence, Effort::brisk()).nothing_wrong()
}

/// A healthy pump makes 21 inHg here, more or less. Two inches less speak the louder the better the gauge is.
#[test]
fn a_better_gauge_says_more() {
    let model = wastegate();
    let classes = ["0.25", "1", "1.6", "2.5", "4", "10"];
    let left: Vec<f64> = classes
        .iter()
        .map(|class| {
            nothing_wrong(
                &model,
                &reading(
                    "valve.source",
                    18.5,
                    Some(("own", Some(&format!("class {class}")))),
                ),
            )
        })
        .collect();
    assert!(left[0] < 0.8 * left[5], "{left:?}");
    // In between the tolerances of the circuit hide most of it: no class says more than the best beyond what samples move.
    assert!(left.iter().all(|share| *share > 0.8 * left[0]), "{left:?}");
}

/// One gauge may read low everywhere; that two do so by chance is less likely.
#[test]
fn two_gauges_are_two() {
    let model = wastegate();
    let both = |second: &str| {
        let one = reading("valve.source", 18.0, Some(("red", Some("class 4"))));
        one + &reading("pump.inlet", 18.0, Some((second, Some("class 4"))))
    };
    let (same, other) = (
        nothing_wrong(&model, &both("red")),
        nothing_wrong(&model, &both("blue")),
    );
    assert!(other < 0.9 * same, "one gauge {same}, two gauges {other}");
}

/// A name alone parts two errors and leaves both as such instruments usually are; what was said last of a name counts for it.
#[test]
fn the_last_word_on_an_instrument_counts_for_all_its_readings() {
    let model = wastegate();
    let of = |first, second| {
        let one = reading("valve.source", 18.5, Some(("red", first)));
        nothing_wrong(
            &model,
            &(one + &reading("pump.inlet", 20.0, Some(("red", second)))),
        )
    };
    let fine = of(Some("class 0.6"), Some("class 0.6"));
    assert_eq!(of(Some("class 10"), Some("class 0.6")).to_bits(), fine.to_bits());
    assert_eq!(of(None, Some("class 0.6")).to_bits(), fine.to_bits());
    assert_eq!(of(Some("class 0.6"), None).to_bits(), fine.to_bits());
    assert_ne!(of(None, None).to_bits(), fine.to_bits());
}

#[test]
fn a_wrong_accuracy_is_found_where_it_stands() {
    let model = wastegate();
    for (with, told) in [
        (Some(("own", Some("class 1.6 of 4 V"))), "C077"),
        (Some(("own", Some("very good"))), "C077"),
    ] {
        let text = reading("valve.source", 18.5, with);
        let (none, findings) = evidence(&model, &text);
        assert!(none.is_none());
        let found = findings.iter().find(|finding| finding.code == told).unwrap();
        let class = with.and_then(|(_, class)| class).unwrap();
        assert!(
            text[found.span.start..found.span.end].contains(class),
            "{findings:?}"
        );
    }
    let alone = reading("valve.source", 18.5, None) + "accuracy = \"class 1.6\"\n";
    let (none, findings) = evidence(&model, &alone);
    assert!(
        none.is_none()
            && findings[0]
                .hint
                .as_deref()
                .unwrap_or_default()
                .contains("instrument")
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// In which order readings by several gauges came changes nothing.
    #[test]
    fn order_does_not_count(values in prop::collection::vec((15.0..22.0_f64, 0..3_usize), 2..4)) {
        let model = wastegate();
        let tools = [None, Some(("red", Some("class 1.6"))), Some(("blue", Some("grade C")))];
        let places = ["valve.source", "pump.inlet", "valve.source"];
        let all: Vec<String> = values
            .iter()
            .zip(places)
            .map(|((inches, tool), place)| reading(place, *inches, tools[*tool]))
            .collect();
        let forward = nothing_wrong(&model, &all.concat());
        let backward = nothing_wrong(&model, &all.iter().rev().cloned().collect::<String>());
        // Sums of some hundred products in another order; and which samples are drawn anew may differ then.
        prop_assert!((forward - backward).abs() < 0.02, "{} and {}", forward, backward);
    }
}
