//! Trips after a repair against the paragraphs of the rule, and the laws of the count.
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use jiff::Timestamp;
use job::{Lamp, Memory, OTHER_MARKETS, Rules, Trip, Watch};
use proptest::prelude::*;
use quantity::Temperature;
use serde_json::Value;

/// The n-th hour of an invented year.
fn hour(n: usize) -> Timestamp {
    Timestamp::from_second(1_700_000_000 + 3600 * i64::try_from(n).unwrap()).unwrap()
}

fn trip(n: usize, monitor_ran: bool, fault_seen: bool) -> Trip {
    Trip {
        at: hour(n),
        monitor_ran,
        fault_seen,
        other_fault_seen: false,
        similar_conditions: None,
        start_coolant: None,
        peak_coolant: None,
    }
}

fn warm(trip: Trip) -> Trip {
    Trip {
        start_coolant: Some(Temperature::from_celsius(20.0)),
        peak_coolant: Some(Temperature::from_celsius(90.0)),
        ..trip
    }
}

fn drawn(case: &Value) -> Vec<Trip> {
    let fahrenheit = |value: &Value| {
        value
            .as_f64()
            .map(|degrees| Temperature::from_celsius((degrees - 32.0) / 1.8))
    };
    let mut trips = Vec::new();
    for group in case["trips"].as_array().unwrap() {
        for _ in 0..group["times"].as_u64().unwrap() {
            trips.push(Trip {
                other_fault_seen: group["other"].as_bool().unwrap_or(false),
                similar_conditions: group["similar"].as_bool(),
                start_coolant: fahrenheit(&group["start_f"]),
                peak_coolant: fahrenheit(&group["peak_f"]),
                ..trip(
                    trips.len(),
                    group["ran"].as_bool().unwrap(),
                    group["fault"].as_bool().unwrap(),
                )
            });
        }
    }
    trips
}

fn rules(name: &str) -> Rules {
    match name {
        "us_light" => Rules::us_light(),
        "us_light, similar" => Rules::us_light().for_fuel_or_misfire(),
        "us_heavy" => Rules::us_heavy(),
        other => panic!("no rules `{other}`"),
    }
}

/// 40 CFR part 86, paragraph by paragraph: `references/lamp_rules.json`.
#[test]
fn the_rule_at_its_edges() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../references/lamp_rules.json");
    let file: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let cases = file["cases"].as_array().unwrap();
    assert!(cases.len() >= 10);
    for case in cases {
        let watch = Watch::count(&rules(case["rules"].as_str().unwrap()), &drawn(case));
        let lamp = match watch.lamp {
            Lamp::On { good_trips, needed } => format!("on {good_trips} of {needed}"),
            Lamp::Out => "out".to_owned(),
        };
        let code = match watch.code {
            Memory::Stored { warm_ups, needed } => format!("stored {warm_ups} of {needed}"),
            Memory::Erased => "erased".to_owned(),
        };
        let came_back = watch.came_back.map(|index| index as u64);
        let told = format!("{}, {}", case["name"], case["paragraph"]);
        assert_eq!(lamp, case["lamp"].as_str().unwrap(), "{told}");
        assert_eq!(code, case["code"].as_str().unwrap(), "{told}");
        assert_eq!(came_back, case["came_back"].as_u64(), "{told}");
    }
}

/// A warm-up temperature of 60 °C for diesel engines is from memory; the rule takes it as data.
#[test]
fn another_warm_up_temperature_can_be_set() {
    let mut trips: Vec<_> = (0..3).map(|n| trip(n, true, false)).collect();
    trips.extend((3..43).map(|n| Trip {
        start_coolant: Some(Temperature::from_celsius(5.0)),
        peak_coolant: Some(Temperature::from_celsius(64.0)),
        ..trip(n, true, false)
    }));
    let federal = Rules::us_light();
    let diesel = Rules {
        warm_up_reaches: Temperature::from_celsius(60.0),
        ..federal.clone()
    };
    assert_eq!(
        Watch::count(&federal, &trips).code,
        Memory::Stored {
            warm_ups: 0,
            needed: 40
        }
    );
    assert_eq!(Watch::count(&diesel, &trips).code, Memory::Erased);
    let kept: Rules = serde_json::from_str(&serde_json::to_string(&diesel).unwrap()).unwrap();
    assert_eq!(kept, diesel);
}

#[test]
fn the_sentences_say_what_is_missing() {
    let rules = Rules::us_light();
    let said = |trips: &[Trip]| Watch::count(&rules, trips).sentences(&rules).join("\n");

    let two = said(&[trip(0, true, false), trip(1, true, false)]);
    assert!(
        two.contains("Before the lamp goes out: 1 more trip in which the monitor runs"),
        "{two}"
    );
    assert!(two.contains("2 of 3 counted (86.1806-05(d)(1))"), "{two}");
    assert!(
        two.contains("40 more warm-up cycles without the fault, counted once the lamp is out"),
        "{two}"
    );
    assert!(
        two.contains("at least 22.2 K and reaches at least 71.1 °C"),
        "{two}"
    );
    assert!(two.contains("cannot erase a permanent code"), "{two}");

    let back = said(&[trip(0, true, false), trip(1, true, true)]);
    assert!(back.contains("seen again in trip 2"), "{back}");

    let done = said(&(0..43).map(|n| warm(trip(n, true, false))).collect::<Vec<_>>());
    assert_eq!(
        done,
        "The lamp may be out: the good trips were driven (86.1806-05(d)(1)).\n\
         The code may be erased by the module (86.1806-05(e)(3))."
    );
    let misfire = Rules::us_light().for_fuel_or_misfire();
    let asked = Watch::count(&misfire, &[]).sentences(&misfire).join("\n");
    assert!(asked.contains("within 375 rpm, load within 20 %"), "{asked}");
    assert!(OTHER_MARKETS[..2].iter().all(|text| text.contains("from memory")));
}

#[test]
fn a_trip_is_kept_in_kelvin() {
    let kept = serde_json::to_value(warm(trip(0, true, false))).unwrap();
    assert_eq!(kept["start_coolant_k"], 293.15);
    let short = r#"{"at":"2024-01-01T00:00:00Z","monitor_ran":true,"fault_seen":false}"#;
    let read: Trip = serde_json::from_str(short).unwrap();
    assert_eq!((read.peak_coolant, read.similar_conditions), (None, None));
    let broken = Trip {
        peak_coolant: Some(Temperature::from_si(f64::NAN)),
        ..warm(trip(0, true, false))
    };
    assert!(!Rules::us_light().is_warm_up(&broken));
}

/// Trips at different hours; mostly good and warm, so that lamps go out and codes are erased.
fn trips() -> impl Strategy<Value = Vec<Trip>> {
    let one = (
        prop::bool::weighted(0.8),
        prop::bool::weighted(0.02),
        prop::bool::weighted(0.03),
        prop::option::of(any::<bool>()),
        prop::option::of(-20.0..80.0_f64),
        prop::option::weighted(0.95, 50.0..100.0_f64),
    );
    prop::collection::vec(one, 0..120).prop_map(|drawn| {
        let made = drawn.into_iter().enumerate();
        made.map(|(n, (ran, fault, other, similar, start, peak))| Trip {
            other_fault_seen: other,
            similar_conditions: similar,
            start_coolant: start.map(Temperature::from_celsius),
            peak_coolant: peak.map(Temperature::from_celsius),
            ..trip(2 * n, ran, fault)
        })
        .collect()
    })
}

fn any_rules() -> impl Strategy<Value = Rules> {
    prop_oneof![
        Just(Rules::us_light()),
        Just(Rules::us_heavy()),
        Just(Rules::us_light().for_fuel_or_misfire())
    ]
}

proptest! {
    /// Only the time of the trips orders them.
    #[test]
    fn the_order_of_the_list_changes_nothing((rules, trips, mixed) in (any_rules(), trips()).prop_flat_map(|(rules, trips)| {
        let mixed = Just(trips.clone()).prop_shuffle();
        (Just(rules), Just(trips), mixed)
    })) {
        let (one, two) = (Watch::count(&rules, &trips), Watch::count(&rules, &mixed));
        prop_assert_eq!((one.lamp, one.code), (two.lamp, two.code));
        prop_assert_eq!(one.came_back.map(|index| trips[index]), two.came_back.map(|index| mixed[index]));
    }

    /// A trip in which the monitor did not run never changes the lamp; without warm-up, nothing at all.
    #[test]
    fn an_idle_trip_changes_nothing(rules in any_rules(), trips in trips(), place in 0_usize..240) {
        let before = Watch::count(&rules, &trips);
        let with = |idle: Trip| {
            let mut more = trips.clone();
            more.push(Trip { at: hour(2 * (place / 2) + 1), ..idle });
            Watch::count(&rules, &more)
        };
        prop_assert_eq!(with(trip(0, false, false)), before);
        prop_assert_eq!(with(warm(trip(0, false, false))).lamp, before.lamp);
    }

    /// After the fault the count is as if the watch had begun there.
    #[test]
    fn the_fault_begins_everything_again(rules in any_rules(), earlier in trips(), later in trips()) {
        let mut all = earlier.clone();
        let fault = all.len();
        all.push(trip(1000, true, true));
        all.extend(later.iter().enumerate().map(|(n, one)| Trip { at: hour(1001 + n), ..*one }));
        let (whole, part) = (Watch::count(&rules, &all), Watch::count(&rules, &later));
        prop_assert_eq!((whole.lamp, whole.code), (part.lamp, part.code));
        prop_assert!(whole.came_back.unwrap() <= fault);
    }

    /// A code is erased only with the lamp out.
    #[test]
    fn no_code_goes_before_the_lamp(rules in any_rules(), trips in trips()) {
        let watch = Watch::count(&rules, &trips);
        prop_assert!(watch.code != Memory::Erased || watch.lamp == Lamp::Out);
    }
}
