//! The screener's defender: how deep, how far beyond, how long on the ball.

use std::ops::Range;

use scrim_floor::{AttackFrame, Point};
use scrim_play::{Mover, Scene};

use super::guarding::guard_line;
use crate::reads::cast::Cast;

/// The screener's defender may show this long before the use, s.
const SHOW_BEFORE_S: f32 = 0.6;
/// The screener's defender may show this long after the use, s.
pub(super) const SHOW_AFTER_S: f32 = 1.5;
/// Two on the ball are looked for this long after the use, s.
const BOTH_AFTER_S: f32 = 3.0;

/// The screener's defender around the use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScreenerDefenderEvidence {
    /// How much nearer the hoop than the screener they are at the use, m.
    pub depth_m: f32,
    /// How much farther from the hoop than the screener at the use they came, most, m.
    pub beyond_m: f32,
    /// The same while they were on the handler's side of the screen; `None` when they never were.
    pub beyond_on_side_m: Option<f32>,
    /// How long they were close to the handler while that one had the ball, s.
    pub close_s: f32,
    /// How long both defenders were close to the handler who had the ball, s; `None` without the other one.
    pub both_close_s: Option<f32>,
    /// When they started back to their own attacker, having been close to the handler; `None` when they were never close, or stayed
    /// as long as could be seen.
    pub back_s: Option<f32>,
    /// Until when they were watched for that: the handler's pass, a split, or the end.
    pub watched_s: f32,
    /// When they were back: nearer to their own attacker than to the handler, after having been nearer to the handler.
    pub recover_s: Option<f32>,
}

impl ScreenerDefenderEvidence {
    /// How long one who came close to the handler stays: until the start back, or as long as watched; 0 for one who never
    /// came close.
    pub(in crate::reads) fn stays_s(&self) -> f32 {
        if self.close_s > 0.0 {
            self.back_s.unwrap_or(self.watched_s)
        } else {
            0.0
        }
    }
}

/// They start back when their next steps lead this far toward where they should guard their own attacker, m ...
const BACK_M: f32 = 0.7;
/// ... within this time, s, and out of the handler's reach.
const BACK_WITHIN_S: f32 = 0.5;

/// Nobody is on the way because of a pass sooner than this after it, s: steps until then were begun before. Simple reaction
/// takes about 0.2 s (from memory, textbooks of motor control), getting under way the rest.
const REACTION_S: f32 = 0.4;

/// When they began to turn back: the first of the frames from which on they gain speed toward `home` all the way to
/// `frames.end`. One who runs with the handler brakes before coming back: the braking is the start.
fn first_push(scene: &Scene, d: &Mover, home: Point<AttackFrame>, frames: Range<usize>) -> usize {
    let lag = scene.frames_in(PUSH_WITHIN_S);
    let toward = |k: usize| d.velocity_at(k).dot((home - d.at(k)).unit());
    let end = frames.end;
    let pushes = |&k: &usize| k >= lag && toward(k) - toward(k - lag) > PUSH_MPS;
    frames.rev().take_while(pushes).last().unwrap_or(end)
}

/// They gain at least this much speed, m/s ...
const PUSH_MPS: f32 = 0.3;
/// ... within this time, s (1.5 m/s² is a clear push; walking takes less).
const PUSH_WITHIN_S: f32 = 0.2;
/// Braking and turning take no longer than this, s.
const LONGEST_PUSH_S: f32 = 0.8;

pub(super) fn measure(cast: &Cast, watched: usize) -> Option<ScreenerDefenderEvidence> {
    let scene = cast.scene;
    let d = &scene.defenders[cast.screener_defender?];
    let (h, s) = (&scene.attackers[cast.user], &scene.attackers[cast.screener]);
    if !d.at(cast.used).is_finite() {
        return None;
    }
    let hoop = Point::origin();
    let screen_m = cast.spot.distance_m(hoop);
    let close_m = cast.definitions.close_m;
    let mut beyond_m = f32::NEG_INFINITY;
    let mut beyond_on_side_m: Option<f32> = None;
    let from = cast.used.saturating_sub(scene.frames_in(SHOW_BEFORE_S));
    for k in from..=cast.after_use(SHOW_AFTER_S) {
        let at = d.at(k);
        let beyond = at.distance_m(hoop) - screen_m;
        if !beyond.is_finite() {
            continue;
        }
        beyond_m = beyond_m.max(beyond);
        if (at - cast.spot).dot(cast.side) >= 0.0 {
            beyond_on_side_m = Some(beyond_on_side_m.map_or(beyond, |most| most.max(beyond)));
        }
    }
    let on_ball = cast.user_defender.map(|place| &scene.defenders[place]);
    let (mut close_frames, mut both_frames) = (0, 0);
    let mut was_close = false;
    let mut back = None;
    let reaction = scene.frames_in(REACTION_S);
    let ahead = scene.frames_in(BACK_WITHIN_S);
    for k in cast.used..=cast.after_use(BOTH_AFTER_S).min(watched) {
        if d.at(k).distance_m(h.at(k)) <= close_m {
            was_close = true;
            close_frames += 1;
            both_frames += usize::from(on_ball.is_some_and(|o| o.at(k).distance_m(h.at(k)) <= close_m));
        }
        if was_close && back.is_none() && k + ahead <= (watched + reaction).min(cast.last) {
            let later = d.at(k + ahead);
            let home = guard_line(scene, cast.screener, k + ahead).end;
            let way = later - d.at(k);
            let steps = way.dot((home - d.at(k)).unit());
            // One who runs with the handler, or gives a step and stays, has not left.
            let follows = way.dot((h.at(k + ahead) - d.at(k)).unit()) > 0.0;
            let apart = later.distance_m(h.at(k + ahead)) > close_m;
            if steps >= BACK_M && apart && !follows {
                let earliest = k.saturating_sub(scene.frames_in(LONGEST_PUSH_S)).max(cast.used);
                back = Some(first_push(scene, d, home, earliest..k));
            }
        }
    }
    let mut was_nearer = false;
    let recover = (cast.used..=cast.last).find(|&k| {
        let (own, other) = (d.at(k).distance_m(s.at(k)), d.at(k).distance_m(h.at(k)));
        was_nearer |= other < own;
        was_nearer && own < other
    });
    Some(ScreenerDefenderEvidence {
        depth_m: screen_m - d.at(cast.used).distance_m(hoop),
        beyond_m,
        beyond_on_side_m,
        close_s: scene.seconds(close_frames),
        both_close_s: on_ball.map(|_| scene.seconds(both_frames)),
        back_s: back.map(|k| cast.since_use_s(k)),
        watched_s: cast.since_use_s(cast.after_use(BOTH_AFTER_S).min(watched)),
        recover_s: recover.map(|k| cast.since_use_s(k)),
    })
}
