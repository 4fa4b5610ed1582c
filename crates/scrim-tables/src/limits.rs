//! How much a columnar file (Parquet, Arrow IPC) may unpack to.

/// A record batch, or a page of Parquet, is held as a whole; one of more bytes than this is refused. A game of 1.24 million
/// rows in one batch has about 80 MB.
pub const MAX_BATCH_BYTES: u64 = 1 << 30;
/// Rows of Parquet at once: as many as keep the cost of a batch low, and its buffers so small that they are used again.
pub const BATCH_ROWS: usize = 8192;
/// Fewer rows are read at once where their texts could take more than this: one text of a dictionary may stand in every row.
pub(crate) const BATCH_TEXT_BYTES: u64 = MAX_BATCH_BYTES / 4;
/// A value whose type says its length: the longest number has 32 bytes, and a column of vectors some thousands.
pub(crate) const MAX_FIXED_BYTES: u64 = 64 * 1024;
/// What a cell takes once it is read, whatever the file says of it: a text or a number with its place.
pub(crate) const CELL_BYTES: u64 = 32;
/// A byte of an LZ4 block lengthens a run by at most 255 bytes (LZ4 block format, "Literals" and "Matches").
pub const LZ4_UNPACKS: u64 = 255;
/// Four bytes of Zstandard stand for at most a block of 128 KiB (RFC 8878, 3.1.1.2: RLE blocks and Block_Maximum_Size).
pub const ZSTD_UNPACKS: u64 = 128 * 1024 / 4;
/// What the shortest frame may unpack to beyond that, bytes.
pub const SLACK_BYTES: u64 = 64 * 1024;
/// A byte of a file stands for at most so many bytes of rows: a run of one value over and over takes next to none, but not in every column.
const ROWS_UNPACK: u64 = 2_000;

/// How many bytes all pages, or all rows, of a Parquet file of `file_bytes` may unpack to.
pub(crate) fn most_unpacked(file_bytes: u64) -> u64 {
    MAX_BATCH_BYTES.max(file_bytes.saturating_mul(ROWS_UNPACK))
}
