//! Drives and screenings as the engine's columns, and back.

use datafusion::arrow::array::{
    Array, ArrayRef, AsArray, Float64Array, Float64Builder, ListBuilder, StringArray, StructArray,
    UInt64Array,
};
use datafusion::arrow::buffer::NullBuffer;
use datafusion::arrow::datatypes::{DataType, Field, Fields, Float64Type, UInt64Type};
use drive::{Drift, DriveFigures, Screened, Screening};
use quantity::Quantity;
use std::sync::Arc;

/// One drive, or why it gives nothing.
pub(super) type Drive = Result<DriveFigures, String>;

fn field(name: &str, kind: DataType) -> Field {
    Field::new(name, kind, true)
}

/// Columns of one drive.
pub(super) fn drive_type() -> DataType {
    DataType::Struct(drive_fields())
}

fn drive_fields() -> Fields {
    Fields::from(vec![
        field("rows", DataType::UInt64),
        field("codes", DataType::UInt64),
        field("began_s", DataType::Float64),
        field("boost", DataType::Float64),
        field("charging", DataType::Float64),
        field("cranking", DataType::Float64),
        field("trouble", DataType::Utf8),
    ])
}

/// Drives as rows.
pub(super) fn drives_array(drives: &[Drive]) -> StructArray {
    let whole = |part: fn(&DriveFigures) -> u64| -> ArrayRef {
        let all: UInt64Array = drives.iter().map(|drive| drive.as_ref().ok().map(part)).collect();
        Arc::new(all)
    };
    let figure = |part: &dyn Fn(&DriveFigures) -> Option<f64>| -> ArrayRef {
        let all: Float64Array = drives
            .iter()
            .map(|drive| drive.as_ref().ok().and_then(part))
            .collect();
        Arc::new(all)
    };
    let of = |at: usize| move |drive: &DriveFigures| drive.figures[at].map(Quantity::si);
    let troubles: StringArray = drives.iter().map(|drive| drive.as_ref().err()).collect();
    StructArray::new(
        drive_fields(),
        vec![
            whole(|drive| drive.rows),
            whole(|drive| drive.codes),
            figure(&|drive| drive.began_s),
            figure(&of(0)),
            figure(&of(1)),
            figure(&of(2)),
            Arc::new(troubles),
        ],
        None,
    )
}

/// The drive of a row.
pub(super) fn drive_of(drives: &StructArray, row: usize) -> Drive {
    let troubles = drives.column(6).as_string::<i32>();
    if !troubles.is_null(row) {
        return Err(troubles.value(row).to_owned());
    }
    let mut at = 3;
    let figures = Screened::ALL.map(|what| {
        at += 1;
        float(drives.column(at - 1), row).map(|si| Quantity::new(what.dimension(), si))
    });
    Ok(DriveFigures {
        rows: whole(drives.column(0), row),
        codes: whole(drives.column(1), row),
        began_s: float(drives.column(2), row),
        figures,
    })
}

fn whole(column: &ArrayRef, row: usize) -> u64 {
    let column = column.as_primitive::<UInt64Type>();
    if column.is_null(row) { 0 } else { column.value(row) }
}

fn float(column: &ArrayRef, row: usize) -> Option<f64> {
    let column = column.as_primitive::<Float64Type>();
    (!column.is_null(row)).then(|| column.value(row))
}

/// Columns of one vehicle's screening.
pub(super) fn screening_type() -> DataType {
    DataType::Struct(screening_fields())
}

fn drift_fields() -> Fields {
    let figures = DataType::List(Arc::new(Field::new_list_field(DataType::Float64, true)));
    Fields::from(vec![
        field("figures", figures),
        field("from", DataType::Float64),
        field("to", DataType::Float64),
        field("chance", DataType::Float64),
    ])
}

fn screening_fields() -> Fields {
    let drift = || DataType::Struct(drift_fields());
    Fields::from(vec![
        field("drives", DataType::UInt64),
        field("rows", DataType::UInt64),
        field("codes", DataType::UInt64),
        field("unusable", DataType::UInt64),
        field("troubles", DataType::Utf8),
        field("boost", drift()),
        field("charging", drift()),
        field("cranking", drift()),
    ])
}

/// A screening as the only row.
pub(super) fn screening_array(screening: &Screening) -> StructArray {
    let whole = |count: u64| -> ArrayRef { Arc::new(UInt64Array::from(vec![count])) };
    let mut columns: Vec<ArrayRef> = vec![
        whole(screening.drives),
        whole(screening.rows),
        whole(screening.codes),
        whole(screening.unusable),
        Arc::new(StringArray::from(vec![screening.troubles.join("\n")])),
    ];
    columns.extend(
        screening
            .drifts
            .iter()
            .map(|drift| -> ArrayRef { Arc::new(drift_array(drift.as_ref())) }),
    );
    StructArray::new(screening_fields(), columns, None)
}

fn drift_array(drift: Option<&Drift>) -> StructArray {
    let mut figures = ListBuilder::new(Float64Builder::new());
    figures.append_value(
        drift
            .into_iter()
            .flat_map(|drift| drift.figures.iter().copied().map(Some)),
    );
    let one = |part: fn(&Drift) -> f64| -> ArrayRef { Arc::new(Float64Array::from(vec![drift.map(part)])) };
    StructArray::new(
        drift_fields(),
        vec![
            Arc::new(figures.finish()),
            one(|drift| drift.from.si()),
            one(|drift| drift.to.si()),
            one(|drift| drift.chance),
        ],
        Some(NullBuffer::from(vec![drift.is_some()])),
    )
}

/// The screening of a row.
pub(super) fn screening_of(all: &StructArray, row: usize) -> Screening {
    let troubles = all.column(4).as_string::<i32>();
    let mut at = 5;
    let drifts = Screened::ALL.map(|what| {
        at += 1;
        drift_of(all.column(at - 1).as_struct(), row, what)
    });
    Screening {
        drives: whole(all.column(0), row),
        rows: whole(all.column(1), row),
        codes: whole(all.column(2), row),
        unusable: whole(all.column(3), row),
        troubles: troubles.value(row).lines().map(str::to_owned).collect(),
        drifts,
    }
}

fn drift_of(drifts: &StructArray, row: usize, what: Screened) -> Option<Drift> {
    if drifts.is_null(row) {
        return None;
    }
    let figures = drifts.column(0).as_list::<i32>().value(row);
    let of = |at: usize| float(drifts.column(at), row);
    Some(Drift {
        what,
        figures: figures.as_primitive::<Float64Type>().values().to_vec(),
        from: Quantity::new(what.dimension(), of(1)?),
        to: Quantity::new(what.dimension(), of(2)?),
        chance: of(3)?,
    })
}
