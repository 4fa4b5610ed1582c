//! Every door of a source is given damaged, odd and hostile bytes: the reader may refuse them, with words, but not panic, hang or
//! hold much memory, and a game that it does read keeps what [`scrim_tracks::RawGame`] promises.
//!
//! A usual run replays `__fuzz__/DOOR/corpus` and some changes of it. `DEVELOPERS.md` says how to run a fuzzer.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests are outside of test functions"
)]

mod changed;
mod contract;
mod harness;
mod readers;
mod seeds;

#[path = "../ingest/other_forms.rs"]
mod other_forms;
#[path = "../ingest/packed.rs"]
mod packed;
#[path = "../ingest/small_game.rs"]
#[allow(dead_code, reason = "the other half is for the tests that it was made for")]
mod small_game;

doors! { arrow csv json json_lines mapping nested_json parquet side_tables }
