//! Pages by hand, for tests.

use std::ops::Range;
use std::sync::Arc;

use parquet::basic::{Compression, Type as Physical};
use parquet::file::metadata::ColumnChunkMetaData;
use parquet::schema::types::{ColumnDescriptor, ColumnPath, Type};

pub(super) fn varint(mut value: u64) -> Vec<u8> {
    let mut bytes = Vec::new();
    while value > 0x7f {
        bytes.push(value as u8 | 0x80);
        value >>= 7;
    }
    bytes.push(value as u8);
    bytes
}

/// In zigzag.
pub(super) fn number(value: i64) -> Vec<u8> {
    varint(((value << 1) ^ (value >> 63)) as u64)
}

/// A page's header with as many bytes of nothing after it as it says.
#[derive(Debug, Clone, Copy)]
pub(super) struct Page {
    is_dictionary: bool,
    values: i64,
    packed: i64,
    unpacked: i64,
    encoding: i64,
    levels: Option<(i64, i64)>,
}

impl Page {
    pub fn data(values: i64, bytes: i64) -> Self {
        Self {
            is_dictionary: false,
            values,
            packed: bytes,
            unpacked: bytes,
            encoding: 0,
            levels: None,
        }
    }

    pub fn dictionary(values: i64, bytes: i64) -> Self {
        Self {
            is_dictionary: true,
            ..Self::data(values, bytes)
        }
    }

    pub fn encoded(self, encoding: i64) -> Self {
        Self { encoding, ..self }
    }

    pub fn unpacking_to(self, unpacked: i64) -> Self {
        Self { unpacked, ..self }
    }

    /// A page of version 2.
    pub fn with_levels(self, definition: i64, repetition: i64) -> Self {
        Self {
            levels: Some((definition, repetition)),
            ..self
        }
    }

    pub fn bytes(&self) -> Vec<u8> {
        let kind = match (self.is_dictionary, self.levels) {
            (true, _) => 2,
            (false, None) => 0,
            (false, Some(_)) => 3,
        };
        // A number's field one after the last is 0x15.
        let numbers = |values: &[i64]| -> Vec<u8> {
            values
                .iter()
                .flat_map(|value| [vec![0x15], number(*value)].concat())
                .collect()
        };
        let mut bytes = numbers(&[kind, self.unpacked, self.packed]);
        // The structure in field 7, 5 or 8, after field 3.
        bytes.push(match kind {
            2 => 0x4c,
            0 => 0x2c,
            _ => 0x5c,
        });
        bytes.extend(match self.levels {
            Some((definition, repetition)) => {
                numbers(&[self.values, 0, self.values, self.encoding, definition, repetition])
            }
            None => numbers(&[self.values, self.encoding]),
        });
        bytes.extend([0, 0]);
        bytes.resize(bytes.len() + self.packed as usize, 0);
        bytes
    }
}

/// A column's part of a group of rows, whose pages stand there in the file.
pub(super) fn part(
    physical: Physical,
    codec: Compression,
    values: i64,
    span: Range<u64>,
) -> ColumnChunkMetaData {
    let kind = Type::primitive_type_builder("c", physical).build().unwrap();
    let path = ColumnPath::new(vec!["c".into()]);
    ColumnChunkMetaData::builder(Arc::new(ColumnDescriptor::new(Arc::new(kind), 0, 0, path)))
        .set_compression(codec)
        .set_num_values(values)
        .set_data_page_offset(span.start as i64)
        .set_total_compressed_size((span.end - span.start) as i64)
        .build()
        .unwrap()
}
