//! Staged ball screens for the tests: ten players moved by waypoints, 25 Hz, attack frame.
//!
//! Attacker 0 handles the ball, attacker 1 screens for them at the left elbow's height; defender `n` guards attacker `n`.
//! The handler comes off the screen toward +y, at 3 s.

use scrim_floor::{AttackFrame, Definitions, Half, Point, ShotValue};
use scrim_play::{
    Attacker, Defender, Guards, Mover, Place, Play, Possession, Scene, Shot, ShotResult, Touch,
    canonical_position,
};
use scrim_tables::tags::{Outcome, ScreenKind, TouchEnd};
use scrim_tracks::PlayerIx;

use super::{BallScreenRead, ReadParams, find_reads};
use crate::{BallScreen, Screen, ScreenEvidence};

const HZ: f64 = 25.0;
/// The instant of the use, s.
pub(crate) const USE_S: f64 = 3.0;
/// Where the screener stands.
pub(crate) const SPOT: (f32, f32) = (7.4, 0.0);
/// The other three, in the corners and on the wing.
const OTHERS: [(f32, f32); 3] = [(0.5, -6.5), (0.5, 6.5), (6.5, -6.0)];

/// A waypoint: seconds, x, y.
pub(crate) type Way = (f64, f32, f32);

/// Which attacker or defender is moved.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Who {
    Attacker(usize),
    Defender(usize),
}
pub(crate) const HANDLER: Who = Who::Attacker(0);
pub(crate) const SCREENER: Who = Who::Attacker(1);
pub(crate) const ON_BALL: Who = Who::Defender(0);
pub(crate) const SCREENER_DEFENDER: Who = Who::Defender(1);

#[derive(Debug, Clone)]
pub(crate) struct Staging {
    pub scene: Scene,
    pub play: Play,
    pub screens: Vec<BallScreen>,
}

impl Staging {
    /// Everyone stands; the off-ball defenders in canonical position. Seven seconds.
    pub fn new() -> Self {
        let frames = (7.0 * HZ) as usize;
        let stand = |player: u16, at: (f32, f32)| Mover {
            player: PlayerIx(player),
            x_m: vec![at.0; frames],
            y_m: vec![at.1; frames],
            vx_mps: vec![0.0; frames],
            vy_mps: vec![0.0; frames],
        };
        let start = (8.2, -1.5);
        let attackers: Vec<_> = [start, SPOT].into_iter().chain(OTHERS).collect();
        let defenders = attackers.iter().enumerate().map(|(place, at)| {
            let spot = canonical_position(Point::new(at.0, at.1), Point::new(start.0, start.1));
            let at = if place == 0 {
                (7.2, -1.4)
            } else {
                (spot.x_m, spot.y_m)
            };
            stand(5 + place as u16, at)
        });
        let scene = Scene {
            period: 0,
            first_frame: 0,
            frames,
            hz: HZ,
            half_court_x_m: 12.4,
            defenders: defenders.collect(),
            attackers: attackers
                .iter()
                .enumerate()
                .map(|(place, &at)| stand(place as u16, at))
                .collect(),
            ball_x_m: vec![start.0; frames],
            ball_y_m: vec![start.1; frames],
            ball_z_m: vec![1.0; frames],
            strong: vec![Some(Half::of(Point::new(start.0, start.1))); frames],
            handler: vec![Some(Attacker::ALL[0]); frames],
            guard: vec![Guards::from(Defender::ALL.map(Some)); frames],
        };
        let touch = Touch {
            possession: 0,
            player: PlayerIx(0),
            frames: 0..frames,
            dribbled: true,
            ended_by: TouchEnd::DeadBall,
            next: None,
        };
        let play = Play {
            possessions: vec![Possession {
                touches: 0..1,
                ..Possession::blank(0..frames)
            }],
            touches: vec![touch],
            ..Play::default()
        };
        let screen = BallScreen {
            screen: Screen {
                possession: 0,
                kind: ScreenKind::BallScreen,
                outcome: Outcome::Used,
                screener: PlayerIx(1),
                user: PlayerIx(0),
                screener_defender: Some(PlayerIx(6)),
                user_defender: Some(PlayerIx(5)),
                set: Some(frame(1.5)),
                used: frame(USE_S),
                end: frame(5.5),
                spot: Point::new(SPOT.0, SPOT.1),
                strong_side: true,
                previous: None,
                confidence: 0.9,
                evidence: ScreenEvidence {
                    screener_speed_mps: 0.0,
                    user_gap_m: 0.9,
                    defender_gap_m: Some(0.6),
                    angle_deg: Some(60.0),
                },
            },
            right_of_user_m: 1.5,
            outcomes: None,
            early_denial: false,
        };
        Self {
            scene,
            play,
            screens: vec![screen],
        }
    }

    /// A used screen: the handler comes off it and drives the elbow; their defender chases over, the screener stays.
    pub fn used() -> Self {
        Self::new()
            .go(
                HANDLER,
                &[
                    (2.2, 8.2, -1.5),
                    (3.0, 8.3, 0.0),
                    (4.0, 7.2, 2.5),
                    (5.2, 6.4, 3.0),
                ],
            )
            .go(
                ON_BALL,
                &[
                    (2.3, 7.2, -1.4),
                    (3.2, 7.85, 0.0),
                    (4.0, 7.4, 1.8),
                    (5.0, 5.9, 2.4),
                ],
            )
    }

    /// Moves a player along waypoints, straight between them; they stand before the first and after the last.
    pub fn go(mut self, who: Who, ways: &[Way]) -> Self {
        let mover = self.mover(who);
        let frames = mover.x_m.len();
        for k in 0..frames {
            let t = k as f64 / HZ;
            let after = ways.iter().position(|way| way.0 >= t).unwrap_or(ways.len());
            let (x_m, y_m) = match (after.checked_sub(1).map(|i| ways[i]), ways.get(after)) {
                (Some(a), Some(b)) => {
                    let share = ((t - a.0) / (b.0 - a.0)) as f32;
                    (a.1 + (b.1 - a.1) * share, a.2 + (b.2 - a.2) * share)
                }
                (Some(a), None) => (a.1, a.2),
                (None, Some(b)) => (b.1, b.2),
                (None, None) => (mover.x_m[k], mover.y_m[k]),
            };
            (mover.x_m[k], mover.y_m[k]) = (x_m, y_m);
        }
        for k in 0..frames {
            let (a, b) = (k.saturating_sub(1), (k + 1).min(frames - 1));
            let per_s = HZ as f32 / (b - a).max(1) as f32;
            mover.vx_mps[k] = (mover.x_m[b] - mover.x_m[a]) * per_s;
            mover.vy_mps[k] = (mover.y_m[b] - mover.y_m[a]) * per_s;
        }
        self
    }

    /// The outcome that the detector gave, and the instant of the use or the end.
    pub fn outcome(mut self, outcome: Outcome, used_s: f64) -> Self {
        self.screens[0].outcome = outcome;
        self.screens[0].used = frame(used_s);
        self
    }

    /// The handler passes at `t_s`.
    pub fn pass(mut self, t_s: f64, to: usize) -> Self {
        let touch = &mut self.play.touches[0];
        touch.frames.end = frame(t_s);
        touch.ended_by = TouchEnd::Pass;
        touch.next = Some(PlayerIx(to as u16));
        self.scene.handler[frame(t_s)..].fill(None);
        self
    }

    /// The handler shoots at `t_s`, from where they are, and misses.
    pub fn shoot(mut self, t_s: f64) -> Self {
        let touch = &mut self.play.touches[0];
        touch.frames.end = frame(t_s);
        touch.ended_by = TouchEnd::Shot;
        self.play.shots.push(Shot {
            possession: 0,
            player: PlayerIx(0),
            release: frame(t_s),
            spot: self.scene.attackers[Attacker::ALL[0]].at(frame(t_s)),
            value: ShotValue::Two,
            result: ShotResult::Missed,
            inferred: false,
        });
        self.play.possessions[0].shots = 0..1;
        self
    }

    /// A player is not seen in this time.
    pub fn hide(mut self, who: Who, from_s: f64, to_s: f64) -> Self {
        let mover = self.mover(who);
        let frames = mover.x_m.len();
        for k in frame(from_s)..frame(to_s).min(frames) {
            for value in [
                &mut mover.x_m,
                &mut mover.y_m,
                &mut mover.vx_mps,
                &mut mover.vy_mps,
            ] {
                value[k] = f32::NAN;
            }
        }
        self
    }

    fn mover(&mut self, who: Who) -> &mut Mover {
        match who {
            Who::Attacker(place) => &mut self.scene.attackers[Attacker::ALL[place]],
            Who::Defender(place) => &mut self.scene.defenders[Defender::ALL[place]],
        }
    }

    /// The possession ends at `t_s`.
    pub fn end(mut self, t_s: f64) -> Self {
        let frames = frame(t_s);
        let scene = &mut self.scene;
        scene.frames = frames;
        for mover in scene.attackers.iter_mut().chain(&mut scene.defenders) {
            for values in [
                &mut mover.x_m,
                &mut mover.y_m,
                &mut mover.vx_mps,
                &mut mover.vy_mps,
            ] {
                values.truncate(frames);
            }
        }
        for values in [&mut scene.ball_x_m, &mut scene.ball_y_m, &mut scene.ball_z_m] {
            values.truncate(frames);
        }
        scene.handler.truncate(frames);
        scene.guard.truncate(frames);
        self
    }

    /// Shifts every sample by a draw, m.
    pub fn shaken(mut self, draws: &[f32]) -> Self {
        let mut draws = draws.iter().copied().cycle();
        let scene = &mut self.scene;
        for mover in scene.attackers.iter_mut().chain(&mut scene.defenders) {
            // One shift a player: a shift a sample would be no track.
            let (dx, dy) = (draws.next().unwrap_or(0.0), draws.next().unwrap_or(0.0));
            mover.x_m.iter_mut().for_each(|x| *x += dx);
            mover.y_m.iter_mut().for_each(|y| *y += dy);
        }
        self
    }

    /// The floor mirrored at the line through both hoops.
    pub fn mirrored(mut self) -> Self {
        let scene = &mut self.scene;
        for mover in scene.attackers.iter_mut().chain(&mut scene.defenders) {
            mover.y_m.iter_mut().for_each(|y| *y = -*y);
            mover.vy_mps.iter_mut().for_each(|v| *v = -*v);
        }
        scene.ball_y_m.iter_mut().for_each(|y| *y = -*y);
        for shot in &mut self.play.shots {
            shot.spot = mirror(shot.spot);
        }
        for screen in &mut self.screens {
            screen.spot = mirror(screen.spot);
            screen.right_of_user_m = -screen.right_of_user_m;
        }
        self
    }

    /// Reads the first screen. The ball is where attacker 0 is while they have it.
    pub fn read(self) -> BallScreenRead {
        self.read_by(&Definitions::DEFAULT)
    }

    /// The same by other definitions.
    pub fn read_by(mut self, definitions: &Definitions) -> BallScreenRead {
        for k in 0..self.scene.frames {
            let at = self.scene.attackers[Attacker::ALL[0]].at(k);
            (self.scene.ball_x_m[k], self.scene.ball_y_m[k]) = (at.x_m, at.y_m);
        }
        let reads = find_reads(
            &[self.scene],
            &self.play,
            &self.screens,
            &ReadParams::default(),
            definitions,
        );
        reads.into_iter().next().expect("a read a screen")
    }
}

pub(crate) fn frame(t_s: f64) -> usize {
    (t_s * HZ).round() as usize
}

fn mirror(at: Point<AttackFrame>) -> Point<AttackFrame> {
    Point::new(at.x_m, -at.y_m)
}
