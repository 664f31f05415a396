//! What a person gets to read.
#![allow(clippy::unwrap_used, reason = "tests")]

use super::*;
use crate::parse;
use proptest::prelude::*;

#[test]
fn halves_go_away_from_zero() {
    for (value, decimals, expected) in [
        (41.25, 1, 41.3),
        (-41.25, 1, -41.3),
        (0.5, 0, 1.0),
        (1.5, 0, 2.0),
        (2.5, 0, 3.0),
        (-2.5, 0, -3.0),
        (1.005, 2, 1.01),
        (0.285, 2, 0.29),
        (41.249, 1, 41.2),
        (0.0, 3, 0.0),
        (1e300, 5, 1e300),
    ] {
        assert!(
            (round_half_away(value, decimals) - expected).abs() <= expected.abs() * 1e-15,
            "{value} to {decimals}"
        );
    }
    assert!(round_half_away(f64::NAN, 1).is_nan());
    assert!(round_half_away(f64::INFINITY, 1).is_infinite());
}

fn check(text: &str, system: UnitSystem, expected: &str) {
    let quantity = parse(text, &[]).unwrap().quantity;
    assert_eq!(system.show(quantity), expected, "{text} in {system:?}");
}

#[test]
fn the_trade_reads_its_gauges() {
    check("41.25 kPa", UnitSystem::Metric, "41.3 kPa");
    check("21.45 inHg", UnitSystem::Trade, "21.5 inHg");
    check("84659.725 Pa", UnitSystem::Trade, "25 inHg");
    check("101325 Pa", UnitSystem::Trade, "29.9 inHg");
    check("101325 Pa", UnitSystem::Metric, "101 kPa");
    check("101325 Pa", UnitSystem::Si, "101325 Pa");
    check("780 rpm", UnitSystem::Trade, "780 rpm");
    check("2345 rpm", UnitSystem::Trade, "2345 rpm");
    check("20 °C", UnitSystem::Trade, "20 °C");
    check("68 °F", UnitSystem::Metric, "20 °C");
    check("20 °C", UnitSystem::Si, "293 K");
    check("65 %", UnitSystem::Trade, "65 %");
    check("65 %", UnitSystem::Si, "0.65");
    check("4.5 N/mm", UnitSystem::Trade, "4.5 N/mm");
    check("0.15 dm3/(s bar)", UnitSystem::Trade, "0.15 dm3/(s bar)");
}

#[test]
fn the_size_chooses_the_unit() {
    check("0.45 V", UnitSystem::Trade, "450 mV");
    check("0.45 V", UnitSystem::Si, "0.45 V");
    check("0.9996 V", UnitSystem::Trade, "1 V");
    check("-0.45 V", UnitSystem::Trade, "-450 mV");
    check("12.6 V", UnitSystem::Trade, "12.6 V");
    check("0 V", UnitSystem::Trade, "0 V");
    check("0.02 A", UnitSystem::Trade, "20 mA");
    check("0.05 ohm", UnitSystem::Trade, "50 mohm");
    check("32 ohm", UnitSystem::Trade, "32 ohm");
    check("999.96 ohm", UnitSystem::Trade, "1 kohm");
    check("10000000 ohm", UnitSystem::Trade, "10 Mohm");
    check("120 mm", UnitSystem::Trade, "120 mm");
    check("1.2 m", UnitSystem::Trade, "1.2 m");
    check("1600 m", UnitSystem::Trade, "1600 m");
    check("182000 km", UnitSystem::Trade, "182000 km");
    check("30 s", UnitSystem::Trade, "30 s");
    check("4 min", UnitSystem::Trade, "4 min");
    check("2 h", UnitSystem::Trade, "120 min");
    check("5.5 L", UnitSystem::Trade, "5.5 L");
    check("60 cm3", UnitSystem::Trade, "60 cm3");
}

#[test]
fn long_numbers_get_an_exponent() {
    check("60 cm3", UnitSystem::Si, "6e-5 m3");
    check("0.15 dm3/(s bar)", UnitSystem::Si, "1.5e-9 m3/(s Pa)");
    check("9.996 uV", UnitSystem::Si, "1e-5 V");
    check("1.125 uV", UnitSystem::Si, "1.13e-6 V");
    check("-0 V", UnitSystem::Si, "0 V");
    let volts = |value| UnitSystem::Trade.show(Quantity::new(Dimension::Voltage, value));
    assert_eq!(volts(f64::NAN), "NaN V");
    assert_eq!(volts(f64::NEG_INFINITY), "-inf V");
}

#[test]
fn systems_go_by_their_names() {
    for system in UnitSystem::ALL {
        assert_eq!(system.name().parse(), Ok(system));
    }
    let error = "imperial".parse::<UnitSystem>().unwrap_err();
    assert_eq!(
        error.to_string(),
        "`imperial` is not a system of units; there are `trade`, `metric` and `si`"
    );
}

#[test]
fn every_system_has_a_unit_for_everything() {
    for &dimension in Dimension::ALL {
        for system in UnitSystem::ALL {
            assert_eq!(system.unit_for(dimension).dimension(), dimension);
        }
        assert!(
            Unit::named_for(usual(dimension), dimension).is_some(),
            "{dimension}"
        );
        for (symbol, _) in sizes(dimension) {
            assert!(Unit::named_for(symbol, dimension).is_some(), "{symbol}");
        }
    }
    assert_eq!(UnitSystem::Trade.unit_for(Dimension::Pressure).symbol(), "inHg");
    assert_eq!(UnitSystem::Metric.unit_for(Dimension::Pressure).symbol(), "kPa");
    assert_eq!(UnitSystem::Si.unit_for(Dimension::Time).symbol(), "s");
}

proptest! {
    /// Whatever is shown can be typed again and means the same up to half a unit of its third digit.
    #[test]
    fn what_is_shown_can_be_typed(
        dimension in prop::sample::select(Dimension::ALL),
        system in prop::sample::select(&UnitSystem::ALL[..]),
        size in -9.0_f64..9.0,
        negative: bool,
    ) {
        let magnitude = 10_f64.powf(size);
        let negative = negative && dimension != Dimension::Temperature;
        let quantity = Quantity::new(dimension, if negative { -magnitude } else { magnitude });
        let shown = system.show(quantity);
        let back = parse(&shown, &[dimension]).unwrap().quantity;
        // Three digits: at worst 1.005 for 1.00. A temperature in °C is rounded on its own scale.
        let unit = system.unit_to_show(quantity);
        let on_scale = (quantity.si() - unit.offset()).abs();
        prop_assert!((back.si() - quantity.si()).abs() <= 5.001e-3 * on_scale + 1e-12 * quantity.si().abs(), "{shown}");
    }

    /// Rounding never moves a number by more than half a unit of the last decimal kept, and leaves what it rounded alone.
    #[test]
    fn rounding_moves_at_most_half_a_unit(value in -1e6_f64..1e6, decimals in 0_u32..6) {
        let once = round_half_away(value, decimals);
        let unit = 10_f64.powi(-i32::try_from(decimals).unwrap());
        // The part in 10^12 within which something counts as a half.
        prop_assert!((once - value).abs() <= unit / 2.0 + 2e-12 * value.abs());
        prop_assert!((round_half_away(once, decimals) - once).abs() <= f64::EPSILON * once.abs());
        prop_assert!((round_half_away(-value, decimals) + once).abs() <= 0.0);
    }
}
