//! Staged possessions for the tests: ten players moved by hand, 25 Hz, attack frame. Attackers are players 0 to 4; defender
//! `n` (player `5 + n`) guards attacker `n` and stands in canonical position unless moved.

use std::ops::Range;

use scrim_actions::{
    BallScreen, BallScreenRead, Cut, Decided, OffBallScreen, ReadEvidence, Screen, ScreenEvidence, ScreenRef,
    Screens,
};
use scrim_floor::{AttackFrame, Court, Half, Point};
use scrim_play::{Attacker, Defender, Guards, Mover, Place, Play, Possession, Scene, canonical_position};
use scrim_tables::tags::{
    Coverage, CutKind, EndKind, Entry, HandlerAction, HelperAction, OnBallPath, Outcome, Phase, ScreenKind,
    ScreenerAction,
};
use scrim_tracks::{PlayerIx, TeamSlot};

use crate::{Action, ActionSource, Aligned, find_alignment};

pub(crate) const HZ: f64 = 25.0;

pub(crate) fn frame(t_s: f64) -> usize {
    (t_s * HZ).round() as usize
}

#[derive(Debug, Clone)]
pub(crate) struct Staging {
    pub scene: Scene,
}

impl Staging {
    pub fn new(seconds: f64, attackers: [(f32, f32); 5]) -> Self {
        let frames = frame(seconds);
        let stand = |player: usize, at: Point<AttackFrame>| Mover {
            player: PlayerIx(player as u16),
            x_m: vec![at.x_m; frames],
            y_m: vec![at.y_m; frames],
            vx_mps: vec![0.0; frames],
            vy_mps: vec![0.0; frames],
        };
        let spots = attackers.map(|(x_m, y_m)| Point::new(x_m, y_m));
        let guarded = |place: usize| canonical_position(spots[place], spots[0]);
        let scene = Scene {
            period: 0,
            first_frame: 0,
            frames,
            hz: HZ,
            half_court_x_m: Court::fiba().half_court_x_m(),
            attackers: (0..5).map(|place| stand(place, spots[place])).collect(),
            defenders: (0..5).map(|place| stand(5 + place, guarded(place))).collect(),
            ball_x_m: vec![spots[0].x_m; frames],
            ball_y_m: vec![spots[0].y_m; frames],
            ball_z_m: vec![1.2; frames],
            strong: vec![Some(Half::of(spots[0])); frames],
            handler: vec![None; frames],
            guard: vec![Guards::from(Defender::ALL.map(Some)); frames],
        };
        Self { scene }
    }

    /// Attacker (0 to 4) or defender (5 to 9) goes straight from where they are to `to`, and stays there.
    pub fn walk(mut self, player: usize, t_s: Range<f64>, to: (f32, f32)) -> Self {
        let span = frame(t_s.start)..frame(t_s.end);
        let mover = self.mover(player);
        let from = mover.at(span.start);
        let seconds = (t_s.end - t_s.start) as f32;
        for k in span.start..mover.x_m.len() {
            let share = ((k - span.start) as f32 / span.len() as f32).min(1.0);
            mover.x_m[k] = from.x_m + (to.0 - from.x_m) * share;
            mover.y_m[k] = from.y_m + (to.1 - from.y_m) * share;
            let moves = if k < span.end { 1.0 / seconds } else { 0.0 };
            mover.vx_mps[k] = (to.0 - from.x_m) * moves;
            mover.vy_mps[k] = (to.1 - from.y_m) * moves;
        }
        self
    }

    /// The player is not seen.
    pub fn lose(mut self, player: usize, t_s: Range<f64>) -> Self {
        let span = frame(t_s.start)..frame(t_s.end);
        let mover = self.mover(player);
        for values in [
            &mut mover.x_m,
            &mut mover.y_m,
            &mut mover.vx_mps,
            &mut mover.vy_mps,
        ] {
            values[span.clone()].fill(f32::NAN);
        }
        self
    }

    /// The attacker has the ball.
    pub fn hold(mut self, attacker: usize, t_s: Range<f64>) -> Self {
        let attacker = Attacker::ALL[attacker];
        for k in frame(t_s.start)..frame(t_s.end) {
            let at = self.scene.attackers[attacker].at(k);
            self.scene.handler[k] = Some(attacker);
            self.scene.ball_x_m[k] = at.x_m;
            self.scene.ball_y_m[k] = at.y_m;
        }
        self
    }

    /// The same possession, mirrored.
    pub fn mirrored(mut self) -> Self {
        let flip = |values: &mut Vec<f32>| values.iter_mut().for_each(|value| *value = -*value);
        for mover in self.scene.attackers.iter_mut().chain(&mut self.scene.defenders) {
            flip(&mut mover.y_m);
            flip(&mut mover.vy_mps);
        }
        flip(&mut self.scene.ball_y_m);
        self
    }

    fn mover(&mut self, player: usize) -> &mut Mover {
        match player.checked_sub(5) {
            Some(defender) => &mut self.scene.defenders[Defender::ALL[defender]],
            None => &mut self.scene.attackers[Attacker::ALL[player]],
        }
    }

    pub fn alignment(&self, half_court: Option<usize>, actions: &[Action]) -> Option<Aligned> {
        find_alignment(&self.scene, &Court::fiba(), half_court, actions)
    }

    /// A cut, as an action.
    pub fn cut(&self, player: usize, word: Entry, t_s: Range<f64>) -> Action {
        let end = frame(t_s.end);
        Action {
            possession: 0,
            at: end,
            instant: end,
            begin: frame(t_s.start),
            word,
            spot: self.scene.attackers[Attacker::ALL[player]].at(end),
            screener: None,
            user: PlayerIx(player as u16),
            source: ActionSource::Cut(0),
        }
    }
}

/// What a screen is made of: players, and instants in seconds.
#[derive(Debug, Clone, Copy)]
pub(crate) struct StagedScreen {
    pub possession: usize,
    pub kind: ScreenKind,
    pub screener: u16,
    pub user: u16,
    pub set_s: Option<f64>,
    pub use_s: f64,
    pub spot: (f32, f32),
    pub outcome: Outcome,
}

const EVIDENCE: ScreenEvidence = ScreenEvidence {
    screener_speed_mps: 0.2,
    user_gap_m: 0.8,
    defender_gap_m: Some(0.9),
    angle_deg: Some(30.0),
};

/// What screens on the ball and off it have in common; each player's defender is `5 +` their own number.
fn found(screen: &StagedScreen) -> Screen {
    Screen {
        possession: screen.possession,
        kind: screen.kind,
        outcome: screen.outcome,
        screener: PlayerIx(screen.screener),
        user: PlayerIx(screen.user),
        screener_defender: Some(PlayerIx(screen.screener + 5)),
        user_defender: Some(PlayerIx(screen.user + 5)),
        set: screen.set_s.map(frame),
        used: frame(screen.use_s),
        end: frame(screen.use_s + 1.0),
        spot: Point::new(screen.spot.0, screen.spot.1),
        strong_side: true,
        previous: None,
        confidence: 0.9,
        evidence: EVIDENCE,
    }
}

/// A screen on the ball.
pub(crate) fn ball_screen(screen: &StagedScreen) -> BallScreen {
    BallScreen {
        screen: found(screen),
        right_of_user_m: 1.0,
        outcomes: None,
        early_denial: false,
    }
}

/// A screen off the ball.
pub(crate) fn off_ball_screen(screen: &StagedScreen) -> OffBallScreen {
    OffBallScreen {
        screen: found(screen),
        runner_up: None,
        user_defender_path: None,
    }
}

/// A cut from `from` to `to`.
pub(crate) fn cut(
    player: u16,
    kind: CutKind,
    t_s: Range<f64>,
    to: (f32, f32),
    screen: Option<ScreenRef>,
) -> Cut {
    Cut {
        possession: 0,
        player: PlayerIx(player),
        kind,
        start: frame(t_s.start),
        end: frame(t_s.end),
        from: Point::new(5.0, 5.0),
        to: Point::new(to.0, to.1),
        strong_side: true,
        screen,
        peak_speed_mps: 4.0,
        path_m: 5.0,
        confidence: 0.9,
    }
}

/// The screens of a game.
pub(crate) fn screens(on_ball: &[StagedScreen], off_ball: &[StagedScreen]) -> Screens {
    Screens::new(
        on_ball.iter().map(ball_screen).collect(),
        off_ball.iter().map(off_ball_screen).collect(),
    )
}

/// A possession of the first team or the second, of `frames` frames from 0.
pub(crate) fn possession(offense: TeamSlot, phase: Phase, frames: usize) -> Possession {
    Possession {
        offense,
        phase,
        half_court: (phase == Phase::HalfCourt).then_some(0),
        end_kind: EndKind::ShotMissed,
        points: Some(0),
        ..Possession::blank(0..frames)
    }
}

/// A play of these possessions and nothing else.
pub(crate) fn play(possessions: Vec<Possession>) -> Play {
    Play {
        possessions,
        ..Play::default()
    }
}

/// A read with these words.
pub(crate) fn read(coverage: Coverage, screener: ScreenerAction, handler: HandlerAction) -> BallScreenRead {
    fn sure<T>(word: T) -> Decided<T> {
        Decided {
            word,
            confidence: 0.9,
        }
    }
    BallScreenRead {
        coverage: sure(coverage),
        coverages: None,
        unclear: None,
        coverage_inputs: None,
        on_ball_path: sure(OnBallPath::Over),
        helper_action: sure(HelperAction::None),
        helper: None,
        screener_action: sure(screener),
        handler_action: sure(handler),
        pass_target: None,
        evidence: ReadEvidence::default(),
    }
}
