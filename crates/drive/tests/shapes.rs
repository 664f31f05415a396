//! Recordings in the shapes that recorders write, and in those they should not.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use drive::{Import, ImportError, Recording, Signal, read};
use std::fmt::Write as _;

fn taken(text: &str) -> Recording {
    read(text.as_bytes(), &Import::default()).unwrap()
}

fn speeds(recording: &Recording) -> Vec<f64> {
    let rpm = recording.values(Signal::EngineSpeed).unwrap();
    rpm.iter().map(|speed| (speed * 60.0).round()).collect()
}

#[test]
fn the_same_drive_in_many_shapes_is_the_same_drive() {
    let shapes = [
        "time,engine rpm,coolant temp\n0,800,20\n1,820,21\n2,840,22\n",
        "time;engine rpm;coolant temp\n0,0;800,0;20,0\n1,0;820,0;21,0\n2,0;840,0;22,0\n",
        "time\tengine rpm\tcoolant temp\n0\t800\t20\n1\t820\t21\n2\t840\t22\n",
        "Recorder 3\nmade on a Monday\n\nTime (s),Engine RPM (1/min),Coolant temperature (C)\n0,800,20\n1,820,21\n2,840,22\n",
        "Time,Engine RPM,Coolant temperature\ns,rpm,°C\n0,800,20\n1,820,21\n2,840,22\n",
        "time,engine rpm,coolant temp\n10:00:00,800,20\n10:00:01,820,21\n10:00:02,840,22\n",
        "time,engine rpm,coolant temp\n2026-05-01T10:00:00Z,800,20\n2026-05-01T10:00:01Z,820,21\n2026-05-01T10:00:02Z,840,22\n",
        "Time (ms),Engine RPM,Coolant [°F]\n0,800,68\n1000,820,69.8\n2000,840,71.6\n",
        "\u{feff}time,engine rpm,coolant temp,\n0,800,20,\n1,820,21,\n2,840,22,\n",
        "\"time\",\"engine rpm\",\"coolant temp\"\r\n\"0\",\"800\",\"20\"\r\n\"1\",\"820\",\"21\"\r\n\"2\",\"840\",\"22\"\r\n",
        "time,signal,value,unit\n0,engine rpm,800,rpm\n0,coolant temp,20,°C\n1,engine rpm,820,rpm\n1,coolant temp,21,°C\n2,engine rpm,840,rpm\n2,coolant temp,22,°C\n",
    ];
    for shape in shapes {
        let recording = taken(shape);
        assert_eq!(recording.time, [0.0, 1.0, 2.0], "{shape}");
        assert_eq!(speeds(&recording), [800.0, 820.0, 840.0], "{shape}");
        let coolant = recording.values(Signal::Coolant).unwrap();
        assert!((coolant[2] - 295.15).abs() < 1e-9, "{shape}: {coolant:?}");
        assert_eq!(
            recording.dropped,
            drive::read(shape.as_bytes(), &Import::default()).unwrap().dropped
        );
    }
}

#[test]
fn sixteen_bit_letters_and_old_letters_are_read() {
    let text = "time,engine rpm,coolant [°C]\n0,800,20\n1,820,21\n";
    let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert_eq!(speeds(&read(&wide, &Import::default()).unwrap()), [800.0, 820.0]);
    let old: Vec<u8> = text
        .chars()
        .map(|letter| u8::try_from(u32::from(letter)).unwrap())
        .collect();
    let recording = read(&old, &Import::default()).unwrap();
    assert_eq!(
        recording.column(Signal::Coolant).unwrap().unit.unwrap().symbol(),
        "°C"
    );
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(32))]

    /// Whatever stands in a file, what is taken is in order, and every row is used or counted.
    #[test]
    fn every_row_is_used_or_counted(rows in proptest::collection::vec((-5.0..50.0_f64, -10.0..9000.0_f64), 3..40)) {
        let mut text = "time,engine rpm\n".to_owned();
        for (time, rpm) in &rows {
            writeln!(text, "{time:.1},{rpm:.0}").unwrap();
        }
        let recording = taken(&text);
        let dropped = recording.dropped;
        proptest::prop_assert!(recording.time.windows(2).all(|pair| pair[0] < pair[1]));
        proptest::prop_assert_eq!(recording.time.len() + dropped.repeated + dropped.backwards + dropped.rows, rows.len());
    }
}

#[test]
fn what_is_unsound_is_left_out_and_counted() {
    let recording = taken(
        "time,engine rpm,coolant temp,boost pressure\n0,800,20,101\n1,abc,21,101\n1,820,21,101\n0.5,830,22,101\n2,840\n3,,23,101\n4,860,24,101\n5,880,25,\n",
    );
    assert_eq!(recording.time, [0.0, 1.0, 2.0, 3.0, 4.0, 5.0]);
    assert_eq!(recording.dropped.cells, 1);
    assert_eq!(recording.dropped.repeated, 1);
    assert_eq!(recording.dropped.backwards, 1);
    let back = recording
        .findings
        .iter()
        .find(|finding| finding.what.contains("backwards"))
        .unwrap();
    assert_eq!(back.row, Some(5));
    let word = recording
        .findings
        .iter()
        .find(|finding| finding.what.contains("abc"))
        .unwrap();
    assert_eq!((word.row, word.column.as_deref()), (Some(3), Some("engine rpm")));
}

#[test]
fn a_file_without_a_recording_says_what_is_missing() {
    let error = |text: &str| read(text.as_bytes(), &Import::default()).unwrap_err();
    assert_eq!(error(""), ImportError::Empty);
    assert_eq!(error("\n \n"), ImportError::Empty);
    assert!(matches!(
        error("dear customer,\nthe car is slow\n"),
        ImportError::NoTable { .. }
    ));
    assert!(matches!(error("time,engine rpm\n"), ImportError::NoTable { .. }));
    assert!(read(&[0, 159, 146, 150, 0, 1, 2, 3, 4, 5, 6, 7], &Import::default()).is_err());
}

#[test]
fn units_that_contradict_the_figures_are_said() {
    let mut text = "time,coolant temp (°C),barometer (kPa)\n".to_owned();
    for row in 0..20 {
        writeln!(text, "{row},{},99", 300 + row).unwrap();
    }
    let recording = taken(&text);
    let named: Vec<&str> = recording
        .findings
        .iter()
        .filter_map(|finding| finding.column.as_deref())
        .collect();
    assert!(
        recording.column(Signal::Coolant).is_none() || named.contains(&"coolant temp"),
        "{:?}",
        recording.findings
    );
}

#[test]
fn a_person_has_the_last_word() {
    let how = Import {
        assigned: vec![drive::Assigned {
            column: "channel 7".to_owned(),
            signal: Some(Signal::EngineSpeed),
            unit: None,
        }],
        ..Import::default()
    };
    let recording = read(b"time,channel 7\n0,800\n1,820\n", &how).unwrap();
    assert_eq!(speeds(&recording), [800.0, 820.0]);
    assert!(matches!(
        read(b"time,channel 8\n0,800\n1,820\n", &how),
        Err(ImportError::NoColumn { .. })
    ));
}
