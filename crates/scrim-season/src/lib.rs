//! From the tables of many games to season tables.
//!
//! In: the Parquet partitions of games. Out: the season's `tendencies`, `counters` and `disguise_pay`, and the columns of
//! `entries` that need the games before. Knows `scrim-tables` and `scrim-floor` only: no tracking is read, and no detector
//! is known.

pub mod stats;
