//! Ball screens and handoffs, found in a game's play, and how each was defended and used; and what happens off the ball.
//!
//! In: a [`scrim_tracks::Game`] and the [`scrim_play::Play`] found in it. Out: [`BallScreen`]s in time order, a
//! [`BallScreenRead`] of each; [`OffBallScreen`]s, [`Cut`]s, [`OffBallMotion`], [`Spacing`], [`Dilemma`]s
//! and [`PullSample`]s; their rows. Knows `scrim-floor`, `scrim-tables`, `scrim-tracks` and `scrim-play`.
//!
//! - `screen`: screens, on the ball and off it;
//! - `reads`: how each ball screen was defended and used;
//! - `correction`: what corrections of the models have in common;
//! - `off_ball`: what happens away from the ball: cuts, motion, space, the helper's dilemma, pull of motion.

mod correction;
mod off_ball;
mod probability;
mod reads;
#[cfg(test)]
mod scene_stage;
mod screen;

pub use off_ball::{
    BallScreenTime, Contrast, Cut, CutParams, Dilemma, FloorControl, InstantParams, InstantsOf, Kinematics,
    MotionParams, OffBallMotion, PACE_NOISE_M, Pull, PullParams, PullSample, RollRoom, SpaceParams, Spacing,
    SpeedZones, SprintModel, cut_rows, dilemma_rows, find_cuts, find_dilemmas, find_off_ball_motion,
    find_pull_samples, find_roll_rooms, find_spacing, floor_control_rows, instant_rows, off_ball_motion_rows,
    pull_sample_rows, spacing_rows,
};
pub use reads::{
    BallScreenRead, COVERAGE_EVIDENCE, COVERAGE_WORDS, CoverageEvidence, CoverageInputs, CoverageModel,
    CoverageWeights, Decided, HandlerEvidence, HelpEvidence, OnBallEvidence, PassEvidence, ReadEvidence,
    ReadParams, SagStep, ScreenerDefenderEvidence, ScreenerEvidence, ShotEvidence, StuntStep, SwapEvidence,
    TagStep, coverage_probabilities, coverage_rows, coverage_starts, find_reads, labelled_ball_screen,
    option_rows,
};
pub use screen::{
    BallScreen, FLIP_WORDS, FlipCandidate, FlipEvidence, LIKELY_FLIP, OUTCOME_WORDS, OffBallCandidate,
    OffBallEvidence, OffBallScreen, OffBallScreenParams, OutcomeProbabilities, PairCandidate, PairEvidence,
    SAME_SCREEN_S, SCREEN_EVIDENCE, SCREEN_WORDS, Screen, ScreenCorrection, ScreenEvidence, ScreenInputs,
    ScreenParams, ScreenRef, Screens, SideChangeEvidence, ball_screen_candidates, find_ball_screens,
    find_off_ball_screens, flip_candidates, flip_evidence_names, is_said_already, of_possession,
    off_ball_candidates, off_ball_evidence_names, outcome_and_use_s, screen_rows,
};
