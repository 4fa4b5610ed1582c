//! Staged scenes for the tests of what happens off the ball: ten players on given ways in the attack frame, a ball that
//! is in somebody's hands or on its way between two.
//!
//! Players 0 to 4 attack, 5 to 9 defend; 5 + n guards n unless the stage is given another matchup.

use std::ops::Range;

use scrim_floor::{AttackFrame, Court, Definitions, Point, SideTracker};
use scrim_play::{
    Attacker, Defender, Guards, Mover, Movers, Place, Play, Possession, Scene, Shot, ShotResult,
};
use scrim_tables::tags::{Outcome, Phase, ScreenKind};
use scrim_tracks::PlayerIx;

use crate::{BallScreen, Cut, CutParams, OffBallScreen, Screen, ScreenEvidence, Screens, find_cuts};

pub const HZ: f64 = 25.0;
/// The first frame of the scene in its period.
pub const FIRST_FRAME: usize = 500;
/// Nobody turns on the spot: each way is averaged over this long to both sides, twice.
const ROUND_OFF_FRAMES: usize = 3;
/// Everyone stands this far to the right of where they are put: on the line through both hoops a side is a matter of taste.
const OFF_LINE_M: f32 = 0.01;

/// Handler on top; 1 in the right slot, 2 in the right corner, 3 in the left corner, 4 on the left block. Each is
/// guarded from the hoop's side.
const SPOTS: [(f32, f32); 5] = [(8.0, 0.0), (7.0, 3.5), (0.5, 6.8), (0.5, -6.8), (0.5, -3.2)];
/// A defender's place between their matchup and the hoop.
const GUARDED_AT: f32 = 0.7;

/// A waypoint: when, and where.
pub type Waypoint = (f64, f32, f32);

#[derive(Debug, Clone)]
pub struct SceneStage {
    pub frames: usize,
    ways: Vec<Vec<(f32, f32)>>,
    touches: Vec<(usize, Range<f64>)>,
    shots: Vec<(usize, f64)>,
    half_court_s: f64,
    phase: Phase,
    mirror: f32,
    pub on_ball: Vec<BallScreen>,
    pub off_ball: Vec<OffBallScreen>,
}

/// A cut in the scene's own terms: who, what, from when to when.
pub type SeenCut = (usize, scrim_tables::tags::CutKind, f64, f64);

impl SceneStage {
    pub fn new(seconds: f64) -> Self {
        let frames = (seconds * HZ).round() as usize;
        let guarded = |&(x, y): &(f32, f32)| (x * GUARDED_AT, y * GUARDED_AT);
        Self {
            frames,
            ways: SPOTS
                .iter()
                .copied()
                .chain(SPOTS.iter().map(guarded))
                .map(|spot| vec![spot; frames])
                .collect(),
            touches: Vec::new(),
            shots: Vec::new(),
            half_court_s: 0.0,
            phase: Phase::HalfCourt,
            mirror: 1.0,
            on_ball: Vec::new(),
            off_ball: Vec::new(),
        }
    }

    /// The player's way: straight from waypoint to waypoint, at rest before the first and after the last.
    pub fn path(mut self, player: usize, waypoints: &[Waypoint]) -> Self {
        let at = |t_s: f64| {
            let after = waypoints.partition_point(|point| point.0 <= t_s);
            let from = waypoints[after.saturating_sub(1)];
            match waypoints.get(after) {
                Some(to) if t_s > from.0 => {
                    let share = ((t_s - from.0) / (to.0 - from.0)) as f32;
                    (from.1 + (to.1 - from.1) * share, from.2 + (to.2 - from.2) * share)
                }
                Some(_) | None => (from.1, from.2),
            }
        };
        let sharp: Vec<(f32, f32)> = (0..self.frames).map(|k| at(k as f64 / HZ)).collect();
        self.ways[player] = averaged(&averaged(&sharp));
        self
    }

    /// The player's way as given, a place a frame.
    pub fn way(mut self, player: usize, way: Vec<(f32, f32)>) -> Self {
        assert_eq!(way.len(), self.frames);
        self.ways[player] = way;
        self
    }

    /// The player is not seen.
    pub fn unseen(mut self, player: usize, t_s: Range<f64>) -> Self {
        let span = self.span(&t_s);
        self.ways[player][span].fill((f32::NAN, f32::NAN));
        self
    }

    /// The player has the ball.
    pub fn has_ball(mut self, player: usize, t_s: Range<f64>) -> Self {
        self.touches.push((player, t_s));
        self
    }

    /// The player shoots.
    pub fn shoots(mut self, player: usize, t_s: f64) -> Self {
        self.shots.push((player, t_s));
        self
    }

    /// Half-court play begins then.
    pub fn half_court_at(mut self, t_s: f64) -> Self {
        self.half_court_s = t_s;
        self
    }

    /// The possession never got to half-court play.
    pub fn in_transition(mut self) -> Self {
        self.phase = Phase::Transition;
        self
    }

    /// Mirrored at the line through both hoops.
    pub fn mirrored(mut self) -> Self {
        self.mirror = -self.mirror;
        for screen in &mut self.off_ball {
            screen.spot = Point::new(screen.spot.x_m, -screen.spot.y_m);
        }
        for screen in &mut self.on_ball {
            screen.spot = Point::new(screen.spot.x_m, -screen.spot.y_m);
        }
        self
    }

    /// Somebody has found this off-ball screen.
    pub fn off_ball_screen(
        mut self,
        kind: ScreenKind,
        players: (usize, usize),
        t_s: (f64, f64, f64),
    ) -> Self {
        let screen = self.used_screen(kind, players, t_s);
        self.off_ball.push(OffBallScreen {
            screen,
            runner_up: None,
            user_defender_path: None,
        });
        self
    }

    /// Somebody has found this ball screen.
    pub fn ball_screen(mut self, players: (usize, usize), t_s: (f64, f64, f64)) -> Self {
        let screen = self.used_screen(ScreenKind::BallScreen, players, t_s);
        self.on_ball.push(BallScreen {
            screen,
            right_of_user_m: 0.0,
            outcomes: None,
            early_denial: false,
        });
        self
    }

    /// A used screen: screener and user; set, use and end, s.
    fn used_screen(
        &self,
        kind: ScreenKind,
        (screener, user): (usize, usize),
        (set_s, use_s, end_s): (f64, f64, f64),
    ) -> Screen {
        let (x, y) = self.ways[screener][self.frame(use_s)];
        Screen {
            possession: 0,
            kind,
            outcome: Outcome::Used,
            screener: PlayerIx(screener as u16),
            user: PlayerIx(user as u16),
            screener_defender: Some(PlayerIx(5 + screener as u16)),
            user_defender: Some(PlayerIx(5 + user as u16)),
            set: Some(FIRST_FRAME + self.frame(set_s)),
            used: FIRST_FRAME + self.frame(use_s),
            end: FIRST_FRAME + self.frame(end_s),
            spot: Point::new(x, (y + OFF_LINE_M) * self.mirror),
            strong_side: true,
            previous: None,
            confidence: 0.9,
            evidence: evidence(),
        }
    }

    fn frame(&self, t_s: f64) -> usize {
        ((t_s * HZ).round() as usize).min(self.frames)
    }

    fn span(&self, t_s: &Range<f64>) -> Range<usize> {
        self.frame(t_s.start)..self.frame(t_s.end)
    }

    fn mover(&self, player: usize) -> Mover {
        let x_m: Vec<f32> = self.ways[player].iter().map(|at| at.0).collect();
        let y_m: Vec<f32> = self.ways[player]
            .iter()
            .map(|at| (at.1 + OFF_LINE_M) * self.mirror)
            .collect();
        Mover {
            player: PlayerIx(player as u16),
            vx_mps: slope(&x_m),
            vy_mps: slope(&y_m),
            x_m,
            y_m,
        }
    }

    pub fn scene(&self) -> Scene {
        let attackers: Movers<Attacker> = (0..5).map(|player| self.mover(player)).collect();
        let mut handler = vec![None; self.frames];
        let mut ball = vec![Point::<AttackFrame>::new(f32::NAN, f32::NAN); self.frames];
        let mut last: Option<usize> = None;
        for (player, t_s) in &self.touches {
            let span = self.span(t_s);
            let player = Attacker::ALL[*player];
            handler[span.clone()].fill(Some(player));
            for k in span.clone() {
                ball[k] = attackers[player].at(k);
            }
            if let Some(last) = last {
                let (from, to) = (ball[last], ball[span.start]);
                let flight = (span.start - last) as f32;
                for (step, place) in ball[last + 1..span.start].iter_mut().enumerate() {
                    *place = from.toward(to, (step + 1) as f32 / flight);
                }
            }
            last = Some(span.end - 1);
        }
        let mut side = SideTracker::new(SideTracker::DEFAULT_BAND_M);
        Scene {
            period: 0,
            first_frame: FIRST_FRAME,
            frames: self.frames,
            hz: HZ,
            half_court_x_m: Court::fiba().half_court_x_m(),
            defenders: (5..10).map(|player| self.mover(player)).collect(),
            attackers,
            ball_x_m: ball.iter().map(|at| at.x_m).collect(),
            ball_y_m: ball.iter().map(|at| at.y_m).collect(),
            ball_z_m: vec![f32::NAN; self.frames],
            strong: ball.iter().map(|&at| side.follow(at)).collect(),
            handler,
            guard: vec![Guards::from(Defender::ALL.map(Some)); self.frames],
        }
    }

    pub fn play(&self) -> Play {
        let shots: Vec<Shot> = self
            .shots
            .iter()
            .map(|&(player, t_s)| Shot {
                possession: 0,
                player: PlayerIx(player as u16),
                release: FIRST_FRAME + self.frame(t_s),
                spot: Point::origin(),
                value: scrim_floor::ShotValue::Two,
                result: ShotResult::Unknown,
                inferred: false,
            })
            .collect();
        Play {
            possessions: vec![Possession {
                phase: self.phase,
                half_court: Some(FIRST_FRAME + self.frame(self.half_court_s)),
                shots: 0..shots.len(),
                ..Possession::blank(FIRST_FRAME..FIRST_FRAME + self.frames)
            }],
            shots,
            ..Play::default()
        }
    }

    pub fn screens(&self) -> Screens {
        Screens::new(self.on_ball.clone(), self.off_ball.clone())
    }

    pub fn cuts(&self) -> Vec<Cut> {
        find_cuts(
            &[self.scene()],
            &self.play(),
            &Court::fiba(),
            &self.screens(),
            &CutParams::default(),
            &Definitions::DEFAULT,
        )
    }

    /// The cuts in the scene's own terms.
    pub fn seen_cuts(&self) -> Vec<SeenCut> {
        let t_s = |frame: usize| (frame - FIRST_FRAME) as f64 / HZ;
        self.cuts()
            .iter()
            .map(|cut| (cut.player.index(), cut.kind, t_s(cut.start), t_s(cut.end)))
            .collect()
    }
}

fn evidence() -> ScreenEvidence {
    ScreenEvidence {
        screener_speed_mps: 0.1,
        user_gap_m: 0.8,
        defender_gap_m: Some(0.8),
        angle_deg: None,
    }
}

fn averaged(places: &[(f32, f32)]) -> Vec<(f32, f32)> {
    (0..places.len())
        .map(|k| {
            let near =
                &places[k.saturating_sub(ROUND_OFF_FRAMES)..(k + ROUND_OFF_FRAMES + 1).min(places.len())];
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
