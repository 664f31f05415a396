//! What the engine calls: a file's figures, and what the drives of a vehicle come to.
//!
//! Both are the plain functions of `drive`; here they are only given the engine's columns. Executors on other machines find them by name.

use super::far;
use super::rows::{Drive, drive_of, drive_type, drives_array, screening_array, screening_type};
use datafusion::arrow::array::{Array, ArrayRef, AsArray, ListArray, StringArray, StructArray};
use datafusion::arrow::buffer::OffsetBuffer;
use datafusion::arrow::compute::cast;
use datafusion::arrow::datatypes::{DataType, Field, FieldRef, Fields};
use datafusion::common::{DataFusionError, Result, ScalarValue};
use datafusion::logical_expr::function::{AccumulatorArgs, StateFieldsArgs};
use datafusion::logical_expr::{
    Accumulator, AggregateUDF, AggregateUDFImpl, ColumnarValue, ScalarFunctionArgs, ScalarUDF, ScalarUDFImpl,
    Signature, Volatility,
};
use drive::{Import, SCREENED_SIGNALS, Vehicle, drive_figures, read};
use std::sync::Arc;

/// `drive_figures(address)`: what is screened, from the recording at an address.
pub(super) fn figures() -> ScalarUDF {
    ScalarUDF::from(Figures {
        // A file may change: it is read once for each row, neither earlier nor again.
        signature: Signature::any(1, Volatility::Volatile),
    })
}

/// `screened(name, drive)`: what the drives of a group come to.
pub(super) fn screened() -> AggregateUDF {
    AggregateUDF::from(Screen {
        signature: Signature::any(2, Volatility::Immutable),
    })
}

#[derive(Debug, PartialEq, Eq, Hash)]
struct Figures {
    signature: Signature,
}

impl ScalarUDFImpl for Figures {
    fn name(&self) -> &'static str {
        "drive_figures"
    }

    fn signature(&self) -> &Signature {
        &self.signature
    }

    fn return_type(&self, _: &[DataType]) -> Result<DataType> {
        Ok(drive_type())
    }

    fn invoke_with_args(&self, args: ScalarFunctionArgs) -> Result<ColumnarValue> {
        let [addresses] = ColumnarValue::values_to_arrays(&args.args)?
            .try_into()
            .map_err(shape)?;
        let addresses = cast(&addresses, &DataType::Utf8)?;
        let addresses = addresses.as_string::<i32>();
        let drives: Vec<Drive> = addresses
            .iter()
            .map(|address| of_file(address.unwrap_or_default()))
            .collect();
        Ok(ColumnarValue::Array(Arc::new(drives_array(&drives))))
    }
}

/// What one recording gives; a file that gives nothing stops no other.
fn of_file(address: &str) -> Drive {
    let bytes = far::bytes(address)?;
    let how = Import {
        only: Some(SCREENED_SIGNALS.to_vec()),
        ..Import::default()
    };
    let recording = read(&bytes, &how).map_err(|error| error.to_string())?;
    drop(bytes);
    Ok(drive_figures(&recording))
}

#[derive(Debug, PartialEq, Eq, Hash)]
struct Screen {
    signature: Signature,
}

/// The state that travels: the drives gathered so far.
fn state_fields() -> Fields {
    Fields::from(vec![
        Field::new("name", DataType::Utf8, true),
        Field::new("drive", drive_type(), true),
    ])
}

impl AggregateUDFImpl for Screen {
    fn name(&self) -> &'static str {
        "screened"
    }

    fn signature(&self) -> &Signature {
        &self.signature
    }

    fn return_type(&self, _: &[DataType]) -> Result<DataType> {
        Ok(screening_type())
    }

    fn state_fields(&self, _: StateFieldsArgs) -> Result<Vec<FieldRef>> {
        let item = Field::new_list_field(DataType::Struct(state_fields()), true);
        Ok(vec![Arc::new(Field::new(
            "drives",
            DataType::List(Arc::new(item)),
            true,
        ))])
    }

    fn accumulator(&self, _: AccumulatorArgs) -> Result<Box<dyn Accumulator>> {
        Ok(Box::new(Gathered(Vehicle::default())))
    }
}

/// The drives of one vehicle so far.
#[derive(Debug)]
struct Gathered(Vehicle);

impl Gathered {
    fn gather(&mut self, names: &ArrayRef, drives: &ArrayRef) -> Result<()> {
        let names = cast(names, &DataType::Utf8)?;
        let names = names.as_string::<i32>();
        let drives = drives.as_struct_opt().ok_or_else(|| shape(()))?;
        for row in 0..drives.len() {
            self.0.update(names.value(row), drive_of(drives, row));
        }
        Ok(())
    }
}

impl Accumulator for Gathered {
    fn update_batch(&mut self, values: &[ArrayRef]) -> Result<()> {
        let [names, drives] = values else {
            return Err(shape(()));
        };
        self.gather(names, drives)
    }

    fn merge_batch(&mut self, states: &[ArrayRef]) -> Result<()> {
        let [lists] = states else {
            return Err(shape(()));
        };
        let lists = lists.as_list_opt::<i32>().ok_or_else(|| shape(()))?;
        for list in lists.iter().flatten() {
            let part = list.as_struct_opt().ok_or_else(|| shape(()))?;
            self.gather(part.column(0), part.column(1))?;
        }
        Ok(())
    }

    fn state(&mut self) -> Result<Vec<ScalarValue>> {
        let (names, drives): (Vec<String>, Vec<Drive>) = self.0.drives().iter().cloned().unzip();
        let columns: Vec<ArrayRef> = vec![
            Arc::new(StringArray::from(names)),
            Arc::new(drives_array(&drives)),
        ];
        let part = StructArray::new(state_fields(), columns, None);
        let item = Arc::new(Field::new_list_field(DataType::Struct(state_fields()), true));
        let list = ListArray::new(
            item,
            OffsetBuffer::from_lengths([part.len()]),
            Arc::new(part),
            None,
        );
        Ok(vec![ScalarValue::List(Arc::new(list))])
    }

    fn evaluate(&mut self) -> Result<ScalarValue> {
        let screening = std::mem::take(&mut self.0).finish();
        Ok(ScalarValue::Struct(Arc::new(screening_array(&screening))))
    }

    fn size(&self) -> usize {
        let names: usize = self.0.drives().iter().map(|(name, _)| name.len()).sum();
        size_of_val(self) + names + size_of_val(self.0.drives())
    }
}

fn shape<T>(_: T) -> DataFusionError {
    DataFusionError::Internal("a function of the screening got columns of another shape".to_owned())
}
