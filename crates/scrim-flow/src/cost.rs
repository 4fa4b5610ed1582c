//! What an entry cost the defence: where the two defenders are when the ball screen is set, and how late the screener's is.

use scrim_actions::{BallScreen, Screens};
use scrim_floor::{AttackFrame, Definitions, Point, Segment, distance_to_segment_m};
use scrim_play::{Mover, Scene, canonical_position};
use scrim_tables::tags::{Coverage, ScreenMeeting};
use scrim_tracks::PlayerIx;

use crate::{Action, ActionSource};
use scrim_actions::ScreenRef;

/// A defender is there when they have been for this long, s.
const HOLD_S: f32 = 0.2;
/// Whether they get there is looked at until this long after the use, s.
const AFTER_USE_S: f32 = 2.0;
/// `drop`, `ice`: within this of the lane, m.
const LANE_M: f32 = 1.5;
/// `level`, `hedge`: within this of the screener, m.
const REACH_M: f32 = 3.0;

/// The entry's screen is passed within this of its use, s.
const UNDER_WITHIN_S: f32 = 1.2;
/// Who passes it goes from this far on one side of it to this far on the other, m.
const UNDER_ACROSS_M: f32 = 0.5;
/// Who passes it on the hoop side is within this of it, m.
const UNDER_REACH_M: f32 = 3.0;

/// The cost to the defence at the instant of the set (of the use, when the screener was never set).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cost {
    /// The screener's defender to canonical position, m; `None` when they are not known or not seen.
    pub screener_defender_gap_m: Option<f32>,
    /// The handler's defender likewise.
    pub handler_defender_gap_m: Option<f32>,
    /// From the set until the screener's defender is where the coverage wants them, s; `None` when there was no set, they are
    /// not known, the coverage is unclear, or they never came there.
    pub screener_defender_late_s: Option<f32>,
    /// The screener's defender was close to the entry's user in the last moments before the set.
    pub bumped: bool,
    /// The screener's defender passed the entry's screen on the hoop side.
    pub went_under_entry: bool,
}

/// A ball screen's four in their scene, at the set.
struct Cast<'a> {
    scene: &'a Scene,
    screener: &'a Mover,
    user: &'a Mover,
    screener_defender: Option<&'a Mover>,
    user_defender: Option<&'a Mover>,
    /// Scene frames of the set (the use, when there was none) and of the use.
    set: usize,
    used: usize,
}

/// Measures the cost of `screen`, which came out of `entry`.
pub(crate) fn measure_cost(
    scene: &Scene,
    screens: &Screens,
    screen: &BallScreen,
    coverage: Coverage,
    entry: Option<&Action>,
    definitions: &Definitions,
) -> Cost {
    let Some(cast) = Cast::of(scene, screen) else {
        return Cost::default();
    };
    Cost {
        screener_defender_gap_m: cast.gap_m(cast.screener_defender, cast.screener),
        handler_defender_gap_m: cast.gap_m(cast.user_defender, cast.user),
        screener_defender_late_s: screen.set.and_then(|_| cast.late_s(coverage, definitions)),
        bumped: entry.is_some_and(|entry| cast.is_bumped(entry, definitions)),
        went_under_entry: entry
            .is_some_and(|entry| cast.goes_under(screens, screen.screener_defender, entry)),
    }
}

impl<'a> Cast<'a> {
    fn of(scene: &'a Scene, screen: &BallScreen) -> Option<Self> {
        let defender = |player: Option<_>| scene.defenders.of(player?);
        let frame = |frame: usize| frame.checked_sub(scene.first_frame).filter(|&k| k < scene.frames);
        Some(Self {
            scene,
            screener: scene.attackers.of(screen.screener)?,
            user: scene.attackers.of(screen.user)?,
            screener_defender: defender(screen.screener_defender),
            user_defender: defender(screen.user_defender),
            set: frame(screen.begins())?,
            used: frame(screen.used)?,
        })
    }

    /// How far a defender is from canonical position at the set, m. A ball that is not seen is with the handler.
    fn gap_m(&self, defender: Option<&Mover>, attacker: &Mover) -> Option<f32> {
        let ball = self.scene.ball_at(self.set);
        let ball = if ball.is_finite() {
            ball
        } else {
            self.user.at(self.set)
        };
        let expected = canonical_position(attacker.at(self.set), ball);
        let gap_m = defender?.at(self.set).distance_m(expected);
        gap_m.is_finite().then_some(gap_m)
    }

    fn late_s(&self, coverage: Coverage, definitions: &Definitions) -> Option<f32> {
        let scene = self.scene;
        let hold = scene.frames_in(HOLD_S);
        let last = (self.used + scene.frames_in(AFTER_USE_S)).min(scene.frames - 1);
        let mut since = self.set;
        for k in self.set..=last {
            if !self.is_where_wanted(coverage, k, definitions)? {
                since = k + 1;
            } else if k + 1 - since >= hold {
                return Some(scene.seconds(since - self.set));
            }
        }
        None
    }

    /// Whether the screener's defender is where the coverage wants them; `None` when that is not known. One who is not seen at
    /// an instant is not there.
    fn is_where_wanted(&self, coverage: Coverage, k: usize, definitions: &Definitions) -> Option<bool> {
        let hoop = Point::<AttackFrame>::origin();
        let (defender, screener, user) = (
            self.screener_defender?.at(k),
            self.screener.at(k),
            self.user.at(k),
        );
        let depth_m = screener.distance_m(hoop) - defender.distance_m(hoop);
        let in_lane = || distance_to_segment_m(defender, Segment::new(user, hoop)) <= LANE_M;
        let near_screener = || defender.distance_m(screener) <= REACH_M;
        let on_ball = || defender.distance_m(user) <= definitions.close_m;
        match coverage {
            Coverage::Drop => Some(depth_m >= definitions.drop_depth_m && in_lane()),
            Coverage::Ice => Some(depth_m >= definitions.ice_depth_m && in_lane()),
            Coverage::Level => Some(depth_m.abs() <= definitions.drop_depth_m && near_screener()),
            Coverage::Hedge => Some(-depth_m >= definitions.hedge_beyond_m && near_screener()),
            Coverage::Blitz | Coverage::Switch => Some(on_ball()),
            Coverage::Unclear => None,
        }
    }

    fn is_bumped(&self, entry: &Action, definitions: &Definitions) -> bool {
        let scene = self.scene;
        let user = scene.attackers.of(entry.user);
        let (Some(defender), Some(user)) = (self.screener_defender, user) else {
            return false;
        };
        let first = self
            .set
            .saturating_sub(scene.frames_in(definitions.bump_before_s));
        (first..=self.set).any(|k| defender.at(k).distance_m(user.at(k)) <= definitions.bump_m)
    }

    fn goes_under(&self, screens: &Screens, screener_defender: Option<PlayerIx>, entry: &Action) -> bool {
        // How the user's defender met an off-ball screen is known already.
        if let ActionSource::Screen(ScreenRef::OffBall(place)) = entry.source {
            let off_ball = &screens.off_ball()[place];
            if let (true, Some(path)) = (
                off_ball.user_defender == screener_defender,
                off_ball.user_defender_path,
            ) {
                return match path {
                    ScreenMeeting::Under => true,
                    ScreenMeeting::Hit | ScreenMeeting::Trailed | ScreenMeeting::Switched => false,
                };
            }
        }
        if entry.screener.is_none() {
            return false;
        }
        let Some(defender) = self.screener_defender else {
            return false;
        };
        let scene = self.scene;
        let used = entry.instant.saturating_sub(scene.first_frame);
        let within = scene.frames_in(UNDER_WITHIN_S);
        let frames = used.saturating_sub(within)..(used + within + 1).min(scene.frames);
        passes_under(frames.map(|k| defender.at(k)), entry.spot)
    }
}

/// Whether a way across the floor leads from one side of `spot` to the other on the hoop side of it.
fn passes_under(way: impl Iterator<Item = Point<AttackFrame>>, spot: Point<AttackFrame>) -> bool {
    let up = (spot - Point::origin()).unit();
    // The side they come from, and whether they crossed on the hoop side since they were clearly there.
    let mut from_across_m: Option<f32> = None;
    let mut last_across_m = f32::NAN;
    let mut under = false;
    for at in way.filter(|at| at.is_finite()) {
        let off = at - spot;
        let across_m = off.dot(up.quarter_turn());
        if across_m == 0.0 {
            continue;
        }
        if last_across_m * across_m < 0.0 {
            under = off.dot(up) < 0.0 && off.length() <= UNDER_REACH_M;
        }
        last_across_m = across_m;
        if across_m.abs() >= UNDER_ACROSS_M {
            if under && from_across_m.is_some_and(|from_m| from_m * across_m < 0.0) {
                return true;
            }
            from_across_m = Some(across_m);
            under = false;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn way(from: (f32, f32), to: (f32, f32)) -> impl Iterator<Item = Point<AttackFrame>> {
        let (from, to) = (Point::new(from.0, from.1), Point::new(to.0, to.1));
        (0..=20_u8).map(move |step| from.toward(to, f32::from(step) / 20.0))
    }

    #[test]
    fn who_passes_between_screen_and_hoop_goes_under_and_who_passes_above_does_not() {
        let spot = Point::new(4.0, 0.0);
        assert!(passes_under(way((3.0, -1.5), (3.0, 1.5)), spot));
        assert!(passes_under(way((3.0, 1.5), (3.0, -1.5)), spot));
        assert!(!passes_under(way((5.0, -1.5), (5.0, 1.5)), spot));
        // Only half the way, or far below.
        assert!(!passes_under(way((3.0, -1.5), (3.0, 0.3)), spot));
        assert!(!passes_under(way((0.5, -1.5), (0.5, 1.5)), spot));
    }
}
