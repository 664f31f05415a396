//! A file kept column by column (Parquet) as the same table of figures that a text gives.
//!
//! Figures of any width and sort become figures, times become seconds, words are read as a cell of a text is. Only columns that are
//! wanted are unpacked, batch after batch.

use super::cells::{Told, named, parted, word_column};
use super::{Import, ImportError, Raw, Table, Tag, UNITS};
use crate::recording::{Dropped, Finding};
use arrow::array::{Array, ArrayRef, AsArray};
use arrow::compute::cast;
use arrow::datatypes::{DataType, Field, Float64Type, Int64Type, TimeUnit};
use arrow::error::ArrowError;
use arrow::record_batch::RecordBatch;
use bytes::Bytes;
use parquet::arrow::ProjectionMask;
use parquet::arrow::arrow_reader::{ArrowReaderOptions, ParquetRecordBatchReaderBuilder};
use std::fmt::Display;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Rows unpacked at once.
const BATCH: usize = 32_768;
/// Most figures that a file may unpack to: 2 GiB of them. A few bytes can stand for any number of equal figures.
const MOST: u64 = 1 << 28;

/// The table, and whether the file says that it was made up.
///
/// The library stops at some figures of a broken file that cannot be instead of saying so: such a file is refused like any other.
pub(super) fn read(
    bytes: &[u8],
    how: &Import,
    dropped: &mut Dropped,
    findings: &mut Vec<Finding>,
) -> Result<(Table, bool), ImportError> {
    let whole = catch_unwind(AssertUnwindSafe(|| unpacked(bytes, how, dropped, findings)));
    whole.unwrap_or_else(|_| {
        Err(ImportError::Parquet {
            why: "what it says of itself contradicts itself; it is broken".to_owned(),
        })
    })
}

fn unpacked(
    bytes: &[u8],
    how: &Import,
    dropped: &mut Dropped,
    findings: &mut Vec<Finding>,
) -> Result<(Table, bool), ImportError> {
    // The types that the file's own columns have, not those that its writer had in mind: what follows reads either.
    let builder = ParquetRecordBatchReaderBuilder::try_new_with_options(
        Bytes::copy_from_slice(bytes),
        ArrowReaderOptions::new(),
    )
    .map_err(said)?;
    let simulated = says_simulated(&builder);
    let fields = builder.schema().fields().clone();
    let names: Vec<String> = fields.iter().map(|field| field.name().clone()).collect();
    let units: Vec<String> = fields.iter().map(|field| unit(field)).collect();
    let mut columns = named(&names, &units);
    let words = word_column(&columns);
    let wanted: Vec<usize> = (0..columns.len())
        .filter(|at| words.is_some() || how.wants(&columns[*at].name))
        .collect();
    let rows = u64::try_from(builder.metadata().file_metadata().num_rows()).unwrap_or(u64::MAX);
    if rows.saturating_mul(wanted.len() as u64) > MOST {
        return Err(ImportError::Parquet {
            why: format!(
                "it holds {rows} rows of {} columns that may matter, more than a recording can have",
                wanted.len()
            ),
        });
    }
    let mask = ProjectionMask::roots(builder.parquet_schema(), wanted.iter().copied());
    let reader = builder
        .with_projection(mask)
        .with_batch_size(BATCH)
        .build()
        .map_err(said)?;
    let mut table = Table::default();
    let mut told = Told::default();
    for batch in reader {
        let batch = batch.map_err(said)?;
        let mut place = Place {
            row: table.rows,
            told: &mut told,
            dropped,
            findings,
        };
        for (array, at) in batch.columns().iter().zip(&wanted) {
            if words == Some(*at) {
                let filled = columns[*at].figures.len() + array.len();
                columns[*at].figures.resize(filled, f64::NAN);
            } else {
                append(&mut columns[*at], array, &mut place).map_err(said)?;
            }
        }
        let tags = tags(&batch, &columns, words).map_err(said)?;
        table.tags.extend(tags);
        table
            .at
            .extend((table.rows + 1)..=(table.rows + batch.num_rows()));
        table.rows += batch.num_rows();
    }
    let mut at = 0;
    columns.retain(|_| {
        at += 1;
        wanted.contains(&(at - 1))
    });
    table.columns = columns;
    Ok((table, simulated))
}

fn said(error: impl Display) -> ImportError {
    ImportError::Parquet {
        why: error.to_string(),
    }
}

/// Whether the words that the file keeps beside its columns say so.
fn says_simulated<T: parquet::file::reader::ChunkReader + 'static>(
    builder: &ParquetRecordBatchReaderBuilder<T>,
) -> bool {
    let words = builder.metadata().file_metadata().key_value_metadata();
    words.into_iter().flatten().any(|word| {
        // The schema as Arrow has it stands there too, as letters without meaning.
        let about = |text: &str| text.to_lowercase().contains("simulated");
        word.key != "ARROW:schema" && (about(&word.key) || word.value.as_deref().is_some_and(about))
    })
}

/// What a column's own words say of its unit.
fn unit(field: &Field) -> String {
    let words = field.metadata();
    let said = words.get("unit").or_else(|| words.get("units"));
    said.cloned().unwrap_or_default()
}

/// Where in the file a batch stands, and what is told of it.
struct Place<'p> {
    /// Rows before it.
    row: usize,
    told: &'p mut Told,
    dropped: &'p mut Dropped,
    findings: &'p mut Vec<Finding>,
}

/// The figures of one batch of a column behind those before it.
fn append(raw: &mut Raw, array: &ArrayRef, place: &mut Place) -> Result<(), ArrowError> {
    match array.data_type() {
        DataType::Timestamp(unit, _) | DataType::Time32(unit) | DataType::Time64(unit) => {
            raw.clock = true;
            append_times(raw, array, 1, per_second(*unit))
        }
        DataType::Duration(unit) => {
            "s".clone_into(&mut raw.unit);
            append_times(raw, array, 1, per_second(*unit))
        }
        DataType::Date32 => {
            raw.clock = true;
            append_times(raw, &cast(array, &DataType::Int32)?, 86_400, 1.0)
        }
        DataType::Date64 => {
            raw.clock = true;
            append_times(raw, array, 1, 1e3)
        }
        DataType::Utf8 | DataType::LargeUtf8 | DataType::Utf8View => append_words(raw, array, place),
        DataType::Dictionary(_, of) => append(raw, &cast(array, of)?, place),
        kind if kind.is_numeric() || *kind == DataType::Boolean => {
            let figures = cast(array, &DataType::Float64)?;
            let figures = figures.as_primitive::<Float64Type>();
            for row in 0..figures.len() {
                let figure = if figures.is_null(row) {
                    f64::NAN
                } else {
                    figures.value(row)
                };
                if figure.is_infinite() {
                    place.dropped.cells += 1;
                }
                raw.figures
                    .push(if figure.is_finite() { figure } else { f64::NAN });
            }
            Ok(())
        }
        kind => {
            if place.row == 0 {
                place.findings.push(Finding {
                    row: None,
                    column: Some(raw.name.clone()),
                    what: format!("holds {kind}, which are no figures; it is left as gaps"),
                });
            }
            let filled = raw.figures.len() + array.len();
            raw.figures.resize(filled, f64::NAN);
            Ok(())
        }
    }
}

fn per_second(unit: TimeUnit) -> f64 {
    match unit {
        TimeUnit::Second => 1.0,
        TimeUnit::Millisecond => 1e3,
        TimeUnit::Microsecond => 1e6,
        TimeUnit::Nanosecond => 1e9,
    }
}

/// Times in units of `seconds` or `per_second` to the second, one of which is 1.
fn append_times(raw: &mut Raw, array: &ArrayRef, seconds: i64, per_second: f64) -> Result<(), ArrowError> {
    let whole = cast(array, &DataType::Int64)?;
    let whole = whole.as_primitive::<Int64Type>();
    for row in 0..whole.len() {
        raw.figures.push(if whole.is_null(row) {
            f64::NAN
        } else {
            whole.value(row).saturating_mul(seconds) as f64 / per_second
        });
    }
    Ok(())
}

fn append_words(raw: &mut Raw, array: &ArrayRef, place: &mut Place) -> Result<(), ArrowError> {
    let words = cast(array, &DataType::Utf8)?;
    let words = words.as_string::<i32>();
    for row in 0..words.len() {
        let cell = if words.is_null(row) { "" } else { words.value(row) };
        let before = place.row + row;
        let at = (before + 1, before);
        let figure = place.told.cell(raw, cell, '.', at, place.dropped, place.findings);
        raw.figures.push(figure);
    }
    Ok(())
}

/// What each row is about, where a column holds names of signals.
fn tags(batch: &RecordBatch, columns: &[Raw], words: Option<usize>) -> Result<Vec<Option<Tag>>, ArrowError> {
    let Some(at) = words else {
        return Ok(vec![None; batch.num_rows()]);
    };
    let names = cast(batch.column(at), &DataType::Utf8)?;
    let names = names.as_string::<i32>();
    let units = columns
        .iter()
        .position(|column| column.is_called(UNITS))
        .map(|at| cast(batch.column(at), &DataType::Utf8))
        .transpose()?;
    let units = units.as_ref().map(AsArray::as_string::<i32>);
    let tags = (0..batch.num_rows()).map(|row| {
        let (name, unit) = parted(if names.is_null(row) { "" } else { names.value(row) });
        let own = units.filter(|units| !units.is_null(row));
        Some(Tag {
            name,
            unit: own.map_or(unit, |units| units.value(row).trim().to_owned()),
        })
    });
    Ok(tags.collect())
}
