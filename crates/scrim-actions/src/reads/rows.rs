//! Reads as rows of the `coverages` and `options` tables.

use scrim_play::{Play, Scene};
use scrim_tables::rows::{CoverageRow, OptionRow};
use scrim_tables::tags::Coverage;
use scrim_tracks::Game;

use super::BallScreenRead;
use crate::probability::probability_of;
use crate::{COVERAGE_WORDS, RollRoom, ScreenRef, Screens};

/// The rows of `coverages`, one a ball screen or handoff, in time order.
pub fn coverage_rows(
    game: &Game,
    play: &Play,
    screens: &Screens,
    reads: &[BallScreenRead],
) -> Vec<CoverageRow> {
    let rows = screens.on_ball().iter().zip(reads).enumerate();
    rows.map(|(place, (screen, read))| {
        let e = &read.evidence;
        let p_of = |word| probability_of(&COVERAGE_WORDS, read.coverages.as_ref(), word);
        CoverageRow {
            game_id: game.info.game_id.clone(),
            period: game.periods[play.possessions[screen.possession].period].number,
            possession_id: screen.possession as u32,
            screen_id: screens.id_of(ScreenRef::OnBall(place)),
            coverage: read.coverage.word,
            on_ball_path: read.on_ball_path.word,
            helper_id: read.helper.map(|helper| game.player(helper).id.clone()),
            helper_action: read.helper_action.word,
            confidence: read.coverage.confidence,
            depth_m: e.screener_defender.map(|d| d.depth_m),
            beyond_m: e.screener_defender.map(|d| d.beyond_m),
            both_close_s: e.screener_defender.and_then(|d| d.both_close_s),
            on_ball_side_m: e.on_ball.and_then(|on_ball| on_ball.side_m),
            matchup_swap_s: e
                .swap
                .filter(|swap| swap.margin_m > 0.0)
                .map(|swap| swap.begins_s),
            recover_s: e.screener_defender.and_then(|d| d.recover_s),
            unclear_reason: read.unclear,
            p_ice: p_of(Coverage::Ice),
            p_switch: p_of(Coverage::Switch),
            p_drop: p_of(Coverage::Drop),
            p_blitz: p_of(Coverage::Blitz),
            p_hedge: p_of(Coverage::Hedge),
            p_level: p_of(Coverage::Level),
        }
    })
    .collect()
}

/// The rows of `options`, one a ball screen or handoff, in time order.
pub fn option_rows(
    game: &Game,
    scenes: &[Scene],
    screens: &Screens,
    reads: &[BallScreenRead],
    rooms: &[RollRoom],
) -> Vec<OptionRow> {
    let id_of = |player| game.player(player).id.clone();
    let rows = screens.on_ball().iter().zip(reads).zip(rooms).enumerate();
    rows.map(|(place, ((screen, read), room))| {
        let scene = &scenes[screen.possession];
        let e = &read.evidence;
        let seen_shot = e
            .shot
            .filter(|shot| shot.spot.x_m.is_finite() && shot.spot.y_m.is_finite());
        OptionRow {
            game_id: game.info.game_id.clone(),
            period: game.periods[scene.period].number,
            possession_id: screen.possession as u32,
            screen_id: screens.id_of(ScreenRef::OnBall(place)),
            screener_action: read.screener_action.word,
            handler_action: read.handler_action.word,
            pass_target: read.pass_target,
            receiver_id: e.pass.map(|pass| id_of(pass.receiver)),
            t_pass_s: e.pass.map(|pass| scene.t_s(pass.frame)),
            shooter_id: e.shot.map(|shot| id_of(shot.shooter)),
            // From where nobody saw, its value is not known either.
            shot_x_m: seen_shot.map(|shot| shot.spot.x_m),
            shot_y_m: seen_shot.map(|shot| shot.spot.y_m),
            shot_value: seen_shot.map(|shot| shot.value),
            space_m: e.shot.and_then(|shot| shot.space_m),
            screener_space_m: e.screener.space_m,
            handler_space_m: e.handler.space_m,
            points: e.shot.and_then(|shot| shot.points),
            roll_space_mean_m: room.space_mean_m,
            catch_space_m: room.catch_space_m,
            low_man_id: room.low_man.map(id_of),
            low_man_gap_m: room.low_man_gap_m,
            tagger_id: room.tagger.map(id_of),
            tagger_gap_m: room.tagger_gap_m,
        }
    })
    .collect()
}
