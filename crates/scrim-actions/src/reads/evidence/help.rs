//! The other defenders: how near the roller they came, how far off their attackers, and steps at the handler.

use scrim_floor::Point;
use scrim_play::{Attacker, Defender, canonical_position};

use crate::reads::cast::Cast;

/// A stunt reaches to within this of the handler, m; farther away, nobody feels it.
const STUNT_REACH_M: f32 = 5.0;

/// Help comes at most this long after the use, s.
const HELP_AFTER_S: f32 = 2.5;

/// The most that any other defender did of each kind.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HelpEvidence {
    /// The nearest that one came to the screener by their own steps.
    pub tag: Option<TagStep>,
    /// The farthest that one was off canonical position toward the lane, the handler being in it.
    pub sag: Option<SagStep>,
    /// The largest step at the handler and back.
    pub stunt: Option<StuntStep>,
}

/// One defender in the screener's way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TagStep {
    /// Who.
    pub defender: Defender,
    /// How near they came, m.
    pub gap_m: f32,
    /// How much nearer than at the use that is, m.
    pub came_m: f32,
}

/// One defender off their attacker.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SagStep {
    /// Who.
    pub defender: Defender,
    /// How far off canonical position, and that nearer the lane, m.
    pub off_m: f32,
}

/// One step at the handler and back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StuntStep {
    /// Who.
    pub defender: Defender,
    /// The step toward the handler, m.
    pub step_m: f32,
    /// The way back, m.
    pub back_m: f32,
}

pub(super) fn measure(cast: &Cast) -> HelpEvidence {
    let scene = cast.scene;
    let to = cast.after_use(HELP_AFTER_S);
    let s = &scene.attackers[cast.screener];
    let mut help = HelpEvidence::default();
    for (place, d) in scene.defenders.placed() {
        if Some(place) == cast.user_defender || Some(place) == cast.screener_defender {
            continue;
        }
        let gap = |k: usize| d.at(k).distance_m(s.at(k));
        let start = gap(cast.used);
        let near = (cast.used..=to)
            .map(gap)
            .filter(|m| m.is_finite())
            .fold(f32::INFINITY, f32::min);
        if near.is_finite() && start.is_finite() && help.tag.is_none_or(|t| near < t.gap_m) {
            help.tag = Some(TagStep {
                defender: place,
                gap_m: near,
                came_m: start - near,
            });
        }
        let Some(own) = scene.guarded_by(place, cast.used) else {
            continue;
        };
        if let Some(off_m) = sag_m(cast, place, own, to)
            && help.sag.is_none_or(|sag| off_m > sag.off_m)
        {
            help.sag = Some(SagStep {
                defender: place,
                off_m,
            });
        }
        let (step_m, back_m) = stunt_m(cast, place, own, to);
        if help
            .stunt
            .is_none_or(|stunt| step_m.min(back_m) > stunt.step_m.min(stunt.back_m))
        {
            help.stunt = Some(StuntStep {
                defender: place,
                step_m,
                back_m,
            });
        }
    }
    help
}

/// The lane reaches this far to each side, m (FIBA: 4.90 m wide).
const LANE_HALF_M: f32 = 2.45;
/// ... and this far from the hoop, m (FIBA: to 4.225 m before the hoop's centre).
const LANE_DEEP_M: f32 = 4.25;

/// The farthest that the defender is off canonical position toward the lane while the handler is in it.
fn sag_m(cast: &Cast, place: Defender, own: Attacker, to: usize) -> Option<f32> {
    let scene = cast.scene;
    let (d, h) = (&scene.defenders[place], &scene.attackers[cast.user]);
    let lane_gap = |p: Point<_>| {
        let across = (p.y_m.abs() - LANE_HALF_M).max(0.0);
        let along = (p.x_m - LANE_DEEP_M).max(0.0);
        across.hypot(along)
    };
    (cast.used..=to)
        .filter(|&k| lane_gap(h.at(k)) <= 0.3)
        .filter_map(|k| {
            let home = canonical_position(scene.attackers[own].at(k), scene.ball_at(k));
            let off = d.at(k).distance_m(home);
            (off.is_finite() && lane_gap(d.at(k)) < lane_gap(home) + 0.01).then_some(off)
        })
        .max_by(f32::total_cmp)
}

/// The largest step at the handler and back, of a defender whose own attacker is known: how far they leave canonical position
/// toward the handler and return, so that following their own attacker is no step.
fn stunt_m(cast: &Cast, place: Defender, own: Attacker, to: usize) -> (f32, f32) {
    let scene = cast.scene;
    let (d, h) = (&scene.defenders[place], &scene.attackers[cast.user]);
    let within = scene.frames_in(cast.definitions.stunt_s);
    let off = |k: usize| {
        let ball = scene.ball_at(k);
        let ball = if ball.is_finite() { ball } else { h.at(k) };
        d.at(k) - canonical_position(scene.attackers[own].at(k), ball)
    };
    let mut best = (0.0, 0.0);
    for k in cast.used..=to {
        let way = h.at(k) - d.at(k);
        if way.length().is_nan() || way.length() > STUNT_REACH_M {
            continue;
        }
        let (before, after) = (
            k.saturating_sub(within).max(cast.used),
            (k + within).min(cast.last),
        );
        let toward = way.unit();
        let step = (off(k) - off(before)).dot(toward);
        let back = (off(k) - off(after)).dot(toward);
        if step.is_finite() && back.is_finite() && step.min(back) > f32::min(best.0, best.1) {
            best = (step, back);
        }
    }
    best
}
