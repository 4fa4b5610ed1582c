//! Whole readings: files in, games out.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests are outside of test functions"
)]

mod bad_inputs;
mod bytes;
mod columns;
mod files;
mod formats;
mod games;
mod inspection;
mod refusals;
mod small_game;
