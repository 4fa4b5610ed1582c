//! When play is live.

use scrim_floor::{AttackDirection, Court, Point};

use crate::{BallTrack, Lineup, Track};

/// A stop of the clock shorter than this is a flicker, s.
const MIN_DEAD_S: f64 = 0.5;
/// Longest throw-in that counts as live before the clock starts, s: a thrower has five seconds (FIBA Official Basketball
/// Rules, Art. 17, from memory), and the clock's hand is late by half of one.
const MAX_THROW_IN_S: f64 = 5.5;
/// A ball outside the court, or at most this far inside its lines, may be a thrower's, metres.
const LINE_MARGIN_M: f32 = 0.4;
/// Longest flight that is live after the whistle, s: the air time of a long shot.
const MAX_FLIGHT_S: f64 = 1.5;
/// Speed in the plane from which a ball flies, m/s.
const FLIGHT_SPEED_MPS: f32 = 4.0;
/// A clock that runs longer than this without any stop is not trusted to show dead time, s.
pub(crate) const MAX_UNBROKEN_CLOCK_S: f64 = 420.0;
/// Speed under which a player walks, m/s.
const WALKING_SPEED_MPS: f32 = 2.2;
/// Speed under which a player stands, m/s.
const STANDING_SPEED_MPS: f32 = 1.2;
/// Speed in the plane under which a ball idles, m/s.
const IDLE_BALL_SPEED_MPS: f32 = 2.5;
/// A ball whose height changes by more than this within a second is dribbled or thrown, metres.
const DRIBBLE_HEIGHT_M: f32 = 0.45;
/// Shortest walk of everybody that is dead time, s.
const MIN_WALK_S: f64 = 4.0;
/// The same while a player holds the ball, s: a closely guarded one may do so for five seconds (FIBA Official Basketball
/// Rules, Art. 27, from memory).
const MIN_HELD_WALK_S: f64 = 7.0;
/// A ball without height this near to a player may be dribbled, and counts as live, metres.
const HAND_REACH_M: f32 = 1.2;
/// Longest break that such a walk, or a line-up, outlives, s.
const MAX_WALK_BREAK_S: f64 = 0.6;
/// How far from the free-throw line's middle the shooter, and from the lane's edge the others, may stand, metres.
const LINE_UP_REACH_M: f32 = 1.0;
/// Shortest free-throw line-up, s.
const MIN_LINE_UP_S: f64 = 1.5;

/// What decides when play is live.
pub(crate) struct Scene<'a> {
    pub(crate) hz: f64,
    pub(crate) court: &'a Court,
    pub(crate) tracks: &'a [Track],
    pub(crate) ball: &'a BallTrack,
    pub(crate) lineups: &'a [Lineup],
}

/// Whether play is live, frame by frame.
///
/// Where a game clock decides (it runs at times and stands at times), live is: the clock runs; or the ball is at a
/// thrower's disposal just before it starts (rule books count that as live); or a shot in flight outlives the whistle.
/// Elsewhere habits show what is dead: everybody walks and the ball is idle, or a free-throw line-up stands. A clock that
/// runs longer than `max_unbroken_clock_s` without any stop decides nothing.
pub(crate) fn find_live(running: &[Option<bool>], scene: &Scene<'_>, max_unbroken_clock_s: f64) -> Vec<bool> {
    let clock_decides = clock_decides(running, scene.hz, max_unbroken_clock_s);
    let by_habit = (!clock_decides || running.contains(&None)).then(|| live_by_habit(running.len(), scene));
    let mut live: Vec<bool> = running
        .iter()
        .enumerate()
        .map(|(frame, runs)| match (runs, &by_habit) {
            (Some(runs), _) if clock_decides => *runs,
            (_, Some(live)) => live[frame],
            (_, None) => true,
        })
        .collect();
    if clock_decides {
        let frames = |seconds: f64| (seconds * scene.hz).round() as usize;
        flip_short_runs(&mut live, false, frames(MIN_DEAD_S));
        extend_over_flights(&mut live, running, scene);
    }
    extend_to_throw_ins(&mut live, running, scene);
    live
}

/// A clock that never stands or never runs in all the time it is known decides nothing.
fn clock_decides(running: &[Option<bool>], hz: f64, max_unbroken_clock_s: f64) -> bool {
    let known = running.iter().flatten().count();
    let ran = running.iter().flatten().filter(|runs| **runs).count();
    let always = ran as f64 >= 0.995 * known as f64 && known as f64 > max_unbroken_clock_s * hz;
    let never = ran == 0;
    known > 0 && !always && !never
}

/// Turns runs of `of` shorter than `least` frames, with the other kind on both sides.
fn flip_short_runs(live: &mut [bool], of: bool, least: usize) {
    let mut start = 0;
    while start < live.len() {
        let here = live[start];
        let end = live[start..]
            .iter()
            .position(|l| *l != here)
            .map_or(live.len(), |run| start + run);
        if here == of && start > 0 && end < live.len() && end - start < least {
            live[start..end].fill(!of);
        }
        start = end;
    }
}

/// Before each start of the clock, or end of a walk: back to where a thrower got the ball at the line.
fn extend_to_throw_ins(live: &mut [bool], running: &[Option<bool>], scene: &Scene<'_>) {
    let longest = (MAX_THROW_IN_S * scene.hz).round() as usize;
    let at_line = |frame: usize| {
        let spot = scene.ball.at(frame);
        spot.is_finite() && !scene.court.contains(spot, -LINE_MARGIN_M)
    };
    for start in 1..live.len() {
        if !live[start] || live[start - 1] || running[start] == Some(false) {
            continue;
        }
        let earliest = start.saturating_sub(longest);
        let known_from = (earliest..start)
            .rev()
            .take_while(|frame| !live[*frame] && scene.ball.x_m[*frame].is_finite())
            .last();
        let Some(known_from) = known_from else { continue };
        if let Some(first) = (known_from..start).find(|frame| at_line(*frame)) {
            live[first..start].fill(true);
        }
    }
}

/// After each stop of the clock: while the ball flies on inside the court.
fn extend_over_flights(live: &mut [bool], running: &[Option<bool>], scene: &Scene<'_>) {
    let longest = (MAX_FLIGHT_S * scene.hz).round() as usize;
    let flies = |frame: usize| {
        let speed_mps = scene.ball.vx_mps[frame].hypot(scene.ball.vy_mps[frame]);
        speed_mps >= FLIGHT_SPEED_MPS && scene.court.contains(scene.ball.at(frame), 0.0)
    };
    let mut frame = 1;
    while frame < live.len() {
        if live[frame - 1] && !live[frame] && running[frame - 1] == Some(true) {
            let end = (frame..live.len().min(frame + longest)).find(|at| live[*at] || !flies(*at));
            let end = end.unwrap_or(live.len().min(frame + longest));
            live[frame..end].fill(true);
            frame = end;
        }
        frame += 1;
    }
}

/// How many frames a second are looked at for habits.
const LOOKS_PER_S: f64 = 5.0;

fn live_by_habit(frames: usize, scene: &Scene<'_>) -> Vec<bool> {
    let step = ((scene.hz / LOOKS_PER_S).round() as usize).max(1);
    let looks = frames.div_ceil(step);
    // Everyone walks and the ball is in nobody's hands; the same, or in a player's.
    let mut walking = [vec![false; looks], vec![false; looks]];
    let mut lined_up = vec![false; looks];
    let mut speeds_mps = Vec::with_capacity(16);
    for span in scene.lineups {
        for look in span.start.div_ceil(step)..span.end.div_ceil(step) {
            let frame = look * step;
            speeds_mps.clear();
            speeds_mps.extend(
                span.on_floor
                    .iter()
                    .flatten()
                    .map(|ix| scene.tracks[ix.index()].velocity_at(frame).length())
                    .filter(|speed| speed.is_finite()),
            );
            if everyone_walks(&mut speeds_mps) {
                let ball = ball_state(frame, span, scene);
                walking[0][look] = ball == BallState::Idle;
                walking[1][look] = ball != BallState::Busy;
            }
            lined_up[look] = is_free_throw_line_up(frame, span, scene);
        }
    }
    let looks_in = |seconds: f64| (seconds * scene.hz / step as f64).round() as usize;
    // A single quicker step does not end a walk.
    for (walking, least_s) in walking.iter_mut().zip([MIN_WALK_S, MIN_HELD_WALK_S]) {
        flip_short_runs(walking, false, looks_in(MAX_WALK_BREAK_S));
        flip_short_runs(walking, true, looks_in(least_s));
    }
    flip_short_runs(&mut lined_up, false, looks_in(MAX_WALK_BREAK_S));
    flip_short_runs(&mut lined_up, true, looks_in(MIN_LINE_UP_S));
    (0..frames)
        .map(|frame| !(walking[0][frame / step] || walking[1][frame / step] || lined_up[frame / step]))
        .collect()
}

/// Nearly all walk: all but one under the walking speed. With fewer than six known players nobody can say.
fn everyone_walks(speeds_mps: &mut [f32]) -> bool {
    speeds_mps.len() >= 6 && {
        speeds_mps.sort_unstable_by(f32::total_cmp);
        speeds_mps[speeds_mps.len() - 2] < WALKING_SPEED_MPS
    }
}

/// What the ball does while everyone walks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum BallState {
    /// Not there, or lying or in nobody's reach.
    Idle,
    /// In a player's reach, neither thrown nor dribbled.
    Held,
    /// Thrown or dribbled. Without a height nobody sees a dribble: then any ball in a player's reach, for a live ball
    /// must not be called dead because all stand still.
    Busy,
}

fn ball_state(frame: usize, span: &Lineup, scene: &Scene<'_>) -> BallState {
    let ball = scene.ball;
    let spot = ball.at(frame);
    if !spot.is_finite() {
        return BallState::Idle;
    }
    if ball.vx_mps[frame].hypot(ball.vy_mps[frame]) >= IDLE_BALL_SPEED_MPS {
        return BallState::Busy;
    }
    let reach = (0.5 * scene.hz).round() as usize;
    let around = frame.saturating_sub(reach)..ball.z_m.len().min(frame + reach + 1);
    let heights = ball.z_m[around].iter().copied().filter(|z| z.is_finite());
    let span_m = heights.fold(None, |span: Option<(f32, f32)>, z| {
        Some(span.map_or((z, z), |(low, high)| (low.min(z), high.max(z))))
    });
    let in_reach = span
        .on_floor
        .iter()
        .flatten()
        .any(|ix| scene.tracks[ix.index()].at(frame).distance_m(spot) < HAND_REACH_M);
    match span_m {
        Some((low, high)) if high - low >= DRIBBLE_HEIGHT_M => BallState::Busy,
        None if in_reach => BallState::Busy,
        Some(_) if in_reach => BallState::Held,
        Some(_) | None => BallState::Idle,
    }
}

/// A free-throw line-up at either basket: someone stands at the line, at least four along the lane, all others
/// behind the three-point line, and nobody runs (rule books: places at a free throw).
fn is_free_throw_line_up(frame: usize, span: &Lineup, scene: &Scene<'_>) -> bool {
    let court = scene.court;
    [AttackDirection::PositiveX, AttackDirection::NegativeX]
        .into_iter()
        .any(|direction| {
            let (mut at_line, mut along_lane, mut elsewhere) = (0, 0, 0);
            for ix in span.on_floor.iter().flatten() {
                let track = &scene.tracks[ix.index()];
                let place = track.at(frame);
                if !place.is_finite() {
                    continue;
                }
                // A speed that is not known is not standing.
                let stands = track.velocity_at(frame).length() < STANDING_SPEED_MPS;
                if !stands {
                    return false;
                }
                let spot = court.to_attack(place, direction);
                let line = Point::new(court.free_throw_x_m(), 0.0);
                let beside_lane_m = (spot.y_m.abs() - 0.5 * court.lane_width_m).abs();
                if spot.distance_m(line) < LINE_UP_REACH_M {
                    at_line += 1;
                } else if spot.x_m < court.free_throw_x_m() && beside_lane_m < LINE_UP_REACH_M {
                    along_lane += 1;
                } else if court.beyond_arc_m(spot) < -LINE_UP_REACH_M {
                    elsewhere += 1;
                }
            }
            at_line == 1 && along_lane >= 4 && elsewhere == 0
        })
}

#[cfg(test)]
mod tests;
