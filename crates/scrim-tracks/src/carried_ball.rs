//! A ball that is lost for a while and was in somebody's hands before and after: it was carried.

use scrim_floor::Vector;

use crate::{BallTrack, Track};

/// Farthest that a ball in hand is from its player, metres (the vocabulary's reach of control).
const REACH_M: f32 = 1.2;
/// A ball that moves against its player faster than this is on its way, m/s.
const LOOSE_MPS: f32 = 4.0;
/// Two players hand the ball over when they are this near, metres (the vocabulary's handoff).
const HAND_OVER_M: f32 = 1.6;

/// Fills the gaps of the ball that last at most `longest` frames and begin and end in a player's hands. Between two
/// players of one team the ball changes hands where they are nearest, if that is near enough; a pass stays a gap.
pub(crate) fn carry_ball(ball: &mut BallTrack, tracks: &[Track], longest: usize) {
    let mut last_seen = None;
    for frame in 0..ball.x_m.len() {
        if !ball.x_m[frame].is_finite() {
            continue;
        }
        if let Some(before) = last_seen.replace(frame)
            && (2..=longest).contains(&(frame - before))
            && let (Some(from), Some(to)) = (holder(ball, tracks, before), holder(ball, tracks, frame))
        {
            fill(ball, [&tracks[from], &tracks[to]], before, frame);
        }
    }
}

/// The place in `tracks` of the player who has the ball in hand.
fn holder(ball: &BallTrack, tracks: &[Track], frame: usize) -> Option<usize> {
    let place = ball.at(frame);
    let (nearest, track, _) = tracks
        .iter()
        .enumerate()
        .map(|(n, track)| (n, track, track.at(frame).distance_m(place)))
        .filter(|(_, _, gap_m)| *gap_m <= REACH_M)
        .min_by(|(_, _, a), (_, _, b)| a.total_cmp(b))?;
    let against = track.velocity_at(frame) - Vector::new(ball.vx_mps[frame], ball.vy_mps[frame]);
    // A velocity that is not known (NaN) speaks for nobody.
    (against.length() <= LOOSE_MPS).then_some(nearest)
}

/// Leads the ball from the one to the other, who may be the same.
fn fill(ball: &mut BallTrack, [from, to]: [&Track; 2], before: usize, after: usize) {
    let mut changes_at = after;
    if from.player != to.player {
        let nearest = (before..=after)
            .map(|frame| (frame, from.at(frame).distance_m(to.at(frame))))
            .filter(|(_, gap_m)| *gap_m <= HAND_OVER_M)
            .min_by(|(_, a), (_, b)| a.total_cmp(b));
        let Some((frame, _)) = nearest.filter(|_| from.team == to.team) else {
            return;
        };
        changes_at = frame;
    }
    if !(before..=after).all(|frame| from.x_m[frame].is_finite() && to.x_m[frame].is_finite()) {
        return;
    }
    // In hand the ball stays where it was seen, as from its player, and comes over to where it is seen next.
    let at_first = ball.at(before) - from.at(before);
    let at_last = ball.at(after) - to.at(after);
    for frame in before + 1..after {
        let share = (frame - before) as f32 / (after - before) as f32;
        let carrier = if frame < changes_at { from } else { to };
        let place = carrier.at(frame) + at_first * (1.0 - share) + at_last * share;
        (ball.x_m[frame], ball.y_m[frame]) = (place.x_m, place.y_m);
        (ball.vx_mps[frame], ball.vy_mps[frame]) = (carrier.vx_mps[frame], carrier.vy_mps[frame]);
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::{PlayerIx, TeamSlot};

    const FRAMES: usize = 100;

    /// A player at 25 frames a second.
    fn runner(n: u16, team: TeamSlot, at: impl Fn(f32) -> [f32; 2]) -> Track {
        let spots = (0..FRAMES).map(|k| at(k as f32 / 25.0));
        let (x_m, y_m): (Vec<f32>, Vec<f32>) = spots.map(|[x, y]| (x, y)).unzip();
        let slope = |values: &[f32]| -> Vec<f32> {
            let ends = |k: usize| (k.saturating_sub(1), (k + 1).min(FRAMES - 1));
            let of = |(a, b): (usize, usize)| (values[b] - values[a]) * 25.0 / (b - a) as f32;
            (0..FRAMES).map(|k| of(ends(k))).collect()
        };
        Track {
            player: PlayerIx(n),
            team,
            vx_mps: slope(&x_m),
            vy_mps: slope(&y_m),
            x_m,
            y_m,
        }
    }

    /// The ball beside `first` before `from` and beside `second` from `to` on, lost in between.
    fn lost(first: &Track, second: &Track, from: usize, to: usize) -> BallTrack {
        let of = |axis: fn(&Track) -> &Vec<f32>, beside: f32| -> Vec<f32> {
            let place = |k: usize| match k {
                _ if k < from => axis(first)[k] + beside,
                _ if k < to => f32::NAN,
                _ => axis(second)[k] + beside,
            };
            (0..FRAMES).map(place).collect()
        };
        BallTrack {
            x_m: of(|t| &t.x_m, 0.4),
            y_m: of(|t| &t.y_m, 0.0),
            z_m: vec![f32::NAN; FRAMES],
            vx_mps: of(|t| &t.vx_mps, 0.0),
            vy_mps: of(|t| &t.vy_mps, 0.0),
            has_height: false,
        }
    }

    #[test]
    fn a_dribbler_takes_the_lost_ball_along_the_turn() {
        let turning = runner(0, TeamSlot::First, |t| {
            [4.0 * (t - 2.0).cos(), 4.0 * (t - 2.0).sin()]
        });
        let mut ball = lost(&turning, &turning, 30, 70);
        carry_ball(&mut ball, std::slice::from_ref(&turning), 75);
        for k in 30..70 {
            assert_relative_eq!(ball.x_m[k], turning.x_m[k] + 0.4, epsilon = 1e-4);
            assert_relative_eq!(ball.vy_mps[k], turning.vy_mps[k], epsilon = 1e-4);
        }
    }

    #[test]
    fn a_handoff_changes_hands_where_the_two_are_nearest() {
        // They pass each other at frame 50, 0.8 m apart.
        let giver = runner(0, TeamSlot::First, |t| [2.0 * (t - 2.0), 0.0]);
        let taker = runner(1, TeamSlot::First, |t| [-2.0 * (t - 2.0), 0.8]);
        let mut ball = lost(&giver, &taker, 35, 65);
        carry_ball(&mut ball, &[giver, taker], 75);
        assert_relative_eq!(ball.y_m[49], 0.0, epsilon = 1e-4);
        assert_relative_eq!(ball.y_m[50], 0.8, epsilon = 1e-4);
    }

    #[test]
    fn a_pass_a_steal_a_ball_on_its_way_and_a_long_gap_stay_unknown() {
        let still = |n, team, x_m| runner(n, team, move |_| [x_m, 0.0]);
        let [one, far] = [0, 1].map(|n| still(n, TeamSlot::First, 6.0 * f32::from(n)));
        let other = still(2, TeamSlot::Second, 1.0);
        let stays = |mut ball: BallTrack, tracks: &[Track]| {
            carry_ball(&mut ball, tracks, 75);
            ball.x_m.iter().any(|x| x.is_nan())
        };
        assert!(stays(lost(&one, &far, 30, 70), &[one.clone(), far.clone()]));
        assert!(stays(lost(&one, &other, 30, 70), &[one.clone(), other.clone()]));
        assert!(stays(lost(&one, &one, 10, 90), std::slice::from_ref(&one)));
        let mut thrown = lost(&one, &one, 30, 70);
        thrown.vx_mps[..30].fill(9.0);
        assert!(stays(thrown, std::slice::from_ref(&one)));
        // The same without any of that is filled.
        assert!(!stays(lost(&one, &one, 30, 70), &[one]));
    }
}
