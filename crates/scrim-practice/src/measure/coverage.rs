//! Whether a coverage came out as it was called.

use scrim_floor::Definitions;
use scrim_tables::tags::{Coverage, HelperAction, OnBallPath, ScreenKind, ScreenerAction};

use super::film::{Film, View, exact};
use super::measured::Measured;
use super::two_defenders::{measure_two, word_for};
use crate::labels::CoverageLabel;
use crate::plan::ScreenPlan;
use crate::world::World;

/// Over or under by where the handler's defender passes the screener; the rest follows the coverage.
fn confirm_path(
    film: &Film<'_>,
    view: &View<'_>,
    plan: &ScreenPlan,
    m: &Measured,
    coverage: Option<Coverage>,
) -> Option<OnBallPath> {
    let called = plan.on_ball_path?;
    match (coverage?, called) {
        (Coverage::Switch, _) => Some(OnBallPath::Switched),
        (Coverage::Ice, _) => Some(OnBallPath::Denied),
        // What happened counts, not what was called.
        (
            Coverage::Drop | Coverage::Level | Coverage::Hedge | Coverage::Blitz,
            OnBallPath::Over | OnBallPath::Under,
        ) => find_side(film, view, plan, m),
        (Coverage::Drop | Coverage::Level | Coverage::Hedge | Coverage::Blitz | Coverage::Unclear, _) => None,
    }
}

/// Over or under, where the handler's defender crosses the screen's line clearly enough.
fn find_side(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, m: &Measured) -> Option<OnBallPath> {
    let d = plan.user_defender;
    let screen = view.spot(m.use_frame, plan.screener);
    let last = view.record.frames.len() - 1;
    let from = m.use_frame.saturating_sub(film.span(0.8));
    let to = (m.use_frame + film.span(1.6)).min(last);
    let crossing = (from..to).find(|&f| {
        (view.spot(f, d) - screen).dot(plan.out) < 0.0 && (view.spot(f + 1, d) - screen).dot(plan.out) >= 0.0
    })?;
    let above = (view.spot(crossing, d) - screen).dot(screen.unit());
    if above > 0.2 {
        Some(OnBallPath::Over)
    } else if above < -0.2 {
        Some(OnBallPath::Under)
    } else {
        None
    }
}

/// A helper who sags is this far off canonical position, metres.
const SAG_M: f64 = exact(Definitions::DEFAULT.sag_m);

/// The helper's action, if the tracks bear it out.
fn confirm_help(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, m: &Measured) -> Option<HelperAction> {
    let last = film.frame_at(plan.period, film.log.possessions[plan.possession].t_end_s);
    let to = (m.use_frame + film.span(2.5)).min(last).max(m.use_frame);
    let rolls = matches!(
        plan.screener_action,
        Some(ScreenerAction::Roll | ScreenerAction::ShortRoll)
    );
    let team = (plan.user_defender / 5) * 5;
    let others = || (team..team + 5).filter(|&d| d != plan.screener_defender && d != plan.user_defender);
    let nearest_m = |d: usize| view.closest(m.use_frame, to, d, plan.screener).1;
    match plan.helper_action? {
        HelperAction::Tag => plan
            .helper
            .filter(|&h| nearest_m(h) <= 1.4)
            .map(|_| HelperAction::Tag),
        HelperAction::Stunt => {
            let helper = plan.helper?;
            let start = view.gap(m.use_frame, helper, plan.user);
            let (at, least) = view.closest(m.use_frame, to, helper, plan.user);
            let back = (at + film.span(0.8)).min(last);
            let away = view.gap(back, helper, plan.user) - least;
            (start - least > 0.6 && away > 0.4 && nearest_m(helper) > 1.6).then_some(HelperAction::Stunt)
        }
        HelperAction::Sag => {
            let helper = plan.helper?;
            let (lane_x, lane_y) = (
                f64::from(film.params.court.free_throw_x_m()),
                f64::from(film.params.court.lane_width_m) / 2.0,
            );
            let player = film.guarded_by(plan.period, plan.t_go_s, plan.user / 5, helper)?;
            let sagged = (m.use_frame..=to).any(|f| {
                let handler = view.spot(f, plan.user);
                let expected = World::canonical(view.spot(f, player), handler);
                let off = view.spot(f, helper);
                let in_lane = handler.x < lane_x && handler.y.abs() < lane_y;
                in_lane && off.distance(expected) >= SAG_M && off.y.abs() < expected.y.abs()
            });
            (sagged && nearest_m(helper) > 1.6).then_some(HelperAction::Sag)
        }
        HelperAction::None => {
            let quiet = !rolls || others().all(|d| nearest_m(d) > 2.0);
            let off_handler = others().all(|d| view.closest(m.use_frame, to, d, plan.user).1 > 2.5);
            (quiet && off_handler).then_some(HelperAction::None)
        }
    }
}

pub(crate) fn coverage_row(film: &Film<'_>, plan: &ScreenPlan, m: &Measured, id: u32) -> CoverageLabel {
    let view = film.view(plan.period, m.use_frame);
    let evidence = measure_two(film, plan, m);
    let coverage = word_for(film, plan, m, &evidence);
    let path = confirm_path(film, &view, plan, m, coverage);
    let help = if plan.kind == ScreenKind::BallScreen {
        confirm_help(film, &view, plan, m)
    } else {
        None
    };
    let helper = plan.helper.filter(|_| help.is_some());
    CoverageLabel {
        game_id: film.game_id.clone(),
        period: plan.period,
        possession_id: plan.possession as u32,
        screen_id: id,
        coverage,
        on_ball_path: path,
        helper_id: helper.map(|slot| film.player_id(plan.period, m.use_frame, slot)),
        helper_action: help,
        depth_m: Some(evidence.depth_m as f32),
        beyond_m: Some(evidence.beyond_m as f32),
        both_close_s: Some(evidence.both_close_s as f32),
    }
}
