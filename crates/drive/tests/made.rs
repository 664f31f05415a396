//! Simulated drives are read back like any recording, and what was made wrong is what stands out.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use drive::made::{Journey, Response, as_frames, as_table, drive};
use drive::{FeatureKind, Import, Recording, Signal, TripRules, features, read, trips};
use quantity::{Pressure, RotationalSpeed, Temperature, Voltage};

fn journey(response: Response) -> Journey {
    Journey {
        response,
        barometer: Pressure::from_si(83_000.0),
        outside: Temperature::from_celsius(12.0),
        seed: 7,
        words: "invented van".to_owned(),
    }
}

fn table(response: Response) -> Recording {
    let text = as_table(&drive(&journey(response)));
    read(text.as_bytes(), &Import::default()).unwrap()
}

fn log(response: Response) -> Recording {
    let text = as_frames(&drive(&journey(response)));
    read(text.as_bytes(), &Import::default()).unwrap()
}

/// Figures of the features of one kind, SI.
fn figures(recording: &Recording, kind: FeatureKind) -> Vec<f64> {
    let all = features(recording).into_iter();
    all.filter(|feature| feature.kind == kind)
        .map(|feature| feature.value.si())
        .collect()
}

fn odd(recording: &Recording) -> Vec<FeatureKind> {
    let all = features(recording).into_iter();
    all.filter(|feature| feature.as_usual() == Some(false))
        .map(|feature| feature.kind)
        .collect()
}

const ALL: &[Signal] = &[
    Signal::EngineSpeed,
    Signal::VehicleSpeed,
    Signal::Coolant,
    Signal::IntakeAir,
    Signal::IntakePressure,
    Signal::BoostCommanded,
    Signal::Barometer,
    Signal::BoostDuty,
    Signal::AirFlow,
    Signal::Load,
    Signal::Pedal,
    Signal::Voltage,
    Signal::RunTime,
];

#[test]
fn a_sound_vehicle_has_nothing_odd_and_says_that_it_is_simulated() {
    for recording in [table(Response::default()), log(Response::default())] {
        assert!(recording.simulated);
        for signal in ALL {
            assert!(recording.column(*signal).is_some(), "{}", signal.name());
        }
        assert_eq!(odd(&recording), [], "{:#?}", features(&recording));
        let trips = trips(&recording, &TripRules::default());
        assert_eq!((trips.driving_cycles, trips.warm_up_cycles), (1, 1));
    }
}

#[test]
fn the_table_and_the_log_hold_the_same_figures() {
    let (table, log) = (table(Response::default()), log(Response::default()));
    for signal in ALL {
        let range = |recording: &Recording| {
            let own = recording.values(*signal).unwrap().iter().copied();
            own.filter(|value| value.is_finite())
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), value| {
                    (least.min(value), most.max(value))
                })
        };
        let ((a, b), (c, d)) = (range(&table), range(&log));
        // The table shows three decimals of its unit.
        let close = |one: f64, other: f64| (one - other).abs() <= 1e-3 * one.abs().max(1e-3) + 1e-6;
        assert!(close(a, c) && close(b, d), "{}: {a} {b}, {c} {d}", signal.name());
    }
}

/// The published distance of the cycle, 11.007 km (transportpolicy.net): whole km/h and their sum over the drive.
#[test]
fn the_way_driven_is_the_published_one() {
    let recording = table(Response::default());
    let speed = recording.values(Signal::VehicleSpeed).unwrap();
    let way: f64 = recording
        .time
        .windows(2)
        .zip(speed)
        .map(|(pair, speed)| (pair[1] - pair[0]) * speed)
        .sum();
    assert!((way / 11_007.0 - 1.0).abs() < 5e-3, "{way}");
    assert!((speed.iter().copied().fold(0.0, f64::max) * 3.6 - 120.0).abs() < 1e-9);
}

#[test]
fn an_actuator_that_goes_a_third_of_its_way_leaves_boost_behind() {
    let weak = Response {
        actuator: vec![
            (RotationalSpeed::from_si(800.0 / 60.0), 0.3),
            (RotationalSpeed::from_si(2_000.0 / 60.0), 0.35),
        ],
        ..Response::default()
    };
    let recording = table(weak);
    let short = figures(&recording, FeatureKind::BoostHeld);
    assert!(short[0] < -1e4, "{short:?}");
    let held = figures(&table(Response::default()), FeatureKind::BoostHeld);
    assert!(held[0].abs() < 5e3, "{held:?}");
    let odd = odd(&recording);
    assert!(odd.contains(&FeatureKind::BoostHeld), "{odd:?}");
    assert!(!odd.contains(&FeatureKind::KeyOnPressure), "{odd:?}");
}

#[test]
fn cranking_charging_and_a_sensor_that_is_off_are_found_as_they_were_made() {
    let weak = Response {
        resting: Voltage::from_si(12.1),
        cranking: Voltage::from_si(8.4),
        charging: Voltage::from_si(12.6),
        intake_off_by: Pressure::from_si(9e3),
        ..Response::default()
    };
    for recording in [table(weak.clone()), log(weak)] {
        let one = |kind| figures(&recording, kind)[0];
        // The scatter of the supply is 15 mV, whole kilopascals.
        assert!((one(FeatureKind::CrankingVoltage) - 8.4).abs() < 0.03);
        assert!((one(FeatureKind::ChargingVoltage) - 12.6).abs() < 0.03);
        assert!((one(FeatureKind::KeyOnPressure) - 9e3).abs() <= 1e3);
        let odd = odd(&recording);
        for kind in [
            FeatureKind::CrankingVoltage,
            FeatureKind::ChargingVoltage,
            FeatureKind::KeyOnPressure,
        ] {
            assert!(odd.contains(&kind), "{kind:?} of {odd:?}");
        }
    }
}

#[test]
fn a_starter_that_hardly_turns_starts_nothing() {
    let dead = Response {
        cranked_at: RotationalSpeed::from_si(0.5),
        cranking: Voltage::from_si(7.0),
        ..Response::default()
    };
    let recording = table(dead);
    let trips = trips(&recording, &TripRules::default());
    assert_eq!((trips.driving_cycles, trips.warm_up_cycles), (0, 0));
    assert!(recording.length() < 30.0);
}

#[test]
fn the_same_seed_writes_the_same_bytes() {
    let text = |seed| {
        as_table(&drive(&Journey {
            seed,
            ..journey(Response::default())
        }))
    };
    assert_eq!(text(3), text(3));
    assert_ne!(text(3), text(4));
}
