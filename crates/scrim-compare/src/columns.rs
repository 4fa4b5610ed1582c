//! Columns of a batch by name, whatever program wrote them.

use arrow::array::{Array, Float64Array, RecordBatch, StringArray};
use arrow::compute::cast;
use arrow::datatypes::DataType;

/// A column of words or ids; all empty when the file has none of that name.
pub(crate) struct Texts(Option<StringArray>);

impl Texts {
    pub(crate) fn of(batch: &RecordBatch, name: &str) -> Self {
        let column = batch.column_by_name(name);
        let texts = column.and_then(|column| cast(column, &DataType::Utf8).ok());
        Self(texts.and_then(|texts| texts.as_any().downcast_ref::<StringArray>().cloned()))
    }

    pub(crate) fn at(&self, row: usize) -> Option<&str> {
        let texts = self.0.as_ref()?;
        texts.is_valid(row).then(|| texts.value(row))
    }
}

/// A column of numbers; all empty when the file has none of that name.
pub(crate) struct Numbers(Option<Float64Array>);

impl Numbers {
    pub(crate) fn of(batch: &RecordBatch, name: &str) -> Self {
        let column = batch.column_by_name(name);
        let numbers = column.and_then(|column| cast(column, &DataType::Float64).ok());
        Self(numbers.and_then(|numbers| numbers.as_any().downcast_ref::<Float64Array>().cloned()))
    }

    pub(crate) fn at(&self, row: usize) -> Option<f64> {
        let numbers = self.0.as_ref()?;
        numbers.is_valid(row).then(|| numbers.value(row))
    }

    /// A number of a row or of a period: whole, not negative.
    pub(crate) fn whole_at(&self, row: usize) -> Option<u32> {
        // Such columns hold u8 and u32: nothing is cut off.
        self.at(row).map(|number| number as u32)
    }
}
