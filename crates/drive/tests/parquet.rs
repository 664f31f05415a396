//! Files kept column by column, beside the same drive as a table.

#![cfg(feature = "parquet")]
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use arrow::array::{ArrayRef, Float64Array, RecordBatch, StringArray};
use drive::made::{Journey, Response, as_table, drive as made};
use drive::{Import, ImportError, Recording, Signal, features, read};
use parquet::arrow::ArrowWriter;
use parquet::basic::{Compression, ZstdLevel};
use parquet::file::properties::WriterProperties;
use proptest::prelude::*;
use quantity::{Pressure, Temperature};
use std::sync::Arc;

fn file(name: &str) -> Vec<u8> {
    std::fs::read(format!("{}/../../references/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn taken(bytes: &[u8]) -> Recording {
    read(bytes, &Import::default()).unwrap()
}

/// Columns of any name as a file.
fn written(columns: Vec<(&str, ArrayRef)>) -> Vec<u8> {
    let batch = RecordBatch::try_from_iter(columns).unwrap();
    let properties = WriterProperties::builder()
        .set_compression(Compression::ZSTD(ZstdLevel::default()))
        .set_max_row_group_row_count(Some(5_000))
        .build();
    let mut bytes = Vec::new();
    let mut writer = ArrowWriter::try_new(&mut bytes, batch.schema(), Some(properties)).unwrap();
    writer.write(&batch).unwrap();
    writer.close().unwrap();
    bytes
}

fn figures(figures: &[f64]) -> ArrayRef {
    let figures: Float64Array = figures
        .iter()
        .map(|figure| figure.is_finite().then_some(*figure))
        .collect();
    Arc::new(figures)
}

fn same(a: &Recording, b: &Recording) {
    assert_eq!(a.time.len(), b.time.len());
    for (a, b) in a.time.iter().zip(&b.time) {
        assert!((a - b).abs() < 1e-6, "{a} {b}");
    }
    for signal in Signal::all() {
        let (Some(a), Some(b)) = (a.values(signal), b.values(signal)) else {
            assert!(
                a.values(signal).is_none() && b.values(signal).is_none(),
                "{}",
                signal.name()
            );
            continue;
        };
        for (a, b) in a.iter().zip(b) {
            assert!(
                (a.is_nan() && b.is_nan()) || (a - b).abs() <= 1e-9 * b.abs().max(1.0),
                "{}: {a} {b}",
                signal.name()
            );
        }
    }
}

/// `references/drive.parquet`: pyarrow 26.0.1.
#[test]
fn a_file_of_another_writer_is_the_table_beside_it() {
    let (columns, table) = (taken(&file("drive.parquet")), taken(&file("drive_parquet.csv")));
    assert!(columns.simulated && table.simulated);
    assert!(columns.began().is_some());
    assert_eq!(columns.began(), table.began());
    same(&columns, &table);
    for signal in [
        Signal::EngineSpeed,
        Signal::Coolant,
        Signal::Barometer,
        Signal::Voltage,
        Signal::IntakePressure,
    ] {
        assert!(columns.column(signal).is_some(), "{}", signal.name());
    }
    let said = columns
        .findings
        .iter()
        .find(|finding| finding.column.as_deref() == Some("raw"));
    assert!(
        said.unwrap().what.contains("no figures"),
        "{:?}",
        columns.findings
    );
}

#[test]
fn what_is_written_comes_back_and_shows_the_same() {
    let text = as_table(&made(&Journey {
        response: Response::default(),
        barometer: Pressure::from_si(98_000.0),
        outside: Temperature::from_celsius(15.0),
        seed: 3,
        words: "round trip".to_owned(),
    }));
    let table = taken(text.as_bytes());
    let mut all = vec![("time".to_owned(), figures(&table.time))];
    for column in table
        .columns
        .iter()
        .filter(|column| column.signal != Some(Signal::Time))
    {
        let unit = column.unit.map_or("", |unit| unit.symbol());
        let (factor, offset) = column
            .unit
            .map_or((1.0, 0.0), |unit| (unit.factor(), unit.offset()));
        let as_written: Vec<f64> = column
            .values
            .iter()
            .map(|value| (value - offset) / factor)
            .collect();
        all.push((format!("{} [{unit}]", column.name), figures(&as_written)));
    }
    let bytes = written(
        all.iter()
            .map(|(name, array)| (name.as_str(), array.clone()))
            .collect(),
    );
    let back = taken(&bytes);
    same(&back, &table);
    let kinds =
        |recording: &Recording| -> Vec<_> { features(recording).into_iter().map(|one| one.kind).collect() };
    assert_eq!(kinds(&back), kinds(&table));
    let only = Import {
        only: Some(vec![Signal::Voltage]),
        ..Import::default()
    };
    let narrow = read(&bytes, &only).unwrap();
    assert!(narrow.columns.len() < back.columns.len());
    assert_eq!(narrow.values(Signal::Voltage), back.values(Signal::Voltage));
    assert_eq!(narrow.time, back.time);
}

#[test]
fn a_file_with_one_row_per_signal_is_turned() {
    let names: ArrayRef = Arc::new(StringArray::from(vec![
        "engine rpm",
        "coolant temp",
        "engine rpm",
        "coolant temp",
    ]));
    let bytes = written(vec![
        ("time", figures(&[0.0, 0.0, 1.0, 1.0])),
        ("signal", names),
        ("value", figures(&[800.0, 20.0, 820.0, 21.0])),
    ]);
    let recording = taken(&bytes);
    let speed = recording.values(Signal::EngineSpeed).unwrap();
    assert!((speed[1] * 60.0 - 820.0).abs() < 1e-9, "{speed:?}");
    assert!((recording.values(Signal::Coolant).unwrap()[0] - 293.15).abs() < 1e-9);
}

#[test]
fn a_file_that_breaks_off_is_refused_with_a_word() {
    let whole = file("drive.parquet");
    let error = read(&whole[..whole.len() / 2], &Import::default()).unwrap_err();
    assert!(matches!(error, ImportError::Parquet { .. }), "{error}");
    assert!(
        error.to_string().starts_with("the Parquet file cannot be read: "),
        "{error}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn no_broken_byte_stops_the_program(place in 0..6_000_usize, flipped in 1..=255_u8, cut in 0..200_usize) {
        let mut bytes = file("drive.parquet");
        let place = place % bytes.len();
        bytes[place] ^= flipped;
        let end = bytes.len() - if cut > 150 { cut } else { 0 };
        let _ = read(&bytes[..end], &Import::default());
    }
}
