//! Screens as rows of the `screens` table.

use scrim_floor::{AttackFrame, Point, Side, SideTracker};
use scrim_play::Play;
use scrim_tables::rows::ScreenRow;
use scrim_tables::tags::{Outcome, ScreenKind, ScreenMeeting};
use scrim_tracks::{Game, PlayerIx};

use crate::{ScreenEvidence, ScreenRef, Screens};

/// What a row tells of a screen, on the ball or off it.
struct Told<'a> {
    possession: usize,
    on_ball: bool,
    kind: ScreenKind,
    outcome: Outcome,
    screener: PlayerIx,
    user: PlayerIx,
    screener_defender: Option<PlayerIx>,
    user_defender: Option<PlayerIx>,
    set: Option<usize>,
    used: usize,
    end: usize,
    spot: Point<AttackFrame>,
    strong_side: bool,
    previous: Option<ScreenRef>,
    confidence: f32,
    evidence: &'a ScreenEvidence,
    early_denial: bool,
    runner_up: Option<ScreenKind>,
    user_defender_path: Option<ScreenMeeting>,
}

/// The rows, in time order; the place in that list is the row's `screen_id`.
pub fn screen_rows(game: &Game, play: &Play, screens: &Screens) -> Vec<ScreenRow> {
    screens
        .in_order()
        .iter()
        .map(|&screen| row(game, play, screens, screen))
        .collect()
}

fn told(screens: &Screens, screen: ScreenRef) -> Told<'_> {
    match screen {
        ScreenRef::OnBall(place) => {
            let of = &screens.on_ball()[place];
            Told {
                possession: of.possession,
                on_ball: true,
                kind: of.kind,
                outcome: of.outcome,
                screener: of.screener,
                user: of.user,
                screener_defender: of.screener_defender,
                user_defender: of.user_defender,
                set: of.set,
                used: of.used,
                end: of.end,
                spot: of.spot,
                strong_side: of.strong_side,
                previous: of.previous.map(ScreenRef::OnBall),
                confidence: of.confidence,
                evidence: &of.evidence,
                early_denial: of.early_denial,
                runner_up: None,
                user_defender_path: None,
            }
        }
        ScreenRef::OffBall(place) => {
            let of = &screens.off_ball()[place];
            Told {
                possession: of.possession,
                on_ball: false,
                kind: of.kind,
                outcome: of.outcome,
                screener: of.screener,
                user: of.user,
                screener_defender: of.screener_defender,
                user_defender: of.user_defender,
                set: of.set,
                used: of.used,
                end: of.end,
                spot: of.spot,
                strong_side: of.strong_side,
                previous: of.previous.map(ScreenRef::OffBall),
                confidence: of.confidence,
                evidence: &of.evidence,
                early_denial: false,
                runner_up: of.runner_up,
                user_defender_path: of.user_defender_path,
            }
        }
    }
}

fn row(game: &Game, play: &Play, screens: &Screens, screen: ScreenRef) -> ScreenRow {
    let id_of = |player| game.player(player).id.clone();
    let told = told(screens, screen);
    let period = &game.periods[play.possessions[told.possession].period];
    ScreenRow {
        game_id: game.info.game_id.clone(),
        period: period.number,
        possession_id: told.possession as u32,
        screen_id: screens.id_of(screen),
        on_ball: told.on_ball,
        screen_kind: told.kind,
        outcome: told.outcome,
        screener_id: id_of(told.screener),
        user_id: id_of(told.user),
        screener_defender_id: told.screener_defender.map(id_of),
        user_defender_id: told.user_defender.map(id_of),
        t_set_s: told.set.map(|frame| period.t_s(frame)),
        t_use_s: period.t_s(told.used),
        t_end_s: period.t_s(told.end),
        x_m: told.spot.x_m,
        y_m: told.spot.y_m,
        zone: game.info.court.zone_of(told.spot),
        side: Side::of(told.spot, SideTracker::DEFAULT_BAND_M),
        strong_side: told.strong_side,
        previous_screen_id: told.previous.map(|previous| screens.id_of(previous)),
        confidence: told.confidence,
        screener_speed_mps: told.evidence.screener_speed_mps,
        user_gap_m: told.evidence.user_gap_m,
        defender_gap_m: told.evidence.defender_gap_m,
        angle_deg: told.evidence.angle_deg,
        early_denial: told.early_denial,
        runner_up_kind: told.runner_up,
        user_defender_path: told.user_defender_path,
    }
}
