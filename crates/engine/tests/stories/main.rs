//! The stories of `stories/`, each a job as it went, run as they stand: with all readings in, the true cause leads with the
//! probability that the story states; and our own next checks, made on a vehicle with that cause and with the tools that were at
//! hand, come as far with no more checks than whoever worked on it made.
//!
//! All scenes are invented; their readings were computed with `halfsplit expect` and scattered as an instrument scatters. One
//! test for each circuit, so that they run side by side.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test that cannot unwrap has failed; what a story came to is worth seeing"
)]

mod play;

use circuit::Sort;
use play::{Library, Told};
use std::collections::BTreeMap;

/// All stories of one circuit, told and played.
fn tell(circuit: &str) {
    let library = Library::new();
    let stories: Vec<Told> = library
        .stories()
        .into_iter()
        .filter(|told| told.story.circuit == circuit)
        .collect();
    assert!(!stories.is_empty(), "no story about {circuit}");
    let mut wrong = Vec::new();
    for told in &stories {
        let model = library.model(circuit);
        let after = told.after_its_readings(model);
        let checks = told.our_checks(model);
        println!(
            "{}: {:.3} of {} wanted, {} leads; {} of {} checks",
            told.name,
            after.probability,
            told.story.probability,
            after.leader,
            checks.map_or("no".to_owned(), |checks| checks.to_string()),
            told.story.checks,
        );
        if !after.leads || after.probability < told.story.probability {
            wrong.push(format!(
                "{}: the cause has {:.3}, {} is wanted; {} leads",
                told.name, after.probability, told.story.probability, after.leader
            ));
        }
        if checks.is_none() {
            wrong.push(format!(
                "{}: {} checks are not enough",
                told.name, told.story.checks
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

macro_rules! circuits {
    ($($test:ident $name:literal)*) => {
        $(#[test]
        fn $test() {
            tell($name);
        })*
        const CIRCUITS: &[&str] = &[$($name),*];
    };
}

circuits! {
    vacuum_wastegate "vacuum-wastegate"
    vacuum_variable_geometry "vacuum-variable-geometry"
    starter_circuit "starter-circuit"
    vacuum_exhaust_gas_recirculation "vacuum-exhaust-gas-recirculation"
    vacuum_axle_engagement "vacuum-axle-engagement"
    brake_booster_vacuum "brake-booster-vacuum"
    low_pressure_fuel "low-pressure-fuel"
    can_bus "can-bus"
    temperature_sensor "temperature-sensor"
    sensor_supply "sensor-supply"
    glow_plugs "glow-plugs"
    cooling_fan "cooling-fan"
    charging "charging"
    electric_variable_geometry "electric-variable-geometry"
    evaporative_leak "evaporative-leak"
    pressure_wastegate "pressure-wastegate"
    charge_air "charge-air"
}

/// Every story is told by one of the tests above, and no sort is missing.
#[test]
fn every_sort_of_story_is_told() {
    let library = Library::new();
    let mut sorts: BTreeMap<Sort, usize> = BTreeMap::new();
    for told in library.stories() {
        let circuit = told.story.circuit.as_str();
        assert!(
            CIRCUITS.contains(&circuit),
            "{}: no test tells {circuit}",
            told.name
        );
        assert!(
            told.story.checks >= told.story.readings.readings.len(),
            "{}: fewer checks than readings",
            told.name
        );
        *sorts.entry(told.story.sort).or_default() += 1;
    }
    println!("{sorts:?}");
    for (word, sort) in Sort::ALL {
        assert!(sorts.contains_key(&sort), "no story of the sort `{word}`");
    }
}
