//! Factors against published ones and spellings as people write them.
#![allow(clippy::unwrap_used, reason = "tests")]

use super::*;
use Dimension::{Frequency, Inductance, Pressure, Resistance, RotationalSpeed, Time, Voltage};

/// Published factors; the first lines of the file name their sources, its last column how each was checked.
const PUBLISHED: &str = include_str!("../../../../references/units.csv");

/// Units of the file that no circuit is described in.
const UNUSED: [&str; 2] = ["gal", "Ah"];

#[test]
fn factors_are_the_published_ones() {
    let mut unused = Vec::new();
    for row in PUBLISHED.lines().filter(|line| !line.starts_with('#')).skip(1) {
        let fields: Vec<_> = row.split(',').collect();
        let number = |at: usize| fields[at].parse::<f64>().unwrap();
        let Some(unit) = Unit::named(fields[1]) else {
            unused.push(fields[1]);
            continue;
        };
        // Inside, a shaft's speed counts revolutions; the file counts radians.
        let turn = if unit.dimension() == RotationalSpeed {
            std::f64::consts::TAU
        } else {
            1.0
        };
        // The file gives ten digits.
        let error = unit.factor() * turn / number(2) - 1.0;
        assert!(error.abs() < 1e-9, "{row}: {error:e}");
        assert!(
            (unit.offset() - number(3)).abs() < 1e-7,
            "{row}: {}",
            unit.offset()
        );
        if !fields[4].is_empty() {
            // SP 811 prints six or seven digits.
            let error = unit.factor() * turn / number(4) - 1.0;
            assert!(error.abs() < 5e-7, "{row}: {error:e}");
        }
    }
    assert_eq!(unused, UNUSED);
}

/// What the general-purpose library pint 0.25.3 gives for units the file above has not, or with fewer digits.
#[test]
fn factors_are_those_of_a_units_library() {
    for (name, factor) in [
        ("inHg", 3_386.388_640_340_999_7),
        ("inH2O", 249.088_909_999_999_97),
        ("mmHg", 133.322_387_415),
        ("cmHg", 1_333.223_874_149_999_8),
        ("psi", 6_894.757_293_168_363_5),
        ("lbf", 4.448_221_615_260_5),
        ("lbf/in", 175.126_835_246_476_45),
        ("V/rpm", 9.549_296_585_513_721),
        ("mV/rpm", 0.009_549_296_585_513_72),
    ] {
        let error = Unit::named(name).unwrap().factor() / factor - 1.0;
        // Both multiply three or four rounded constants, in another order.
        assert!(error.abs() < 1e-14, "{name}: {error:e}");
    }
}

/// t/°C = (t/°F − 32)/1.8 and T/K = t/°C + 273.15, exact by definition.
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
