//! Touches: spells of control inside a possession, and how each ended.

use std::ops::Range;

use scrim_floor::{CourtFrame, Point};
use scrim_tables::tags::{EndKind, TouchEnd};
use scrim_tracks::{Period, TrackIx};

use crate::period_play::PeriodPlay;
use crate::possession::Stretch;
use crate::{Play, PlayParams, Touch};

/// The receiver may reach that speed this long before or after the ball is theirs, s.
const HANDOFF_AROUND_S: f64 = 0.4;
/// A flip: the ball goes to a player who is at most this far from the giver at the catch, m: a ball that flies 2 m, and
/// an arm of 0.35 m at each end.
const FLIP_GAP_M: f32 = 2.7;
/// Who takes a flip runs past the giver, within `handoff_gap_m`, at most this long after the catch, s.
const FLIP_S: f64 = 0.8;
/// Two spells of one player this close to each other, with nothing between, are one touch, s.
const SAME_TOUCH_S: f64 = 0.8;
/// A ball this low has bounced, m.
const BOUNCE_HEIGHT_M: f32 = 0.45;
/// Without height: a handler who has covered this while they had the ball has dribbled, m.
const DRIBBLE_PATH_M: f32 = 2.5;

/// Adds the possession's touches to `play` and returns their span. The possession's shots are in `play` already.
pub(crate) fn add_touches(
    of: PeriodPlay<'_>,
    stretch: &Stretch,
    possession: usize,
    end_kind: EndKind,
    params: &PlayParams,
    play: &mut Play,
    shots: Range<usize>,
) -> Range<usize> {
    let period = of.period;
    let from = play.touches.len();
    let first = of
        .spells
        .partition_point(|spell| spell.frames.end <= stretch.frames.start);
    let same_touch = period.frames_in(SAME_TOUCH_S);
    // Touches know players only.
    let mut last_track = None;
    for spell in &of.spells[first..] {
        if spell.frames.start >= stretch.frames.end {
            break;
        }
        let Some(frames) = spell.clipped(&stretch.frames, stretch.team) else {
            continue;
        };
        // A touch of which neither ball nor player is ever seen has no place.
        if !frames
            .clone()
            .any(|frame| spot_at(period, spell.track, frame).is_some())
        {
            continue;
        }
        let shots = &play.shots[shots.clone()];
        if let Some(last) = play.touches[from..].last_mut() {
            let shot_between = shots.iter().any(|shot| {
                shot.player == last.player && (last.frames.start..frames.start).contains(&shot.release)
            });
            if last.player == spell.player && !shot_between && frames.start - last.frames.end <= same_touch {
                last.frames.end = frames.end;
                last.dribbled |= dribbled(period, spell.track, &frames);
                continue;
            }
            last.next = Some(spell.player);
            last.ended_by = if shot_between {
                TouchEnd::Shot
            } else if last_track.is_some_and(|giver| {
                is_handoff(
                    period,
                    giver,
                    spell.track,
                    last.frames.end - 1..frames.start,
                    params,
                )
            }) {
                TouchEnd::Handoff
            } else {
                TouchEnd::Pass
            };
        }
        last_track = Some(spell.track);
        play.touches.push(Touch {
            possession,
            player: spell.player,
            dribbled: dribbled(period, spell.track, &frames),
            frames,
            ended_by: TouchEnd::DeadBall,
            next: None,
        });
    }
    if let Some(last) = play.touches[from..].last_mut() {
        let shot = play.shots[shots]
            .iter()
            .any(|shot| shot.player == last.player && shot.release >= last.frames.start);
        last.ended_by = if shot {
            TouchEnd::Shot
        } else {
            last_touch_end(end_kind)
        };
    }
    from..play.touches.len()
}

/// Where the ball is at `frame`; where it is missing, the player on `track`; `None` when both are.
pub(crate) fn spot_at(period: &Period, track: TrackIx, frame: usize) -> Option<Point<CourtFrame>> {
    let ball = period.ball.at(frame);
    let spot = if ball.is_finite() {
        ball
    } else {
        period.track(track).at(frame)
    };
    spot.is_finite().then_some(spot)
}

/// Whether the ball changed hands between two team-mates who are together, one of them on the move, or was flipped over
/// a short way to a team-mate who then runs past its giver.
///
/// `flight` runs from the giver's last frame to the taker's first. Both are known to a few frames only, and a taker
/// slows down for the ball: speed counts around the exchange.
fn is_handoff(
    period: &Period,
    giver: TrackIx,
    taker: TrackIx,
    flight: Range<usize>,
    params: &PlayParams,
) -> bool {
    let (giver, taker) = (period.track(giver), period.track(taker));
    let last = period.frames.saturating_sub(1);
    let (around, past) = (period.frames_in(HANDOFF_AROUND_S), period.frames_in(FLIP_S));
    // A place that is missing (NaN) is near nobody.
    let together = |frame: usize| giver.at(frame).distance_m(taker.at(frame)) <= params.handoff_gap_m;
    let near = flight.end.saturating_sub(around)..=(flight.end + around).min(last);
    let at_hand = (flight.start..=flight.end).any(together)
        && near
            .clone()
            .any(|k| (taker.velocity_at(k) - giver.velocity_at(k)).length() >= params.handoff_speed_mps);
    let flipped = || {
        giver.at(flight.end).distance_m(taker.at(flight.end)) <= FLIP_GAP_M
            && (flight.end..=(flight.end + past).min(last)).any(together)
            && near
                .clone()
                .any(|k| taker.velocity_at(k).length() >= params.handoff_speed_mps)
    };
    at_hand || flipped()
}

/// Whether the ball came down to the floor in the spell; without height, whether its owner covered some ground.
fn dribbled(period: &Period, track: TrackIx, frames: &Range<usize>) -> bool {
    if period.ball.has_height {
        return period.ball.z_m[frames.clone()]
            .iter()
            .any(|&z_m| z_m < BOUNCE_HEIGHT_M);
    }
    let of = period.track(track);
    let path_m: f64 = frames
        .clone()
        .map(|frame| f64::from(of.velocity_at(frame).length()) / period.hz)
        .filter(|step_m| step_m.is_finite())
        .sum();
    path_m >= f64::from(DRIBBLE_PATH_M)
}

/// The touch's end for a possession's last touch.
fn last_touch_end(end_kind: EndKind) -> TouchEnd {
    match end_kind {
        EndKind::ShotMade | EndKind::ShotMissed => TouchEnd::Shot,
        EndKind::Turnover => TouchEnd::Loss,
        EndKind::Foul | EndKind::DeadBall | EndKind::PeriodEnd | EndKind::Unknown => TouchEnd::DeadBall,
    }
}
