//! What a page's header claims.

use std::io::Read;

use parquet::errors::ParquetError;

use super::structures::{DATA_PAGE, DATA_PAGE_2, DICTIONARY_PAGE, PAGE_HEADER, Structure};
use super::thrift::{Seen, Thrift, bad};

/// What is needed of a page's header.
#[derive(Debug, Default, PartialEq)]
pub(super) struct PageHeader {
    pub kind: i64,
    pub unpacked: i64,
    pub packed: i64,
    pub values: i64,
    pub encoding: i64,
    /// Of the definition levels and of the repetition levels, which stand before the values of a page of version 2, bytes.
    pub levels: [i64; 2],
}

/// The kind of a dictionary page.
const DICTIONARY: i64 = 2;

/// The headers of the kinds of pages.
static PAGES: [&Structure; 3] = [&DATA_PAGE, &DICTIONARY_PAGE, &DATA_PAGE_2];

impl PageHeader {
    /// The header that `bytes` begin with, and its own length, bytes.
    pub fn read(bytes: impl Read) -> Result<(Self, u64), ParquetError> {
        let mut page = Self::default();
        let mut headers = 0;
        let mut thrift = Thrift::new(bytes);
        thrift.structure(&PAGE_HEADER, &mut |structure, seen| {
            let is = |other: &Structure| other.name == structure.name;
            let is_header = PAGES.iter().any(|page| is(page));
            match seen {
                Seen::Number { field, value } if is(&PAGE_HEADER) => match field {
                    1 => page.kind = value,
                    2 => page.unpacked = value,
                    3 => page.packed = value,
                    _ => {}
                },
                Seen::Number { field, value } if is(&DATA_PAGE_2) => match field {
                    1 => page.values = value,
                    4 => page.encoding = value,
                    5 => page.levels[0] = value,
                    6 => page.levels[1] = value,
                    _ => {}
                },
                Seen::Number { field: 1, value } if is_header => page.values = value,
                Seen::Number { field: 2, value } if is_header => page.encoding = value,
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

    pub fn is_dictionary(&self) -> bool {
        self.kind == DICTIONARY
    }

    /// The bytes of the levels before the values, which are never packed, of a page of `most` bytes.
    pub fn level_bytes(&self, most: u64) -> Result<u64, ParquetError> {
        let claimed = self.levels[0] + self.levels[1];
        u64::try_from(claimed)
            .ok()
            .filter(|levels| self.levels.iter().all(|length| *length >= 0) && *levels <= most)
            .ok_or_else(|| {
                bad(format!(
                    "the levels of a page claim {} and {} bytes; the page has {most}",
                    self.levels[0], self.levels[1]
                ))
            })
    }
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
            ..PageHeader::default()
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
