//! Screens as rows of the `screens` table.

use scrim_floor::{Side, SideTracker};
use scrim_play::Play;
use scrim_tables::rows::ScreenRow;
use scrim_tracks::Game;

use crate::{ScreenRef, Screens};

/// The rows, in time order; the place in that list is the row's `screen_id`.
pub fn screen_rows(game: &Game, play: &Play, screens: &Screens) -> Vec<ScreenRow> {
    screens
        .in_order()
        .iter()
        .map(|&screen| row(game, play, screens, screen))
        .collect()
}

fn row(game: &Game, play: &Play, screens: &Screens, screen: ScreenRef) -> ScreenRow {
    let id_of = |player| game.player(player).id.clone();
    let any = screens.any(screen);
    let period = &game.periods[play.possessions[any.possession].period];
    ScreenRow {
        game_id: game.info.game_id.clone(),
        period: period.number,
        possession_id: any.possession as u32,
        screen_id: screens.id_of(screen),
        on_ball: matches!(screen, ScreenRef::OnBall(_)),
        screen_kind: any.kind,
        outcome: any.outcome,
        screener_id: id_of(any.screener),
        user_id: id_of(any.user),
        screener_defender_id: any.screener_defender.map(id_of),
        user_defender_id: any.user_defender.map(id_of),
        t_set_s: any.set.map(|frame| period.t_s(frame)),
        t_use_s: period.t_s(any.used),
        t_end_s: period.t_s(any.end),
        x_m: any.spot.x_m,
        y_m: any.spot.y_m,
        zone: game.info.court.zone_of(any.spot),
        side: Side::of(any.spot, SideTracker::DEFAULT_BAND_M),
        strong_side: any.strong_side,
        previous_screen_id: any.previous.map(|previous| screens.id_of(previous)),
        confidence: any.confidence,
        screener_speed_mps: any.evidence.screener_speed_mps,
        user_gap_m: any.evidence.user_gap_m,
        defender_gap_m: any.evidence.defender_gap_m,
        angle_deg: any.evidence.angle_deg,
        early_denial: any.early_denial,
        runner_up_kind: any.runner_up,
        user_defender_path: any.user_defender_path,
    }
}
