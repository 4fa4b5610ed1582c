//! One possession as its attackers see it: everyone's track in the attack frame, who handles the ball and who guards
//! whom, frame by frame.

use std::ops::Range;

use scrim_floor::{AttackFrame, Court, Half, Point, SideTracker, Vector};
use scrim_tracks::{Game, Period, TeamSlot, TrackIx};

use crate::mover::{Mover, Movers};
use crate::places::{Attacker, Defender, Guards, Place, SIDE_SIZE};
use crate::{Play, Possession};

/// A possession's tracks. Scene frame `k` is the period's frame `first_frame + k`.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// Place in [`Game::periods`].
    pub period: usize,
    /// The possession's first frame in the period.
    pub first_frame: usize,
    /// How many frames.
    pub frames: usize,
    /// Frames a second.
    pub hz: f64,
    /// x of the half-court line.
    pub half_court_x_m: f32,
    /// The offence, at most five, ascending by player.
    pub attackers: Movers<Attacker>,
    /// The defence, at most five, ascending by player.
    pub defenders: Movers<Defender>,
    /// The ball's x, attack frame; NaN where missing.
    pub ball_x_m: Vec<f32>,
    /// The ball's y.
    pub ball_y_m: Vec<f32>,
    /// The ball's height; NaN where not known.
    pub ball_z_m: Vec<f32>,
    /// The strong half of the floor, with hysteresis; `None` before the ball is first seen.
    pub strong: Vec<Option<Half>>,
    /// Who is in control; `None` in flight and when loose.
    pub handler: Vec<Option<Attacker>>,
    /// Who guards whom.
    pub guard: Vec<Guards>,
}

impl Scene {
    /// The scene of `possession`, with its touches as handler and its matchups (if found already) as guard.
    pub fn of(game: &Game, play: &Play, possession: &Possession) -> Self {
        let period = &game.periods[possession.period];
        let span = possession.frames.clone();
        let mut scene = Self {
            period: possession.period,
            first_frame: span.start,
            frames: span.len(),
            hz: period.hz,
            half_court_x_m: game.info.court.half_court_x_m(),
            attackers: movers(game, period, possession, possession.offense),
            defenders: movers(game, period, possession, possession.offense.other()),
            ball_x_m: Vec::with_capacity(span.len()),
            ball_y_m: Vec::with_capacity(span.len()),
            ball_z_m: period.ball.z_m[span.clone()].to_vec(),
            strong: Vec::with_capacity(span.len()),
            handler: vec![None; span.len()],
            guard: vec![Guards::default(); span.len()],
        };
        let mut side = SideTracker::new(SideTracker::DEFAULT_BAND_M);
        for frame in span {
            let spot = game
                .info
                .court
                .to_attack(period.ball.at(frame), possession.direction);
            scene.ball_x_m.push(spot.x_m);
            scene.ball_y_m.push(spot.y_m);
            scene.strong.push(side.follow(spot));
        }
        for touch in &play.touches[possession.touches.clone()] {
            if let Some(place) = scene.attackers.place_of(touch.player) {
                let frames = scene.frames_of(&touch.frames);
                scene.handler[frames].fill(Some(place));
            }
        }
        for matchup in &play.matchups[possession.matchups.clone()] {
            let places = (
                scene.attackers.place_of(matchup.attacker),
                scene.defenders.place_of(matchup.defender),
            );
            if let (Some(attacker), Some(defender)) = places {
                for k in scene.frames_of(&matchup.frames) {
                    scene.guard[k][attacker] = Some(defender);
                }
            }
        }
        scene
    }

    /// The scenes of all possessions, in their order: built once, shared by every stage that comes after the play's.
    pub fn all(game: &Game, play: &Play) -> Vec<Self> {
        play.possessions
            .iter()
            .map(|possession| Self::of(game, play, possession))
            .collect()
    }

    /// The part of a span of period frames that lies in the scene, as scene frames.
    pub fn frames_of(&self, span: &Range<usize>) -> Range<usize> {
        let inside = |frame: usize| frame.saturating_sub(self.first_frame).min(self.frames);
        inside(span.start)..inside(span.end)
    }

    /// The instant of scene frame `k`, seconds from the period's first frame.
    pub fn t_s(&self, k: usize) -> f64 {
        (self.first_frame + k) as f64 / self.hz
    }

    /// How many frames last `seconds`, rounded, at least 1.
    pub fn frames_in(&self, seconds: f32) -> usize {
        ((f64::from(seconds) * self.hz).round() as usize).max(1)
    }

    /// How long so many frames last, s.
    pub fn seconds(&self, frames: usize) -> f32 {
        (frames as f64 / self.hz) as f32
    }

    /// The ball's place at scene frame `k`.
    pub fn ball_at(&self, k: usize) -> Point<AttackFrame> {
        Point::new(self.ball_x_m[k], self.ball_y_m[k])
    }

    /// How long before scene frame `k` the attacker last had the ball, s, 0 for one who has it; `None` when they have not had it in
    /// the last `frames` frames.
    pub fn since_touch_s(&self, attacker: Attacker, k: usize, frames: usize) -> Option<f32> {
        (k.saturating_sub(frames)..=k)
            .rev()
            .position(|k| self.handler[k] == Some(attacker))
            .map(|frames| self.seconds(frames))
    }

    /// Distance from an attacker to the nearest defender at scene frame `k`, m; `None` where the attacker, or every defender, is
    /// missing.
    pub fn space_m(&self, attacker: Attacker, k: usize) -> Option<f32> {
        let at = self.attackers[attacker].at(k);
        self.defenders
            .iter()
            .map(|defender| defender.at(k).distance_m(at))
            .filter(|gap_m| gap_m.is_finite())
            .min_by(f32::total_cmp)
    }

    /// Distance between the two at scene frame `k`, m; NaN where one is missing.
    pub fn gap_m(&self, attacker: Attacker, defender: Defender, k: usize) -> f32 {
        self.defenders[defender]
            .at(k)
            .distance_m(self.attackers[attacker].at(k))
    }

    /// The defender of an attacker at scene frame `k`.
    pub fn guard_of(&self, attacker: Attacker, k: usize) -> Option<&Mover> {
        self.guard[k][attacker].map(|defender| &self.defenders[defender])
    }

    /// The attacker whom a defender guards at scene frame `k`.
    pub fn guarded_by(&self, defender: Defender, k: usize) -> Option<Attacker> {
        let is_theirs = |attacker: &Attacker| self.guard[k][*attacker] == Some(defender);
        self.attackers.places().find(is_theirs)
    }
}

/// The team's players on the floor during the possession, the (at most) five with the most frames, in the attack frame.
fn movers<P: Place>(game: &Game, period: &Period, possession: &Possession, team: TeamSlot) -> Movers<P> {
    let span = possession.frames.clone();
    let mut on_floor: Vec<(TrackIx, usize)> = Vec::new();
    for lineup in period
        .lineups
        .iter()
        .filter(|l| l.start < span.end && span.start < l.end)
    {
        let frames = lineup.end.min(span.end) - lineup.start.max(span.start);
        for &track in lineup.of(team) {
            match on_floor.iter_mut().find(|(known, _)| *known == track) {
                Some((_, sum)) => *sum += frames,
                None => on_floor.push((track, frames)),
            }
        }
    }
    // Most frames first; among equals the lower track, so that the choice never depends on anything else.
    on_floor.sort_by_key(|&(track, frames)| (std::cmp::Reverse(frames), track));
    on_floor.truncate(SIDE_SIZE);
    on_floor.sort_unstable();
    let court: &Court = &game.info.court;
    on_floor
        .into_iter()
        .map(|(track, _)| {
            let track = period.track(track);
            // Axis by axis, so that the loops vectorise: in either frame the one axis knows nothing of the other.
            let place = |x_m, y_m| court.to_attack(Point::new(x_m, y_m), possession.direction);
            let velocity = |x, y| court.vector_to_attack(Vector::new(x, y), possession.direction);
            Mover {
                player: track.player,
                x_m: turned(&track.x_m[span.clone()], |x_m| place(x_m, 0.0).x_m),
                y_m: turned(&track.y_m[span.clone()], |y_m| place(0.0, y_m).y_m),
                vx_mps: turned(&track.vx_mps[span.clone()], |x| velocity(x, 0.0).x),
                vy_mps: turned(&track.vy_mps[span.clone()], |y| velocity(0.0, y).y),
            }
        })
        .collect()
}

fn turned(axis: &[f32], turn: impl Fn(f32) -> f32) -> Vec<f32> {
    axis.iter().map(|&value| turn(value)).collect()
}

#[cfg(test)]
mod tests;
