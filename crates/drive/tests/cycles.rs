//! Driving cycles and warm-up cycles at the edges of their definitions: 40 CFR 86.010-18(a)(4), 86.010-2 and 86.1803-01, annual
//! edition of 2015. The drives are drawn by hand.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use drive::{Import, TripRules, read, trips};
use std::fmt::Write as _;

/// A drive of `(seconds, rpm, coolant in °F)`, a row a second, the coolant straight between.
fn drive(parts: &[(usize, f64, f64)]) -> drive::Recording {
    let mut text = "time (s),engine rpm,coolant temperature (°F)\n".to_owned();
    let mut at = 0;
    let mut coolant = parts[0].2;
    for (seconds, rpm, to) in parts {
        for step in 1..=*seconds {
            let now = coolant + (to - coolant) * step as f64 / *seconds as f64;
            writeln!(text, "{at},{rpm},{now:.4}").unwrap();
            at += 1;
        }
        coolant = *to;
    }
    read(text.as_bytes(), &Import::default()).unwrap()
}

fn counted(parts: &[(usize, f64, f64)]) -> (usize, usize) {
    let trips = trips(&drive(parts), &TripRules::default());
    assert_eq!(trips.missing, Vec::<String>::new());
    (trips.driving_cycles, trips.warm_up_cycles)
}

#[test]
fn a_cold_start_to_warm_is_one_of_each() {
    assert_eq!(
        counted(&[(5, 0.0, 68.0), (300, 1500.0, 190.0), (5, 0.0, 190.0)]),
        (1, 1)
    );
}

#[test]
fn a_rise_of_just_40_to_just_160_counts() {
    assert_eq!(
        counted(&[(5, 0.0, 120.0), (100, 1500.0, 160.0), (5, 0.0, 160.0)]),
        (1, 1)
    );
}

#[test]
fn a_rise_of_39_is_none() {
    assert_eq!(
        counted(&[(5, 0.0, 121.0), (100, 1500.0, 160.0), (5, 0.0, 160.0)]),
        (1, 0)
    );
}

#[test]
fn warm_at_159_is_none() {
    assert_eq!(
        counted(&[(5, 0.0, 32.0), (100, 1500.0, 159.0), (5, 0.0, 159.0)]),
        (1, 0)
    );
}

#[test]
fn a_hot_start_is_none() {
    assert_eq!(
        counted(&[(5, 0.0, 185.0), (300, 1500.0, 205.0), (5, 0.0, 205.0)]),
        (1, 0)
    );
}

#[test]
fn two_starts_are_two_and_the_second_is_hot() {
    let parts = [
        (5, 0.0, 68.0),
        (300, 1500.0, 190.0),
        (30, 0.0, 188.0),
        (100, 1500.0, 195.0),
        (5, 0.0, 195.0),
    ];
    assert_eq!(counted(&parts), (2, 1));
}

#[test]
fn the_starter_alone_is_no_start() {
    assert_eq!(
        counted(&[(5, 0.0, 68.0), (5, 220.0, 68.0), (5, 0.0, 68.0)]),
        (0, 0)
    );
}

#[test]
fn the_engine_has_started_150_below_its_warm_idle() {
    // No warm idle is seen: 750 rpm, so 600 is a start and 599 is none.
    assert_eq!(
        counted(&[(5, 0.0, 68.0), (60, 600.0, 70.0), (5, 0.0, 70.0)]),
        (1, 0)
    );
    assert_eq!(
        counted(&[(5, 0.0, 68.0), (60, 599.0, 70.0), (5, 0.0, 70.0)]),
        (0, 0)
    );
}

#[test]
fn four_hours_on_end_begin_another() {
    assert_eq!(
        counted(&[(5, 0.0, 68.0), (14_300, 1500.0, 190.0), (5, 0.0, 190.0)]),
        (1, 1)
    );
    assert_eq!(
        counted(&[(5, 0.0, 68.0), (14_500, 1500.0, 190.0), (5, 0.0, 190.0)]),
        (2, 1)
    );
}

#[test]
fn a_recording_that_begins_on_the_way_says_so() {
    let recording = drive(&[(100, 1500.0, 100.0), (300, 1500.0, 190.0)]);
    let trips = trips(&recording, &TripRules::default());
    assert_eq!((trips.driving_cycles, trips.warm_up_cycles), (1, 1));
    assert!(
        trips.events[0].reason.contains("ran when the recording began"),
        "{:?}",
        trips.events
    );
}

#[test]
fn a_gap_in_the_record_is_no_stop() {
    let text = "time (s),engine rpm,coolant temperature (°F)\n0,0,68\n1,1500,68\n2,1500,90\n3,,100\n300,,150\n301,1500,190\n302,1500,190\n";
    let recording = read(text.as_bytes(), &Import::default()).unwrap();
    let trips = trips(&recording, &TripRules::default());
    assert_eq!((trips.driving_cycles, trips.warm_up_cycles), (1, 1));
}

#[test]
fn without_the_signals_it_is_said() {
    let recording = read(b"time,vehicle speed\n0,0\n1,5\n", &Import::default()).unwrap();
    let trips = trips(&recording, &TripRules::default());
    assert_eq!(trips.driving_cycles, 0);
    assert_eq!(trips.missing.len(), 1);
}
