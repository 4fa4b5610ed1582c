//! Screens, and what both sides made of those on the ball.

use scrim_floor::{Side, Zone};

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget, ScreenKind, ScreenMeeting,
    ScreenerAction, UnclearReason,
};

tables! {
    /// One screen or handoff.
    ScreenRow = "screens" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// Number of the screen in its game, from 0.
        screen_id: u32,
        /// Whether the user is the handler (or takes the ball from the screener).
        on_ball: bool,
        /// What kind; `other` for a screen off the ball that no name fits clearly.
        screen_kind: ScreenKind,
        /// What became of it.
        outcome: Outcome,
        /// Who screens.
        screener_id: Id,
        /// For whom.
        user_id: Id,
        /// Who guards the screener.
        screener_defender_id: Option<Id>,
        /// Who guards the user.
        user_defender_id: Option<Id>,
        /// When the screener was set.
        t_set_s: Option<f64>,
        /// Closest approach of the user, or the instant of parting.
        t_use_s: f64,
        /// When it was over.
        t_end_s: f64,
        /// The screener's spot.
        x_m: f32,
        /// The screener's spot.
        y_m: f32,
        /// The screener's zone.
        zone: Zone,
        /// The screener's side of the floor.
        side: Side,
        /// Whether it was set on the ball's side.
        strong_side: bool,
        /// The screen this one follows on (flip, re-screen, stagger).
        previous_screen_id: Option<u32>,
        /// How sure the tag is, 0 to 1.
        confidence: f32,
        /// The screener's lowest speed around the screen.
        screener_speed_mps: f32,
        /// The user's closest approach to the screener.
        user_gap_m: f32,
        /// The user's defender to the screener, closest.
        defender_gap_m: Option<f32>,
        /// The user's path after the screen against the direction to the hoop, 0 to 180.
        angle_deg: Option<f32>,
        /// Iced before the screen was there.
        early_denial: bool,
        /// The kind that came second, where an off-ball screen fits more than one; of an `other`, the kind that came nearest;
        /// null when there is none.
        runner_up_kind: Option<ScreenKind>,
        /// How the user's defender met an off-ball screen; null on the ball, or when he is not known or not seen.
        user_defender_path: Option<ScreenMeeting>,
    }
    /// How one ball screen was defended.
    CoverageRow = "coverages" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The screen.
        screen_id: u32,
        /// What the screener's defender did.
        coverage: Coverage,
        /// What the handler's defender did.
        on_ball_path: OnBallPath,
        /// The helper.
        helper_id: Option<Id>,
        /// What he did.
        helper_action: HelperAction,
        /// How sure the tag is, 0 to 1.
        confidence: f32,
        /// How much nearer the hoop than the screener his defender is, at the use.
        depth_m: Option<f32>,
        /// How far beyond the screen he came, most.
        beyond_m: Option<f32>,
        /// How long both were close to the handler.
        both_close_s: Option<f32>,
        /// The handler's defender toward the screen's side, before the use.
        on_ball_side_m: Option<f32>,
        /// When matchups were exchanged, after the use.
        matchup_swap_s: Option<f32>,
        /// When the screener's defender was back, after the use.
        recover_s: Option<f32>,
        /// Why the coverage is `unclear`; null when it is not.
        unclear_reason: Option<UnclearReason>,
    }
    /// What the offence made of one ball screen.
    OptionRow = "options" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The screen.
        screen_id: u32,
        /// What the screener did.
        screener_action: ScreenerAction,
        /// What the handler did.
        handler_action: HandlerAction,
        /// Whom he passed to.
        pass_target: Option<PassTarget>,
        /// Who received.
        receiver_id: Option<Id>,
        /// When he passed.
        t_pass_s: Option<f64>,
        /// Who shot.
        shooter_id: Option<Id>,
        /// Where.
        shot_x_m: Option<f32>,
        /// Where.
        shot_y_m: Option<f32>,
        /// What it was worth.
        shot_value: Option<u8>,
        /// Distance from shooter to the nearest defender at the shot.
        space_m: Option<f32>,
        /// The screener's largest space within 2 s of the use; null when he, or every defender, is not seen.
        screener_space_m: Option<f32>,
        /// The handler's largest space within 2 s of the use; null likewise.
        handler_space_m: Option<f32>,
        /// Points scored.
        points: Option<u8>,
    }
}
