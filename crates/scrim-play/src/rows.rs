//! The stage's rows of the data contract.

mod tracks;

use scrim_floor::{AttackDirection, AttackFrame, Point};
use scrim_tables::rows::{MatchupRow, PossessionRow, TouchRow};
use scrim_tables::tags::Alignment;
use scrim_tracks::{Game, Period, TrackIx};

use crate::touch::spot_at;
use crate::{Play, Possession, Touch};

pub use tracks::{TrackTableParams, game_row, player_rows, track_rows};

/// What later stages know of a possession.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PossessionExtras {
    /// Shape of the five when the set begins.
    pub alignment: Option<Alignment>,
    /// When that shape was read, a frame of the period.
    pub aligned_at: Option<usize>,
    /// By how much it is that shape and no other, m.
    pub alignment_margin_m: Option<f32>,
    /// The possession's actions in time order.
    pub token_chain: String,
    /// Ball screens and handoffs in it.
    pub ball_screen_count: u16,
}

/// Rows of `possessions`. `extras` has an entry a possession, in order; a possession beyond its end has none.
pub fn possession_rows(game: &Game, play: &Play, extras: &[PossessionExtras]) -> Vec<PossessionRow> {
    let none = PossessionExtras::default();
    play.possessions
        .iter()
        .enumerate()
        .map(|(id, of)| {
            let period = &game.periods[of.period];
            let last = of.frames.end - 1;
            let extra = extras.get(id).unwrap_or(&none);
            PossessionRow {
                game_id: game.info.game_id.clone(),
                period: period.number,
                possession_id: id as u32,
                t_start_s: period.t_s(of.frames.start),
                t_end_s: period.t_s(last),
                game_clock_start_s: known(period.game_clock_s[of.frames.start]),
                game_clock_end_s: known(period.game_clock_s[last]),
                offense_team_id: game.team_id(of.offense).clone(),
                defense_team_id: game.team_id(of.offense.other()).clone(),
                attacks_positive_x: of.direction == AttackDirection::PositiveX,
                phase: of.phase,
                t_half_court_s: of.half_court.map(|frame| period.t_s(frame)),
                end_kind: of.end_kind,
                points: of.points,
                points_inferred: of.points_inferred,
                alignment: extra.alignment,
                token_chain: extra.token_chain.clone(),
                ball_screen_count: extra.ball_screen_count,
                clean: of.clean,
                t_alignment_s: extra.aligned_at.map(|frame| period.t_s(frame)),
                alignment_margin_m: extra.alignment_margin_m,
            }
        })
        .collect()
}

/// Rows of `touches`.
pub fn touch_rows(game: &Game, play: &Play) -> Vec<TouchRow> {
    play.touches
        .iter()
        .enumerate()
        .map(|(id, touch)| {
            let of = &play.possessions[touch.possession];
            let period = &game.periods[of.period];
            let last = touch.frames.end - 1;
            let start = touch_spot(game, period, of, touch, touch.frames.start);
            let end = touch_spot(game, period, of, touch, last);
            TouchRow {
                game_id: game.info.game_id.clone(),
                period: period.number,
                possession_id: touch.possession as u32,
                touch_id: id as u32,
                player_id: game.player(touch.player).id.clone(),
                t_start_s: period.t_s(touch.frames.start),
                t_end_s: period.t_s(last),
                x_start_m: start.x_m,
                y_start_m: start.y_m,
                x_end_m: end.x_m,
                y_end_m: end.y_m,
                dribbled: touch.dribbled,
                ended_by: touch.ended_by,
                next_player_id: touch.next.map(|next| game.player(next).id.clone()),
            }
        })
        .collect()
}

/// Rows of `matchups`.
pub fn matchup_rows(game: &Game, play: &Play) -> Vec<MatchupRow> {
    play.matchups
        .iter()
        .map(|matchup| {
            let period = &game.periods[play.possessions[matchup.possession].period];
            MatchupRow {
                game_id: game.info.game_id.clone(),
                period: period.number,
                possession_id: matchup.possession as u32,
                defender_id: game.player(matchup.defender).id.clone(),
                offender_id: game.player(matchup.attacker).id.clone(),
                t_start_s: period.t_s(matchup.frames.start),
                t_end_s: period.t_s(matchup.frames.end - 1),
                mean_gap_m: matchup.mean_gap_m,
                confidence: matchup.confidence,
            }
        })
        .collect()
}

/// Where the ball is at a frame of the touch, or else the player; where both are missing, at the nearest frame that
/// knows one of them.
fn touch_spot(
    game: &Game,
    period: &Period,
    of: &Possession,
    touch: &Touch,
    frame: usize,
) -> Point<AttackFrame> {
    let track = period
        .tracks
        .iter()
        .position(|track| track.player == touch.player)
        .map(|place| TrackIx(place as u16))
        .expect("a touch is a spell on one of the period's tracks");
    let at = |frame: usize| spot_at(period, track, frame);
    let nearest = || {
        touch
            .frames
            .clone()
            .filter(|&other| at(other).is_some())
            .min_by_key(|&other| other.abs_diff(frame))
    };
    let spot = at(frame)
        .or_else(|| nearest().and_then(at))
        .expect("a touch has a spot at some frame");
    game.info.court.to_attack(spot, of.direction)
}

/// NaN is "not known".
fn known(value: f32) -> Option<f32> {
    value.is_finite().then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::staging::Staging;
    use crate::{PlayParams, find_play};

    #[test]
    fn rows_are_in_the_attack_frame_and_in_seconds() {
        let scene = Staging::new(4.0).stand(0, (8.425, 2.0)).hold(0, 0.0..4.0);
        let game = scene.game();
        let play = find_play(&game, &PlayParams::default());
        let possession = &possession_rows(&game, &play, &[])[0];
        // 100 frames: the last one is 3.96 s after the first.
        assert_eq!((possession.t_start_s, possession.t_end_s), (0.0, 3.96));
        assert_eq!(
            (&*possession.offense_team_id, &*possession.defense_team_id),
            ("A", "B")
        );
        assert!(possession.attacks_positive_x && possession.clean);
        assert_eq!(possession.game_clock_start_s, None);
        let touch = &touch_rows(&game, &play)[0];
        // The ball is 0.4 m beside the player: 12.425 − 8.825 = 3.6 m before the hoop; facing +x, y = 2 is to the left.
        assert!((touch.x_start_m - 3.6).abs() < 1e-4 && (touch.y_start_m + 2.0).abs() < 1e-4);
        assert_eq!(
            (&*touch.player_id, touch.touch_id, touch.next_player_id.is_none()),
            ("A0", 0, true)
        );
    }

    #[test]
    fn a_touch_whose_ball_is_missing_at_its_end_ends_where_its_player_is() {
        let scene = Staging::new(4.0)
            .stand(0, (8.425, 2.0))
            .hold(0, 0.0..4.0)
            .lose_ball(3.5..4.0);
        let game = scene.game();
        let touch = &touch_rows(&game, &find_play(&game, &PlayParams::default()))[0];
        assert_eq!(touch.t_end_s, 3.96);
        assert!((touch.x_end_m - 4.0).abs() < 1e-4, "{}", touch.x_end_m);
    }

    #[test]
    fn extras_go_to_their_possession() {
        let scene = Staging::new(4.0).hold(0, 0.0..4.0);
        let game = scene.game();
        let play = find_play(&game, &PlayParams::default());
        let extras = [PossessionExtras {
            ball_screen_count: 2,
            ..Default::default()
        }];
        assert_eq!(possession_rows(&game, &play, &extras)[0].ball_screen_count, 2);
        assert_eq!(possession_rows(&game, &play, &[])[0].ball_screen_count, 0);
    }
}
