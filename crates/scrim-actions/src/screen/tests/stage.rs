//! Staged scenes in the attack frame: players 0 to 4 attack, 5 to 9 defend, 5 + n guards n unless a scene says otherwise.

use std::ops::Range;

use scrim_floor::{AttackDirection, AttackFrame, Court, Point, Side, SideTracker, Zone};
use scrim_play::{Matchup, PeriodDirection, Play, Possession, Scene, Touch};
use scrim_tables::tags::{EndKind, Outcome, Phase, ScreenKind, TouchEnd};
use scrim_tracks::{BallTrack, Game, GameInfo, Lineup, Period, Player, PlayerIx, TeamSlot, Track, TrackIx};

use crate::{BallScreen, ScreenParams, find_ball_screens};

pub const HZ: f64 = 25.0;
/// A hand's place beside the body, metres.
const HAND_M: f32 = 0.4;
/// Everyone stands this far off the line through both hoops, to the right, for on the line itself a side is a matter of taste.
const OFF_LINE_M: f32 = 0.01;
/// Nobody turns on the spot: each path is averaged over this long, twice.
const ROUND_OFF_S: f64 = 0.2;

/// Where the ten stand unless a scene says otherwise: handler on top, 1 at the right elbow, 2 and 3 in the corners, 4 on the left
/// wing; each guarded from the hoop's side, the handler closely.
const SPOTS: [(f32, f32); 10] = [
    (8.0, 0.0),
    (4.5, 2.0),
    (0.5, 6.4),
    (0.5, -6.4),
    (6.0, -5.5),
    (6.9, 0.0),
    (3.2, 1.5),
    (0.8, 4.2),
    (0.8, -4.2),
    (4.4, -3.8),
];

/// A waypoint: when, and where in the attack frame.
pub type Waypoint = (f64, f32, f32);

/// A scene. All times are its own, from 0.
#[derive(Debug, Clone)]
pub struct Stage {
    seconds: f64,
    paths: Vec<Vec<Waypoint>>,
    touches: Vec<(usize, Range<f64>, TouchEnd)>,
    matchups: Vec<(usize, usize, Range<f64>)>,
    /// `place[role]` is the place of a role's player in the game.
    place: [usize; 10],
    direction: AttackDirection,
    mirror: f32,
    lead_s: f64,
    missing: Vec<usize>,
    unseen: Vec<(usize, Range<f64>)>,
}

/// A row in the scene's own terms.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    pub kind: ScreenKind,
    pub outcome: Outcome,
    pub screener: usize,
    pub user: usize,
    pub screener_defender: Option<usize>,
    pub user_defender: Option<usize>,
    pub set_s: Option<f64>,
    pub use_s: f64,
    pub end_s: f64,
    pub spot: (f32, f32),
    pub right_of_user_m: f32,
    pub zone: Zone,
    pub side: Side,
    pub strong_side: bool,
    pub previous: Option<usize>,
    pub confidence: f32,
    pub early_denial: bool,
}

impl Stage {
    pub fn new(seconds: f64) -> Self {
        Self {
            seconds,
            paths: SPOTS.iter().map(|&(x, y)| vec![(0.0, x, y)]).collect(),
            touches: Vec::new(),
            matchups: (0..5).map(|n| (5 + n, n, 0.0..seconds)).collect(),
            place: std::array::from_fn(|role| role),
            direction: AttackDirection::PositiveX,
            mirror: 1.0,
            lead_s: 0.0,
            missing: Vec::new(),
            unseen: Vec::new(),
        }
    }

    /// The player's way: straight from waypoint to waypoint, at rest before the first and after the last.
    pub fn path(mut self, player: usize, waypoints: &[Waypoint]) -> Self {
        self.paths[player] = waypoints.to_vec();
        self
    }

    /// The player has the ball, dribbling.
    pub fn has_ball(mut self, player: usize, t_s: Range<f64>, ended_by: TouchEnd) -> Self {
        self.touches.push((player, t_s, ended_by));
        self
    }

    /// Nobody knows who guards whom.
    pub fn without_matchups(mut self) -> Self {
        self.matchups.clear();
        self
    }

    /// Who guards whom, and when, in place of the usual: defender, attacker, span.
    pub fn guarded_by(mut self, matchups: &[(usize, usize, Range<f64>)]) -> Self {
        let other = |attacker: usize| !matchups.iter().any(|matchup| matchup.1 == attacker);
        self.matchups.retain(|&(_, attacker, _)| other(attacker));
        self.matchups.extend_from_slice(matchups);
        self
    }

    /// Mirrored at the line through both hoops.
    pub fn mirrored(mut self) -> Self {
        self.mirror = -self.mirror;
        self
    }

    /// At the other hoop: the court turned by half a turn.
    pub fn turned(mut self) -> Self {
        self.direction = self.direction.opposite();
        self
    }

    /// Some time of the period has gone when the scene begins.
    pub fn later(mut self, seconds: f64) -> Self {
        self.lead_s += seconds;
        self
    }

    /// Other players in the same roles: `attack[n]` and `defense[n]`, each an order of 0 to 4.
    pub fn played_by(mut self, attack: [usize; 5], defense: [usize; 5]) -> Self {
        for n in 0..5 {
            self.place[n] = attack[n];
            self.place[5 + n] = 5 + defense[n];
        }
        self
    }

    /// The tracking does not know this player at all.
    pub fn without(mut self, player: usize) -> Self {
        self.missing.push(player);
        self.matchups
            .retain(|&(defender, attacker, _)| defender != player && attacker != player);
        self
    }

    /// Nobody sees this player for a while.
    pub fn unseen(mut self, player: usize, t_s: Range<f64>) -> Self {
        self.unseen.push((player, t_s));
        self
    }

    fn frame(&self, t_s: f64) -> usize {
        ((t_s + self.lead_s) * HZ).round() as usize
    }

    fn frames(&self) -> usize {
        self.frame(self.seconds)
    }

    fn span(&self, t_s: &Range<f64>) -> Range<usize> {
        self.frame(t_s.start)..self.frame(t_s.end)
    }

    /// The player's places, attack frame, a frame each.
    fn walked(&self, player: usize) -> Vec<Point<AttackFrame>> {
        let path = &self.paths[player];
        let at = |t_s: f64| {
            let after = path.partition_point(|point| point.0 <= t_s);
            let (Some(from), to) = (path.get(after.saturating_sub(1)), path.get(after)) else {
                unreachable!("a path has a waypoint");
            };
            match to {
                Some(to) if to.0 > from.0 && t_s > from.0 => {
                    let share = ((t_s - from.0) / (to.0 - from.0)) as f32;
                    (from.1 + (to.1 - from.1) * share, from.2 + (to.2 - from.2) * share)
                }
                Some(_) | None => (from.1, from.2),
            }
        };
        let mut places: Vec<(f32, f32)> = (0..self.frames())
            .map(|frame| at(frame as f64 / HZ - self.lead_s))
            .collect();
        for _ in 0..2 {
            places = averaged(&places, (ROUND_OFF_S * HZ / 2.0).round() as usize);
        }
        places
            .iter()
            .map(|&(x, y)| Point::new(x, (y + OFF_LINE_M) * self.mirror))
            .collect()
    }

    /// The ball's places: in a hand, or straight from hand to hand.
    fn ball(&self, walked: &[Vec<Point<AttackFrame>>]) -> Vec<Point<AttackFrame>> {
        let mut ball = vec![Point::new(f32::NAN, f32::NAN); self.frames()];
        let mut last: Option<usize> = None;
        for (player, t_s, _) in &self.touches {
            let span = self.span(t_s);
            for (ball, at) in ball[span.clone()].iter_mut().zip(&walked[*player][span.clone()]) {
                *ball = Point::new(at.x_m + HAND_M, at.y_m);
            }
            if let Some(last) = last {
                let (from, to) = (ball[last], ball[span.start]);
                let flight = &mut ball[last + 1..span.start];
                let frames = flight.len() as f32 + 1.0;
                for (n, at) in flight.iter_mut().enumerate() {
                    *at = from.toward(to, (n + 1) as f32 / frames);
                }
            }
            last = Some(span.end - 1);
        }
        ball
    }

    pub fn game(&self) -> Game {
        let court = Court::fiba();
        let mut walked: Vec<_> = (0..10).map(|player| self.walked(player)).collect();
        for (player, t_s) in &self.unseen {
            walked[*player][self.span(t_s)].fill(Point::new(f32::NAN, f32::NAN));
        }
        let columns = |places: &[Point<AttackFrame>]| {
            let (x_m, y_m): (Vec<f32>, Vec<f32>) = places
                .iter()
                .map(|&at| {
                    let at = court.to_court(at, self.direction);
                    (at.x_m, at.y_m)
                })
                .unzip();
            (slope(&x_m), slope(&y_m), x_m, y_m)
        };
        let role_of = |place: usize| self.place.iter().position(|&p| p == place);
        // Tracks stand in the order of players.
        let on_floor: Vec<(usize, usize)> = (0..10)
            .filter_map(|place| role_of(place).map(|role| (place, role)))
            .filter(|(_, role)| !self.missing.contains(role))
            .collect();
        let tracks: Vec<Track> = on_floor
            .iter()
            .map(|&(place, role)| {
                let (vx_mps, vy_mps, x_m, y_m) = columns(&walked[role]);
                Track {
                    player: PlayerIx(place as u16),
                    team: team_of(place),
                    x_m,
                    y_m,
                    vx_mps,
                    vy_mps,
                }
            })
            .collect();
        let (vx_mps, vy_mps, x_m, y_m) = columns(&self.ball(&walked));
        let frames = self.frames();
        let lineup = |team| {
            let places = (0..tracks.len() as u16).map(TrackIx);
            places
                .filter(|place| tracks[place.index()].team == team)
                .collect()
        };
        Game {
            info: GameInfo {
                game_id: "staged".into(),
                season: None,
                date: None,
                team_ids: ["A".into(), "B".into()],
                home_is_known: false,
                court: court.clone(),
                video_offset_s: Vec::new(),
            },
            players: (0..10)
                .map(|place| Player {
                    id: format!("{place}").into(),
                    team: team_of(place),
                    jersey: None,
                    name: None,
                    role: None,
                })
                .collect(),
            periods: vec![Period {
                number: 1,
                hz: HZ,
                frames,
                game_clock_s: vec![f32::NAN; frames],
                shot_clock_s: vec![f32::NAN; frames],
                ball: BallTrack {
                    vx_mps,
                    vy_mps,
                    has_height: false,
                    z_m: vec![f32::NAN; frames],
                    x_m,
                    y_m,
                },
                lineups: vec![Lineup {
                    start: 0,
                    end: frames,
                    on_floor: [lineup(TeamSlot::First), lineup(TeamSlot::Second)],
                }],
                tracks,
                live: vec![true; frames],
                faulty: vec![false; frames],
            }],
            events: None,
        }
    }

    pub fn play(&self) -> Play {
        let player = |role: usize| PlayerIx(self.place[role] as u16);
        let touches: Vec<Touch> = self
            .touches
            .iter()
            .enumerate()
            .map(|(n, (role, t_s, ended_by))| Touch {
                possession: 0,
                player: player(*role),
                frames: self.span(t_s),
                dribbled: true,
                ended_by: *ended_by,
                next: self.touches.get(n + 1).map(|next| player(next.0)),
            })
            .collect();
        let mut matchups: Vec<Matchup> = self
            .matchups
            .iter()
            .map(|(defender, attacker, t_s)| Matchup {
                possession: 0,
                defender: player(*defender),
                attacker: player(*attacker),
                frames: self.span(t_s),
                mean_gap_m: 1.5,
                confidence: 0.95,
            })
            .collect();
        matchups.sort_by_key(|matchup| (matchup.defender, matchup.frames.start));
        Play {
            possessions: vec![Possession {
                period: 0,
                frames: self.frame(0.0)..self.frames(),
                offense: TeamSlot::First,
                direction: self.direction,
                phase: Phase::HalfCourt,
                half_court: Some(self.frame(0.0)),
                end_kind: EndKind::DeadBall,
                points: None,
                points_inferred: false,
                clean: true,
                touches: 0..touches.len(),
                shots: 0..0,
                matchups: 0..matchups.len(),
            }],
            touches,
            shots: Vec::new(),
            matchups,
            control: Vec::new(),
            directions: vec![PeriodDirection {
                first_team: self.direction,
                evidence_s: 100.0,
            }],
        }
    }

    pub fn found(&self) -> Vec<BallScreen> {
        self.found_with(&ScreenParams::default())
    }

    pub fn found_with(&self, params: &ScreenParams) -> Vec<BallScreen> {
        let (game, play) = (self.game(), self.play());
        find_ball_screens(&Scene::all(&game, &play), &play, params)
    }

    /// The rows in the scene's own terms: its roles, its clock.
    pub fn seen(&self) -> Vec<Seen> {
        let court = Court::fiba();
        let role = |player: PlayerIx| {
            self.place
                .iter()
                .position(|&place| place == player.index())
                .expect("everyone has a role")
        };
        let t_s = |frame: usize| frame as f64 / HZ - self.lead_s;
        self.found()
            .iter()
            .map(|row| Seen {
                kind: row.kind,
                outcome: row.outcome,
                screener: role(row.screener),
                user: role(row.user),
                screener_defender: row.screener_defender.map(role),
                user_defender: row.user_defender.map(role),
                set_s: row.set.map(t_s),
                use_s: t_s(row.used),
                end_s: t_s(row.end),
                spot: (row.spot.x_m, row.spot.y_m),
                right_of_user_m: row.right_of_user_m,
                zone: court.zone_of(row.spot),
                side: Side::of(row.spot, SideTracker::DEFAULT_BAND_M),
                strong_side: row.strong_side,
                previous: row.previous,
                confidence: row.confidence,
                early_denial: row.early_denial,
            })
            .collect()
    }
}

fn team_of(place: usize) -> TeamSlot {
    if place < 5 {
        TeamSlot::First
    } else {
        TeamSlot::Second
    }
}

/// The mean over `reach` frames to either side; less at the ends.
fn averaged(places: &[(f32, f32)], reach: usize) -> Vec<(f32, f32)> {
    (0..places.len())
        .map(|frame| {
            let near = &places[frame.saturating_sub(reach)..(frame + reach + 1).min(places.len())];
            let sum = near
                .iter()
                .fold((0.0, 0.0), |sum, at| (sum.0 + at.0, sum.1 + at.1));
            (sum.0 / near.len() as f32, sum.1 / near.len() as f32)
        })
        .collect()
}

/// Central differences, per second.
fn slope(values: &[f32]) -> Vec<f32> {
    (0..values.len())
        .map(|at| {
            let (back, ahead) = (at.saturating_sub(1), (at + 1).min(values.len() - 1));
            (values[ahead] - values[back]) * HZ as f32 / (ahead - back).max(1) as f32
        })
        .collect()
}
