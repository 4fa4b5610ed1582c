//! What the footer and the pages of a Parquet file claim, checked before time is spent or memory is set aside for it.
//!
//! The Parquet library steps over a list of booleans in a footer without reading a byte of it, however many it claims to have: a
//! few kilobytes keep it busy for hours. So the footer is walked first, and nothing in it may be shorter than it claims.
//! The Parquet library allocates, and for some packings fills, as many bytes as a page's header claims to unpack to, and
//! makes as many rows as it claims values. So the headers of the pages that will be read are looked at first: a few bytes a
//! page. What each page may be, all pages may not be: they share one sum for the file.
//!
//! Source: Apache Parquet format 2.12, `parquet.thrift`.

#[cfg(test)]
mod by_hand;
mod chunk;
mod footer;
mod packing;
mod page;
mod structures;
mod thrift;
mod values;

use arrow::datatypes::Schema;
use parquet::arrow::ProjectionMask;
use parquet::errors::ParquetError;
use parquet::file::metadata::{ParquetMetaData, RowGroupMetaData};
use parquet::file::reader::ChunkReader;
use parquet::schema::types::ColumnPath;

use self::chunk::{check_chunk, span_of};
pub(crate) use self::footer::check_footer;
use self::thrift::{about, bad};
use self::values::value_bytes;
use crate::limits::{BATCH_ROWS, BATCH_TEXT_BYTES, CELL_BYTES, MAX_BATCH_BYTES, most_unpacked};

/// A column that is read: its place in each group of rows, and what its values and its cells take.
struct Chosen {
    leaf: usize,
    is_list: bool,
    /// What its type says a value takes, bytes; 0 for a text.
    of_type: u64,
    /// What a cell may take, bytes, in the group of rows where that is most.
    of_cell: u64,
}

/// Whether the pages that `mask` chooses can be what they claim; and how many rows can be read at once. `schema` is that of the whole
/// table.
pub(crate) fn check_pages(
    file: &impl ChunkReader,
    metadata: &ParquetMetaData,
    schema: &Schema,
    mask: &ProjectionMask,
) -> Result<usize, ParquetError> {
    let mut chosen = chosen_columns(metadata, schema, mask)?;
    let most = most_unpacked(file.len());
    check_rows(metadata, &chosen, most)?;
    check_spans(metadata, &chosen, file.len())?;
    let (mut unpacked, mut listed) = (0_u64, 0_u64);
    for group in metadata.row_groups() {
        let mut held = 0;
        for column in &mut chosen {
            let part = group.column(column.leaf);
            let chunk = span_of(part, file.len())
                .and_then(|span| check_chunk(file, part, span))
                .map_err(|error| in_column(part.column_path(), error))?;
            unpacked = unpacked.saturating_add(chunk.unpacked);
            held += chunk.held;
            let of_value = if column.of_type == 0 {
                chunk.of_value
            } else {
                column.of_type
            };
            if column.is_list {
                let values = part.num_values().unsigned_abs();
                listed = listed.saturating_add(values.saturating_mul(of_value.max(CELL_BYTES)));
            } else {
                column.of_cell = column.of_cell.max(of_value);
            }
        }
        within(
            "the pages of a group of rows that are held at once",
            held,
            MAX_BATCH_BYTES,
        )?;
        within("all pages of the columns that are read", unpacked, most)?;
        // A row of a list has as many values as it likes.
        within("the columns of lists", listed, MAX_BATCH_BYTES)?;
    }
    let row_bytes: u64 = chosen.iter().map(|column| column.of_cell).sum();
    let rows = BATCH_TEXT_BYTES / row_bytes.max(1);
    Ok(rows.clamp(1, BATCH_ROWS as u64) as usize)
}

fn within(what: &str, claimed: u64, most: u64) -> Result<(), ParquetError> {
    if claimed <= most {
        return Ok(());
    }
    Err(bad(format!(
        "{what} claim to unpack to {claimed} bytes; at most {most} can be"
    )))
}

/// The most of a name that a refusal says: a name may be long, and the names of the groups around it stand before it.
const SHOWN_CHARACTERS: usize = 80;

fn shown(path: &ColumnPath) -> String {
    let mut path = path.string();
    if let Some((cut, _)) = path.char_indices().nth(SHOWN_CHARACTERS) {
        path.truncate(cut);
        path.push_str("...");
    }
    path
}

fn in_column(path: &ColumnPath, error: ParquetError) -> ParquetError {
    about(&format!("column `{}`", shown(path)), error)
}

fn chosen_columns(
    metadata: &ParquetMetaData,
    schema: &Schema,
    mask: &ProjectionMask,
) -> Result<Vec<Chosen>, ParquetError> {
    let columns = metadata.file_metadata().schema_descr();
    let chosen = (0..columns.num_columns()).filter(|leaf| mask.leaf_included(*leaf));
    chosen
        .map(|leaf| {
            let column = columns.column(leaf);
            let field = schema.fields().get(columns.get_column_root_idx(leaf));
            let field = field.ok_or_else(|| bad("the Arrow schema in its footer lacks a column"))?;
            let of_type =
                value_bytes(&column, field.data_type()).map_err(|error| in_column(column.path(), error))?;
            Ok(Chosen {
                leaf,
                is_list: column.max_rep_level() > 0,
                of_type,
                of_cell: 0,
            })
        })
        .collect()
}

/// Whether each column has the rows of its group, and the file can hold so many rows: a column of nulls takes no bytes.
fn check_rows(metadata: &ParquetMetaData, chosen: &[Chosen], most: u64) -> Result<(), ParquetError> {
    let mut all_rows = 0_u64;
    for group in metadata.row_groups() {
        let rows = group.num_rows();
        all_rows = all_rows
            .saturating_add(u64::try_from(rows).map_err(|_| bad(format!("a row group claims {rows} rows")))?);
        for column in chosen {
            check_values(group, column)?;
        }
    }
    let most_rows = most / CELL_BYTES / (chosen.len() as u64).max(1);
    if all_rows > most_rows {
        return Err(bad(format!(
            "it claims {all_rows} rows of {} columns; a file of its length has at most {most_rows}",
            chosen.len()
        )));
    }
    Ok(())
}

fn check_values(group: &RowGroupMetaData, chosen: &Chosen) -> Result<(), ParquetError> {
    let rows = group.num_rows();
    let column = group
        .columns()
        .get(chosen.leaf)
        .ok_or_else(|| bad("a row group lacks a column of the schema"))?;
    let values = column.num_values();
    if values < 0 || (!chosen.is_list && values != rows) {
        return Err(bad(format!(
            "a row group claims {rows} rows, and its column `{}` {values} values",
            shown(column.column_path())
        )));
    }
    Ok(())
}

/// Whether no two of the columns are of the same bytes: each would be unpacked again, as often as the footer names them.
fn check_spans(metadata: &ParquetMetaData, chosen: &[Chosen], file_bytes: u64) -> Result<(), ParquetError> {
    let parts = metadata
        .row_groups()
        .iter()
        .flat_map(|group| chosen.iter().map(|column| group.column(column.leaf)));
    let mut spans = parts
        .map(|part| span_of(part, file_bytes).map_err(|error| in_column(part.column_path(), error)))
        .collect::<Result<Vec<_>, _>>()?;
    spans.retain(|span| !span.is_empty());
    spans.sort_unstable_by_key(|span| span.start);
    for pair in spans.windows(2) {
        if pair[1].start < pair[0].end {
            return Err(bad(format!(
                "two columns share the bytes from {} to {}; each has its own",
                pair[1].start,
                pair[0].end.min(pair[1].end)
            )));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use arrow::datatypes::{DataType, Field};
    use bytes::Bytes;
    use parquet::basic::{Compression, Repetition, Type as Physical};
    use parquet::file::metadata::FileMetaData;
    use parquet::schema::types::{SchemaDescriptor, Type};

    use super::by_hand::{Page, part};
    use super::*;

    /// A file of groups of 10 rows; each group has the pages of each column, of Zstandard.
    struct File {
        physical: Physical,
        groups: Vec<Vec<Page>>,
        rows: i64,
        /// The footer names the first group's bytes for all.
        shares: bool,
    }

    impl File {
        fn of(physical: Physical, groups: Vec<Vec<Page>>) -> Self {
            Self {
                physical,
                groups,
                rows: 10,
                shares: false,
            }
        }

        fn checked(&self) -> Result<usize, String> {
            let names: Vec<String> = (0..self.groups[0].len()).map(|i| format!("{i}")).collect();
            let column = |name: &String| {
                let kind = Type::primitive_type_builder(name, self.physical);
                Arc::new(kind.with_repetition(Repetition::REQUIRED).build().unwrap())
            };
            let root = Type::group_type_builder("root")
                .with_fields(names.iter().map(column).collect())
                .build()
                .unwrap();
            let columns = Arc::new(SchemaDescriptor::new(Arc::new(root)));
            let mut bytes = Vec::new();
            let mut groups = Vec::new();
            for group in &self.groups {
                if self.shares {
                    bytes.clear();
                }
                let parts = group.iter().map(|page| {
                    let start = bytes.len() as u64;
                    bytes.extend(page.bytes());
                    let codec = Compression::ZSTD(Default::default());
                    part(self.physical, codec, self.rows, start..bytes.len() as u64)
                });
                let parts = parts.collect();
                let group = RowGroupMetaData::builder(columns.clone())
                    .set_num_rows(self.rows)
                    .set_column_metadata(parts)
                    .build()
                    .unwrap();
                groups.push(group);
            }
            let file = FileMetaData::new(2, self.rows, None, None, columns, None);
            let fields: Vec<Field> = names
                .iter()
                .map(|name| Field::new(name, DataType::Utf8, false))
                .collect();
            let metadata = ParquetMetaData::new(file, groups);
            check_pages(
                &Bytes::from(bytes),
                &metadata,
                &Schema::new(fields),
                &ProjectionMask::all(),
            )
            .map_err(|error| error.to_string())
        }
    }

    /// 20 KB that claim to be 600 MB.
    fn large_page() -> Page {
        Page::data(10, 20_000).unpacking_to(600_000_000)
    }

    #[test]
    fn pages_that_are_too_many_bytes_at_once_are_refused() {
        assert!(
            File::of(Physical::FLOAT, vec![vec![large_page()]])
                .checked()
                .is_ok()
        );
        let refusal = File::of(Physical::FLOAT, vec![vec![large_page(); 2]])
            .checked()
            .unwrap_err();
        assert!(
            refusal.contains("held at once claim to unpack to 1200000000 bytes; at most 1073741824 can be"),
            "{refusal}"
        );
    }

    #[test]
    fn pages_that_are_too_many_bytes_for_the_file_are_refused() {
        let refusal = File::of(Physical::FLOAT, vec![vec![large_page()]; 3])
            .checked()
            .unwrap_err();
        assert!(
            refusal.contains("all pages of the columns that are read claim to unpack to 1200000000 bytes"),
            "{refusal}"
        );
    }

    #[test]
    fn columns_that_share_their_pages_are_refused() {
        let mut file = File::of(Physical::FLOAT, vec![vec![Page::data(10, 40); 2]; 2]);
        assert_eq!(file.checked(), Ok(BATCH_ROWS));
        file.shares = true;
        let refusal = file.checked().unwrap_err();
        assert!(
            refusal.contains("two columns share the bytes from 0 to"),
            "{refusal}"
        );
    }

    /// Of 2^31 - 1 rows in some bytes; a column of nulls has no more.
    #[test]
    fn rows_that_no_file_of_its_length_has_are_refused() {
        let mut file = File::of(Physical::INT32, vec![vec![Page::data(10, 40); 4]]);
        file.rows = (1 << 31) - 1;
        let refusal = file.checked().unwrap_err();
        assert!(
            refusal.contains("claims 2147483647 rows of 4 columns; a file of its length has at most 8388608"),
            "{refusal}"
        );
    }

    #[test]
    fn fewer_rows_are_read_at_once_when_a_text_may_be_long() {
        let rows = |bytes| {
            let page = Page::dictionary(1, 100).unpacking_to(bytes);
            File::of(Physical::BYTE_ARRAY, vec![vec![page; 2]]).checked()
        };
        assert_eq!(rows(10_000), Ok(BATCH_ROWS));
        // A quarter of 1 GiB by two texts.
        assert_eq!(rows(1 << 20), Ok(128));
        assert_eq!(rows(1 << 21), Ok(64));
    }
}
