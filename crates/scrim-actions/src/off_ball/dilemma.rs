//! The helper's dilemma: at every ball screen, which off-ball defender was pulled, by whose action, who was left open, and
//! whether the ball got there.

use std::ops::Range;

use scrim_floor::{Definitions, Point};
use scrim_play::{Attacker, Play, Scene};
use scrim_tables::rows::DilemmaRow;
use scrim_tables::tags::PulledBy;
use scrim_tracks::{Game, PlayerIx};

use super::cut::Cut;
use super::motion::defense;
use super::window::{at_use, window};
use crate::screen::of_possession;
use crate::{BallScreen, OffBallScreen, ScreenRef, Screens};

/// A helper is looked for from this long before the use, s.
const BEFORE_USE_S: f32 = 0.5;
/// An attacker pulls a helper who is this near, or nearer, m.
const NEAR_M: f32 = 4.0;
/// A screener who is not at the rim rolls by coming nearer to the hoop by this since the use, m.
const ROLL_IN_M: f32 = 1.5;
/// An action counts this long after its end, s: a helper is late.
const AFTER_ACTION_S: f32 = 0.6;
/// The ball got there when it comes within this time of the pull, s.
const BALL_WITHIN_S: f32 = 3.0;

/// One ball screen's dilemma. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct Dilemma {
    /// The ball screen, by its place in [`Screens::on_ball`].
    pub screen: usize,
    /// The most pulled defender of an off-ball attacker; `None` when nobody is known to guard one.
    pub pull: Option<Pull>,
}

/// A helper off canonical position.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// Who.
    pub helper: PlayerIx,
    /// How far from canonical position, most, m.
    pub pull_m: f32,
    /// When.
    pub at: usize,
    /// By what kind of action.
    pub by: PulledBy,
    /// Whose action; `None` when `by` is.
    pub by_player: Option<PlayerIx>,
    /// The attacker whom the helper guards.
    pub left_open: PlayerIx,
    /// That attacker's largest distance to the nearest defender from then on, m.
    pub max_space_m: Option<f32>,
    /// When that was.
    pub max_space_at: Option<usize>,
    /// When the ball came to that attacker, if it did.
    pub ball_at: Option<usize>,
}

/// What there is to know of one ball screen.
struct Around<'a> {
    scene: &'a Scene,
    screen: &'a BallScreen,
    used: usize,
    off_ball: &'a [OffBallScreen],
    cuts: &'a [Cut],
    definitions: &'a Definitions,
}

/// The dilemma of every ball screen and handoff, in their order. The window ends as that of off-ball motion does
/// (`motion`).
pub fn find_dilemmas(
    scenes: &[Scene],
    screens: &Screens,
    cuts: &[Cut],
    definitions: &Definitions,
) -> Vec<Dilemma> {
    let dilemma = |(id, screen): (usize, &BallScreen)| {
        let scene = &scenes[screen.possession];
        let pull = at_use(scene, screen).and_then(|used| {
            let around = Around {
                scene,
                screen,
                used,
                off_ball: of_possession(screens.off_ball(), screen.possession, |screen| screen.possession),
                cuts: of_possession(cuts, screen.possession, |cut| cut.possession),
                definitions,
            };
            let from = used.saturating_sub(scene.frames_in(BEFORE_USE_S));
            around.pull(from..window(scene, screen, definitions).end.max(from))
        });
        Dilemma { screen: id, pull }
    };
    screens.on_ball().iter().enumerate().map(dilemma).collect()
}

impl Around<'_> {
    /// The most pulled helper within `window`.
    fn pull(&self, window: Range<usize>) -> Option<Pull> {
        let scene = self.scene;
        let ((pull_m, k), place) = scene
            .attackers
            .places()
            .filter(|&place| self.is_off_ball(place))
            .filter_map(|place| {
                let pull = defense::largest(window.clone(), |k| {
                    // Who has the ball by now has a defender, not a helper; and while it flies, canonical position
                    // runs ahead of everyone.
                    let held_by_other = scene.handler[k].is_some_and(|handler| handler != place);
                    held_by_other.then(|| defense::pull_m(scene, place, k)).flatten()
                });
                Some((pull?, place))
            })
            // Of equals the first in the scene's order.
            .min_by(|((a_m, _), _), ((b_m, _), _)| b_m.total_cmp(a_m))?;
        let helper = scene.guard_of(place, k)?;
        let (by, by_player) = if pull_m < self.definitions.sag_m {
            (PulledBy::None, None)
        } else {
            self.pulled_by(place, helper.at(k), k)
        };
        let space = defense::largest(k..window.end, |k| scene.space_m(place, k));
        let ball_until = (k + scene.frames_in(BALL_WITHIN_S)).min(scene.frames);
        Some(Pull {
            helper: helper.player,
            pull_m,
            at: scene.first_frame + k,
            by,
            by_player,
            left_open: scene.attackers[place].player,
            max_space_m: space.map(|(space_m, _)| space_m),
            max_space_at: space.map(|(_, k)| scene.first_frame + k),
            ball_at: (k..ball_until)
                .find(|&k| scene.handler[k] == Some(place))
                .map(|k| scene.first_frame + k),
        })
    }

    fn is_off_ball(&self, place: Attacker) -> bool {
        let player = self.scene.attackers[place].player;
        player != self.screen.screener && player != self.screen.user
    }

    /// Whose action pulled the helper who is at `helper` at frame `k`: the nearest attacker's, but for their own matchup's
    /// (`own`), among those who do something.
    fn pulled_by(
        &self,
        own: Attacker,
        helper: Point<scrim_floor::AttackFrame>,
        k: usize,
    ) -> (PulledBy, Option<PlayerIx>) {
        let mut nearest: Option<(f32, PulledBy, PlayerIx)> = None;
        for (place, mover) in self.scene.attackers.placed() {
            if place == own {
                continue;
            }
            let gap_m = mover.at(k).distance_m(helper);
            let nearer = gap_m <= NEAR_M && nearest.is_none_or(|(least_m, ..)| gap_m < least_m);
            if nearer && let Some(by) = self.action(place, k) {
                nearest = Some((gap_m, by, mover.player));
            }
        }
        nearest.map_or((PulledBy::None, None), |(_, by, player)| (by, Some(player)))
    }

    /// What the attacker at `place` does at frame `k` that may pull a helper.
    fn action(&self, place: Attacker, k: usize) -> Option<PulledBy> {
        let scene = self.scene;
        let player = scene.attackers[place].player;
        let frame = scene.first_frame + k;
        let late = scene.frames_in(AFTER_ACTION_S);
        if scene.handler[k] == Some(place) {
            return Some(PulledBy::Drive);
        }
        if player == self.screen.screener && k >= self.used {
            let hoop = Point::origin();
            let from_hoop_m = scene.attackers[place].at(k).distance_m(hoop);
            let came_in_m = scene.attackers[place].at(self.used).distance_m(hoop) - from_hoop_m;
            let rolls = from_hoop_m <= self.definitions.at_rim_m || came_in_m >= ROLL_IN_M;
            return Some(if rolls { PulledBy::Roll } else { PulledBy::Pop });
        }
        let off_screen = |screen: &&OffBallScreen| {
            screen.user == player && (screen.begins()..=screen.end + late).contains(&frame)
        };
        if self.off_ball.iter().any(|screen| off_screen(&screen)) {
            return Some(PulledBy::OffBallScreen);
        }
        let cuts = |cut: &Cut| cut.player == player && (cut.start..=cut.end + late).contains(&frame);
        self.cuts.iter().any(cuts).then_some(PulledBy::Cut)
    }
}

/// Rows of `dilemmas`, in the order of `dilemmas`.
pub fn dilemma_rows(game: &Game, play: &Play, screens: &Screens, dilemmas: &[Dilemma]) -> Vec<DilemmaRow> {
    dilemmas
        .iter()
        .map(|dilemma| {
            let possession = screens.on_ball()[dilemma.screen].possession;
            let period = &game.periods[play.possessions[possession].period];
            let id_of = |player| game.player(player).id.clone();
            let pull = dilemma.pull.as_ref();
            DilemmaRow {
                game_id: game.info.game_id.clone(),
                period: period.number,
                possession_id: possession as u32,
                screen_id: screens.id_of(ScreenRef::OnBall(dilemma.screen)),
                helper_id: pull.map(|pull| id_of(pull.helper)),
                pull_m: pull.map(|pull| pull.pull_m),
                t_pull_s: pull.map(|pull| period.t_s(pull.at)),
                pulled_by: pull.map_or(PulledBy::None, |pull| pull.by),
                pulled_by_id: pull.and_then(|pull| pull.by_player).map(id_of),
                left_open_id: pull.map(|pull| id_of(pull.left_open)),
                max_space_m: pull.and_then(|pull| pull.max_space_m),
                t_max_space_s: pull
                    .and_then(|pull| pull.max_space_at)
                    .map(|frame| period.t_s(frame)),
                ball_got_there: pull.map(|pull| pull.ball_at.is_some()),
                t_ball_s: pull.and_then(|pull| pull.ball_at).map(|frame| period.t_s(frame)),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests;
