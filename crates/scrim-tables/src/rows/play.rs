//! What the ball does: possessions, touches, matchups.

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{Alignment, EndKind, Phase, TouchEnd};

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
        alignment: Option<Alignment>,
        /// The possession's actions in time order.
        token_chain: String,
        /// Ball screens and handoffs in it.
        ball_screen_count: u16,
        /// No tracking fault inside.
        clean: bool,
        /// When the alignment was clearest, between the players' arrival and the first action.
        t_alignment_s: Option<f64>,
        /// How far a player on the border would have to move for the next shape to be as likely.
        alignment_margin_m: Option<f32>,
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
}
