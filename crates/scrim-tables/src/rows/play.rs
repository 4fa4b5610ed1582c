//! What the ball does: possessions, touches, matchups.

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{Alignment, EndKind, Phase, TouchEnd};

tables! {
    /// A possession: who attacks where, its phase, how it ended, points, ball screens, the shape of the five when the set began, the
    /// chain of actions.
    PossessionRow = "possessions" of Game, labels {
        needed: [game_id, period, t_start_s, t_end_s, offense_team_id],
        main_word: phase
    } {
        /// The game.
        game_id: Id as place,
        /// The period, from 1.
        period: u8 as place,
        /// Number of the possession in its game, from 0.
        possession_id: u32,
        /// First instant of control.
        t_start_s: f64,
        /// Last instant.
        t_end_s: f64,
        /// Game clock at the start, remaining. Null: the source has no clock there.
        game_clock_start_s: Option<f32>,
        /// Game clock at the end, remaining. Null: the source has no clock there.
        game_clock_end_s: Option<f32>,
        /// Who has the ball.
        offense_team_id: Id as place,
        /// Who has not.
        defense_team_id: Id,
        /// Whether the attacked hoop is at +x of the court frame.
        attacks_positive_x: bool,
        /// Half court or transition.
        phase: Phase,
        /// When ball and four attackers were past half court. Null: they never were.
        t_half_court_s: Option<f64>,
        /// How it ended.
        end_kind: EndKind,
        /// Points scored on it. Null: not known.
        points: Option<u8>,
        /// Whether the points were inferred from the ball rather than given by events.
        points_inferred: bool,
        /// Shape of the five when the set begins. Null: no set began, or the five are not seen.
        alignment: Option<Alignment>,
        /// The possession's actions in time order, as `down:left ball_screen:right`.
        token_chain: String,
        /// Ball screens and handoffs in it.
        ball_screen_count: u16,
        /// No tracking fault inside.
        clean: bool,
        /// When the alignment was clearest, between the players' arrival and the first action. Null: there is no alignment.
        t_alignment_s: Option<f64> as unlabelled,
        /// How far a player on the border would have to move for the next shape to be as likely. Null: there is no alignment.
        alignment_margin_m: Option<f32> as unlabelled,
    }
    /// One spell of a player's control of the ball, and how it ended.
    TouchRow = "touches" of Game {
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
        /// Where it began, x.
        x_start_m: f32,
        /// Where it began, y.
        y_start_m: f32,
        /// Where it ended, x.
        x_end_m: f32,
        /// Where it ended, y.
        y_end_m: f32,
        /// Whether the ball was dribbled.
        dribbled: bool,
        /// How it ended.
        ended_by: TouchEnd,
        /// Who had it next, in the same possession. Null: nobody.
        next_player_id: Option<Id>,
    }
    /// One defender's spell on one attacker.
    MatchupRow = "matchups" of Game, labels {
        needed: [game_id, period, defender_id, offender_id, t_start_s, t_end_s]
    } {
        /// The game.
        game_id: Id as place,
        /// The period, from 1.
        period: u8 as place,
        /// The possession.
        possession_id: u32,
        /// Who guards.
        defender_id: Id as place,
        /// Who is guarded.
        offender_id: Id as place,
        /// First instant.
        t_start_s: f64 as place,
        /// Last instant.
        t_end_s: f64 as place,
        /// Mean distance between the two.
        mean_gap_m: f32 as place,
        /// Mean posterior probability of the matchup over the spell.
        confidence: f32 as place,
    }
}
