//! Whole readings: files in, games out.

mod bad_inputs;
mod bytes;
mod formats;
mod games;
mod inspection;
mod refusals;
mod small_game;
