//! The word for a run away from the ball, by the vocabulary; `None` where it has none that is plain.

use scrim_floor::{Definitions, Point, Zone};
use scrim_tables::tags::{CutKind, Outcome};

use super::film::{Film, View, exact};
use super::measured::Measured;
use super::run::Run;
use crate::plan::{CutPlan, ScreenPlan};
use crate::vec2::Vec2;

/// A cut to the rim ends this near to the hoop, metres.
const AT_RIM_M: f64 = exact(Definitions::DEFAULT.at_rim_m);
/// A cut to the rim comes from farther out than this, metres.
const FROM_OUT_M: f64 = 4.5;
/// The perimeter begins so far from the hoop, metres (the corners are nearer to it than the rest of the arc).
const PERIMETER_M: f64 = 6.1;
/// A shorter way is no plain cut, metres.
const LEAST_NET_M: f64 = 2.0;
/// A slower run is no plain cut, m/s. (All of these: common practice, no source.)
const LEAST_PEAK_MPS: f64 = 2.2;
/// A spacing move goes straight: the distance is this share of the way.
const STRAIGHT: f64 = 0.88;
/// The next place along the perimeter is nearer than this, metres.
const FARTHEST_FILL_M: f64 = 6.5;
/// A curl turns by so much.
const CURL_RAD: f64 = 1.2;
/// A team-mate's place is left when they are so far from it, metres.
const LEFT_M: f64 = 2.5;
/// Who comes so near to it fills it, metres.
const FILLED_M: f64 = 1.3;

pub(crate) fn zone(film: &Film<'_>, spot: Vec2) -> Zone {
    film.params
        .court
        .zone_of(Point::new(spot.x as f32, spot.y as f32))
}

const fn is_corner(zone: Zone) -> bool {
    matches!(zone, Zone::LeftCorner | Zone::RightCorner)
}

const fn is_wing(zone: Zone) -> bool {
    matches!(zone, Zone::LeftWing | Zone::RightWing)
}

/// The zones that players space out to.
const fn is_outside(zone: Zone) -> bool {
    is_corner(zone) || is_wing(zone) || matches!(zone, Zone::LeftSlot | Zone::RightSlot | Zone::Top)
}

/// Start, end and the ball at both, of a run.
struct Way {
    start: Vec2,
    end: Vec2,
    ball_start: Vec2,
    ball_end: Vec2,
    net_m: f64,
}

fn way(view: &View<'_>, run: &Run) -> Way {
    let (start, end) = (view.spot(run.from, run.slot), view.spot(run.to, run.slot));
    Way {
        start,
        end,
        ball_start: view.ball(run.from, run.slot),
        ball_end: view.ball(run.to, run.slot),
        net_m: start.distance(end),
    }
}

/// The word of a run that no script named: only moves along the perimeter are plain by themselves.
pub(crate) fn spacing_word(film: &Film<'_>, period: u8, run: &Run) -> Option<CutKind> {
    let view = film.view(period, run.from);
    let w = way(&view, run);
    let straight = w.net_m >= STRAIGHT * view.path_m(run.from, run.to, run.slot);
    if !straight || w.net_m < LEAST_NET_M || view.peak_mps(run.from, run.to, run.slot) < LEAST_PEAK_MPS {
        return None;
    }
    let (from, to) = (zone(film, w.start), zone(film, w.end));
    let same_side = w.start.y * w.end.y > 0.0;
    let outside = w.start.length() > PERIMETER_M - 0.6 && w.end.length() > PERIMETER_M - 0.6;
    if is_corner(from) && is_wing(to) && same_side {
        return Some(CutKind::Lift);
    }
    if is_wing(from) && is_corner(to) && same_side {
        return Some(CutKind::Drift);
    }
    let moves = is_outside(from) && is_outside(to) && from != to && outside;
    // From a corner it would be a lift, to a corner a drift: between the two words.
    let plain = moves && !is_corner(from) && !is_corner(to) && w.net_m < FARTHEST_FILL_M;
    (plain && fills(film, &view, run, w.end)).then_some(CutKind::Fill)
}

/// Whether a team-mate stood at `end` shortly before and has left it.
fn fills(film: &Film<'_>, view: &View<'_>, run: &Run, end: Vec2) -> bool {
    let team = run.slot / 5 * 5;
    let before = run.from.saturating_sub(film.span(1.5));
    let soon = run.from + film.span(0.4);
    (team..team + 5).any(|mate| {
        let stood = (before..=soon.min(run.to)).any(|f| view.spot(f, mate).distance(end) < FILLED_M);
        mate != run.slot && stood && view.spot(run.to, mate).distance(end) > LEFT_M
    })
}

/// Whether a scripted cut came out as it was meant.
pub(crate) fn confirm_cut(
    film: &Film<'_>,
    plan: &CutPlan,
    screen: Option<(&ScreenPlan, &Measured)>,
    run: &Run,
) -> Option<CutKind> {
    let view = film.view(plan.period, run.from);
    let w = way(&view, run);
    let kind = plan.kind?;
    if w.net_m < LEAST_NET_M || view.peak_mps(run.from, run.to, run.slot) < LEAST_PEAK_MPS {
        return None;
    }
    let to_rim = w.end.length() <= AT_RIM_M + 0.4 && w.start.length() >= FROM_OUT_M;
    let used = screen.is_some_and(|(s, m)| m.is_plain && s.outcome == Outcome::Used && s.user == run.slot);
    let outside = w.end.length() >= PERIMETER_M;
    let holds = match kind {
        CutKind::Basket => to_rim,
        CutKind::Backdoor => to_rim && was_denied(film, &view, plan, run),
        // They may catch the ball on the way in.
        CutKind::RubCut | CutKind::FlexCut => used && w.end.length() <= AT_RIM_M + 0.8,
        CutKind::Curl => used && w.end.length() <= AT_RIM_M + 0.4 && turned_rad(&view, run) > CURL_RAD,
        // Away from the screen and from the ball, to where they can shoot.
        CutKind::Fade => used && outside && w.end.distance(w.ball_end) > w.start.distance(w.ball_start) + 0.8,
        CutKind::PopOut => {
            let own = screen.is_some_and(|(s, m)| {
                m.is_plain
                    && s.screener == run.slot
                    && view.spot(m.use_frame, s.screener).distance(w.start) < 1.5
            });
            own && outside && w.start.length() < w.end.length() - 1.0
        }
        CutKind::Flash => {
            let from_weak = w.start.y * w.ball_start.y < 0.0 && w.ball_start.y.abs() > 1.2;
            let to_ball = w.start.distance(w.ball_start) - w.end.distance(w.ball_end);
            from_weak && to_ball > 2.0 && w.end.length() > 2.0 && w.end.length() < PERIMETER_M
        }
        CutKind::Baseline => {
            let through = (run.from..=run.to).all(|f| view.spot(f, run.slot).x < 3.4);
            through && w.start.y * w.end.y < 0.0 && w.start.y.abs().min(w.end.y.abs()) > 2.5
        }
        CutKind::Lift | CutKind::Drift | CutKind::Fill => return spacing_word(film, plan.period, run),
    };
    holds.then_some(kind)
}

/// Whether the cutter's defender stood between cutter and ball, toward the ball, at the start.
fn was_denied(film: &Film<'_>, view: &View<'_>, plan: &CutPlan, run: &Run) -> bool {
    let offense = plan.slot / 5;
    let rivals = (1 - offense) * 5;
    let guard = (rivals..rivals + 5)
        .find(|&d| film.guarded_by(plan.period, plan.t_go_s, offense, d) == Some(run.slot));
    guard.is_some_and(|d| {
        let player = view.spot(run.from, run.slot);
        let off = view.spot(run.from, d) - player;
        let lane = (view.ball(run.from, run.slot) - player).unit();
        let (along, beside) = (off.dot(lane), off.dot(lane.quarter_turn()).abs());
        along > 0.5 && beside < along && off.length() < 2.6
    })
}

/// By how much the run turns: its way 0.5 s after the start against its way 0.4 s before the end.
fn turned_rad(view: &View<'_>, run: &Run) -> f64 {
    let frames = |seconds: f64| (seconds * view.hz).round() as usize;
    let before = view.velocity((run.from + frames(0.5)).min(run.to), run.slot);
    let after = view.velocity(run.to.saturating_sub(frames(0.4)).max(run.from), run.slot);
    let cos = before.unit().dot(after.unit());
    cos.clamp(-1.0, 1.0).acos()
}
