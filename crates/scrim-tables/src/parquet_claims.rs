//! What the footer and the pages of a Parquet file claim, checked before time is spent or memory is set aside for it.
//!
//! The Parquet library steps over a list of booleans in a footer without reading a byte of it, however many it claims to have: a
//! few kilobytes keep it busy for hours. So the footer is walked first, and nothing in it may be shorter than it claims.
//! The Parquet library allocates, and for some packings fills, as many bytes as a page's header claims to unpack to, and
//! makes as many rows as it claims values. So the headers of the pages that will be read are looked at first: a few bytes a
//! page.
//!
//! Source: Apache Parquet format 2.11, `parquet.thrift` (PageHeader), and Apache Thrift's compact protocol.

use std::io::Read;

use parquet::arrow::ProjectionMask;
use parquet::basic::Compression;
use parquet::errors::ParquetError;
use parquet::file::metadata::{ColumnChunkMetaData, ParquetMetaData};
use parquet::file::reader::ChunkReader;

use crate::limits::{LZ4_UNPACKS, MAX_BATCH_BYTES, SLACK_BYTES, ZSTD_UNPACKS};

/// A page's header with its statistics, bytes.
const MAX_HEADER_BYTES: u64 = 16 * 1024 * 1024;
/// Structures in structures of a header; the format has three.
const MAX_DEPTH: u8 = 16;
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
    let mut thrift = Thrift {
        bytes: file.get_read(start)?.take(length),
        read: 0,
    };
    thrift
        .footer()
        .map_err(|error| bad(format!("its footer cannot be read: {error}")))
}

/// Thrift's type of a structure.
const STRUCTURE: u8 = 12;
/// Thrift's type of a list.
const LIST: u8 = 9;
/// Thrift's types of the first fields of a footer (FileMetaData): version, schema, rows, row groups, pairs, and who wrote it. The library reads
/// what it knows by number, whatever type it claims to be: nothing may be stepped over as something else.
const FOOTER_TYPES: [u8; 6] = [5, LIST, 6, LIST, LIST, 8];
/// Groups in groups of a schema; the library goes down them one call a level.
const MAX_SCHEMA_DEPTH: usize = 64;

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
        let mut thrift = Thrift {
            bytes: file.get_read(at)?.take(left.min(MAX_HEADER_BYTES)),
            read: 0,
        };
        let page = thrift.page_header()?;
        let header = thrift.read;
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

fn bad(what: impl Into<String>) -> ParquetError {
    ParquetError::General(what.into())
}

/// Thrift's compact protocol, as far as a page's header needs it.
struct Thrift<R> {
    bytes: R,
    read: u64,
}

impl<R: Read> Thrift<R> {
    fn page_header(&mut self) -> Result<PageHeader, ParquetError> {
        let mut page = PageHeader::default();
        let mut id = 0;
        while let Some(kind) = self.field(&mut id)? {
            match (id, kind) {
                (1, 5) => page.kind = self.integer()?,
                (2, 5) => page.unpacked = self.integer()?,
                (3, 5) => page.packed = self.integer()?,
                // The headers of the kinds of pages: their first field is the number of values.
                (5 | 7 | 8, 12) => {
                    let mut inner = 0;
                    while let Some(kind) = self.field(&mut inner)? {
                        match (inner, kind) {
                            (1, 5) => page.values = self.integer()?,
                            (1, _) => {
                                return Err(bad(format!("a page's number of values has the type {kind}")));
                            }
                            _ => self.skip(kind, 1)?,
                        }
                    }
                }
                // The library reads what it knows by number, whatever type it claims to be: nothing is stepped over as something else.
                (1..=8, _) if !matches!((id, kind), (4, 5) | (6, 12)) => {
                    return Err(bad(format!("a page's header has field {id} of the type {kind}")));
                }
                _ => self.skip(kind, 0)?,
            }
        }
        Ok(page)
    }

    /// Steps over a footer.
    fn footer(&mut self) -> Result<(), ParquetError> {
        let mut id: i64 = 0;
        while let Some(kind) = self.field(&mut id)? {
            let expected = usize::try_from(id - 1)
                .ok()
                .and_then(|place| FOOTER_TYPES.get(place));
            match expected {
                Some(&expected) if expected != kind => {
                    return Err(bad(format!("its field {id} has the type {kind}, not {expected}")));
                }
                _ if id == 2 => self.schema()?,
                _ => self.skip(kind, 0)?,
            }
        }
        Ok(())
    }

    /// Steps over a schema: a group says how many of the elements after it are its own.
    fn schema(&mut self) -> Result<(), ParquetError> {
        let (kind, elements) = self.list()?;
        if kind != STRUCTURE {
            return Err(bad("its schema is no list of structures"));
        }
        // Of each group that is open, how many elements are still to come.
        let mut open: Vec<i64> = Vec::new();
        for _ in 0..elements {
            let mut children = 0;
            let mut id = 0;
            while let Some(kind) = self.field(&mut id)? {
                match (id, kind) {
                    (5, 5) => children = self.integer()?,
                    (5, _) => return Err(bad("a group's number of elements has another type")),
                    _ => self.skip(kind, 1)?,
                }
            }
            while open.last().is_some_and(|left| *left <= 0) {
                open.pop();
            }
            if let Some(left) = open.last_mut() {
                *left -= 1;
            }
            if children > 0 {
                open.push(children);
            }
            if open.len() > MAX_SCHEMA_DEPTH {
                return Err(bad(format!(
                    "its schema is deeper than {MAX_SCHEMA_DEPTH} groups"
                )));
            }
        }
        Ok(())
    }

    /// The next field's type, and its number in `id`; `None` at the structure's end.
    fn field(&mut self, id: &mut i64) -> Result<Option<u8>, ParquetError> {
        let head = self.byte()?;
        if head == 0 {
            return Ok(None);
        }
        *id = match head >> 4 {
            0 => self.integer()?,
            step => id.saturating_add(step.into()),
        };
        Ok(Some(head & 0x0f))
    }

    /// The type of a list's elements, and how many it claims to have.
    fn list(&mut self) -> Result<(u8, u64), ParquetError> {
        let head = self.byte()?;
        let length = match head >> 4 {
            15 => self.varint()?,
            short => short.into(),
        };
        Ok((head & 0x0f, length))
    }

    fn skip(&mut self, kind: u8, depth: u8) -> Result<(), ParquetError> {
        if depth > MAX_DEPTH {
            return Err(bad("a header is too deep"));
        }
        match kind {
            1 | 2 => Ok(()),
            3 => self.byte().map(drop),
            4..=6 => self.varint().map(drop),
            7 => self.skip_bytes(8),
            8 => {
                let length = self.varint()?;
                self.skip_bytes(length)
            }
            9 | 10 => {
                let (kind, length) = self.list()?;
                for _ in 0..length {
                    match kind {
                        1 | 2 => return Err(bad("a list of booleans, where the format has none")),
                        kind => self.skip(kind, depth + 1)?,
                    }
                }
                Ok(())
            }
            STRUCTURE => {
                let mut id = 0;
                while let Some(kind) = self.field(&mut id)? {
                    self.skip(kind, depth + 1)?;
                }
                Ok(())
            }
            _ => Err(bad(format!("a header has a field of the unknown type {kind}"))),
        }
    }

    fn skip_bytes(&mut self, length: u64) -> Result<(), ParquetError> {
        let skipped = std::io::copy(&mut (&mut self.bytes).take(length), &mut std::io::sink())?;
        self.read += skipped;
        if skipped == length {
            Ok(())
        } else {
            Err(bad("a header ends early"))
        }
    }

    fn byte(&mut self) -> Result<u8, ParquetError> {
        let mut byte = [0];
        self.bytes
            .read_exact(&mut byte)
            .map_err(|_| bad("a header ends early"))?;
        self.read += 1;
        Ok(byte[0])
    }

    fn varint(&mut self) -> Result<u64, ParquetError> {
        let mut value = 0;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            value |= u64::from(byte & 0x7f) << shift;
            if byte & 0x80 == 0 {
                return Ok(value);
            }
        }
        Err(bad("a header has a number that does not end"))
    }

    /// A zigzag number.
    fn integer(&mut self) -> Result<i64, ParquetError> {
        let value = self.varint()?;
        Ok((value >> 1) as i64 ^ -((value & 1) as i64))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn header(bytes: &[u8]) -> Result<PageHeader, ParquetError> {
        Thrift { bytes, read: 0 }.page_header()
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

    /// The size that a page unpacks to as i64, type 6, which the library reads all the same.
    #[test]
    fn a_page_header_whose_fields_have_other_types_is_refused() {
        let size = [0x15, 0x00, 0x16, 0x80, 0x80, 0x80, 0x80, 0x10, 0x15, 0x50, 0x00];
        assert!(
            header(&size)
                .unwrap_err()
                .to_string()
                .contains("field 2 of the type 6")
        );
        let values = [0x15, 0x00, 0x15, 0x02, 0x15, 0x02, 0x2c, 0x16, 0x0e, 0x00, 0x00];
        assert!(
            header(&values)
                .unwrap_err()
                .to_string()
                .contains("number of values")
        );
    }

    /// A list, type 9, field 9, of true, type 1, with the count 15 for a number that follows: 2,147,483,647 of them in no bytes.
    #[test]
    fn a_list_that_claims_what_takes_no_bytes_is_refused() {
        let bytes = [0x99, 0xf1, 0xff, 0xff, 0xff, 0xff, 0x07, 0x00];
        assert!(
            header(&bytes)
                .unwrap_err()
                .to_string()
                .contains("list of booleans")
        );
    }

    #[test]
    fn a_header_of_structures_without_end_is_refused() {
        let deep = [0x9c; 1000];
        assert!(header(&deep).unwrap_err().to_string().contains("too deep"));
    }
}
