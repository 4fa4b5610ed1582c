//! Staged scenes for the tests: ten players and a ball moved by hand, on a period of 25 Hz.
//!
//! Players 0 to 4 are `team_ids[0]` and attack the hoop at +x, 5 to 9 are `team_ids[1]`.

use std::ops::Range;

use scrim_floor::Court;
use scrim_tracks::{
    BallTrack, Event, EventKind, Game, GameInfo, Lineup, Period, Player, PlayerIx, TeamSlot, Track, TrackIx,
};

pub const HZ: f64 = 25.0;
/// A hand's place beside the body, metres.
const HAND_M: f32 = 0.4;

/// Where the ten stand unless given otherwise: a half-court set at the hoop at +x, guarded from the hoop's side.
const SPOTS: [(f32, f32); 10] = [
    (5.0, 0.0),
    (8.0, -5.0),
    (8.0, 5.0),
    (12.0, -6.5),
    (12.0, 6.5),
    (6.5, 0.0),
    (8.8, -4.0),
    (8.8, 4.0),
    (12.0, -4.5),
    (12.0, 4.5),
];

pub struct Staging {
    frames: usize,
    players: Vec<Vec<(f32, f32)>>,
    ball: Vec<(f32, f32, f32)>,
    live: Vec<bool>,
    events: Option<Vec<Event>>,
}

impl Staging {
    pub fn new(seconds: f64) -> Self {
        let frames = (seconds * HZ).round() as usize;
        Self {
            frames,
            players: SPOTS.iter().map(|&spot| vec![spot; frames]).collect(),
            ball: vec![(f32::NAN, f32::NAN, f32::NAN); frames],
            live: vec![true; frames],
            events: None,
        }
    }

    pub fn frame(&self, t_s: f64) -> usize {
        ((t_s * HZ).round() as usize).min(self.frames)
    }

    fn span(&self, t: Range<f64>) -> Range<usize> {
        self.frame(t.start)..self.frame(t.end)
    }

    /// Moves a player straight from where they are at `t.start` to `to`; they stay there.
    pub fn walk(mut self, player: usize, t: Range<f64>, to: (f32, f32)) -> Self {
        let span = self.span(t);
        let from = self.players[player][span.start];
        for frame in span.start..self.frames {
            let share = ((frame - span.start) as f32 / span.len() as f32).min(1.0);
            self.players[player][frame] =
                (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share);
        }
        self
    }

    /// Puts a player somewhere for the whole scene.
    pub fn stand(mut self, player: usize, at: (f32, f32)) -> Self {
        self.players[player].fill(at);
        self
    }

    /// The player dribbles: twice a second from hand to floor and back.
    pub fn dribble(self, player: usize, t: Range<f64>) -> Self {
        self.held(player, t, |since_s| {
            0.1 + 0.8 * (std::f64::consts::TAU * since_s).cos().abs() as f32
        })
    }

    /// The player holds the ball at the chest.
    pub fn hold(self, player: usize, t: Range<f64>) -> Self {
        self.held(player, t, |_| 1.2)
    }

    fn held(mut self, player: usize, t: Range<f64>, height_m: impl Fn(f64) -> f32) -> Self {
        let span = self.span(t);
        for frame in span.clone() {
            let (x_m, y_m) = self.players[player][frame];
            let since_s = (frame - span.start) as f64 / HZ;
            self.ball[frame] = (x_m + HAND_M, y_m, height_m(since_s));
        }
        self
    }

    /// The ball flies straight in the plane from where it is to `to`, its height on a parabola of this apex.
    pub fn fly(mut self, t: Range<f64>, to: (f32, f32, f32), apex_m: f32) -> Self {
        let span = self.span(t);
        let from = self.ball[span.start - 1];
        let count = span.len() as f32;
        for frame in span.clone() {
            let s = (frame - span.start + 1) as f32 / count;
            // A parabola through both ends whose middle lies on the apex.
            let straight_m = from.2 + (to.2 - from.2) * s;
            let middle_m = (from.2 + to.2) / 2.0;
            let z_m = straight_m + (apex_m - middle_m).max(0.0) * 4.0 * s * (1.0 - s);
            self.ball[frame] = (from.0 + (to.0 - from.0) * s, from.1 + (to.1 - from.1) * s, z_m);
        }
        self
    }

    /// A pass at chest height to where `to` is at the end.
    pub fn pass(self, to: usize, t: Range<f64>) -> Self {
        let (x_m, y_m) = self.players[to][self.frame(t.end) - 1];
        self.fly(t, (x_m + HAND_M, y_m, 1.2), 1.4)
    }

    /// The ball rests where it is.
    pub fn rest(mut self, t: Range<f64>) -> Self {
        let span = self.span(t);
        let (x_m, y_m, _) = self.ball[span.start - 1];
        self.ball[span].fill((x_m, y_m, 0.12));
        self
    }

    /// The ball is not seen.
    pub fn lose_ball(mut self, t: Range<f64>) -> Self {
        let span = self.span(t);
        self.ball[span].fill((f32::NAN, f32::NAN, f32::NAN));
        self
    }

    /// The ball's height is never known.
    pub fn without_height(mut self) -> Self {
        for ball in &mut self.ball {
            ball.2 = f32::NAN;
        }
        self
    }

    /// Play is stopped.
    pub fn dead(mut self, t: Range<f64>) -> Self {
        let span = self.span(t);
        self.live[span].fill(false);
        self
    }

    /// The scorer's table wrote this down.
    pub fn event(mut self, t_s: f64, kind: EventKind, player: usize, points: Option<u8>) -> Self {
        self.events.get_or_insert_default().push(Event {
            period: 1,
            t_s: Some(t_s),
            game_clock_s: None,
            kind,
            team: Some(team_of(player)),
            player: Some(PlayerIx(player as u16)),
            points,
        });
        self
    }

    /// The court turned by half a turn about its middle.
    pub fn turned(mut self) -> Self {
        for player in &mut self.players {
            for at in player.iter_mut() {
                *at = (-at.0, -at.1);
            }
        }
        for at in &mut self.ball {
            *at = (-at.0, -at.1, at.2);
        }
        self
    }

    /// The court mirrored at the line through both hoops.
    pub fn mirrored(mut self) -> Self {
        for player in &mut self.players {
            for at in player.iter_mut() {
                at.1 = -at.1;
            }
        }
        for at in &mut self.ball {
            at.1 = -at.1;
        }
        self
    }

    /// Shifts every sample by a draw: `noise(n)` is the n-th draw, metres.
    pub fn shaken(mut self, noise: impl Fn(usize) -> f32) -> Self {
        let mut n = 0;
        let mut next = || {
            n += 1;
            noise(n)
        };
        for player in &mut self.players {
            for at in player.iter_mut() {
                *at = (at.0 + next(), at.1 + next());
            }
        }
        for at in &mut self.ball {
            *at = (at.0 + next(), at.1 + next(), at.2);
        }
        self
    }

    pub fn game(&self) -> Game {
        let slope = |values: &[f32]| -> Vec<f32> {
            (0..values.len())
                .map(|at| {
                    let (back, ahead) = (at.saturating_sub(1), (at + 1).min(values.len() - 1));
                    (values[ahead] - values[back]) * HZ as f32 / (ahead - back).max(1) as f32
                })
                .collect()
        };
        let tracks = self
            .players
            .iter()
            .enumerate()
            .map(|(player, spots)| {
                let x_m: Vec<f32> = spots.iter().map(|at| at.0).collect();
                let y_m: Vec<f32> = spots.iter().map(|at| at.1).collect();
                Track {
                    player: PlayerIx(player as u16),
                    team: team_of(player),
                    vx_mps: slope(&x_m),
                    vy_mps: slope(&y_m),
                    x_m,
                    y_m,
                }
            })
            .collect();
        let x_m: Vec<f32> = self.ball.iter().map(|at| at.0).collect();
        let y_m: Vec<f32> = self.ball.iter().map(|at| at.1).collect();
        let z_m: Vec<f32> = self.ball.iter().map(|at| at.2).collect();
        let ball = BallTrack {
            vx_mps: slope(&x_m),
            vy_mps: slope(&y_m),
            has_height: z_m.iter().any(|z_m| z_m.is_finite()),
            x_m,
            y_m,
            z_m,
        };
        Game {
            info: GameInfo {
                game_id: "staged".into(),
                season: None,
                date: None,
                team_ids: ["A".into(), "B".into()],
                home_is_known: false,
                court: Court::fiba(),
                video_offset_s: Vec::new(),
            },
            players: (0..10)
                .map(|player| Player {
                    id: format!("{}{player}", ["A", "B"][team_of(player).index()]).into(),
                    team: team_of(player),
                    jersey: None,
                    name: None,
                    role: None,
                })
                .collect(),
            periods: vec![Period {
                number: 1,
                hz: HZ,
                frames: self.frames,
                game_clock_s: vec![f32::NAN; self.frames],
                shot_clock_s: vec![f32::NAN; self.frames],
                tracks,
                ball,
                lineups: vec![Lineup {
                    start: 0,
                    end: self.frames,
                    on_floor: [(0..5).map(TrackIx).collect(), (5..10).map(TrackIx).collect()],
                }],
                live: self.live.clone(),
                faulty: vec![false; self.frames],
            }],
            events: self.events.clone(),
        }
    }
}

pub fn team_of(player: usize) -> TeamSlot {
    if player < 5 {
        TeamSlot::First
    } else {
        TeamSlot::Second
    }
}
