//! Each table's row, declared once. Lengths metres, times seconds, speeds m/s, angles degrees; `t_*_s` counts from
//! the first frame of its period on the real clock; coordinates are in the attack frame. An `Option` is "not known",
//! never zero. The columns' names and types are fixed by the data contract.

use std::sync::Arc;

use arrow::datatypes::{Field, FieldRef};
use scrim_floor::{Side, Zone};
use serde::{Deserialize, Serialize};

use crate::column::{Column, Id, Row};
use crate::tags::{
    Coverage, EndKind, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget, Phase, RefusalReason,
    ScreenKind, ScreenerAction, TouchEnd, UnclearReason,
};

macro_rules! tables {
    ($($(#[$doc:meta])* $row:ident = $table:literal { $($(#[$field_doc:meta])* $field:ident: $kind:ty),+ $(,)? })+) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
            pub struct $row { $($(#[$field_doc])* pub $field: $kind),+ }

            impl Row for $row {
                const TABLE: &'static str = $table;

                fn fields() -> Vec<FieldRef> {
                    vec![$(Arc::new(Field::new(
                        stringify!($field),
                        <$kind as Column>::data_type(),
                        <$kind as Column>::NULLABLE,
                    ))),+]
                }

                fn tag_columns() -> Vec<&'static str> {
                    let columns = [$((stringify!($field), <$kind as Column>::IS_TAG)),+];
                    columns.into_iter().filter(|(_, is_tag)| *is_tag).map(|(name, _)| name).collect()
                }
            }
        )+

        /// Names of all tables that are declared here.
        pub const TABLE_NAMES: &[&str] = &[$($table),+];
    };
}

tables! {
    /// One possession.
    PossessionRow = "possessions" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// Number of the possession in its game, from 0.
        possession_id: u32,
        /// First instant of control.
        t_start_s: f64,
        /// Last instant.
        t_end_s: f64,
        /// Game clock at the start, remaining.
        game_clock_start_s: Option<f32>,
        /// Game clock at the end, remaining.
        game_clock_end_s: Option<f32>,
        /// Who has the ball.
        offense_team_id: Id,
        /// Who has not.
        defense_team_id: Id,
        /// Whether the attacked hoop is at +x of the court frame.
        attacks_positive_x: bool,
        /// Half court or transition.
        phase: Phase,
        /// When ball and four attackers were past half court.
        t_half_court_s: Option<f64>,
        /// How it ended.
        end_kind: EndKind,
        /// Points scored on it.
        points: Option<u8>,
        /// Whether the points were inferred from the ball rather than given by events.
        points_inferred: bool,
        /// Shape of the five when the set begins.
        alignment: Option<String>,
        /// The possession's actions in time order.
        token_chain: String,
        /// Ball screens and handoffs in it.
        ball_screen_count: u16,
        /// No tracking fault inside.
        clean: bool,
    }
    /// One spell of a player's control of the ball.
    TouchRow = "touches" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// Number of the touch in its game, from 0.
        touch_id: u32,
        /// Who had it.
        player_id: Id,
        /// First instant.
        t_start_s: f64,
        /// Last instant.
        t_end_s: f64,
        /// Where it began.
        x_start_m: f32,
        /// Where it began.
        y_start_m: f32,
        /// Where it ended.
        x_end_m: f32,
        /// Where it ended.
        y_end_m: f32,
        /// Whether the ball was dribbled.
        dribbled: bool,
        /// How it ended.
        ended_by: TouchEnd,
        /// Who had it next, in the same possession.
        next_player_id: Option<Id>,
    }
    /// One defender's spell on one attacker.
    MatchupRow = "matchups" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// Who guards.
        defender_id: Id,
        /// Who is guarded.
        offender_id: Id,
        /// First instant.
        t_start_s: f64,
        /// Last instant.
        t_end_s: f64,
        /// Mean distance between the two.
        mean_gap_m: f32,
        /// Mean posterior probability of the matchup over the spell.
        confidence: f32,
    }
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
        /// What kind.
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
    /// How good one period's tracking was.
    GameQualityRow = "game_quality" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// Instants on the uniform grid.
        frames: u32,
        /// Instants a second of the source.
        hz: f32,
        /// Instants of the grid at which a player on the floor, or the ball, is missing.
        missing_frames: u32,
        /// Samples repaired as spikes.
        spikes_repaired: u32,
        /// Gaps filled.
        gaps_filled: u32,
        /// The longest gap, filled or not.
        gap_s_longest: f32,
        /// Rows that told an entity's place at an instant again.
        duplicate_rows: u32,
        /// Rows refused.
        rows_quarantined: u32,
        /// Whether the ball's height is known.
        ball_height: bool,
        /// Share of live time with ten players and the ball.
        usable_share: f32,
        /// What else is worth knowing.
        notes: String,
        /// Identity swaps repaired.
        swaps_repaired: u32,
    }
    /// One input row that was refused.
    QuarantineRow = "quarantine" {
        /// The game, when it could be read.
        game_id: Option<Id>,
        /// The file.
        source: Id,
        /// The row in it: lines of a text file from 1 (the header is line 1), rows of a columnar file from 0.
        row: u64,
        /// Why.
        reason: RefusalReason,
        /// What was found, what was expected, how to mend it.
        detail: String,
        /// The row as it was.
        raw: String,
    }
}
