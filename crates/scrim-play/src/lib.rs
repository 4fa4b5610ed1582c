//! Who has the ball, whose possession it is, and who guards whom.
//!
//! In: a [`scrim_tracks::Game`]. Out: touches, shots, possessions and matchups, in frames and player places; and their
//! rows. Knows `scrim-floor`, `scrim-tables` and `scrim-tracks`.

mod hidden_chain;
mod matchup;
mod play;
mod scene;

pub use hidden_chain::HiddenChain;
pub use matchup::{
    ATTACKER_WEIGHT, BALL_WEIGHT, CostTable, HOOP_WEIGHT, MatchupModel, MatchupParams, canonical_position,
};
pub use play::{Matchup, Play, Possession, Shot, ShotResult, Touch};
pub use scene::{Mover, SIDE_SIZE, Scene};
