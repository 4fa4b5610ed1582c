//! Everything off the ball: cuts, motion, space, the helper's dilemma.

use scrim_floor::Zone;

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{Activity, CutKind};

tables! {
    /// One cut.
    CutRow = "cuts" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// Number of the cut in its game, from 0.
        cut_id: u32,
        /// Who cuts.
        player_id: Id,
        /// What kind.
        cut_kind: CutKind,
        /// First instant.
        t_start_s: f64,
        /// Last instant.
        t_end_s: f64,
        /// Where it began.
        zone_from: Zone,
        /// Where it ended.
        zone_to: Zone,
        /// Whether it ended on the ball's side.
        strong_side: bool,
        /// The screen it came off, if any.
        screen_id: Option<u32>,
        /// The largest speed in it.
        peak_speed_mps: f32,
        /// The way run.
        path_m: f32,
        /// How sure the tag is, 0 to 1.
        confidence: f32,
    }
    /// What one off-ball attacker did while a ball screen was on.
    OffBallMotionRow = "off_ball_motion" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// The attacker.
        player_id: Id,
        /// Whether he was on the ball's side at the use.
        strong_side: bool,
        /// What he did.
        activity: Activity,
        /// The way run in the window.
        path_m: f32,
        /// From where he was first to where he was last.
        net_m: f32,
        /// Mean speed.
        mean_speed_mps: f32,
        /// Largest speed.
        peak_speed_mps: f32,
        /// Share of the window above 1.0 m/s.
        moving_share: f32,
        /// Who guards him.
        defender_id: Option<Id>,
        /// How far his defender was from canonical position, most; null when nobody is known to guard him.
        defender_pull_m: Option<f32>,
        /// The largest distance to the nearest defender; null when no defender is seen.
        max_space_m: Option<f32>,
        /// When that was.
        t_max_space_s: Option<f64>,
        /// Time in the slowest of four speed zones.
        standing_walking_s: f32,
        /// Time in the second.
        jogging_s: f32,
        /// Time in the third.
        running_s: f32,
        /// Time in the fastest.
        high_speed_running_s: f32,
    }
}
