//! Screens, and what both sides made of those on the ball.

use scrim_floor::{Side, Zone};

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget, ScreenKind, ScreenMeeting,
    ScreenerAction, UnclearReason,
};

tables! {
    /// A ball screen, a handoff, or a screen off the ball: who for whom, who guarded them, when and where, what became of it, the
    /// measured evidence, a confidence.
    ScreenRow = "screens" of Game, labels {
        needed: [game_id, period, screener_id, user_id, t_use_s],
        main_word: screen_kind,
        spot spot_m: (x_m, y_m)
    } {
        /// The game.
        game_id: Id as place,
        /// The period, from 1.
        period: u8 as place,
        /// The possession.
        possession_id: u32,
        /// Number of the screen in its game, from 0.
        screen_id: u32,
        /// Whether the user is the handler (or takes the ball from the screener).
        on_ball: bool as place,
        /// What kind; `other` for a screen off the ball that no name fits clearly.
        screen_kind: ScreenKind,
        /// What became of it.
        outcome: Outcome,
        /// Who screens.
        screener_id: Id as place,
        /// For whom.
        user_id: Id as place,
        /// Who guards the screener. Null: nobody is known to.
        screener_defender_id: Option<Id>,
        /// Who guards the user. Null: nobody is known to.
        user_defender_id: Option<Id>,
        /// When the screener was set. Null: they never stood.
        t_set_s: Option<f64>,
        /// Closest approach of the user, or the instant of parting.
        t_use_s: f64,
        /// When it was over.
        t_end_s: f64,
        /// The screener's spot when set, else at the use, x.
        x_m: f32 as place,
        /// The same, y.
        y_m: f32 as place,
        /// The screener's zone.
        zone: Zone,
        /// The screener's side of the floor.
        side: Side,
        /// Whether it was set on the ball's side.
        strong_side: bool,
        /// The screen this one follows on (flip, re-screen, stagger). Null: none.
        previous_screen_id: Option<u32>,
        /// How sure the tag is.
        confidence: f32 as place,
        /// The screener's lowest speed around the screen.
        screener_speed_mps: f32,
        /// The user's closest approach to the screener.
        user_gap_m: f32,
        /// The user's defender to the screener, closest. Null: the defender is not known or not seen.
        defender_gap_m: Option<f32>,
        /// The user's path after the screen against the direction to the hoop, 0 to 180. Null: the user is not seen, or stands.
        angle_deg: Option<f32>,
        /// The defence took the way to the screen away before it was there.
        early_denial: bool,
        /// The kind that came second, where an off-ball screen fits more than one; of an `other`, the kind that came nearest. Null:
        /// there is none.
        runner_up_kind: Option<ScreenKind> as unlabelled,
        /// How the user's defender met an off-ball screen. Null: on the ball, or the defender is not known or not seen.
        user_defender_path: Option<ScreenMeeting> as unlabelled,
        /// How likely it is that it was used, given that it is a ball screen; these five add up to 1. A handoff that the touches show is
        /// used for certain. Null: off the ball, or flipped.
        #[unit = "share, 0 to 1"]
        p_used: Option<f32> as unlabelled,
        /// The same of rejected. Null: as `p_used`.
        #[unit = "share, 0 to 1"]
        p_rejected: Option<f32> as unlabelled,
        /// The same of slipped. Null: as `p_used`.
        #[unit = "share, 0 to 1"]
        p_slipped: Option<f32> as unlabelled,
        /// The same of ghosted. Null: as `p_used`.
        #[unit = "share, 0 to 1"]
        p_ghosted: Option<f32> as unlabelled,
        /// The same of unused. Null: as `p_used`.
        #[unit = "share, 0 to 1"]
        p_unused: Option<f32> as unlabelled,
    }
    /// How a ball screen or handoff was defended: what the screener's and the handler's defenders did, who helped, the measured
    /// evidence, a confidence.
    CoverageRow = "coverages" of Game, labels { needed: [game_id, screen_id] } {
        /// The game.
        game_id: Id as place,
        /// The period, from 1.
        period: u8 as place,
        /// The possession.
        possession_id: u32,
        /// The screen.
        screen_id: u32,
        /// What the screener's defender did.
        coverage: Coverage,
        /// What the handler's defender did.
        on_ball_path: OnBallPath,
        /// The helper. Null: nobody helped.
        helper_id: Option<Id>,
        /// What the helper did.
        helper_action: HelperAction,
        /// How sure the tag is.
        confidence: f32 as place,
        /// How much nearer the hoop than the screener their defender is, at the use. Null: the defender is not known or not seen.
        depth_m: Option<f32>,
        /// How far beyond the screen the screener's defender came, most. Null: as `depth_m`.
        beyond_m: Option<f32>,
        /// How long both defenders were close to the handler. Null: one of them is not known or not seen.
        both_close_s: Option<f32>,
        /// The handler's defender toward the screen's side, before the use. Null: the defender is not known or not seen.
        on_ball_side_m: Option<f32>,
        /// When matchups were exchanged, after the use. Null: they were not.
        matchup_swap_s: Option<f32>,
        /// When the screener's defender was back, after the use. Null: not within the time that is looked at.
        recover_s: Option<f32>,
        /// Why the coverage is `unclear`. Null: it is not.
        unclear_reason: Option<UnclearReason> as unlabelled,
        /// How likely `ice` is; these six add up to 1, and `confidence` is the largest. Null: the evidence is too thin to say.
        #[unit = "share, 0 to 1"]
        p_ice: Option<f32> as unlabelled,
        /// The same of `switch`. Null: as `p_ice`.
        #[unit = "share, 0 to 1"]
        p_switch: Option<f32> as unlabelled,
        /// The same of `drop`. Null: as `p_ice`.
        #[unit = "share, 0 to 1"]
        p_drop: Option<f32> as unlabelled,
        /// The same of `blitz`. Null: as `p_ice`.
        #[unit = "share, 0 to 1"]
        p_blitz: Option<f32> as unlabelled,
        /// The same of `hedge`. Null: as `p_ice`.
        #[unit = "share, 0 to 1"]
        p_hedge: Option<f32> as unlabelled,
        /// The same of `level`. Null: as `p_ice`.
        #[unit = "share, 0 to 1"]
        p_level: Option<f32> as unlabelled,
    }
    /// What the offence made of a ball screen or handoff: screener, handler, pass, shot, spaces.
    OptionRow = "options" of Game, labels {
        needed: [game_id, screen_id],
        spot shot_spot_m: (shot_x_m, shot_y_m)
    } {
        /// The game.
        game_id: Id as place,
        /// The period, from 1.
        period: u8 as place,
        /// The possession.
        possession_id: u32,
        /// The screen.
        screen_id: u32,
        /// What the screener did.
        screener_action: ScreenerAction,
        /// What the handler did.
        handler_action: HandlerAction,
        /// To whom the handler passed. Null: there was no pass.
        pass_target: Option<PassTarget>,
        /// Who received. Null: there was no pass.
        receiver_id: Option<Id>,
        /// When the handler passed. Null: there was no pass.
        t_pass_s: Option<f64>,
        /// Who shot. Null: no shot came of it.
        shooter_id: Option<Id>,
        /// Where the shot was taken, x. Null: no shot, or the shooter is not seen.
        shot_x_m: Option<f32> as place,
        /// The same, y. Null: as `shot_x_m`.
        shot_y_m: Option<f32> as place,
        /// What the shot was worth. Null: as `shot_x_m`.
        #[unit = "points"]
        shot_value: Option<u8>,
        /// Shooter to the nearest defender at the shot. Null: no shot, or no defender is seen.
        space_m: Option<f32>,
        /// The screener's largest space within 2 s of the use. Null: the screener, or every defender, is not seen.
        screener_space_m: Option<f32>,
        /// The handler's largest space within 2 s of the use. Null: the handler, or every defender, is not seen.
        handler_space_m: Option<f32>,
        /// Points scored. Null: no shot, or not known.
        points: Option<u8>,
        /// The screener's distance to the nearest defender, mean over the time from the use until they have the ball, at most 4 s. Null: as
        /// `screener_space_m`.
        roll_space_mean_m: Option<f32> as unlabelled,
        /// The same at the instant at which they get the ball. Null: they do not within 4 s of the use, or somebody is not seen.
        catch_space_m: Option<f32> as unlabelled,
        /// Whose it was to come over: the low man when the screen was set. Null: not known.
        low_man_id: Option<Id> as unlabelled,
        /// How near the low man came to the screener in that time. Null: as `low_man_id`, or one of the two is not seen.
        low_man_gap_m: Option<f32> as unlabelled,
        /// Who came over: of the defenders of the other three attackers the one who came nearest to the screener, within 2 m. Null: nobody
        /// did, or the defenders' duties are not known.
        tagger_id: Option<Id> as unlabelled,
        /// How near that was. Null: as `tagger_id`.
        tagger_gap_m: Option<f32> as unlabelled,
    }
}
