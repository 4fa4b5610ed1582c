//! Ball screens and handoffs, found in a game's play, and how each was defended and used; and what happens off the ball.
//!
//! In: a [`scrim_tracks::Game`] and the [`scrim_play::Play`] found in it. Out: [`BallScreen`]s in time order, a
//! [`BallScreenRead`] of each; [`OffBallScreen`]s, [`Cut`]s, [`OffBallMotion`], [`Spacing`], [`Dilemma`]s
//! and [`PullSample`]s; their rows. Knows `scrim-floor`, `scrim-tables`, `scrim-tracks` and `scrim-play`.

mod cut;
mod dilemma;
mod motion;
mod off_ball_screen;
mod pull;
mod reads;
mod rows;
#[cfg(test)]
mod scene_stage;
mod screen;
mod screens;
mod space;

pub use cut::{Cut, CutParams, cut_rows, find_cuts};
pub use dilemma::{Dilemma, Pull, dilemma_rows, find_dilemmas};
pub use motion::{
    Kinematics, MotionParams, OffBallMotion, PACE_NOISE_M, SpeedZones, find_off_ball_motion,
    off_ball_motion_rows,
};
pub use off_ball_screen::{
    OffBallCandidate, OffBallEvidence, OffBallScreen, OffBallScreenParams, find_off_ball_screens,
    off_ball_candidates, off_ball_evidence_names,
};
pub use pull::{BallScreenTime, Contrast, PullParams, PullSample, find_pull_samples, pull_sample_rows};
pub use reads::{
    BallScreenRead, COVERAGE_EVIDENCE, COVERAGE_WORDS, CoverageEvidence, CoverageInputs, CoverageModel,
    CoverageWeights, Decided, HandlerEvidence, HelpEvidence, OnBallEvidence, PassEvidence, ReadEvidence,
    ReadParams, SagStep, ScreenerDefenderEvidence, ScreenerEvidence, ShotEvidence, StuntStep, SwapEvidence,
    TagStep, coverage_probabilities, coverage_rows, coverage_starts, find_reads, labelled_ball_screen,
    option_rows,
};
pub use rows::screen_rows;
pub use screen::{
    BallScreen, OUTCOME_WORDS, PairCandidate, PairEvidence, SCREEN_EVIDENCE, SCREEN_WORDS, ScreenCorrection,
    ScreenEvidence, ScreenInputs, ScreenParams, ball_screen_candidates, find_ball_screens, is_said_already,
    use_after_approach_s,
};
pub use screens::{ScreenRef, Screens};
pub use space::{
    FloorControl, SpaceParams, Spacing, SprintModel, find_spacing, floor_control_rows, spacing_rows,
};
