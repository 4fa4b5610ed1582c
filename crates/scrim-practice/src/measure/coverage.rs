//! Whether a coverage came out as it was called.

use scrim_tables::tags::{Coverage, HelperAction, OnBallPath, ScreenKind, ScreenerAction};

use super::screen::{Measured, view_of};
use super::{Film, View};
use crate::labels::CoverageLabel;
use crate::plan::ScreenPlan;
use crate::world::World;

/// What was measured of the two defenders.
struct Evidence {
    depth_m: f64,
    beyond_m: f64,
    both_close_s: f64,
}

fn measure_evidence(film: &Film<'_>, view: &View<'_>, plan: &ScreenPlan, m: &Measured) -> Evidence {
    let last = film.frame_at(plan.period, film.log.possessions[plan.possession].t_end_s);
    let (big, on_ball) = (plan.screener_defender, plan.user_defender);
    let screen_m = view.spot(m.use_frame, plan.screener).length();
    let depth_m = screen_m - view.spot(m.use_frame, big).length();
    let from = m.use_frame.saturating_sub(film.span(0.6));
    let to = (m.use_frame + film.span(1.5)).min(last).max(from);
    let beyond_m = (from..=to)
        .map(|f| view.spot(f, big).length() - screen_m)
        .fold(f64::NEG_INFINITY, f64::max);
    let to = (m.use_frame + film.span(3.0)).min(last).max(m.use_frame);
    let both = (m.use_frame..=to)
        .filter(|&f| view.gap(f, big, plan.user) < 1.8 && view.gap(f, on_ball, plan.user) < 1.8)
        .count();
    Evidence {
        depth_m,
        beyond_m,
        both_close_s: both as f64 / film.params.hz,
    }
}

/// The scripted coverage, if the tracks bear it out.
fn confirm_coverage(
    film: &Film<'_>,
    view: &View<'_>,
    plan: &ScreenPlan,
    m: &Measured,
    e: &Evidence,
) -> Option<Coverage> {
    let last = film.frame_at(plan.period, film.log.possessions[plan.possession].t_end_s);
    let (big, on_ball, u, s) = (
        plan.screener_defender,
        plan.user_defender,
        plan.user,
        plan.screener,
    );
    let holds = match plan.coverage? {
        Coverage::Drop => e.depth_m >= 1.5 && e.both_close_s < 0.8,
        Coverage::Level => {
            // Containing for a moment is level; two on the ball for long is not.
            let returned = (m.use_frame + film.span(1.6)).min(last);
            let left = view.gap(returned, big, u) > 2.0;
            let brief = e.both_close_s < 0.8 || (e.both_close_s < 1.4 && left);
            e.depth_m.abs() <= 1.5 && e.beyond_m < 0.55 && brief
        }
        Coverage::Hedge => e.beyond_m >= 0.6 && e.depth_m < 1.5,
        Coverage::Blitz => e.both_close_s >= 0.9,
        Coverage::Switch => {
            let later = m.use_frame + film.span(1.6);
            later <= last
                && view.gap(later, big, u) + view.gap(later, on_ball, s)
                    < view.gap(later, big, s) + view.gap(later, on_ball, u)
        }
        Coverage::Ice => {
            let before = m.use_frame.saturating_sub(film.span(0.2));
            let side = (view.spot(before, on_ball) - view.spot(before, u)).dot(plan.out);
            side > 0.2 && e.depth_m > 0.8
        }
        Coverage::Unclear => false,
    };
    plan.coverage.filter(|_| holds)
}

/// Over or under by where the handler's defender passes the screener; the rest follows the coverage.
fn confirm_path(
    film: &Film<'_>,
    view: &View<'_>,
    plan: &ScreenPlan,
    m: &Measured,
    coverage: Option<Coverage>,
) -> Option<OnBallPath> {
    match plan.on_ball_path? {
        path @ (OnBallPath::Over | OnBallPath::Under) => {
            let d = plan.user_defender;
            let screen = view.spot(m.use_frame, plan.screener);
            let last = view.record.frames.len() - 1;
            let from = m.use_frame.saturating_sub(film.span(0.8));
            let to = (m.use_frame + film.span(1.6)).min(last);
            let crossing = (from..to).find(|&f| {
                (view.spot(f, d) - screen).dot(plan.out) < 0.0
                    && (view.spot(f + 1, d) - screen).dot(plan.out) >= 0.0
            })?;
            let above = (view.spot(crossing, d) - screen).dot(screen.unit());
            let seen = if above > 0.2 {
                OnBallPath::Over
            } else if above < -0.2 {
                OnBallPath::Under
            } else {
                return None;
            };
            // What happened counts, not what was called.
            (seen == path || coverage.is_some()).then_some(seen)
        }
        OnBallPath::Switched => (coverage == Some(Coverage::Switch)).then_some(OnBallPath::Switched),
        OnBallPath::Denied => (coverage == Some(Coverage::Ice)).then_some(OnBallPath::Denied),
        OnBallPath::Unclear => None,
    }
}

/// The attacker `defender` guarded when the screen was used.
fn man_of(film: &Film<'_>, plan: &ScreenPlan, defender: usize) -> Option<usize> {
    let change = film
        .log
        .matchups
        .iter()
        .rfind(|c| c.period == plan.period && c.t_s <= plan.t_go_s && c.offense == plan.user / 5);
    change.map(|c| c.guards[defender])
}

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
            let man = man_of(film, plan, helper)?;
            let sagged = (m.use_frame..=to).any(|f| {
                let handler = view.spot(f, plan.user);
                let expected = World::canonical(view.spot(f, man), handler);
                let off = view.spot(f, helper);
                let in_lane = handler.x < lane_x && handler.y.abs() < lane_y;
                in_lane && off.distance(expected) >= 1.5 && off.y.abs() < expected.y.abs()
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
    let view = view_of(film, plan.period, m.use_frame);
    let evidence = measure_evidence(film, &view, plan, m);
    let coverage = confirm_coverage(film, &view, plan, m, &evidence);
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
