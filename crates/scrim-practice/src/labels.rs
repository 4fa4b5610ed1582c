//! The label rows: subsets of the contract's columns, nearly all nullable, for what is empty is not judged.

use std::sync::Arc;

use arrow::array::RecordBatch;
use arrow::datatypes::{Field, FieldRef};
use scrim_floor::Zone;
use scrim_tables::tags::{
    Activity, Alignment, Coverage, CutKind, EndKind, Entry, EntryRole, HandlerAction, HelperAction,
    OnBallPath, Outcome, PassTarget, Phase, ScreenKind, ScreenerAction,
};
use scrim_tables::{Column, Id};
use serde::{Deserialize, Serialize};

/// A row of a label file.
pub trait LabelRow: Serialize {
    /// The table's name, and the file's.
    const TABLE: &'static str;
    /// The columns.
    fn fields() -> Vec<FieldRef>;
    /// The rows as Arrow.
    ///
    /// # Errors
    /// When rows and columns do not fit, which no row causes.
    fn to_batch(rows: &[Self]) -> Result<RecordBatch, Box<serde_arrow::Error>>
    where
        Self: Sized,
    {
        serde_arrow::to_record_batch(&Self::fields(), &rows).map_err(Box::new)
    }
}

macro_rules! label_rows {
    ($($(#[$doc:meta])* $row:ident = $table:literal { $($(#[$field_doc:meta])* $field:ident: $kind:ty),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
        pub struct $row { $($(#[$field_doc])* pub $field: $kind),+ }

        impl LabelRow for $row {
            const TABLE: &'static str = $table;
            fn fields() -> Vec<FieldRef> {
                vec![$(Arc::new(Field::new(
                    stringify!($field),
                    <$kind as Column>::data_type(),
                    <$kind as Column>::NULLABLE,
                ))),+]
            }
        }
    )+};
}

impl ScreenLabel {
    /// Whether a script meant a screen here that did not come out as one for sure: a zone of doubt, but no accident. (Of an accident
    /// the distance is given.)
    pub fn was_meant(&self) -> bool {
        self.screen_kind.is_none() && self.user_gap_m.is_none()
    }
}

label_rows! {
    /// A possession; without `phase` a zone of doubt.
    PossessionLabel = "possessions" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// Links label rows only.
        possession_id: u32,
        /// First instant of control.
        t_start_s: f64,
        /// Last instant.
        t_end_s: f64,
        /// Who has the ball.
        offense_team_id: Id,
        /// Who has not.
        defense_team_id: Id,
        /// Whether the attacked hoop is at +x of the court frame.
        attacks_positive_x: bool,
        /// Half court or transition.
        phase: Option<Phase>,
        /// When ball and four attackers were past half court.
        t_half_court_s: Option<f64>,
        /// How it ended.
        end_kind: Option<EndKind>,
        /// Points scored on it.
        points: Option<u8>,
        /// Ball screens and handoffs in it, when none is in doubt.
        ball_screen_count: Option<u16>,
        /// Shape of the five when the set began, where they plainly stood in one.
        alignment: Option<Alignment>,
    }
    /// Who guarded whom, from half court on.
    MatchupLabel = "matchups" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The label's possession.
        possession_id: u32,
        /// Who guards.
        defender_id: Id,
        /// Who is guarded.
        offender_id: Id,
        /// First instant.
        t_start_s: f64,
        /// Last instant.
        t_end_s: f64,
    }
    /// A screen or handoff; without `screen_kind` a zone of doubt.
    ScreenLabel = "screens" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The label's possession.
        possession_id: u32,
        /// Links label rows only.
        screen_id: u32,
        /// Whether the user is the handler (or takes the ball from the screener).
        on_ball: bool,
        /// What kind.
        screen_kind: Option<ScreenKind>,
        /// What became of it.
        outcome: Option<Outcome>,
        /// Who screens.
        screener_id: Id,
        /// For whom.
        user_id: Id,
        /// Who guards the screener, when it is set.
        screener_defender_id: Option<Id>,
        /// Who guards the user, when it is set.
        user_defender_id: Option<Id>,
        /// When the screener was set.
        t_set_s: Option<f64>,
        /// Closest approach of the user, or the instant of parting.
        t_use_s: f64,
        /// When it was over.
        t_end_s: Option<f64>,
        /// The screener's spot.
        x_m: Option<f32>,
        /// The screener's spot.
        y_m: Option<f32>,
        /// The screener's zone.
        zone: Option<Zone>,
        /// The screen this one follows on.
        previous_screen_id: Option<u32>,
        /// The screener's lowest speed around the screen.
        screener_speed_mps: Option<f32>,
        /// The user's closest approach to the screener.
        user_gap_m: Option<f32>,
        /// Iced before the screen was there.
        early_denial: Option<bool>,
    }
    /// How a ball screen was defended.
    CoverageLabel = "coverages" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The label's possession.
        possession_id: u32,
        /// The label's screen.
        screen_id: u32,
        /// What the screener's defender did.
        coverage: Option<Coverage>,
        /// What the handler's defender did.
        on_ball_path: Option<OnBallPath>,
        /// The helper.
        helper_id: Option<Id>,
        /// What they did.
        helper_action: Option<HelperAction>,
        /// How much nearer the hoop than the screener their defender is, at the use.
        depth_m: Option<f32>,
        /// How much farther from the hoop than the screener that defender came, most, from 0.6 s before the use to 1.5 s after.
        beyond_m: Option<f32>,
        /// How long both were within 1.8 m of the handler, in the 3 s after the use.
        both_close_s: Option<f32>,
    }
    /// What the offence made of a ball screen.
    OptionLabel = "options" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The label's possession.
        possession_id: u32,
        /// The label's screen.
        screen_id: u32,
        /// What the screener did.
        screener_action: Option<ScreenerAction>,
        /// What the handler did.
        handler_action: Option<HandlerAction>,
        /// Whom the handler passed to.
        pass_target: Option<PassTarget>,
        /// Who received.
        receiver_id: Option<Id>,
        /// When the handler passed.
        t_pass_s: Option<f64>,
        /// Who shot.
        shooter_id: Option<Id>,
        /// Where.
        shot_x_m: Option<f32>,
        /// Where.
        shot_y_m: Option<f32>,
        /// What it was worth.
        shot_value: Option<u8>,
        /// Points scored.
        points: Option<u8>,
    }
    /// What a ball screen or handoff came out of; without `entry` not judged.
    EntryLabel = "entries" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The label's possession.
        possession_id: u32,
        /// The label's screen.
        screen_id: u32,
        /// Shape of the five when the set began, where they plainly stood in one.
        alignment: Option<Alignment>,
        /// The last off-ball screen, cut or handoff of the screener or the handler in the 5 s before the set.
        entry: Option<Entry>,
        /// The screener's part in it.
        entry_role: Option<EntryRole>,
        /// From its instant to the screener's set.
        flow_gap_s: Option<f64>,
    }
    /// A run away from the ball; without `cut_kind` a zone of doubt.
    CutLabel = "cuts" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The label's possession.
        possession_id: u32,
        /// Links label rows only.
        cut_id: u32,
        /// Who runs.
        player_id: Id,
        /// What kind.
        cut_kind: Option<CutKind>,
        /// The cutter is on the way.
        t_start_s: f64,
        /// The cutter stops, catches the ball, or the possession ends.
        t_end_s: f64,
        /// Where it began.
        zone_from: Option<Zone>,
        /// Where it ended.
        zone_to: Option<Zone>,
        /// The label's screen that it came off.
        screen_id: Option<u32>,
        /// The largest speed in it.
        peak_speed_mps: Option<f32>,
        /// The way run.
        path_m: Option<f32>,
    }
    /// What one of the other three did while a ball screen was on, from 1.0 s before the set to 1.5 s after the end.
    OffBallMotionLabel = "off_ball_motion" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The label's possession.
        possession_id: u32,
        /// The label's ball screen.
        screen_id: u32,
        /// The attacker.
        player_id: Id,
        /// Whether they were on the ball's side at the use, where both were clearly on a side.
        strong_side: Option<bool>,
        /// What they did.
        activity: Option<Activity>,
        /// The way run. This and what follows: only where the window lies within the possession.
        path_m: Option<f32>,
        /// From where they were first to where they were last.
        net_m: Option<f32>,
        /// The way over the time.
        mean_speed_mps: Option<f32>,
        /// Largest speed.
        peak_speed_mps: Option<f32>,
        /// Share of the window above 1.0 m/s.
        moving_share: Option<f32>,
        /// Who guarded them all through.
        defender_id: Option<Id>,
        /// How far that defender was from canonical position, most.
        defender_pull_m: Option<f32>,
        /// The largest distance to the nearest defender.
        max_space_m: Option<f32>,
    }
}

/// All labels of a game.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Labels {
    /// Possessions, in time order.
    pub possessions: Vec<PossessionLabel>,
    /// Matchups, by possession.
    pub matchups: Vec<MatchupLabel>,
    /// Screens, in time order.
    pub screens: Vec<ScreenLabel>,
    /// One row for each ball screen and handoff that is not in doubt.
    pub coverages: Vec<CoverageLabel>,
    /// Likewise.
    pub options: Vec<OptionLabel>,
    /// Likewise: what each flowed out of.
    pub entries: Vec<EntryLabel>,
    /// Runs away from the ball, in time order.
    pub cuts: Vec<CutLabel>,
    /// Three rows for each ball screen that is not in doubt and was set.
    pub off_ball_motion: Vec<OffBallMotionLabel>,
}
