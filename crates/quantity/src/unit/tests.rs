//! Factors against published ones; spellings as people write them.
#![allow(clippy::unwrap_used, reason = "tests")]

use super::*;
use Dimension::{Frequency, Inductance, Pressure, Resistance, RotationalSpeed, Time, Voltage};

/// NIST SP 811 (2008), App. B.8 and B.9: unit, factor as printed. Where more digits are known than printed (conventional
/// inHg and inH2O), the next test holds them.
#[rustfmt::skip]
const NIST_SP_811: [(&str, f64, f64); 14] = [
    // unit, factor to SI, half a unit of the last printed digit (0: printed as exact)
    ("inHg",  3.386_389e3,  0.5e-3),
    ("mmHg",  1.333_224e2,  0.5e-4),
    ("inH2O", 2.490_889e2,  0.5e-4),
    ("mmH2O", 9.806_65,     0.0),
    ("psi",   6.894_757e3,  0.5e-3),
    ("bar",   1e5,          0.0),
    ("mbar",  1e2,          0.0),
    ("atm",   1.013_25e5,   0.0),
    ("in",    2.54e-2,      0.0),
    ("ft",    3.048e-1,     0.0),
    ("mi",    1.609_344e3,  0.0),
    ("lbf",   4.448_222,    0.5e-6),
    ("mph",   4.4704e-1,    0.0),
    ("km/h",  2.777_778e-1, 0.5e-7),
];

#[test]
fn factors_are_those_of_nist_sp_811() {
    for (name, published, half_digit) in NIST_SP_811 {
        let error = (Unit::named(name).unwrap().factor() - published).abs();
        // A product of three rounded constants is off by a few units of the last place of an f64.
        assert!(
            error <= half_digit + 4.0 * f64::EPSILON * published,
            "{name}: {error:e}"
        );
    }
}

/// Conventional inHg (13 595.1 kg/m³), inH2O (1000 kg/m³), mmHg and psi with all their digits: products of constants that
/// are exact by definition, also given by the general-purpose library pint 0.25.3.
#[test]
fn conventional_columns_to_the_last_digit() {
    for (name, exact) in [
        ("inHg", 3_386.388_640_341),
        ("inH2O", 249.088_91),
        ("mmHg", 133.322_387_415),
        ("psi", 6_894.757_293_168),
    ] {
        let factor = Unit::named(name).unwrap().factor();
        assert!((factor / exact - 1.0).abs() < 1e-12, "{name}: {factor}");
    }
}

/// The fixed points of NIST SP 811 App. B.9's formulas: t/°C = (t/°F − 32)/1.8 and T/K = t/°C + 273.15.
#[test]
fn temperatures_have_their_zero_where_it_belongs() {
    let kelvin = |text, value| Unit::named(text).unwrap().to_si(value);
    assert!((kelvin("°C", 20.0) - 293.15).abs() < 1e-12);
    assert!((kelvin("°F", 32.0) - 273.15).abs() < 1e-12);
    assert!((kelvin("°F", 68.0) - 293.15).abs() < 1e-12);
    assert!((kelvin("°F", 212.0) - 373.15).abs() < 1e-12);
    assert!((kelvin("°F", -40.0) - kelvin("°C", -40.0)).abs() < 1e-12);
}

fn check(spelling: &str, dimension: Dimension, expected: Option<&str>) {
    let found = Unit::named_for(spelling, dimension).map(|unit| unit.symbol());
    assert_eq!(found, expected, "{spelling:?} as a {dimension}");
}

#[test]
fn upper_and_lower_case_count_alike_where_nothing_else_is_meant() {
    for spelling in ["inHg", "INHG", "inhg", "InHg", "in Hg", "in. Hg"] {
        check(spelling, Pressure, Some("inHg"));
    }
    check("KPA", Pressure, Some("kPa"));
    check("MBAR", Pressure, Some("mbar"));
    check("l/MIN", Dimension::VolumeFlow, Some("L/min"));
    check("RPM", RotationalSpeed, Some("rpm"));
    check("v", Voltage, Some("V"));
    check("H", Time, Some("h"));
    check("h", Inductance, Some("H"));
}

#[test]
fn milli_is_never_taken_for_mega() {
    check("mV", Voltage, Some("mV"));
    check("MV", Voltage, None);
    check("mohm", Resistance, Some("mohm"));
    check("Mohm", Resistance, Some("Mohm"));
    check("MOHM", Resistance, Some("Mohm"));
    check("mOHM", Resistance, Some("mohm"));
    check("MPa", Pressure, Some("MPa"));
    check("mpa", Pressure, None);
    // Nobody means megametres.
    check("MM", Dimension::Length, Some("mm"));
}

#[test]
fn signs_have_several_forms() {
    for ohm in ["ohm", "Ohm", "OHM", "Ω", "\u{2126}", "ohms"] {
        check(ohm, Resistance, Some("ohm"));
    }
    check("mΩ", Resistance, Some("mohm"));
    check("kΩ", Resistance, Some("kohm"));
    check("MΩ", Resistance, Some("Mohm"));
    for volume in ["cm3", "cm³", "cm^3", "cc"] {
        check(volume, Dimension::Volume, Some("cm3"));
    }
    check("mm²", Dimension::Area, Some("mm2"));
    check("µF", Dimension::Capacitance, Some("uF"));
    check("dm³/(s·bar)", Dimension::SonicConductance, Some("dm3/(s bar)"));
    check("N·m", Dimension::Torque, Some("N m"));
    check("Nm", Dimension::Torque, Some("N m"));
    check("deg C", Dimension::Temperature, Some("°C"));
}

#[test]
fn a_shared_spelling_goes_by_the_dimension_wanted() {
    check("1/s", Frequency, Some("Hz"));
    check("1/s", RotationalSpeed, Some("rev/s"));
    check("1/min", RotationalSpeed, Some("rpm"));
    check("F", Dimension::Temperature, Some("°F"));
    check("F", Dimension::Capacitance, Some("F"));
}

/// One spelling, one meaning: within a dimension no text fits two units, not even loosely.
#[test]
fn no_spelling_of_a_dimension_is_ambiguous() {
    for &dimension in Dimension::ALL {
        for unit in Unit::all_of(dimension) {
            for spelling in unit.spellings() {
                let fitting: Vec<_> = Unit::all_of(dimension)
                    .filter(|other| other.is_loosely(spelling))
                    .collect();
                assert_eq!(fitting, [unit], "{spelling:?}");
            }
        }
    }
}

/// 0.15 dm³/(s bar) is 0.15e-3 m³/s for each 1e5 Pa; one mV/rpm is 0.001 V for each 2π/60 rad/s.
#[test]
fn compound_units_by_hand() {
    assert!((Unit::named("dm3/(s bar)").unwrap().to_si(0.15) - 1.5e-9).abs() < 1e-24);
    assert!((Unit::named("mV/rpm").unwrap().to_si(1.0) - 9.549_296_585_5e-3).abs() < 1e-13);
    assert!((Unit::named("rad/s").unwrap().to_si(std::f64::consts::TAU) - 1.0).abs() < 1e-15);
    assert!((Unit::named("kg/h").unwrap().to_si(3.6) - 1e-3).abs() < 1e-18);
}
