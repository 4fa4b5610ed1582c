//! How much a columnar file (Parquet, Arrow IPC) may unpack to.

/// A record batch, or a page of Parquet, is held as a whole; one of more bytes than this is refused. A game of 1.24 million
/// rows in one batch has about 80 MB.
pub const MAX_BATCH_BYTES: u64 = 1 << 30;
/// A byte of an LZ4 block lengthens a run by at most 255 bytes (LZ4 block format, "Literals" and "Matches").
pub const LZ4_UNPACKS: u64 = 255;
/// Four bytes of Zstandard stand for at most a block of 128 KiB (RFC 8878, 3.1.1.2: RLE blocks and Block_Maximum_Size).
pub const ZSTD_UNPACKS: u64 = 128 * 1024 / 4;
/// What the shortest frame may unpack to beyond that, bytes.
pub const SLACK_BYTES: u64 = 64 * 1024;
