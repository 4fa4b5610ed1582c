//! One run, measured: where it leads, past whom, and what the defender and the ball did.

use std::ops::Range;

use scrim_floor::{AttackFrame, Definitions, Half, Point, Segment, distance_to_segment_m};
use scrim_play::{Attacker, Scene};

/// The baseline's strip, corners included, reaches this far before the hoop, m.
pub(super) const LOW_X_M: f32 = 3.2;

/// A denying defender stands this near to the line from the attacker to the ball, m.
const DENYING_LANE_M: f32 = 0.6;
/// ... and this near to the attacker, m.
const DENYING_GAP_M: f32 = 1.5;
/// ... and no more than this nearer to the hoop than the attacker, m.
const DENYING_DEPTH_M: f32 = 1.3;

/// The denial of a defender is looked at over this long from the run's first frame, s.
const DENIAL_S: f32 = 0.3;

/// A run, measured. Frames are the scene's.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Run {
    /// Who cuts.
    pub place: Attacker,
    /// Its frames.
    pub frames: Range<usize>,
    /// Where it began.
    pub from: Point<AttackFrame>,
    /// Where it ended.
    pub to: Point<AttackFrame>,
    /// The largest speed, m/s.
    pub peak_mps: f32,
    /// The way run, m.
    pub path_m: f32,
    /// Whether the runner began away from the ball's side.
    pub from_weak_side: bool,
    /// How much nearer the ball they came, m (where both are seen); by their own steps alone when those led away from it.
    pub closing_on_ball_m: Option<f32>,
    /// How long ago they passed the ball when it began, s; `None` if they have not had it in this possession.
    pub since_own_touch_s: Option<f32>,
    /// How near they passed a team-mate who stood at the high post, m.
    pub past_high_post_m: Option<f32>,
    /// Whether their defender stood between them and the ball rather than between them and the hoop.
    pub denied: bool,
}

impl Run {
    /// The last frame.
    pub fn last(&self) -> usize {
        self.frames.end - 1
    }

    /// From first place to last, m.
    pub fn net_m(&self) -> f32 {
        self.from.distance_m(self.to)
    }
}

/// Measures the run of the attacker at `place` over `frames`, which are at least one.
pub(super) fn measure(
    scene: &Scene,
    place: Attacker,
    frames: Range<usize>,
    definitions: &Definitions,
) -> Run {
    let mover = &scene.attackers[place];
    let (first, last) = (frames.start, frames.end - 1);
    let (from, to) = (mover.at(first), mover.at(last));
    let speeds = || frames.clone().map(|k| mover.speed_at(k));
    let path_m: f64 = speeds().map(|v| f64::from(v) / scene.hz).sum();
    let closing = from.distance_m(scene.ball_at(first)) - to.distance_m(scene.ball_at(last));
    // A ball that comes to where the runner goes, away from it, is no flash of theirs.
    let by_own_steps = from.distance_m(scene.ball_at(last)) - to.distance_m(scene.ball_at(last));
    let closing = if closing.is_finite() && by_own_steps < 0.0 {
        by_own_steps
    } else {
        closing
    };
    Run {
        place,
        from,
        to,
        peak_mps: speeds().fold(0.0, f32::max),
        path_m: path_m as f32,
        from_weak_side: scene.strong[first].is_some_and(|strong| strong != Half::of(from)),
        closing_on_ball_m: closing.is_finite().then_some(closing),
        since_own_touch_s: scene.since_touch_s(place, first, first),
        past_high_post_m: past_high_post_m(scene, place, &frames, definitions),
        denied: is_denied(scene, place, first),
        frames,
    }
}

/// How near the runner passes a team-mate without the ball who stands at the elbow or the high post, m.
fn past_high_post_m(
    scene: &Scene,
    place: Attacker,
    frames: &Range<usize>,
    definitions: &Definitions,
) -> Option<f32> {
    let mover = &scene.attackers[place];
    let mut nearest = f32::INFINITY;
    for (other, mate) in scene.attackers.placed() {
        if other == place {
            continue;
        }
        for k in frames.clone() {
            let at = mate.at(k);
            let stands = mate.speed_at(k) < definitions.standing_mps && scene.handler[k] != Some(other);
            if stands && at.x_m > LOW_X_M && at.distance_m(Point::origin()) > definitions.at_rim_m {
                nearest = nearest.min(mover.at(k).distance_m(at));
            }
        }
    }
    nearest.is_finite().then_some(nearest)
}

/// Whether the defender stands in the passing lane, close, and not on the hoop's side, for most of the run's first moments.
fn is_denied(scene: &Scene, place: Attacker, first: usize) -> bool {
    let hoop = Point::<AttackFrame>::origin();
    let until = (first + scene.frames_in(DENIAL_S)).min(scene.frames);
    let denies = |k: usize| {
        let at = scene.attackers[place].at(k);
        scene.guard_of(place, k).is_some_and(|guard| {
            let defender = guard.at(k);
            let lane = Segment::new(at, scene.ball_at(k));
            distance_to_segment_m(defender, lane) <= DENYING_LANE_M
                && defender.distance_m(at) <= DENYING_GAP_M
                && at.distance_m(hoop) - defender.distance_m(hoop) <= DENYING_DEPTH_M
        })
    };
    2 * (first..until).filter(|&k| denies(k)).count() > until - first
}
