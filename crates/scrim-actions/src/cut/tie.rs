//! Which screen a run belongs to.

use scrim_play::Scene;
use scrim_tracks::PlayerIx;

use super::naming::Part;
use super::run::Run;
use crate::{ScreenRef, Screens};

/// A screen's use may lie this long before or after the run of its user, s.
const USE_SLACK_S: f32 = 0.4;
/// A screener leaves his screen: his run begins at most this long before its use, or after its end, s.
const LEAVE_SLACK_S: f32 = 0.8;
/// ... and this near to its spot, m.
const LEAVE_SPOT_M: f32 = 2.0;
/// A screener comes to his screen: his run ends at most this long before he is set, or after its use, s.
const COME_SLACK_S: f32 = 0.8;
/// ... and this near to its spot, m.
const COME_SPOT_M: f32 = 1.5;

/// What a run is to the screens of its possession.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Tie {
    /// Nothing, or the way off one.
    Cut(Option<ScreenRef>, Part),
    /// It brings a screener to his screen or a taker to his handoff, or takes a screener off a ball screen: no cut.
    OfTheScreen,
}

/// One screen of a possession, on the ball or off it; frames are the scene's.
#[derive(Debug, Clone, Copy)]
struct Told {
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
pub(super) struct PossessionScreens(Vec<Told>);

impl PossessionScreens {
    /// Those of `possession`, whose scene is `scene`, in the order of the tables.
    pub(super) fn of(screens: &Screens, possession: usize, scene: &Scene) -> Self {
        let inside = |frame: usize| frame.saturating_sub(scene.first_frame);
        let possession_of = |screen: &ScreenRef| match *screen {
            ScreenRef::OnBall(place) => screens.on_ball()[place].possession,
            ScreenRef::OffBall(place) => screens.off_ball()[place].possession,
        };
        let order = screens.in_order();
        let from = order.partition_point(|screen| possession_of(screen) < possession);
        let until = order.partition_point(|screen| possession_of(screen) <= possession);
        let told = order[from..until].iter().map(|&screen| match screen {
            ScreenRef::OnBall(place) => {
                let row = &screens.on_ball()[place];
                Told {
                    screen,
                    screener: row.screener,
                    user: row.user,
                    set: inside(row.set.unwrap_or(row.used)),
                    used: inside(row.used),
                    end: inside(row.end),
                    spot: row.spot,
                    part: Part::None,
                }
            }
            ScreenRef::OffBall(place) => {
                let row = &screens.off_ball()[place];
                Told {
                    screen,
                    screener: row.screener,
                    user: row.user,
                    set: inside(row.set.unwrap_or(row.used)),
                    used: inside(row.used),
                    end: inside(row.end),
                    spot: row.spot,
                    part: Part::Used(row.kind, inside(row.used)),
                }
            }
        });
        Self(told.collect())
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
        let takes = |screen: &&Told| {
            let used = screen.used.saturating_sub(slack)..=screen.used + slack;
            screen.user == player && screen.part == Part::None && used.contains(&last)
        };
        if self.0.iter().any(|screen| takes(&screen)) {
            return Tie::OfTheScreen;
        }
        let mine = || self.0.iter().filter(|screen| screen.screener == player);
        // Who leaves one screen for the next comes to the next.
        let come = scene.frames_in(COME_SLACK_S);
        let comes = |screen: &&Told| {
            (screen.set.saturating_sub(come)..=screen.used + come).contains(&last)
                && first < screen.set
                && run.to.distance_m(screen.spot) <= COME_SPOT_M
        };
        if mine().any(|screen| comes(&screen)) {
            return Tie::OfTheScreen;
        }
        let leave = scene.frames_in(LEAVE_SLACK_S);
        let leaves = |screen: &&Told| {
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
