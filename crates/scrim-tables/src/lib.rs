//! The tables of the data contract: row types, tags as enums, and their way to and from Parquet.
//!
//! In: rows. Out: one Parquet file a table and game, in hive-style partitions, and back.
//! Knows `scrim-floor` (zones and sides are tags) and nothing else of the house.
//!
//! - [`chain`]: token chains, told and read back.
//! - [`rows`]: each table's row, declared once: struct, Arrow schema and contract in one place.
//! - [`tags`]: the words of the vocabulary, spelled as there.
//! - [`parquet_file`](write_rows): rows to the bytes of a Parquet file and back.
//! - [`store`](Store): the one door to storage, and [`Partition`] paths.

mod column;
mod metadata;
mod parquet_file;
mod store;

pub mod chain;
pub mod rows;
pub mod tags;

pub use column::{Column, Id, Row, ids_key};
pub use metadata::{RunInfo, SCHEMA_VERSION};
pub use parquet_file::{TableError, read_columns, read_metadata, read_rows, write_rows};
pub use store::{GameStage, LocalStore, Partition, Store, StoreError, season_path};
