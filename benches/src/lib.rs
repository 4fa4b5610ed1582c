//! Benches: see `game.rs`.
