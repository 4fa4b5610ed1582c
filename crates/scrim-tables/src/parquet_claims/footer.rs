//! What the footer claims: how long it is, and how many and how deep the groups and columns of its schema are.

use std::io::Read;

use parquet::errors::ParquetError;
use parquet::file::reader::ChunkReader;

use super::structures::{COLUMN_CHUNK, FOOTER, ROW_GROUP, SCHEMA_ELEMENT, Structure};
use super::thrift::{Seen, Thrift, about, bad};

/// What ends a Parquet file: the footer's length, four bytes, and a mark.
const END_BYTES: u64 = 8;
/// The library takes up to 72 bytes for a byte of a footer. One of a season's games in one file, a group of rows each, has 2 MB.
const MAX_FOOTER_BYTES: u64 = 16 * 1024 * 1024;
/// Elements of the schema, groups of rows and their columns, all together: each takes the library some hundreds of bytes, however
/// short it is in the file.
const MAX_PARTS: u64 = 1 << 18;
/// Groups in groups of a schema; the library goes down them one call a level.
const MAX_SCHEMA_DEPTH: usize = 64;
/// The name of a column or group.
const MAX_COLUMN_NAME_BYTES: u64 = 1024;
/// The library says of each column all names on the way to it, which a few long ones of groups make many bytes.
const MAX_PATH_BYTES: u64 = 64 * 1024 * 1024;
/// What a name in such a path takes beside its bytes.
const NAME_BYTES: u64 = 40;

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
    if length > MAX_FOOTER_BYTES {
        return Err(bad(format!(
            "its footer claims {length} bytes, and at most {MAX_FOOTER_BYTES} are read; write the table as several files, or its rows in \
             fewer groups"
        )));
    }
    let mut parts = 0;
    let mut schema = Schema::default();
    Thrift::new(file.get_read(start)?.take(length))
        .structure(&FOOTER, &mut |structure, seen| {
            let is_part = [&SCHEMA_ELEMENT, &ROW_GROUP, &COLUMN_CHUNK]
                .iter()
                .any(|part| part.name == structure.name);
            if is_part && matches!(seen, Seen::End) {
                parts += 1;
                if parts > MAX_PARTS {
                    return Err(bad(format!(
                        "it has more than {MAX_PARTS} groups of rows and columns; write the table as several files, or its rows in fewer \
                         groups"
                    )));
                }
            }
            schema.see(structure, seen)
        })
        .map_err(|error| about("its footer cannot be read", error))
}

/// What a schema claims: a group says how many of the elements after it are its own.
#[derive(Debug, Default)]
struct Schema {
    /// Elements of the list that are still to come.
    to_come: u64,
    /// How many of them the groups so far claim.
    claimed: u64,
    /// The elements of the group that is being read, and the length of its name.
    elements: i64,
    name: u64,
    open: Vec<Group>,
    /// Of all columns, the names on the way to them.
    path_bytes: u64,
}

/// A group whose elements are not all read.
#[derive(Debug)]
struct Group {
    left: u64,
    path_bytes: u64,
}

impl Schema {
    fn see(&mut self, structure: &Structure, seen: Seen) -> Result<(), ParquetError> {
        match seen {
            Seen::List { field: 2, length } if structure.name == FOOTER.name => self.to_come = length,
            Seen::Number { field: 5, value } if structure.name == SCHEMA_ELEMENT.name => {
                self.elements = value;
            }
            Seen::Text { field: 4, length } if structure.name == SCHEMA_ELEMENT.name => self.name = length,
            Seen::End if structure.name == SCHEMA_ELEMENT.name => return self.end_of_element(),
            _ => {}
        }
        Ok(())
    }

    fn end_of_element(&mut self) -> Result<(), ParquetError> {
        let (elements, name) = (std::mem::take(&mut self.elements), std::mem::take(&mut self.name));
        if name > MAX_COLUMN_NAME_BYTES {
            return Err(bad(format!(
                "a column's name has {name} bytes; at most {MAX_COLUMN_NAME_BYTES} can be"
            )));
        }
        while self.open.last().is_some_and(|group| group.left == 0) {
            self.open.pop();
        }
        let mut path_bytes = name + NAME_BYTES;
        if let Some(group) = self.open.last_mut() {
            group.left -= 1;
            self.claimed -= 1;
            path_bytes += group.path_bytes;
        }
        self.to_come = self.to_come.saturating_sub(1);
        // The library sets aside room for the elements before it looks for them.
        let free = self.to_come.saturating_sub(self.claimed);
        let Some(left) = u64::try_from(elements).ok().filter(|elements| *elements <= free) else {
            return Err(bad(format!(
                "a group of its schema claims {elements} elements, and {free} are left"
            )));
        };
        if left == 0 {
            self.path_bytes += path_bytes;
            if self.path_bytes > MAX_PATH_BYTES {
                return Err(bad(format!(
                    "the names of its columns with those of their groups take more than {MAX_PATH_BYTES} bytes"
                )));
            }
            return Ok(());
        }
        self.claimed += left;
        self.open.push(Group { left, path_bytes });
        if self.open.len() > MAX_SCHEMA_DEPTH {
            return Err(bad(format!(
                "its schema is deeper than {MAX_SCHEMA_DEPTH} groups"
            )));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use bytes::Bytes;

    use super::super::by_hand::{number, varint};
    use super::*;

    fn checked(footer: &[u8]) -> String {
        let mut bytes = footer.to_vec();
        bytes.extend((footer.len() as u32).to_le_bytes());
        bytes.extend(b"PAR1");
        check_footer(&Bytes::from(bytes)).map_or_else(|error| error.to_string(), |()| "passed".to_owned())
    }

    /// A footer whose field 2 is a list of these elements: the bytes of each, less the end.
    fn schema(elements: &[Vec<u8>]) -> Vec<u8> {
        let mut footer = vec![0x29, 0xfc];
        footer.extend(varint(elements.len() as u64));
        for element in elements {
            footer.extend(element);
            footer.push(0x00);
        }
        footer.push(0x00);
        footer
    }

    /// Field 5, a number, in zigzag.
    fn group(elements: i64) -> Vec<u8> {
        [vec![0x55], number(elements)].concat()
    }

    /// Field 4, a text; and then field 5 when it is a group.
    fn named(length: usize, elements: Option<u8>) -> Vec<u8> {
        let group = elements.map(|elements| vec![0x15, 2 * elements]);
        [
            vec![0x48],
            varint(length as u64),
            vec![b'n'; length],
            group.unwrap_or_default(),
        ]
        .concat()
    }

    #[test]
    fn a_group_that_claims_more_elements_than_are_left_is_refused() {
        assert_eq!(
            checked(&schema(&[group(2), named(1, None), named(1, None)])),
            "passed"
        );
        let claims = checked(&schema(&[group(i64::from(i32::MAX))]));
        assert!(
            claims.contains("claims 2147483647 elements, and 0 are left"),
            "{claims}"
        );
        assert!(checked(&schema(&[group(1), group(-5)])).contains("claims -5 elements"));
        // The second group may not claim what the first one does.
        let nested = checked(&schema(&[group(2), group(2), named(1, None), named(1, None)]));
        assert!(nested.contains("claims 2 elements, and 1 are left"), "{nested}");
    }

    #[test]
    fn names_beyond_all_use_are_refused() {
        assert_eq!(checked(&schema(&[group(1), named(1024, None)])), "passed");
        assert!(checked(&schema(&[group(1), named(1025, None)])).contains("a column's name has 1025 bytes"));
    }

    /// Each of the columns has the names of 40 groups of 1,000 bytes before its own.
    #[test]
    fn long_names_of_groups_that_each_column_repeats_are_refused() {
        let columns = 1700_u64;
        let mut elements = vec![named(1000, Some(1)); 40];
        elements.push(group(columns as i64));
        elements.extend((0..columns).map(|_| Vec::new()));
        let refusal = checked(&schema(&elements));
        assert!(refusal.contains("take more than 67108864 bytes"), "{refusal}");
    }

    #[test]
    fn a_footer_of_too_many_parts_or_bytes_is_refused() {
        // Field 4, a list of groups of rows, each of them only its end.
        let mut groups = vec![0x49, 0xfc];
        groups.extend(varint(300_000));
        groups.extend(vec![0; 300_001]);
        assert!(checked(&groups).contains("more than 262144 groups of rows and columns"));
        assert!(checked(&vec![0; 17_000_000]).contains("its footer claims 17000000 bytes"));
    }
}
