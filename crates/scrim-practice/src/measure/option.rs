//! Whether the options after a ball screen came out as scripted.

use scrim_floor::Definitions;
use scrim_tables::tags::{HandlerAction, ScreenerAction};

use super::film::{Film, View, exact};
use super::measured::Measured;
use crate::labels::OptionLabel;
use crate::plan::ScreenPlan;

/// A roll or a slip leads to within this of the hoop, metres.
const AT_RIM_M: f64 = exact(Definitions::DEFAULT.at_rim_m);
/// A pull-up comes this soon after the use, seconds.
const PULL_UP_S: f64 = exact(Definitions::DEFAULT.pull_up_s);

/// The screener's action, if they got where it leads before the possession was over.
pub(crate) fn confirm_screener(
    film: &Film<'_>,
    view: &View<'_>,
    plan: &ScreenPlan,
    m: &Measured,
) -> Option<ScreenerAction> {
    let s = plan.screener;
    let last = film.frame_at(plan.period, film.log.possessions[plan.possession].t_end_s);
    let to = (m.use_frame + film.span(3.5)).min(last).max(m.use_frame);
    let line = f64::from(film.params.court.free_throw_x_m());
    let nearest = (m.use_frame..=to)
        .map(|f| view.spot(f, s).length())
        .fold(f64::INFINITY, f64::min);
    let end = view.spot(to, s);
    let start = view.spot(m.use_frame, s);
    let action = plan.screener_action?;
    let holds = match action {
        ScreenerAction::Roll | ScreenerAction::Slip => nearest <= AT_RIM_M,
        ScreenerAction::ShortRoll => {
            let stood = (m.use_frame..=to).any(|f| view.spot(f, s).x < line + 0.6 && view.speed(f, s) < 1.0);
            nearest > AT_RIM_M && stood
        }
        ScreenerAction::Pop | ScreenerAction::Ghost => end.length() > 6.2 && end.distance(start) > 1.5,
        ScreenerAction::Stay => to >= m.use_frame + film.span(1.5) && end.distance(start) < 1.8,
        ScreenerAction::Rescreen => true,
        ScreenerAction::Unclear => false,
    };
    holds.then_some(action)
}

/// The handler's action, if it was seen through.
pub(crate) fn confirm_handler(
    film: &Film<'_>,
    view: &View<'_>,
    plan: &ScreenPlan,
    m: &Measured,
) -> Option<HandlerAction> {
    let action = plan.handler_action?;
    let use_s = film.time_of(m.use_frame);
    let own_shot = plan.shot.filter(|shot| shot.shooter == plan.user);
    let holds = match action {
        HandlerAction::Drive => own_shot.is_some_and(|shot| shot.spot.length() < 3.0),
        HandlerAction::StepBack => own_shot.is_some(),
        HandlerAction::PullUp => {
            own_shot.is_some_and(|shot| shot.t_s - use_s <= PULL_UP_S && shot.spot.length() > 2.5)
        }
        HandlerAction::Split => {
            let (a, b, u) = (plan.screener_defender, plan.user_defender, plan.user);
            let last = view.record.frames.len() - 1;
            let to = (m.use_frame + film.span(1.8)).min(last);
            // The handler crosses the line between the two while both are near.
            let side = |f: usize| {
                let (pa, pb, pu) = (view.spot(f, a), view.spot(f, b), view.spot(f, u));
                let share = (pu - pa).dot(pb - pa) / (pb - pa).dot(pb - pa).max(1e-6);
                let cross = (pb - pa).quarter_turn().dot(pu - pa);
                (cross, (0.1..0.9).contains(&share) && pa.distance(pb) < 3.0)
            };
            (m.use_frame..to).any(|f| {
                let ((before, between), (after, _)) = (side(f), side(f + 1));
                between && before * after <= 0.0
            })
        }
        HandlerAction::Pass => plan.t_pass_s.is_some_and(|t| t - use_s <= 3.2),
        HandlerAction::Reject | HandlerAction::Reset => true,
        HandlerAction::Unclear => false,
    };
    holds.then_some(action)
}

pub(crate) fn option_row(film: &Film<'_>, plan: &ScreenPlan, m: &Measured, id: u32) -> OptionLabel {
    let view = film.view(plan.period, m.use_frame);
    let name = |slot: usize| film.player_id(plan.period, m.use_frame, slot);
    let shot = plan.shot;
    OptionLabel {
        game_id: film.game_id.clone(),
        period: plan.period,
        possession_id: plan.possession as u32,
        screen_id: id,
        screener_action: confirm_screener(film, &view, plan, m),
        handler_action: confirm_handler(film, &view, plan, m),
        pass_target: plan.pass_target,
        receiver_id: plan.receiver.map(name),
        t_pass_s: plan.t_pass_s,
        shooter_id: shot.map(|s| name(s.shooter)),
        shot_x_m: shot.map(|s| s.spot.x as f32),
        shot_y_m: shot.map(|s| s.spot.y as f32),
        shot_value: shot.map(|s| s.value),
        points: shot.map(|s| s.points),
    }
}
