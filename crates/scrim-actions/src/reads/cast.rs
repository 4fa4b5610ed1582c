//! Who plays which part in a screen, where it is, and from when to when it is looked at.

use scrim_floor::{AttackFrame, Definitions, Point, Vector};
use scrim_play::{Attacker, Defender, Mover, Scene};
use scrim_tables::tags::{Outcome, ScreenKind};

use crate::BallScreen;

/// A handler slower than this is not yet on the way to the screen, m/s.
const GO_SPEED_MPS: f32 = 1.5;
/// They are on the way for at most this long before the use, s.
const LONGEST_GO_S: f32 = 1.5;
/// They are past the screen this long after the use, s.
const PAST_S: f32 = 0.5;

/// The four players of a ball screen and its place in time and on the floor. Frames and places are the scene's.
#[derive(Debug, Clone)]
pub(super) struct Cast<'a> {
    pub scene: &'a Scene,
    /// Where one word ends and the next begins.
    pub definitions: &'a Definitions,
    /// The handler, or who takes the handoff.
    pub user: Attacker,
    /// The screener, or who hands the ball off.
    pub screener: Attacker,
    /// The handler's defender, if known.
    pub user_defender: Option<Defender>,
    /// The screener's defender, if known.
    pub screener_defender: Option<Defender>,
    /// The handler sets off (or the last instant before the use at which they had not yet).
    pub go: usize,
    /// The use, or the end of what was not used.
    pub used: usize,
    /// The last frame to look at: the possession's last, or the one before the next screen on the ball is set.
    pub last: usize,
    /// Whether the next screen of the same two is linked to this one.
    pub rescreens: bool,
    /// Where the screener is at the use.
    pub spot: Point<AttackFrame>,
    /// Away from the hoop at the screen, of length 1.
    pub up: Vector<AttackFrame>,
    /// Across, from the handler toward the screen's side, of length 1, at a right angle to `up`.
    pub side: Vector<AttackFrame>,
}

impl<'a> Cast<'a> {
    /// The cast of `screens[id]`; `None` when its players are not in the scene, or not seen at the use.
    pub fn of(
        scene: &'a Scene,
        screens: &[BallScreen],
        id: usize,
        definitions: &'a Definitions,
    ) -> Option<Self> {
        let screen = &screens[id];
        let user = scene.attackers.place_of(screen.user)?;
        let screener = scene.attackers.place_of(screen.screener)?;
        let defender = |player: Option<_>| scene.defenders.place_of(player?);
        let end = scene.frames.checked_sub(1)?;
        let used = screen.used.checked_sub(scene.first_frame)?.min(end);
        let (h, s) = (&scene.attackers[user], &scene.attackers[screener]);
        let spot = s.at(used);
        if !spot.is_finite() || !h.at(used).is_finite() {
            return None;
        }
        let set = screen
            .set
            .map_or(0, |set| set.saturating_sub(scene.first_frame))
            .min(used);
        let go = match screen.outcome {
            Outcome::Used => go_frame(scene, h, used),
            Outcome::Rejected | Outcome::Slipped | Outcome::Ghosted | Outcome::Flipped | Outcome::Unused => {
                used
            }
        };
        let up = (spot - Point::origin()).unit();
        let across = up.quarter_turn();
        // A user who comes off a screen shows its side by the way past it, unless they go straight up or down; else
        // the screener's place shows it.
        let passes = screen.outcome == Outcome::Used || screen.kind == ScreenKind::Handoff;
        let after = (used + scene.frames_in(PAST_S)).min(end);
        let way = (h.at(after) - h.at(go)).dot(across);
        let to_spot = (spot - h.at(go.max(set))).dot(across);
        let lateral = if passes && way.abs() >= CLEAR_WAY_M {
            way
        } else {
            to_spot
        };
        let side = if lateral < 0.0 { -across } else { across };
        Some(Self {
            scene,
            definitions,
            user,
            screener,
            user_defender: defender(screen.user_defender),
            screener_defender: defender(screen.screener_defender),
            go,
            used,
            last: last_frame(scene, screens, id, used + scene.frames_in(definitions.stagger_s)),
            rescreens: screens[id + 1..]
                .iter()
                .take_while(|next| next.possession == screen.possession)
                .any(|next| next.previous == Some(id) && next.screener == screen.screener),
            spot,
            up,
            side,
        })
    }

    /// The frame this long after the use, at most the last one that is looked at.
    pub fn after_use(&self, seconds: f32) -> usize {
        (self.used + self.scene.frames_in(seconds)).min(self.last)
    }

    /// Seconds from the use to frame `k` (negative: before).
    pub fn since_use_s(&self, k: usize) -> f32 {
        ((k as f64 - self.used as f64) / self.scene.hz) as f32
    }
}

/// A way across the floor shorter than this shows no side, m.
const CLEAR_WAY_M: f32 = 0.5;

/// The last frame before `used` at which the handler was not yet on the way, not longer ago than the longest way takes.
fn go_frame(scene: &Scene, h: &Mover, used: usize) -> usize {
    let earliest = used.saturating_sub(scene.frames_in(LONGEST_GO_S));
    (earliest..used)
        .rev()
        .find(|&k| h.speed_at(k) < GO_SPEED_MPS)
        .unwrap_or(earliest)
}

/// The last frame of the possession, or the one at which the next screen on the ball is set, if that comes first. A
/// second screener soon after the first (a stagger, up to frame `together`) belongs to the same action.
fn last_frame(scene: &Scene, screens: &[BallScreen], id: usize, together: usize) -> usize {
    let end = scene.frames - 1;
    screens[id + 1..]
        .iter()
        .take_while(|next| next.possession == screens[id].possession)
        .find(|next| next.used.saturating_sub(scene.first_frame) > together)
        .map(|next| next.begins().saturating_sub(scene.first_frame))
        .map_or(end, |begin| begin.max(together).min(end))
}
