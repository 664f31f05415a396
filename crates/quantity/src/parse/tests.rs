//! Quantities as the trade writes them, and as it mistypes them.
#![allow(clippy::unwrap_used, reason = "tests")]

use super::*;
use crate::Pressure;
use Dimension::{Length, Pressure as P, Ratio, Resistance, RotationalSpeed, Temperature, Time, Voltage};
use PressureReference::{Absolute, Gauge, Unstated, Vacuum};
use proptest::prelude::*;

/// Products of two or three rounded constants: a few units of the last place.
const ROUNDING: f64 = 1e-14;

fn near(value: f64, expected: f64) -> bool {
    (value - expected).abs() <= ROUNDING * expected.abs()
}

fn check(text: &str, dimension: Dimension, si: f64) -> Parsed {
    let parsed = parse(text, &[dimension]).unwrap();
    assert_eq!(parsed.quantity.dimension(), dimension, "{text:?}");
    assert!(
        near(parsed.quantity.si(), si),
        "{text:?}: {}",
        parsed.quantity.si()
    );
    parsed
}

#[test]
fn quantities_as_the_trade_writes_them() {
    check("120 mm", Length, 0.12);
    check("1,2 mm", Length, 0.0012);
    check("1600m", Length, 1600.0);
    check("450 mV", Voltage, 0.45);
    check("780 rpm", RotationalSpeed, 13.0);
    check("780 1/min", RotationalSpeed, 13.0);
    check("3.3 kohm", Resistance, 3300.0);
    check("20 °C", Temperature, 293.15);
    check("68 °F", Temperature, 293.15);
    check("293 K", Temperature, 293.0);
    check("-40 C", Temperature, 233.15);
    check("65 %", Ratio, 0.65);
    check("65%", Ratio, 0.65);
    check("0.65", Ratio, 0.65);
    check("1.5 min", Time, 90.0);
    check("160 cm3/rev", Dimension::SweptVolume, 160e-6);
    check("0.75 mm²", Dimension::Area, 0.75e-6);
    check("4.5 N/mm", Dimension::Stiffness, 4500.0);
    check("0.1 g/s", Dimension::MassFlow, 1e-4);
    check("12 L/min", Dimension::VolumeFlow, 2e-4);
    check("\u{2212}60 kPa", P, -60e3);
}

#[test]
fn a_pressure_says_where_it_counts_from() {
    for (text, pascal, reference) in [
        ("40 kPa", 40e3, Unstated),
        ("40 kPa abs", 40e3, Absolute),
        ("40 kPa (abs)", 40e3, Absolute),
        ("0.8 bar gauge", 80e3, Gauge),
        ("0.8 barg", 80e3, Gauge),
        ("21.5 inHg vacuum", 21.5 * 3_386.388_640_341, Vacuum),
        ("21.5 in Hg VAC", 21.5 * 3_386.388_640_341, Vacuum),
        ("14.7 psia", 14.7 * 6_894.757_293_168_361, Absolute),
        ("10 PSIG", 68_947.572_931_683_61, Gauge),
        ("40 kPa ± 2 kPa abs", 40e3, Absolute),
        ("40 kPa abs ± 2 kPa", 40e3, Absolute),
        ("40 ± 2 kPa gauge", 40e3, Gauge),
    ] {
        assert_eq!(check(text, P, pascal).reference, reference, "{text:?}");
    }
}

/// Worked by hand at the standard barometer: 25 inHg vacuum leaves 16.665 kPa.
#[test]
fn a_gauge_becomes_absolute_beside_the_barometer() {
    let ambient = Pressure::from_si(101_325.0);
    let absolute = |text, unstated| {
        parse(text, &[P])
            .unwrap()
            .absolute_pressure(ambient, unstated)
            .map(Pressure::si)
    };
    assert!((absolute("25 inHg vacuum", Unstated).unwrap() - 16_665.275).abs() < 0.02);
    assert_eq!(absolute("25 inHg", Vacuum), absolute("25 inHg vacuum", Absolute));
    assert_eq!(absolute("0.5 bar gauge", Unstated), Some(151_325.0));
    assert_eq!(absolute("40 kPa abs", Gauge), Some(40e3));
    assert_eq!(absolute("40 kPa", Unstated), None);
    // No barometer leaves that much to pull.
    assert_eq!(absolute("30 inHg vacuum", Unstated), None);
}

fn check_tolerance(text: &str, dimension: Dimension, expected: Tolerance) {
    let parsed = parse(text, &[dimension]).unwrap();
    let agree = match (parsed.tolerance.unwrap(), expected) {
        (Tolerance::Relative(a), Tolerance::Relative(b))
        | (Tolerance::Absolute(a), Tolerance::Absolute(b)) => near(a, b),
        _ => false,
    };
    assert!(agree, "{text:?}: {:?}", parsed.tolerance);
}

#[test]
fn tolerances_are_shares_or_quantities() {
    check_tolerance("32 ohm ± 10 %", Resistance, Tolerance::Relative(0.1));
    check_tolerance("32 ohm +/- 10%", Resistance, Tolerance::Relative(0.1));
    check_tolerance("780 rpm ± 30 rpm", RotationalSpeed, Tolerance::Absolute(0.5));
    check_tolerance("12.6 V +- 200 mV", Voltage, Tolerance::Absolute(0.2));
    check_tolerance("12.6±0.2 V", Voltage, Tolerance::Absolute(0.2));
    check_tolerance("1,2 mm ± 0,1 mm", Length, Tolerance::Absolute(1e-4));
}

#[test]
fn the_tolerance_of_a_temperature_is_a_difference() {
    check_tolerance("20 °C ± 5 °C", Temperature, Tolerance::Absolute(5.0));
    check_tolerance("20 °C ± 5 K", Temperature, Tolerance::Absolute(5.0));
    check_tolerance("68 °F ± 9 °F", Temperature, Tolerance::Absolute(5.0));
    // A share of the 20 degrees written, not of 293 kelvin.
    check_tolerance("20 °C ± 10 %", Temperature, Tolerance::Absolute(2.0));
}

#[test]
fn the_tolerance_of_a_ratio_is_in_points() {
    check_tolerance("65 % ± 5 %", Ratio, Tolerance::Absolute(0.05));
    check_tolerance("0.65 ± 0.05", Ratio, Tolerance::Absolute(0.05));
}

#[test]
fn a_spread_is_in_the_quantity_s_own_unit() {
    assert_eq!(parse("32 ohm ± 25 %", &[Resistance]).unwrap().spread(), Some(8.0));
    assert_eq!(parse("-60 kPa ± 25 %", &[P]).unwrap().spread(), Some(15e3));
    assert_eq!(parse("32 ohm", &[Resistance]).unwrap().spread(), None);
}

/// The text, what is underlined, the message, the hint.
fn check_error(text: &str, accepted: &[Dimension], culprit: &str, message: &str, hint: &str) {
    let error = parse(text, accepted).unwrap_err();
    assert_eq!(&text[error.span.clone()], culprit, "{text:?}: {error}");
    assert_eq!(error.to_string(), message, "{text:?}");
    assert_eq!(error.hint().unwrap_or_default(), hint, "{text:?}");
}

#[test]
fn what_is_missing_is_named() {
    check_error(
        "",
        &[P],
        "",
        "a pressure is missing here",
        "write a pressure, for instance `40 kPa abs`",
    );
    check_error("  ", &[], "", "a quantity is missing here", "");
    check_error("120", &[Length], "120", "`120` has no unit", "write `120 mm`");
    check_error(
        "32 ohm ±",
        &[Resistance],
        "",
        "a resistance is missing here",
        "write a resistance, for instance `32 ohm`",
    );
    check_error(
        "780 rpm ± 30",
        &[RotationalSpeed],
        "30",
        "`30` has no unit",
        "write `30 rpm`",
    );
    check_error(
        "abc V",
        &[Voltage],
        "abc",
        "`abc` is not a number",
        "write a voltage, for instance `12.6 V`",
    );
    check_error(
        "± 5 V",
        &[Voltage],
        "",
        "a voltage is missing here",
        "write a voltage, for instance `12.6 V`",
    );
}

#[test]
fn a_misspelt_unit_meets_its_nearest() {
    let hint = "write a pressure, for instance `40 kPa abs`";
    check_error(
        "21.5 inhgg",
        &[P],
        "inhgg",
        "`inhgg` is not a unit; nearest is `inHg`",
        hint,
    );
    check_error(
        "21.5 inhgg vacuum",
        &[P],
        "inhgg",
        "`inhgg` is not a unit; nearest is `inHg`",
        hint,
    );
    check_error(
        "21.5 furlongs",
        &[P],
        "furlongs",
        "`furlongs` is not a unit",
        hint,
    );
    check_error(
        "5 MV",
        &[Voltage],
        "MV",
        "`MV` is not a unit; nearest is `mV`",
        "write a voltage, for instance `12.6 V`",
    );
}

#[test]
fn both_dimensions_are_named_where_they_differ() {
    let hint = "write a pressure, for instance `40 kPa abs`";
    check_error("-60 V", &[P], "V", "`V` is a voltage, not a pressure", hint);
    check_error(
        "60 V",
        &[P, Length],
        "V",
        "`V` is a voltage, not a pressure or a length",
        hint,
    );
    check_error("5 s abs", &[P], "s", "`s` is a time, not a pressure", hint);
    let hint = "write a resistance, for instance `32 ohm`";
    check_error(
        "32 ohm ± 3 mm",
        &[Resistance],
        "mm",
        "`mm` is a length, not a resistance or a ratio",
        hint,
    );
    check_error(
        "32 %",
        &[Resistance],
        "%",
        "`%` is a ratio, not a resistance",
        hint,
    );
}

/// A row of signs is no unit, not even that of a plain ratio; where both names are long, the line stays within 80 columns.
#[test]
fn signs_alone_are_no_unit() {
    let stars = "*".repeat(35);
    let message = format!("`{}…` is not a unit", &stars[..24]);
    let hint = "write a volume flow, for instance `12 L/min`";
    check_error(
        &format!("88{stars}"),
        &[Dimension::VolumeFlow],
        &stars,
        &message,
        hint,
    );
    check_error("88 *", &[], "*", "`*` is not a unit", "");
    check_error(
        "88 *V",
        &[Voltage],
        "*V",
        "`*V` is not a unit; nearest is `mV`",
        "write a voltage, for instance `12.6 V`",
    );
    check("0.2 N*m", Dimension::Torque, 0.2);
    check("0.75 mm^2", Dimension::Area, 0.75e-6);
}

#[test]
fn a_long_message_ends_in_the_like() {
    check_error(
        "5 K",
        &[Dimension::TemperatureCoefficient, Dimension::ThermalConductance],
        "K",
        "`K` is a temperature, not a temperature coefficient or a thermal conductance",
        "write a temperature coefficient, for instance `0.39 %/K`",
    );
    check_error(
        "5 dm3/(s bar)",
        &[Dimension::TemperatureCoefficient, Dimension::ThermalConductance],
        "dm3/(s bar)",
        "`dm3/(s bar)` is a sonic conductance, not a temperature coefficient or the like",
        "write a temperature coefficient, for instance `0.39 %/K`",
    );
}

#[test]
fn nothing_may_follow() {
    check_error(
        "3 mm bore",
        &[Length],
        "bore",
        "`bore` does not belong behind the quantity",
        "",
    );
    check_error(
        "12 V abs",
        &[Voltage],
        "abs",
        "`abs` does not belong behind the quantity",
        "",
    );
    check_error(
        "3 mm ± 1 mm ± 1 mm",
        &[Length],
        "± 1 mm",
        "`± 1 mm` does not belong behind the quantity",
        "",
    );
    check_error(
        "32 ohm ± 10 % more",
        &[Resistance],
        "more",
        "`more` does not belong behind the quantity",
        "",
    );
}

#[test]
fn numbers_that_are_none() {
    check_error(
        "1,600 m",
        &[Length],
        "1,600",
        "`1,600` can be read in two ways",
        "write `1600` or `1.600`",
    );
    check_error("1e999 V", &[Voltage], "1e999", "the number is too large", "");
    check_error("1e308 km", &[Length], "1e308", "the number is too large", "");
    check_error(
        "1.2.3 V",
        &[Voltage],
        "1.2.3",
        "`1.2.3` is not a number",
        "write a voltage, for instance `12.6 V`",
    );
    check_error(
        "32 ohm ± -3 ohm",
        &[Resistance],
        "-3",
        "a tolerance cannot be negative",
        "write `± 10 %`",
    );
}

#[test]
fn nothing_is_less_than_nothing() {
    check_error(
        "-300 °C",
        &[Temperature],
        "-300",
        "no temperature lies below absolute zero",
        "",
    );
    check_error(
        "-5 kPa abs",
        &[P],
        "-5",
        "an absolute pressure cannot be negative",
        "write `gauge` if it counts from the ambient pressure",
    );
    check_error(
        "40 kPa abs ± 2 kPa gauge",
        &[P],
        "kPa gauge",
        "the two pressures count from different points",
        "say `abs`, `gauge` or `vacuum` once",
    );
}

#[test]
fn a_novel_is_no_quantity() {
    let text = "9".repeat(100_000);
    let error = parse(&text, &[P]).unwrap_err();
    assert_eq!(error.kind, ParseErrorKind::TooLong { length: 100_000 });
}

#[test]
fn without_a_wish_any_dimension_will_do() {
    assert_eq!(
        parse("5 N m", &[]).unwrap().quantity.dimension(),
        Dimension::Torque
    );
    assert_eq!(parse("5", &[]).unwrap().quantity.dimension(), Ratio);
}

fn sound(text: &str, result: &Result<Parsed, ParseError>) -> Result<(), TestCaseError> {
    match result {
        Ok(parsed) => {
            prop_assert!(parsed.quantity.si().is_finite());
            prop_assert!(parsed.spread().is_none_or(|spread| spread >= 0.0));
        }
        Err(error) => {
            prop_assert!(
                text.get(error.span.clone()).is_some(),
                "{:?} does not slice {text:?}",
                error.span
            );
            let (message, hint) = (error.to_string(), error.hint().unwrap_or_default());
            prop_assert!(
                message.chars().count() <= 80 && hint.chars().count() <= 80,
                "{message} / {hint}"
            );
            prop_assert!(!message.contains('\n') && !message.ends_with('.'));
        }
    }
    Ok(())
}

proptest! {
    /// No text makes the parser fall over, and every culprit can be underlined.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC*", dimension in prop::sample::select(Dimension::ALL)) {
        sound(&text, &parse(&text, &[dimension]))?;
        sound(&text, &parse(&text, &[]))?;
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let text = String::from_utf8_lossy(&bytes);
        sound(&text, &parse(&text, &[]))?;
        if let Err(error) = crate::parse_reading(&text, &[P]) {
            sound(&text, &Err(error))?;
        }
    }

    /// The same with texts that are nearly quantities, where the branches are.
    #[test]
    fn near_misses_are_read_or_refused(
        words in prop::collection::vec(
            prop::sample::select(vec![
                "12", "-3,5", "1,600", "1e3", "e", "−", "±", "+-", "+/-", "%", "kPa", "inHg", "°C", "Ω", "mΩ", "abs",
                "gauge", "psig", " ", "\u{a0}", "\u{2003}", "more than ", ">", "≥", "V", "/", "(", "yes", "\u{7}",
            ]),
            0..8,
        ),
        dimension in prop::sample::select(Dimension::ALL),
    ) {
        let text = words.concat();
        sound(&text, &parse(&text, &[dimension]))?;
        if let Err(error) = crate::parse_reading(&text, &[dimension]) {
            sound(&text, &Err(error))?;
        }
    }

    /// What is printed in any unit, by any of its spellings, is read back as the same number.
    #[test]
    fn every_unit_reads_back_what_it_prints(
        dimension in prop::sample::select(Dimension::ALL),
        which: prop::sample::Index,
        value in 0.0_f64..1e6,
    ) {
        let units: Vec<_> = Unit::all_of(dimension).collect();
        let unit = *units[which.index(units.len())];
        for spelling in unit.spellings() {
            let parsed = parse(&format!("{value} {spelling}"), &[dimension]).unwrap();
            prop_assert_eq!(parsed.unit, unit);
            prop_assert_eq!(parsed.quantity, Quantity::of(value, unit));
            // Subtracting the offset of a temperature costs digits of the larger number.
            let back = parsed.quantity.in_unit(unit);
            prop_assert!((back - value).abs() <= 1e-12 * value.abs().max(unit.offset() / unit.factor()));
        }
    }

    /// A reading's words change nothing of the quantity behind them.
    #[test]
    fn a_bound_holds_the_quantity_behind_it(value in 0.0_f64..1e3, word in prop::sample::select(vec![">", "at least ", "over "])) {
        let text = format!("{value} inHg vacuum");
        let bound = crate::parse_reading(&format!("{word}{text}"), &[P]).unwrap();
        prop_assert_eq!(bound, crate::ReadingValue::Over(parse(&text, &[P]).unwrap()));
    }
}
