//! Ball screens and handoffs, found in a game's play.
//!
//! In: a [`scrim_tracks::Game`] and the [`scrim_play::Play`] found in it. Out: [`BallScreen`]s in time order, and their
//! rows. Knows `scrim-floor`, `scrim-tables`, `scrim-tracks` and `scrim-play`.

mod ball_screen;
mod rows;

pub use ball_screen::{
    BallScreen, HandoffParams, OutcomeParams, ScreenCandidate, ScreenEvidence, ScreenFits, ScreenParams,
    ScreenWeights, SetParams, Weights, find_ball_screens, screen_candidates,
};
pub use rows::screen_rows;
