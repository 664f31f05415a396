//! How right instruments are, against the classes that standards publish, and against the usual ones.

#![allow(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use belief::Accuracy;
use circuit::{AccuracyClass, Instrument};
use proptest::prelude::*;

const CLASSES: &str = include_str!("../../../references/gauge_classes.csv");

/// Share of instruments that keep `limit` at a true value.
fn keep(accuracy: &Accuracy, truth: f64, limit: f64) -> f64 {
    let errors = accuracy.errors();
    let kept = errors
        .iter()
        .filter(|(error, _)| (accuracy.shown(truth, *error) - truth).abs() <= limit);
    kept.map(|(_, weight)| weight).sum()
}

fn by(text: &str, instrument: Instrument) -> Accuracy {
    Accuracy::by(instrument, &AccuracyClass::read(text, instrument).unwrap())
}

/// EN 837-1:1996, table 11, and ASME B40.100 (`references/gauge_classes.csv`).
///
/// A limit over √3 is the deviation of a rectangular distribution; as a normal one it keeps 92 of 100 within the limit, and 3
/// of 100 gauges have fallen. Half of it goes with the value, so at the end of the dial the limit is kept by fewer, near the
/// middle by more; and a grade that is better in its middle half is taken as between the two.
#[test]
fn gauges_keep_the_limits_of_their_class() {
    let mut rows = 0;
    for row in CLASSES.lines().skip(3) {
        let fields: Vec<&str> = row.split(',').collect();
        let number = |index: usize| fields[index].parse::<f64>().unwrap();
        let (span, in_pa) = (
            number(4),
            if fields[7] == "bar" {
                1e5
            } else {
                3_386.388_640_341
            },
        );
        let (outer, middle) = (number(5) * in_pa, number(6) * in_pa);
        let word = if fields[0] == "EN 837-1" { "class" } else { "grade" };
        let gauge = by(
            &format!("{word} {} of {span} Pa", fields[1]),
            Instrument::PressureGauge,
        );
        let (at_middle, at_end) = (keep(&gauge, 0.5 * span, middle), keep(&gauge, span, outer));
        assert!((0.9..=0.98).contains(&at_middle), "{row}: {at_middle}");
        assert!((0.84..=0.99).contains(&at_end), "{row}: {at_end}");
        rows += 1;
    }
    assert_eq!(rows, 15);
}

/// The usual instruments are a gauge of grade B and meters of 0.5 % + 2 digits: said with a class they are the same, near enough.
#[test]
fn the_usual_instrument_said_with_its_class_is_the_usual_one() {
    for (instrument, text) in [
        (Instrument::VacuumGauge, "grade B of 30 inHg"),
        (Instrument::Voltmeter, "0.5 % + 2 digits"),
        (Instrument::Ohmmeter, "1 % + 3 digits"),
        (Instrument::Rule, "0.7 mm"),
    ] {
        let (usual, said) = (Accuracy::of(instrument), by(text, instrument));
        for (one, other) in [
            (usual.scale, said.scale),
            (usual.zero, said.zero),
            (usual.noise, said.noise),
        ] {
            // The usual ones are rounded to one figure.
            assert!((one - other).abs() <= 0.27 * one.max(other), "{usual:?} {said:?}");
        }
    }
}

/// A text of a class, percent of a span of 1 bar.
fn class() -> impl Strategy<Value = f64> {
    0.05..20.0
}

proptest! {
    /// The worse its class, the fewer instruments are within any limit; and what its errors weigh sums to 1.
    #[test]
    fn a_worse_class_is_never_more_right(one in class(), other in class(), at in 0.0..1.0_f64, limit in 1.0..20e3_f64) {
        let (better, worse) = (one.min(other), one.max(other));
        let gauge = |class: f64| by(&format!("class {class} of 1 bar"), Instrument::VacuumGauge);
        let (better, worse) = (gauge(better), gauge(worse));
        let total: f64 = worse.errors().iter().map(|(_, weight)| weight).sum();
        prop_assert!((total - 1.0).abs() < 1e-12);
        prop_assert!(worse.scale >= better.scale && worse.zero >= better.zero && worse.noise >= better.noise);
        // The errors are nine steps of five points: one of them may lie on either side of the limit.
        let (kept, more) = (keep(&worse, at * 1e5, limit), keep(&better, at * 1e5, limit));
        prop_assert!(kept <= more + 0.15, "{} and {}", kept, more);
    }

    /// What is shown beyond its own error scatters at least as with the usual instrument of that dial, whatever the class.
    #[test]
    fn no_class_takes_the_hand_and_the_needle_away(percent in 0.01..5.0_f64, digits in 0.0..9.0_f64, at in 0.0..16.0_f64) {
        let meter = by(&format!("{percent} % + {digits} digits"), Instrument::Voltmeter);
        prop_assert!(meter.deviation(at) >= Accuracy::of(Instrument::Voltmeter).deviation(at));
        prop_assert!(meter.scale > 0.0, "the best meter too may have fallen");
    }
}
