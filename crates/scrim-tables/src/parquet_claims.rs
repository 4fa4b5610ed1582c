//! What the footer and the pages of a Parquet file claim, checked before time is spent or memory is set aside for it.
//!
//! The Parquet library steps over a list of booleans in a footer without reading a byte of it, however many it claims to have: a
//! few kilobytes keep it busy for hours. So the footer is walked first, and nothing in it may be shorter than it claims.
//! The Parquet library allocates, and for some packings fills, as many bytes as a page's header claims to unpack to, and
//! makes as many rows as it claims values. So the headers of the pages that will be read are looked at first: a few bytes a
//! page.
//!
//! Source: Apache Parquet format 2.12, `parquet.thrift`.

mod structures;
mod thrift;

use std::io::Read;

use parquet::arrow::ProjectionMask;
use parquet::basic::Compression;
use parquet::errors::ParquetError;
use parquet::file::metadata::{ColumnChunkMetaData, ParquetMetaData};
use parquet::file::reader::ChunkReader;

use self::structures::{
    DATA_PAGE, DATA_PAGE_2, DICTIONARY_PAGE, FOOTER, PAGE_HEADER, SCHEMA_ELEMENT, Structure,
};
use self::thrift::{Seen, Thrift, bad};
use crate::limits::{LZ4_UNPACKS, MAX_BATCH_BYTES, SLACK_BYTES, ZSTD_UNPACKS};

/// A page's header with its statistics, bytes.
const MAX_HEADER_BYTES: u64 = 16 * 1024 * 1024;
/// Three bytes of Snappy stand for at most 64 (format description, 2.2.2).
const SNAPPY_UNPACKS: u64 = 64;
/// DEFLATE's longest match is 258 bytes, and takes two bits at least (RFC 1951, 3.2.5).
const GZIP_UNPACKS: u64 = 1032;

/// What is needed of a page's header.
#[derive(Debug, Default, PartialEq)]
struct PageHeader {
    kind: i64,
    unpacked: i64,
    packed: i64,
    values: i64,
}

impl PageHeader {
    /// The header that `bytes` begin with, and its own length, bytes.
    fn read(bytes: impl Read) -> Result<(Self, u64), ParquetError> {
        let mut page = Self::default();
        let mut headers = 0;
        let mut thrift = Thrift::new(bytes);
        thrift.structure(&PAGE_HEADER, &mut |structure, seen| {
            let is_header = PAGES.iter().any(|page| page.name == structure.name);
            match seen {
                Seen::Number { field: 1, value } if is_header => page.values = value,
                Seen::Number { field, value } if structure.name == PAGE_HEADER.name => match field {
                    1 => page.kind = value,
                    2 => page.unpacked = value,
                    3 => page.packed = value,
                    _ => {}
                },
                Seen::End if is_header => headers += 1,
                _ => {}
            }
            Ok(())
        })?;
        // The library would take the one of the page's kind, whichever was last here.
        if headers > 1 {
            return Err(bad(format!("a page has {headers} headers")));
        }
        Ok((page, thrift.read))
    }
}

/// The headers of the kinds of pages.
static PAGES: [&Structure; 3] = [&DATA_PAGE, &DICTIONARY_PAGE, &DATA_PAGE_2];

/// What ends a Parquet file: the footer's length, four bytes, and a mark.
const END_BYTES: u64 = 8;

/// Whether the footer is as long as what it claims to hold. A file that has none passes: the library says what it lacks.
pub(crate) fn check_footer(file: &impl ChunkReader) -> Result<(), ParquetError> {
    let Some(footer_end) = file.len().checked_sub(END_BYTES) else {
        return Ok(());
    };
    let mut length = [0; 4];
    file.get_read(footer_end)?.read_exact(&mut length)?;
    let length = u64::from(u32::from_le_bytes(length));
    let Some(start) = footer_end.checked_sub(length) else {
        return Ok(());
    };
    let mut depth = SchemaDepth::default();
    Thrift::new(file.get_read(start)?.take(length))
        .structure(&FOOTER, &mut |structure, seen| depth.see(structure, seen))
        .map_err(|error| bad(format!("its footer cannot be read: {error}")))
}

/// Groups in groups of a schema; the library goes down them one call a level.
const MAX_SCHEMA_DEPTH: usize = 64;

/// How deep a schema goes: a group says how many of the elements after it are its own.
#[derive(Debug, Default)]
struct SchemaDepth {
    /// The elements of the group that is being read.
    elements: i64,
    /// Of each group that is open, how many elements are still to come.
    open: Vec<i64>,
}

impl SchemaDepth {
    fn see(&mut self, structure: &Structure, seen: Seen) -> Result<(), ParquetError> {
        if structure.name != SCHEMA_ELEMENT.name {
            return Ok(());
        }
        match seen {
            Seen::Number { field: 5, value } => self.elements = value,
            Seen::Number { .. } => {}
            Seen::End => {
                while self.open.last().is_some_and(|left| *left <= 0) {
                    self.open.pop();
                }
                if let Some(left) = self.open.last_mut() {
                    *left -= 1;
                }
                let elements = std::mem::take(&mut self.elements);
                if elements > 0 {
                    self.open.push(elements);
                }
                if self.open.len() > MAX_SCHEMA_DEPTH {
                    return Err(bad(format!(
                        "its schema is deeper than {MAX_SCHEMA_DEPTH} groups"
                    )));
                }
            }
        }
        Ok(())
    }
}

/// The kind of a dictionary page.
const DICTIONARY: i64 = 2;

/// Whether the pages that `mask` chooses can be what they claim.
pub(crate) fn check_pages(
    file: &impl ChunkReader,
    metadata: &ParquetMetaData,
    mask: &ProjectionMask,
) -> Result<(), ParquetError> {
    for group in metadata.row_groups() {
        let rows = group.num_rows();
        if rows < 0 {
            return Err(bad(format!("a row group claims {rows} rows")));
        }
        for (leaf, column) in group.columns().iter().enumerate() {
            if !mask.leaf_included(leaf) {
                continue;
            }
            let is_plain = column.column_descr().max_rep_level() == 0;
            if column.num_values() < 0 || (is_plain && column.num_values() != rows) {
                return Err(bad(format!(
                    "a row group claims {rows} rows, and its column `{}` {} values",
                    column.column_path(),
                    column.num_values()
                )));
            }
            check_column(file, column)
                .map_err(|error| bad(format!("column `{}`: {error}", column.column_path())))?;
        }
    }
    Ok(())
}

fn check_column(file: &impl ChunkReader, column: &ColumnChunkMetaData) -> Result<(), ParquetError> {
    let bytes = file.len();
    let first = column
        .dictionary_page_offset()
        .unwrap_or(column.data_page_offset());
    let length = column.compressed_size();
    let span = u64::try_from(first)
        .ok()
        .zip(u64::try_from(length).ok())
        .filter(|(first, length)| first.checked_add(*length).is_some_and(|end| end <= bytes));
    let Some((mut at, mut left)) = span else {
        return Err(bad(format!(
            "it claims {length} bytes at {first}; the file has {bytes}"
        )));
    };
    let unpacks = match column.compression() {
        Compression::UNCOMPRESSED => 1,
        Compression::SNAPPY => SNAPPY_UNPACKS,
        Compression::GZIP(_) => GZIP_UNPACKS,
        Compression::LZ4 | Compression::LZ4_RAW => LZ4_UNPACKS,
        _ => ZSTD_UNPACKS,
    };
    let mut values_left = column.num_values();
    while left > 0 {
        let (page, header) = PageHeader::read(file.get_read(at)?.take(left.min(MAX_HEADER_BYTES)))?;
        let packed = u64::try_from(page.packed)
            .ok()
            .filter(|packed| *packed <= left - header)
            .ok_or_else(|| {
                bad(format!(
                    "a page claims {} bytes, and {} are left",
                    page.packed,
                    left - header
                ))
            })?;
        let unpacked = u64::try_from(page.unpacked)
            .ok()
            .filter(|unpacked| *unpacked <= (packed * unpacks + SLACK_BYTES).min(MAX_BATCH_BYTES))
            .ok_or_else(|| {
                bad(format!(
                    "a page of {packed} bytes claims to unpack to {}",
                    page.unpacked
                ))
            })?;
        let most = if page.kind == DICTIONARY {
            8 * unpacked as i64
        } else {
            values_left
        };
        if !(0..=most).contains(&page.values) {
            return Err(bad(format!(
                "a page claims {} values; at most {most} can be",
                page.values
            )));
        }
        if page.kind != DICTIONARY {
            values_left -= page.values;
        }
        at += header + packed;
        left -= header + packed;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn header(bytes: &[u8]) -> Result<PageHeader, ParquetError> {
        PageHeader::read(bytes).map(|(page, length)| {
            assert_eq!(length, bytes.len() as u64);
            page
        })
    }

    /// Bytes by hand from the protocol: a field is its step and type in one byte, then its value.
    #[test]
    fn a_page_header_is_read_by_the_protocol() {
        let bytes = [
            0x15, 0x00, // 1: type, data page
            0x15, 0xc8, 0x01, // 2: unpacked, zigzag 200 is 100
            0x15, 0x50, // 3: packed, 40
            0x15, 0x01, // 4: check sum, -1
            0x1c, // 5: data page's header
            0x15, 0x0e, // 1: 7 values
            0x15, 0x00, 0x15, 0x06, 0x15, 0x06, // 2 to 4: encodings
            0x1c, 0x18, 0x02, b'a', b'b', 0x00, // 5: statistics with a text
            0x00, 0x00,
        ];
        let expected = PageHeader {
            kind: 0,
            unpacked: 100,
            packed: 40,
            values: 7,
        };
        assert_eq!(header(&bytes).unwrap(), expected);
        for cut in 0..bytes.len() {
            assert!(header(&bytes[..cut]).is_err(), "{cut}");
        }
    }

    /// Numbers are written alike whatever their type, but the library cuts them to the bits that the format gives them.
    #[test]
    fn a_page_header_whose_fields_have_other_types_is_refused() {
        // 2: 2^31 as a number of 64 bits; and 1 as such.
        let size = [0x15, 0x00, 0x16, 0x80, 0x80, 0x80, 0x80, 0x10, 0x15, 0x50, 0x00];
        assert!(refusal(&size).contains("field 2 of PageHeader is 2147483648"));
        let one = [0x15, 0x00, 0x16, 0x02, 0x15, 0x50, 0x00];
        assert_eq!(header(&one).unwrap().unpacked, 1);
        // 2 as a text; the number of values as one.
        assert!(refusal(&[0x15, 0x00, 0x18, 0x00, 0x00]).contains("field 2 of PageHeader has the type 8"));
        let values = [0x15, 0x00, 0x15, 0x02, 0x15, 0x02, 0x2c, 0x18, 0x0e, 0x00, 0x00];
        assert!(refusal(&values).contains("field 1 of DataPageHeader has the type 8"));
    }

    /// The library takes the header of the page's kind: another one after it must not hide its number of values.
    #[test]
    fn a_page_with_two_headers_is_refused() {
        let two = [
            0x15, 0x00, 0x15, 0x02, 0x15, 0x02, // 1 to 3
            0x2c, 0x15, 0x0e, 0x00, // 5: 7 values
            0x2c, 0x15, 0x00, 0x00, // 7: none
            0x00,
        ];
        assert!(refusal(&two).contains("2 headers"));
    }

    fn refusal(bytes: &[u8]) -> String {
        header(bytes).unwrap_err().to_string()
    }
}
