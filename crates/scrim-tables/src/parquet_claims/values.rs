//! How many bytes a value of a column takes, by its type.

use arrow::datatypes::DataType;
use parquet::basic::Type as Physical;
use parquet::errors::ParquetError;
use parquet::schema::types::ColumnDescriptor;

use super::thrift::bad;
use crate::limits::MAX_FIXED_BYTES;

/// What a value takes when its type says so, bytes; a text has no such length, and counts as 0. `field` is the type of the table's column
/// that it belongs to: a null of a list that always has as many elements takes as much as they do.
pub(super) fn value_bytes(column: &ColumnDescriptor, field: &DataType) -> Result<u64, ParquetError> {
    let length = i64::from(column.type_length());
    if column.physical_type() == Physical::FIXED_LEN_BYTE_ARRAY && length < 1 {
        return Err(bad(format!("its values claim to have {length} bytes each")));
    }
    let own = match column.physical_type() {
        Physical::BYTE_ARRAY => 0,
        Physical::FIXED_LEN_BYTE_ARRAY => length.unsigned_abs(),
        Physical::INT96 => 12,
        Physical::BOOLEAN | Physical::INT32 | Physical::INT64 | Physical::FLOAT | Physical::DOUBLE => 8,
    };
    let bytes = elements(field).saturating_mul(own.max(1));
    if bytes > MAX_FIXED_BYTES {
        return Err(bad(format!(
            "each of its values takes {bytes} bytes; at most {MAX_FIXED_BYTES} can be"
        )));
    }
    Ok(elements(field) * own)
}

/// How many values the lists of a fixed number of elements, in each other, have.
fn elements(field: &DataType) -> u64 {
    match field {
        DataType::FixedSizeList(element, length) => {
            let length = u64::try_from(*length).unwrap_or(u64::MAX).max(1);
            length.saturating_mul(elements(element.data_type()))
        }
        DataType::List(element)
        | DataType::LargeList(element)
        | DataType::ListView(element)
        | DataType::LargeListView(element)
        | DataType::Map(element, _) => elements(element.data_type()),
        DataType::Struct(fields) => {
            let each = fields.iter().map(|field| elements(field.data_type()));
            each.max().unwrap_or(1)
        }
        _ => 1,
    }
}

/// How many values a dictionary of `unpacked` bytes can have.
pub(super) fn most_in_dictionary(column: &ColumnDescriptor, unpacked: u64) -> u64 {
    let each = match column.physical_type() {
        // A bit each.
        Physical::BOOLEAN => return unpacked.saturating_mul(8),
        // A text's length comes before it, in four bytes.
        Physical::INT32 | Physical::FLOAT | Physical::BYTE_ARRAY => 4,
        Physical::INT64 | Physical::DOUBLE => 8,
        Physical::INT96 => 12,
        Physical::FIXED_LEN_BYTE_ARRAY => u64::from(column.type_length().unsigned_abs()).max(1),
    };
    unpacked / each
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use arrow::datatypes::Field;
    use parquet::schema::types::{ColumnPath, Type};

    use super::*;

    fn column(physical: Physical, length: i32) -> ColumnDescriptor {
        let kind = Type::primitive_type_builder("c", physical)
            .with_length(length)
            .build()
            .unwrap();
        ColumnDescriptor::new(Arc::new(kind), 1, 0, ColumnPath::new(vec!["c".into()]))
    }

    #[test]
    fn a_value_that_no_table_has_is_refused() {
        let fixed = |length| column(Physical::FIXED_LEN_BYTE_ARRAY, length);
        let bytes = |column: &ColumnDescriptor, field: DataType| {
            value_bytes(column, &field).map_err(|error| error.to_string())
        };
        assert_eq!(bytes(&fixed(16), DataType::Binary), Ok(16));
        let refusal = bytes(&fixed(1 << 30), DataType::Binary).unwrap_err();
        assert!(refusal.contains("takes 1073741824 bytes"), "{refusal}");
        assert!(
            bytes(&fixed(0), DataType::Binary)
                .unwrap_err()
                .contains("0 bytes each")
        );
        let double = column(Physical::DOUBLE, 0);
        let list =
            |length, element| DataType::FixedSizeList(Arc::new(Field::new("e", element, true)), length);
        assert_eq!(bytes(&double, list(3, list(2, DataType::Float64))), Ok(48));
        assert!(bytes(&double, list(1 << 25, DataType::Float64)).is_err());
        assert!(bytes(&double, list(1 << 10, list(1 << 10, DataType::Float64))).is_err());
        let text = column(Physical::BYTE_ARRAY, 0);
        assert_eq!(bytes(&text, DataType::Utf8), Ok(0));
        assert!(bytes(&text, list(1 << 20, DataType::Utf8)).is_err());
    }

    #[test]
    fn a_dictionary_has_no_more_values_than_its_bytes_can_be() {
        let most = |physical, length| most_in_dictionary(&column(physical, length), 240);
        assert_eq!(most(Physical::FLOAT, 0), 60);
        assert_eq!(most(Physical::BYTE_ARRAY, 0), 60);
        assert_eq!(most(Physical::DOUBLE, 0), 30);
        assert_eq!(most(Physical::INT96, 0), 20);
        assert_eq!(most(Physical::FIXED_LEN_BYTE_ARRAY, 16), 15);
        assert_eq!(most(Physical::BOOLEAN, 0), 1920);
    }
}
