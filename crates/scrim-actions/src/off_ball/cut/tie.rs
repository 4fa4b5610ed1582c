//! Which screen a run belongs to.

use scrim_play::Scene;
use scrim_tracks::PlayerIx;

use super::naming::Part;
use super::run::Run;
use crate::screen::of_possession;
use crate::{ScreenRef, Screens};

/// A screen's use may lie this long before or after the run of its user, s.
const USE_SLACK_S: f32 = 0.4;
/// A screener leaves the screen: their run begins at most this long before its use, or after its end, s.
const LEAVE_SLACK_S: f32 = 0.8;
/// ... and this near to its spot, m.
const LEAVE_SPOT_M: f32 = 2.0;
/// A screener comes to the screen: their run ends at most this long before they are set, or after its use, s.
const COME_SLACK_S: f32 = 0.8;
/// ... and this near to its spot, m.
const COME_SPOT_M: f32 = 1.5;

/// What a run is to the screens of its possession.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Tie {
    /// Nothing, or the way off one.
    Cut(Option<ScreenRef>, Part),
    /// It brings a screener to the screen or a taker to the handoff, or takes a screener off a ball screen: no cut.
    OfTheScreen,
}

/// One screen of a possession, on the ball or off it; frames are the scene's.
#[derive(Debug, Clone, Copy)]
struct NearScreen {
    screen: ScreenRef,
    screener: PlayerIx,
    user: PlayerIx,
    set: usize,
    used: usize,
    end: usize,
    spot: scrim_floor::Point<scrim_floor::AttackFrame>,
    part: Part,
}

/// The screens of one possession.
pub(super) struct PossessionScreens(Vec<NearScreen>);

impl PossessionScreens {
    /// Those of `possession`, whose scene is `scene`, in the order of the tables.
    pub(super) fn of(screens: &Screens, possession: usize, scene: &Scene) -> Self {
        let inside = |frame: usize| frame.saturating_sub(scene.first_frame);
        let order = of_possession(screens.in_order(), possession, |&screen| {
            screens.get(screen).possession
        });
        let near = order.iter().map(|&screen| {
            let found = screens.get(screen);
            let used = inside(found.used);
            NearScreen {
                screen,
                screener: found.screener,
                user: found.user,
                set: found.set.map_or(used, inside),
                used,
                end: inside(found.end),
                spot: found.spot,
                part: match screen {
                    ScreenRef::OnBall(_) => Part::None,
                    ScreenRef::OffBall(_) => Part::Used(found.kind, used),
                },
            }
        });
        Self(near.collect())
    }

    /// What `run` is to them.
    pub(super) fn tie(&self, scene: &Scene, run: &Run) -> Tie {
        let player = scene.attackers[run.place].player;
        let (first, last) = (run.frames.start, run.last());
        let slack = scene.frames_in(USE_SLACK_S);
        let used = self
            .0
            .iter()
            .filter(|screen| screen.user == player && screen.part != Part::None)
            .rfind(|screen| first <= screen.used + slack && screen.used <= last + slack);
        if let Some(screen) = used {
            return Tie::Cut(Some(screen.screen), screen.part);
        }
        // Who takes the ball from a team-mate's hands runs to it; a ball screen's user has it anyway.
        let takes = |screen: &&NearScreen| {
            let used = screen.used.saturating_sub(slack)..=screen.used + slack;
            screen.user == player && screen.part == Part::None && used.contains(&last)
        };
        if self.0.iter().any(|screen| takes(&screen)) {
            return Tie::OfTheScreen;
        }
        let mine = || self.0.iter().filter(|screen| screen.screener == player);
        // Who leaves one screen for the next comes to the next.
        let come = scene.frames_in(COME_SLACK_S);
        let comes = |screen: &&NearScreen| {
            (screen.set.saturating_sub(come)..=screen.used + come).contains(&last)
                && first < screen.set
                && run.to.distance_m(screen.spot) <= COME_SPOT_M
        };
        if mine().any(|screen| comes(&screen)) {
            return Tie::OfTheScreen;
        }
        let leave = scene.frames_in(LEAVE_SLACK_S);
        let leaves = |screen: &&NearScreen| {
            (screen.set.max(screen.used.saturating_sub(leave))..=screen.end + leave).contains(&first)
                && run.from.distance_m(screen.spot) <= LEAVE_SPOT_M
        };
        if let Some(screen) = mine().find(leaves) {
            return match screen.screen {
                ScreenRef::OnBall(_) => Tie::OfTheScreen,
                ScreenRef::OffBall(_) => Tie::Cut(Some(screen.screen), Part::Left),
            };
        }
        Tie::Cut(None, Part::None)
    }
}
