//! Screens as rows of the `screens` table.

use scrim_floor::{Side, SideTracker};
use scrim_play::Play;
use scrim_tables::rows::ScreenRow;
use scrim_tables::tags::Outcome;
use scrim_tracks::Game;

use crate::probability::probability_of;
use crate::{OUTCOME_WORDS, ScreenRef, Screens};

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
    let found = screens.get(screen);
    let mut outcomes = None;
    let (previous, early_denial, runner_up_kind, user_defender_path) = match screen {
        ScreenRef::OnBall(place) => {
            let previous = found.previous.map(ScreenRef::OnBall);
            outcomes = screens.on_ball()[place].outcomes;
            (previous, screens.on_ball()[place].early_denial, None, None)
        }
        ScreenRef::OffBall(place) => {
            let screen = &screens.off_ball()[place];
            let previous = found.previous.map(ScreenRef::OffBall);
            (previous, false, screen.runner_up, screen.user_defender_path)
        }
    };
    let p_of = |word| probability_of(&OUTCOME_WORDS, outcomes.as_ref(), word);
    let period = &game.periods[play.possessions[found.possession].period];
    ScreenRow {
        game_id: game.info.game_id.clone(),
        period: period.number,
        possession_id: found.possession as u32,
        screen_id: screens.id_of(screen),
        on_ball: matches!(screen, ScreenRef::OnBall(_)),
        screen_kind: found.kind,
        outcome: found.outcome,
        screener_id: id_of(found.screener),
        user_id: id_of(found.user),
        screener_defender_id: found.screener_defender.map(id_of),
        user_defender_id: found.user_defender.map(id_of),
        t_set_s: found.set.map(|frame| period.t_s(frame)),
        t_use_s: period.t_s(found.used),
        t_end_s: period.t_s(found.end),
        x_m: found.spot.x_m,
        y_m: found.spot.y_m,
        zone: game.info.court.zone_of(found.spot),
        side: Side::of(found.spot, SideTracker::DEFAULT_BAND_M),
        strong_side: found.strong_side,
        previous_screen_id: previous.map(|previous| screens.id_of(previous)),
        confidence: found.confidence,
        screener_speed_mps: found.evidence.screener_speed_mps,
        user_gap_m: found.evidence.user_gap_m,
        defender_gap_m: found.evidence.defender_gap_m,
        angle_deg: found.evidence.angle_deg,
        early_denial,
        runner_up_kind,
        user_defender_path,
        p_used: p_of(Outcome::Used),
        p_rejected: p_of(Outcome::Rejected),
        p_slipped: p_of(Outcome::Slipped),
        p_ghosted: p_of(Outcome::Ghosted),
        p_unused: p_of(Outcome::Unused),
    }
}
