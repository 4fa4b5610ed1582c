//! Simulated, labelled practice games in an invented league.
//!
//! In: [`PracticeParams`]. Out: a [`PracticeGame`]: tracking as a camera system would report it, events, and labels
//! measured on the noise-free tracks; [`write_game`] makes a source folder of it.
//! Knows `scrim-floor` and `scrim-tables`, and no detector: a simulator that shares code with what it tests, tests nothing.
//!
//! The parts, from the ground up: `body` (players with limits), `ball` (hands, passes, free flight), `world` (one step
//! of everything), `roam` (what attackers do without an order), `defense` (canonical position and coverages), the scripts (`flow`, `offense`, `transition`, `ball_screen`,
//! `double_drag`, `handoff`, `off_ball`, `cuts`, `weak_side`, `negative`, `shot`), `season` (teams with known habits), `lift_truth` (a planted effect, with what would have been), `measure` (scripts and frames to labels), `tracking` (noise and faults), `write`.
//!
//! ```
//! use scrim_practice::{PracticeParams, play_game};
//!
//! let params = PracticeParams { periods: 1, period_s: 60.0, ..PracticeParams::default() };
//! let game = play_game(&params, 0);
//! assert_eq!(game.tracking, play_game(&params, 0).tracking);
//! ```

mod ball;
mod ball_screen;
mod body;
mod cuts;
mod dead_time;
mod defense;
mod dice;
mod double_drag;
mod duty;
mod flow;
mod game;
mod handoff;
mod labels;
mod league;
mod lift_truth;
mod measure;
mod motion;
mod negative;
mod off_ball;
mod offense;
mod order;
mod params;
mod plan;
mod record;
mod roam;
mod season;
mod shot;
mod style;
mod tracking;
mod transition;
mod vec2;
mod weak_side;
mod world;
mod write;

pub use game::{EventRow, HardCoverageRow, NegativeRow, PracticeGame, play_game, play_season_game};
pub use labels::{
    CoverageLabel, CutLabel, EntryLabel, LabelRow, Labels, MatchupLabel, OffBallMotionLabel, OptionLabel,
    PossessionLabel, ScreenLabel,
};
pub use league::Player;
pub use lift_truth::{LiftInstant, LiftRow, write_lift_truth};
pub use params::{BallHeight, Faults, ParamsError, PracticeParams, TimeStamps};
pub use plan::{HardCoverage, NegativeKind};
pub use season::{
    Look, LookRunRow, NextAction, PlayOption, RunResult, Screener, Season, Token, write_season_truth,
};
pub use tracking::Tracking;
pub use write::{WriteError, write_game, write_tracking_csv_feet};

#[cfg(test)]
mod tests;
