//! Whole readings: files in, games out.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests are outside of test functions"
)]

mod bad_inputs;
mod bytes;
mod columns;
mod doubts;
mod files;
mod formats;
mod games;
mod hostile;
mod inspection;
mod linear;
mod no_source;
mod other_forms;
mod packed;
mod refusals;
mod small_game;
