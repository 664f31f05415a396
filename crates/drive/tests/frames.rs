//! Logs of raw frames: an invented drive asked for by service 01, with codes by 03 and 07.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use drive::{CodeList, Import, ImportError, Signal, TripRules, read, trips};
use std::fmt::Write as _;

/// Key on, start, warming from 20 to 90 °C, off; asked for a signal every tenth of a second.
fn log() -> String {
    let mut text = String::new();
    for second in 0..200_u32 {
        let rpm = if (5..195).contains(&second) { 800 * 4 } else { 0 };
        let coolant = 60 + (second.clamp(5, 145) - 5) / 2;
        writeln!(text, "({second}.000000) can0 7DF#02010C0000000000").unwrap();
        writeln!(text, "({second}.010000) can0 7E8#04410C{rpm:04X}").unwrap();
        writeln!(text, "({second}.110000) can0 7E8#034105{coolant:02X}").unwrap();
        // The barometer and the voltage in one message of two frames.
        writeln!(text, "({second}.210000) can0 7E8#10084133624237A6").unwrap();
        writeln!(text, "({second}.211000) can0 7E0#300000").unwrap();
        writeln!(text, "({second}.220000) can0 7E8#210D00AAAAAAAA").unwrap();
    }
    text.push_str("(200.1) can0 7E8#0643020299040200\n(200.2) can0 7E9#04470102994100\n");
    text
}

#[test]
fn a_log_of_frames_is_a_recording() {
    let text = log();
    let recording = read(text.as_bytes(), &Import::default()).unwrap();
    let trips = trips(&recording, &TripRules::default());
    assert_eq!(
        (trips.driving_cycles, trips.warm_up_cycles),
        (1, 1),
        "{:?}",
        trips.events
    );
    let codes: Vec<(&str, CodeList)> = recording
        .codes
        .iter()
        .map(|code| (code.code.as_str(), code.list))
        .collect();
    assert_eq!(
        codes,
        [
            ("P0299", CodeList::Stored),
            ("P0402", CodeList::Stored),
            ("P0299", CodeList::Pending)
        ]
    );
    let coolant = recording.values(Signal::Coolant).unwrap();
    assert!(
        (coolant
            .iter()
            .copied()
            .filter(|value| value.is_finite())
            .fold(0.0, f64::max)
            - 363.15)
            .abs()
            < 1e-9
    );
}

#[test]
fn a_signal_is_held_until_it_is_read_again_and_no_longer() {
    let text = "(0.0) can0 7E8#03410564\n(0.5) can0 7E8#04410C0C80\n(0.9) can0 7E8#04410C0C80\n(1.0) can0 7E8#03410565\n(5.0) can0 7E8#04410C0C80\n";
    let recording = read(text.as_bytes(), &Import::default()).unwrap();
    let coolant = recording.values(Signal::Coolant).unwrap();
    assert!((coolant[1] - coolant[0]).abs() < 1e-12);
    assert!(coolant[4].is_nan(), "{coolant:?}");
}

#[test]
fn broken_messages_are_counted_and_left_out() {
    let text = "(0.0) can0 7E8#04410C0C80\n(0.1) can0 7E8#10084133624237A6\n(0.2) can0 7E8#250D00AAAAAAAA\nnot a frame\n(0.3) can0 7E8#0541\n";
    let recording = read(text.as_bytes(), &Import::default()).unwrap();
    assert_eq!(recording.dropped.rows, 1);
    let told: Vec<&str> = recording
        .findings
        .iter()
        .map(|finding| finding.what.as_str())
        .collect();
    assert!(told.iter().any(|told| told.starts_with("2 messages")), "{told:?}");
    assert_eq!(recording.findings[0].row, Some(4));
}

#[test]
fn frames_without_an_answer_say_so() {
    let text = "(0.0) can0 123#0102\n(0.1) can0 124#0102\n";
    assert_eq!(
        read(text.as_bytes(), &Import::default()),
        Err(ImportError::NoAnswers { frames: 2 })
    );
}
