//! What the pages of one column in one group of rows claim.

use std::io::Read;
use std::ops::Range;

use parquet::errors::ParquetError;
use parquet::file::metadata::ColumnChunkMetaData;
use parquet::file::reader::ChunkReader;

use super::packing::{check_body, most_of_page};
use super::page::PageHeader;
use super::thrift::bad;
use super::values::most_in_dictionary;

/// A page's header with its statistics, bytes.
const MAX_HEADER_BYTES: u64 = 16 * 1024 * 1024;
/// What the library keeps of a dictionary's value beside its bytes: where it begins, and its own begin.
const DICTIONARY_VALUE_BYTES: u64 = 16;

/// What the pages of a column unpack to, in a group of rows.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Chunk {
    /// All pages, bytes.
    pub unpacked: u64,
    /// What is held of them at once, bytes: the dictionary and a page.
    pub held: u64,
    /// What a value takes at most on the average of a page, bytes; each value may be the dictionary's longest.
    pub of_value: u64,
}

/// Where a column's pages stand in the file.
pub(super) fn span_of(column: &ColumnChunkMetaData, file_bytes: u64) -> Result<Range<u64>, ParquetError> {
    let first = column
        .dictionary_page_offset()
        .unwrap_or(column.data_page_offset());
    let length = column.compressed_size();
    u64::try_from(first)
        .ok()
        .zip(u64::try_from(length).ok())
        .and_then(|(first, length)| Some(first..first.checked_add(length)?))
        .filter(|span| span.end <= file_bytes)
        .ok_or_else(|| {
            bad(format!(
                "it claims {length} bytes at {first}; the file has {file_bytes}"
            ))
        })
}

/// Whether the pages of a column can be what they claim, and what they unpack to.
pub(super) fn check_chunk(
    file: &impl ChunkReader,
    column: &ColumnChunkMetaData,
    span: Range<u64>,
) -> Result<Chunk, ParquetError> {
    let mut chunk = Chunk::default();
    let (mut dictionary, mut largest) = (0, 0);
    let mut values_left = column.num_values();
    let mut at = span.start;
    while at < span.end {
        let left = span.end - at;
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
        let most = most_of_page(column.compression(), packed);
        let unpacked = u64::try_from(page.unpacked)
            .ok()
            .filter(|unpacked| *unpacked <= most)
            .ok_or_else(|| {
                bad(format!(
                    "a page of {packed} bytes claims to unpack to {}; at most {most} can be",
                    page.unpacked
                ))
            })?;
        let most_values = if page.is_dictionary() {
            most_in_dictionary(column.column_descr(), unpacked) as i64
        } else {
            values_left
        };
        if !(0..=most_values).contains(&page.values) {
            return Err(bad(format!(
                "a page claims {} values; at most {most_values} can be",
                page.values
            )));
        }
        check_encoding(page.encoding)?;
        let levels = page.level_bytes(packed.min(unpacked))?;
        check_body(column.compression(), packed - levels, unpacked - levels, || {
            file.get_read(at + header + levels)
        })?;
        let values = page.values.unsigned_abs();
        if page.is_dictionary() {
            dictionary = dictionary.max(unpacked + values * DICTIONARY_VALUE_BYTES);
            if values > 0 {
                chunk.of_value = chunk.of_value.max(unpacked);
            }
        } else {
            values_left -= page.values;
            largest = largest.max(unpacked);
            if values > 0 {
                chunk.of_value = chunk.of_value.max(unpacked.div_ceil(values));
            }
        }
        chunk.unpacked += unpacked;
        at += header + packed;
    }
    chunk.held = dictionary + largest;
    Ok(chunk)
}

/// In these two encodings of text a page says once more, inside, how many values it has, and the library believes it.
fn check_encoding(encoding: i64) -> Result<(), ParquetError> {
    let name = match encoding {
        6 => "DELTA_LENGTH_BYTE_ARRAY",
        7 => "DELTA_BYTE_ARRAY",
        _ => return Ok(()),
    };
    Err(bad(format!(
        "it has the encoding {name}, which is not read; write it with a dictionary or with the encoding PLAIN"
    )))
}

#[cfg(test)]
mod tests {
    use bytes::Bytes;
    use parquet::basic::{Compression, Type as Physical};

    use super::super::by_hand::{Page, part};
    use super::*;

    /// A column of these pages, with 10 values.
    fn checked(physical: Physical, pages: &[Page]) -> Result<Chunk, String> {
        let bytes: Vec<u8> = pages.iter().flat_map(Page::bytes).collect();
        let column = part(physical, Compression::UNCOMPRESSED, 10, 0..bytes.len() as u64);
        let span = 0..bytes.len() as u64;
        check_chunk(&Bytes::from(bytes), &column, span).map_err(|error| error.to_string())
    }

    #[test]
    fn pages_unpack_to_what_their_headers_say() {
        let pages = [
            Page::dictionary(5, 40),
            Page::data(8, 100).encoded(8),
            Page::data(2, 50),
        ];
        let chunk = Chunk {
            unpacked: 190,
            held: 40 + 5 * 16 + 100,
            of_value: 40,
        };
        assert_eq!(checked(Physical::BYTE_ARRAY, &pages), Ok(chunk));
        // Without a dictionary: 25 bytes a value, on the average of the second page.
        assert_eq!(checked(Physical::BYTE_ARRAY, &pages[1..]).unwrap().of_value, 25);
    }

    #[test]
    fn a_page_with_more_values_than_its_bytes_or_its_column_can_have_is_refused() {
        for (physical, most) in [
            (Physical::FLOAT, 60),
            (Physical::BYTE_ARRAY, 60),
            (Physical::DOUBLE, 30),
        ] {
            assert!(checked(physical, &[Page::dictionary(most, 240)]).is_ok());
            let refusal = checked(physical, &[Page::dictionary(most + 1, 240)]).unwrap_err();
            let expected = format!("claims {} values; at most {most} can be", most + 1);
            assert!(refusal.contains(&expected), "{refusal}");
        }
        let refusal = checked(Physical::FLOAT, &[Page::data(8, 40), Page::data(3, 40)]).unwrap_err();
        assert!(refusal.contains("claims 3 values; at most 2 can be"), "{refusal}");
    }

    #[test]
    fn texts_that_say_once_more_how_many_they_are_are_refused() {
        for (encoding, name) in [(6, "DELTA_LENGTH_BYTE_ARRAY"), (7, "DELTA_BYTE_ARRAY")] {
            for page in [Page::data(10, 40), Page::data(10, 40).with_levels(0, 0)] {
                let refusal = checked(Physical::BYTE_ARRAY, &[page.encoded(encoding)]).unwrap_err();
                assert!(
                    refusal.contains(&format!("the encoding {name}, which is not read")),
                    "{refusal}"
                );
            }
        }
    }

    #[test]
    fn levels_longer_than_their_page_are_refused() {
        let page = Page::data(10, 40);
        assert!(checked(Physical::FLOAT, &[page.with_levels(20, 20)]).is_ok());
        for (definition, repetition) in [(900, 0), (21, 20), (-1, 20)] {
            let refusal = checked(Physical::FLOAT, &[page.with_levels(definition, repetition)]).unwrap_err();
            assert!(
                refusal.contains(&format!(
                    "claim {definition} and {repetition} bytes; the page has 40"
                )),
                "{refusal}"
            );
        }
    }

    #[test]
    fn a_page_that_claims_more_bytes_than_its_packing_makes_is_refused() {
        let page = Page::data(10, 40).unpacking_to(40 + 64 * 1024 + 1);
        let refusal = checked(Physical::FLOAT, &[page]).unwrap_err();
        assert!(
            refusal.contains("claims to unpack to 65577; at most 65576 can be"),
            "{refusal}"
        );
    }
}
