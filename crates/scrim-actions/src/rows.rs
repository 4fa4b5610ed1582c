//! Ball screens as rows of the `screens` table.

use scrim_floor::{Side, SideTracker};
use scrim_play::Play;
use scrim_tables::rows::ScreenRow;
use scrim_tracks::Game;

use crate::BallScreen;

/// The rows, in the order of `screens`; the place in that list is the row's `screen_id`.
pub fn screen_rows(game: &Game, play: &Play, screens: &[BallScreen]) -> Vec<ScreenRow> {
    let id_of = |player| game.player(player).id.clone();
    screens
        .iter()
        .enumerate()
        .map(|(id, screen)| {
            let possession = &play.possessions[screen.possession];
            let period = &game.periods[possession.period];
            ScreenRow {
                game_id: game.info.game_id.clone(),
                period: period.number,
                possession_id: screen.possession as u32,
                screen_id: id as u32,
                on_ball: true,
                screen_kind: screen.kind,
                outcome: screen.outcome,
                screener_id: id_of(screen.screener),
                user_id: id_of(screen.user),
                screener_defender_id: screen.screener_defender.map(id_of),
                user_defender_id: screen.user_defender.map(id_of),
                t_set_s: screen.set.map(|frame| period.t_s(frame)),
                t_use_s: period.t_s(screen.used),
                t_end_s: period.t_s(screen.end),
                x_m: screen.spot.x_m,
                y_m: screen.spot.y_m,
                zone: game.info.court.zone_of(screen.spot),
                side: Side::of(screen.spot, SideTracker::DEFAULT_BAND_M),
                strong_side: screen.strong_side,
                previous_screen_id: screen.previous.map(|place| place as u32),
                confidence: screen.confidence,
                screener_speed_mps: screen.evidence.screener_speed_mps,
                user_gap_m: screen.evidence.user_gap_m,
                defender_gap_m: screen.evidence.defender_gap_m,
                angle_deg: screen.evidence.angle_deg,
                early_denial: screen.early_denial,
            }
        })
        .collect()
}
