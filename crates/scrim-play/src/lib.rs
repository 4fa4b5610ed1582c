//! Who has the ball, whose possession it is, and who guards whom.
//!
//! In: a [`scrim_tracks::Game`]. Out: touches, shots, possessions and matchups, in frames and player places; and their
//! rows. Knows `scrim-floor`, `scrim-tables` and `scrim-tracks`.

mod play;

pub use play::{Matchup, Play, Possession, Shot, ShotResult, Touch};
