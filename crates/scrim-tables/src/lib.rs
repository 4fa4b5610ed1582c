//! The tables of the data contract: row types, tags as enums, and their way to and from Parquet.
//!
//! In: rows. Out: one Parquet file a table and game (or season, or run), and back.
//! Knows `scrim-floor` (zones and sides are tags) and nothing else of the house.
//!
//! - [`chain`]: token chains, as text and read back.
//! - [`rows`]: each table, declared once: struct, schema, docs, and what labels may say of it.
//! - [`Table`] (`table`): what a declaration says, as data; [`docs`]: the same as text.
//! - [`verify`]: all of it read again, against manifests and declarations.
//! - [`tags`]: the words of the vocabulary, spelled as there.
//! - [`parquet_file`](write_rows): rows to the bytes of a Parquet file and back.
//! - [`open_parquet`], [`batches_of`] (`damaged`): Parquet files that may be damaged; [`limits`]: how much one may unpack to.
//! - [`Partition`] (`partition`): names of files. [`Store`] (`store`): the one door to storage.
//! - [`ledger`]: which files belong together, wholly old or wholly new; one writer at a time.
//! - [`with_causes`] (`causes`): an error in words.
//! - [`RunInfo`] (`metadata`): what a file says of the run that made it; the schema version.

mod causes;
mod column;
mod damaged;
mod metadata;
mod parquet_claims;
mod parquet_file;
mod partition;
mod store;
mod table;

pub mod chain;
pub mod docs;
pub mod ledger;
pub mod limits;
pub mod rows;
pub mod tags;
pub mod verify;

pub use causes::with_causes;
pub use column::{Column, Id, Kind, ids_key};
pub use damaged::{batches_of, guarded, open_parquet};
pub use metadata::{
    OtherSchemaVersion, RunInfo, SCHEMA_VERSION, SchemaError, check_schema_version, sha256_hex,
};
pub use parquet_file::{
    TableError, batch_of_rows, read_batch, read_columns, read_metadata, read_rows, read_whole, write_rows,
};
pub use partition::{MAX_NAME_BYTES, Partition, nameless_path, season_path, source_stem};
pub use store::{LocalStore, OutputStore, ReadStore, Store, StoreError};
pub use table::{
    ColumnInfo, Labels, Role, Row, SAME_INSTANT_S, SAME_SPAN_SHARE, SEASON, Scope, Table, TakesRows,
};
