//! Accidents that fit the definition of a ball screen or a handoff: zones of doubt.
//!
//! The rule is loose and geometric, made for the simulator alone: a team-mate, at whatever speed, is in the way of the
//! defender of the player with the ball, or so near to that defender that it may be meant. A team-mate who is merely near is
//! no doubt: nobody's way is taken. What was scripted, as a screen or as a hard negative, is not doubtful.

use super::film::{Film, View};
use super::measured::Measured;
use super::reach::takes_way;
use crate::labels::ScreenLabel;
use crate::plan::PossessionPlan;

/// A doubtful closeness.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Doubt {
    pub period: u8,
    pub possession: usize,
    pub screener: usize,
    pub user: usize,
    pub use_frame: usize,
    pub gap_m: f64,
    pub on_ball: bool,
}

impl Doubt {
    pub fn row(&self, film: &Film<'_>, id: u32) -> ScreenLabel {
        let name = |slot| film.player_id(self.period, self.use_frame, slot);
        ScreenLabel {
            game_id: film.game_id.clone(),
            period: self.period,
            possession_id: self.possession as u32,
            screen_id: id,
            on_ball: self.on_ball,
            screen_kind: None,
            outcome: None,
            screener_id: name(self.screener),
            user_id: name(self.user),
            screener_defender_id: None,
            user_defender_id: None,
            t_set_s: None,
            t_use_s: film.time_of(self.use_frame),
            t_end_s: None,
            x_m: None,
            y_m: None,
            zone: None,
            previous_screen_id: None,
            screener_speed_mps: None,
            user_gap_m: Some(self.gap_m as f32),
            early_denial: None,
        }
    }
}

/// Team-mate and handler are this near, metres.
const NEAR_BALL_M: f64 = 3.0;
/// Team-mate and user are this near, away from the ball, metres.
const NEAR_M: f64 = 1.6;
/// For at least so long, seconds.
const LEAST_S: f64 = 0.16;
/// The user's defender is this near to the team-mate, metres.
const TOUCH_M: f64 = 0.7;
/// Nearer the hoop than this there are crowds, not ball screens.
const CROWD_M: f64 = 2.4;
/// For so long after a possession began there is a scramble, inbound traffic or a crowd under a rebound.
const SETTLING_S: f64 = 1.5;
/// Away from the ball: the screener is slow, the user runs.
const SET_MPS: f64 = 1.5;
/// A player with the ball who is slower uses nothing.
const COMES_MPS: f64 = 1.4;
/// See [`SET_MPS`].
const RUN_MPS: f64 = 1.8;
/// So long after a use the pair is still parting; a later closeness is another one.
const SAME_USE_S: f64 = 1.2;
/// Two players this near at a pass may have handed it off.
pub(super) const HANDOFF_M: f64 = 1.9;
/// A ball from hand to hand is out of both for no longer than this, s. Common practice, no source.
pub(super) const HANDED_S: f64 = 0.6;

pub(crate) fn find_doubts(film: &Film<'_>, measured: &[Measured]) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    for (possession, plan) in film.log.possessions.iter().enumerate() {
        let (from, to) = (
            film.frame_at(plan.period, plan.t_start_s),
            film.frame_at(plan.period, plan.t_end_s),
        );
        let view = film.view(plan.period, from);
        let team = plan.offense * 5;
        let mut found: Vec<Doubt> = Vec::new();
        let mut open: [Option<(usize, Doubt)>; 5] = [None; 5];
        let mut last_holder: Option<(usize, usize)> = None;
        for frame in from..=to.min(view.record.frames.len() - 1) {
            let row = &view.record.frames[frame];
            let holder = row
                .holder
                .map(usize::from)
                .filter(|&h| row.live && h / 5 == plan.offense);
            let settled = frame >= from + film.span(SETTLING_S);
            let screenable = holder.filter(|&h| settled && view.spot(frame, h).length() > CROWD_M);
            for (place, slot) in open.iter_mut().enumerate() {
                let mate = team + place;
                let near = screenable.filter(|&h| {
                    h != mate
                        && view.gap(frame, h, mate) <= NEAR_BALL_M
                        && guard_of(film, plan, &view, frame, h).is_some_and(|guard| {
                            let touches = view.gap(frame, guard, mate) < TOUCH_M;
                            view.speed(frame, h) > COMES_MPS
                                && (touches || takes_way(film, &view, frame, mate, h, guard))
                        })
                });
                match (near, slot.as_mut()) {
                    (Some(user), Some((_, doubt))) if doubt.user == user => {
                        let gap_m = view.gap(frame, user, mate);
                        if gap_m < doubt.gap_m {
                            (doubt.gap_m, doubt.use_frame) = (gap_m, frame);
                        }
                    }
                    (near, _) => {
                        if let Some((start, doubt)) = slot.take()
                            && frame - start >= film.span(LEAST_S)
                        {
                            found.push(doubt);
                        }
                        *slot = near.map(|user| {
                            let gap_m = view.gap(frame, user, mate);
                            let period = plan.period;
                            (
                                frame,
                                Doubt {
                                    period,
                                    possession,
                                    screener: mate,
                                    user,
                                    use_frame: frame,
                                    gap_m,
                                    on_ball: true,
                                },
                            )
                        });
                    }
                }
            }
            if let Some(h) = holder {
                if let Some((before, at)) = last_holder {
                    let gap_m = view.gap(at, before, h);
                    if before != h && gap_m < HANDOFF_M && frame - at <= film.span(HANDED_S) {
                        found.push(Doubt {
                            period: plan.period,
                            possession,
                            screener: before,
                            user: h,
                            use_frame: frame,
                            gap_m,
                            on_ball: true,
                        });
                    }
                }
                last_holder = Some((h, frame));
            }
        }
        found.extend(open.into_iter().flatten().map(|(_, doubt)| doubt));
        found.extend(find_off_ball(film, plan, possession, from, to));
        found.retain(|d| !is_scripted(film, measured, d));
        found.sort_by_key(|d| d.use_frame);
        // One row a pair and moment: a second closeness soon after the first belongs to it.
        let mut kept: Vec<Doubt> = Vec::new();
        for doubt in found {
            let same = |k: &&mut Doubt| {
                (k.screener, k.user, k.on_ball) == (doubt.screener, doubt.user, doubt.on_ball)
            };
            match kept.iter_mut().rev().find(same) {
                Some(last) if doubt.use_frame - last.use_frame <= film.span(2.0) => {
                    if doubt.gap_m < last.gap_m {
                        (last.gap_m, last.use_frame) = (doubt.gap_m, doubt.use_frame);
                    }
                }
                Some(_) | None => kept.push(doubt),
            }
        }
        doubts.extend(kept);
    }
    doubts
}

/// Whether the pair had a scripted screen or a scripted negative about then.
fn is_scripted(film: &Film<'_>, measured: &[Measured], doubt: &Doubt) -> bool {
    let t_s = film.time_of(doubt.use_frame);
    let pair =
        |a: usize, b: usize| (a, b) == (doubt.screener, doubt.user) || (b, a) == (doubt.screener, doubt.user);
    // A scripted screen in doubt does not stand for the handoff that it may be.
    let is_counted = |m: &Measured| m.is_plain || film.log.screens[m.plan].screener == doubt.screener;
    let by_screen = measured.iter().any(|m| {
        let plan = &film.log.screens[m.plan];
        plan.period == doubt.period
            && pair(plan.screener, plan.user)
            && is_counted(m)
            && t_s >= plan.t_call_s - 0.5
            && t_s <= film.time_of(m.use_frame) + SAME_USE_S
    });
    let by_negative = film.log.negatives.iter().any(|n| {
        n.period == doubt.period
            && pair(n.mate, n.handler)
            && t_s >= n.t_start_s - 0.3
            && t_s <= n.t_end_s + 0.3
    });
    by_screen || by_negative
}

/// Who guards `attacker` at `frame`.
fn guard_of(
    film: &Film<'_>,
    plan: &PossessionPlan,
    view: &View<'_>,
    frame: usize,
    attacker: usize,
) -> Option<usize> {
    let rivals = (1 - plan.offense) * 5;
    let t_s = frame as f64 / view.hz;
    (rivals..rivals + 5).find(|&r| film.guarded_by(plan.period, t_s, plan.offense, r) == Some(attacker))
}

/// Away from the ball: a player on the run passes a team-mate who stands, with a rival near the one who stands.
fn find_off_ball(
    film: &Film<'_>,
    plan: &PossessionPlan,
    possession: usize,
    from: usize,
    to: usize,
) -> Vec<Doubt> {
    let view = film.view(plan.period, from);
    let team = plan.offense * 5;
    let half = f64::from(film.params.court.half_court_x_m());
    let stride = film.span(0.12).max(1);
    let mut found = Vec::new();
    for frame in (from..=to.min(view.record.frames.len() - 1)).step_by(stride) {
        let holder = view.record.frames[frame].holder.map(usize::from);
        if !view.record.frames[frame].live {
            continue;
        }
        for screener in team..team + 5 {
            if Some(screener) == holder
                || view.speed(frame, screener) > SET_MPS
                || view.spot(frame, screener).x > half
            {
                continue;
            }
            for user in (team..team + 5).filter(|&u| u != screener && Some(u) != holder) {
                let gap_m = view.gap(frame, user, screener);
                let guarded = guard_of(film, plan, &view, frame, user).is_some_and(|guard| {
                    view.gap(frame, guard, screener) < TOUCH_M
                        || takes_way(film, &view, frame, screener, user, guard)
                });
                if gap_m < NEAR_M && view.speed(frame, user) > RUN_MPS && guarded {
                    let period = plan.period;
                    found.push(Doubt {
                        period,
                        possession,
                        screener,
                        user,
                        use_frame: frame,
                        gap_m,
                        on_ball: false,
                    });
                }
            }
        }
    }
    found
}
