//! Walks over a structure in Thrift's compact protocol the way the Parquet library does.
//!
//! The library reads the fields that it knows by their numbers, whatever type each claims to have, and steps over the others by the type
//! they claim. A field that says another type than the format gives it would be read as one thing by the library and stepped over as
//! another by a walk: such a field is refused.
//!
//! Source: Apache Thrift, compact protocol.

use std::io::Read;

use parquet::errors::ParquetError;

use super::structures::{Holds, Structure};

/// Structures in structures of a field that the format does not know.
const MAX_DEPTH: u8 = 16;

/// What a walk meets in a structure.
pub(super) enum Seen {
    /// The value of one of its fields that hold a number, or of an element of such a list.
    Number {
        field: i16,
        value: i64,
    },
    /// How long one of its texts is, bytes.
    Text {
        field: i16,
        length: u64,
    },
    /// How many elements one of its lists claims, before the first of them.
    List {
        field: i16,
        length: u64,
    },
    End,
}

/// Bytes in the compact protocol, and how many of them are read.
pub(super) struct Thrift<R> {
    bytes: R,
    pub read: u64,
}

impl<R: Read> Thrift<R> {
    pub fn new(bytes: R) -> Self {
        Self { bytes, read: 0 }
    }

    /// Walks over one structure, and says to `seen` what it meets in it and in those inside it.
    pub fn structure(
        &mut self,
        structure: &'static Structure,
        seen: &mut dyn FnMut(&'static Structure, Seen) -> Result<(), ParquetError>,
    ) -> Result<(), ParquetError> {
        let mut field = 0;
        while let Some(kind) = self.field(&mut field)? {
            match structure.field(field) {
                Some(holds) if holds.is_written_as(kind) => {
                    self.value(holds, structure, field, seen)?;
                }
                Some(_) => {
                    return Err(bad(format!(
                        "field {field} of {} has the type {kind}",
                        structure.name
                    )));
                }
                None => self.skip(kind, 0)?,
            }
        }
        seen(structure, Seen::End)
    }

    fn value(
        &mut self,
        holds: &'static Holds,
        structure: &'static Structure,
        field: i16,
        seen: &mut dyn FnMut(&'static Structure, Seen) -> Result<(), ParquetError>,
    ) -> Result<(), ParquetError> {
        match holds {
            Holds::Flag => Ok(()),
            Holds::Byte => self.byte().map(drop),
            Holds::Int | Holds::Long => {
                let value = self.integer()?;
                // The library would cut it to 32 bits, and go on with another number.
                if matches!(holds, Holds::Int) && i32::try_from(value).is_err() {
                    return Err(bad(format!(
                        "field {field} of {} is {value}, which takes more than 32 bits",
                        structure.name
                    )));
                }
                seen(structure, Seen::Number { field, value })
            }
            Holds::Double => self.skip_bytes(8),
            Holds::Bytes => {
                let length = self.skip_text()?;
                seen(structure, Seen::Text { field, length })
            }
            Holds::List(element) => {
                let (kind, length) = self.list()?;
                seen(structure, Seen::List { field, length })?;
                if length > 0 && !element.is_written_as(kind) {
                    return Err(bad(format!(
                        "the list in field {field} of {} has elements of the type {kind}",
                        structure.name
                    )));
                }
                (0..length).try_for_each(|_| self.value(element, structure, field, seen))
            }
            Holds::Of(inner) => self.structure(inner, seen),
        }
    }

    /// The next field's type, and its number in `field`; `None` at the structure's end.
    fn field(&mut self, field: &mut i16) -> Result<Option<u8>, ParquetError> {
        let head = self.byte()?;
        let kind = head & 0x0f;
        if kind == 0 {
            return Ok(None);
        }
        *field = match head >> 4 {
            // A number of 16 bits, to which the library would cut a longer one.
            0 => i16::try_from(self.integer()?).ok(),
            step => field.checked_add(step.into()),
        }
        .ok_or_else(|| bad("a field's number takes more than 16 bits"))?;
        Ok(Some(kind))
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

    /// Steps over a field that the format does not know.
    fn skip(&mut self, kind: u8, depth: u8) -> Result<(), ParquetError> {
        if depth > MAX_DEPTH {
            return Err(bad("a header is too deep"));
        }
        match kind {
            1 | 2 => Ok(()),
            3 => self.byte().map(drop),
            4..=6 => self.varint().map(drop),
            7 => self.skip_bytes(8),
            8 => self.skip_text().map(drop),
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
            12 => {
                let mut field = 0;
                while let Some(kind) = self.field(&mut field)? {
                    self.skip(kind, depth + 1)?;
                }
                Ok(())
            }
            _ => Err(bad(format!("a header has a field of the unknown type {kind}"))),
        }
    }

    /// Steps over a text, whose length comes first.
    fn skip_text(&mut self) -> Result<u64, ParquetError> {
        let length = self.varint()?;
        self.skip_bytes(length)?;
        Ok(length)
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

pub(super) fn bad(what: impl Into<String>) -> ParquetError {
    ParquetError::General(what.into())
}

/// The error with what it is about before it. The library's own word for such an error is said once, not for each thing it stands in.
pub(super) fn about(place: &str, error: ParquetError) -> ParquetError {
    match error {
        ParquetError::General(what) => bad(format!("{place}: {what}")),
        other => bad(format!("{place}: {other}")),
    }
}

#[cfg(test)]
mod tests {
    use super::super::structures::{FOOTER, PAGE_HEADER};
    use super::*;

    fn footer(bytes: &[u8]) -> String {
        let walked = Thrift::new(bytes).structure(&FOOTER, &mut |_, _| Ok(()));
        walked.map_or_else(|error| error.to_string(), |()| "walked".to_owned())
    }

    #[test]
    fn what_lies_outside_the_table_is_stepped_over_by_its_type() {
        // Field 20, a list of two structures with a text each; then field 1, a number.
        let bytes = [
            0x09, 0x28, 0x2c, 0x18, 0x01, b'a', 0x00, 0x18, 0x00, 0x00, 0x05, 0x02, 0x04, 0x00,
        ];
        assert_eq!(footer(&bytes), "walked");
        for cut in 0..bytes.len() {
            assert!(footer(&bytes[..cut]).contains("ends early"), "{cut}");
        }
    }

    /// Every field of every structure, written as each other type, inside what leads to it.
    #[test]
    fn a_field_that_claims_another_type_is_refused_in_every_structure() {
        let mut fields = 0;
        for root in [&FOOTER, &PAGE_HEADER] {
            each_structure(root, &mut Vec::new(), &mut |way, structure| {
                for (number, holds) in structure.fields {
                    for kind in 1..=12 {
                        let mut bytes = way.to_vec();
                        bytes.extend([kind, 2 * u8::try_from(*number).unwrap()]);
                        let walked = Thrift::new(&bytes[..]).structure(root, &mut |_, _| Ok(()));
                        let refusal = walked.expect_err("the bytes end in a field").to_string();
                        let is_refused = refusal
                            == format!(
                                "Parquet error: field {number} of {} has the type {kind}",
                                structure.name
                            );
                        assert_ne!(is_refused, holds.is_written_as(kind), "{refusal}");
                    }
                    fields += 1;
                }
            });
        }
        // Counted by hand in the format: 119 in a footer and 42 in a page header, where statistics stand twice.
        assert_eq!(fields, 161);
    }

    /// Calls `each` with every structure below `root` and the bytes that lead into it.
    fn each_structure(
        root: &'static Structure,
        way: &mut Vec<u8>,
        each: &mut dyn FnMut(&[u8], &'static Structure),
    ) {
        each(way, root);
        for (number, holds) in root.fields {
            let length = way.len();
            let number = 2 * u8::try_from(*number).unwrap();
            match holds {
                Holds::Of(inner) => {
                    way.extend([12, number]);
                    each_structure(inner, way, each);
                }
                Holds::List(Holds::Of(inner)) => {
                    way.extend([9, number, 0x1c]);
                    each_structure(inner, way, each);
                }
                _ => {}
            }
            way.truncate(length);
        }
    }

    /// Field 65537 as the library cuts it is field 1.
    #[test]
    fn a_field_whose_number_takes_more_than_16_bits_is_refused() {
        assert!(footer(&[0x05, 0x82, 0x80, 0x08, 0x02, 0x00]).contains("more than 16 bits"));
        assert!(footer(&[0x05, 0xfe, 0xff, 0x03, 0x02, 0xf5, 0x02, 0x00]).contains("more than 16 bits"));
    }

    /// A list, type 9, field 9, of true, type 1, with the count 15 for a number that follows: 2,147,483,647 of them in no bytes.
    #[test]
    fn a_list_that_claims_what_takes_no_bytes_is_refused() {
        let bytes = [0x99, 0xf1, 0xff, 0xff, 0xff, 0xff, 0x07, 0x00];
        assert!(footer(&bytes).contains("list of booleans"));
    }

    #[test]
    fn structures_without_end_are_refused() {
        assert!(footer(&[0x9c; 1000]).contains("too deep"));
    }
}
