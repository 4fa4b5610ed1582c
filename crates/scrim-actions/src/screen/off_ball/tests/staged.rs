//! Staged scenes: attacker 2 comes off a screen of attacker 1; 7 guards 2, 6 guards 1.

use scrim_floor::Definitions;
use scrim_play::Scene;
use scrim_tables::tags::{ScreenKind, TouchEnd};

use crate::screen::tests::stage::{HZ, Stage, Waypoint};
use crate::{
    OffBallCandidate, OffBallScreen, OffBallScreenParams, ScreenParams, find_ball_screens,
    find_off_ball_screens, off_ball_candidates,
};

/// A place in the attack frame.
pub type Spot = (f32, f32);

/// When the user sets off, s.
pub const GO_S: f64 = 5.0;
/// How fast the user runs, m/s.
const PACE_MPS: f32 = 4.5;
/// How fast the screener comes, m/s.
const COMING_MPS: f32 = 3.5;
/// How far behind the user their defender trails, s.
const BEHIND_S: f64 = 0.3;
/// How long a scene is, s.
pub const SECONDS: f64 = 10.0;

/// The way of a user past a screener.
#[derive(Debug, Clone, Copy)]
pub struct Way {
    /// Where the user waits.
    pub from: Spot,
    /// Where the user passes the screener.
    pub by: Spot,
    /// Where the user runs to.
    pub to: Spot,
    /// Where the screener comes from.
    pub screener_from: Spot,
    /// Where the screener stands.
    pub spot: Spot,
}

pub fn apart_m(a: Spot, b: Spot) -> f32 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// A metre from `at` toward the hoop.
pub fn hoopward(at: Spot) -> Spot {
    let share = 1.0 - 1.0 / apart_m(at, (0.0, 0.0));
    (at.0 * share, at.1 * share)
}

impl Way {
    /// When the user is by the screener, s.
    pub fn by_s(&self) -> f64 {
        GO_S + f64::from(apart_m(self.from, self.by) / PACE_MPS)
    }

    /// When the user is at the end of the run, s.
    pub fn there_s(&self) -> f64 {
        self.by_s() + f64::from(apart_m(self.by, self.to) / PACE_MPS)
    }

    /// When the screener is on the spot, s.
    pub fn set_s(&self) -> f64 {
        2.0 + f64::from(apart_m(self.screener_from, self.spot) / COMING_MPS)
    }

    pub fn user(&self) -> Vec<Waypoint> {
        let (from, by, to) = (self.from, self.by, self.to);
        vec![
            (GO_S, from.0, from.1),
            (self.by_s(), by.0, by.1),
            (self.there_s(), to.0, to.1),
        ]
    }

    pub fn screener(&self) -> Vec<Waypoint> {
        let (from, spot) = (self.screener_from, self.spot);
        vec![(2.0, from.0, from.1), (self.set_s(), spot.0, spot.1)]
    }

    /// The user's defender trails them around the screener.
    pub fn trailing(&self) -> Vec<Waypoint> {
        let start = hoopward(self.from);
        vec![
            (GO_S + BEHIND_S, start.0, start.1),
            (self.by_s() + BEHIND_S, self.by.0, self.by.1),
            (self.there_s() + BEHIND_S, self.to.0, self.to.1),
        ]
    }

    /// The scene, still without anybody on the ball.
    pub fn stage(&self) -> Stage {
        let (from, spot) = (hoopward(self.screener_from), hoopward(self.spot));
        Stage::new(SECONDS)
            .path(1, &self.screener())
            .path(6, &[(2.0, from.0, from.1), (self.set_s(), spot.0, spot.1)])
            .path(2, &self.user())
            .path(7, &self.trailing())
    }
}

/// The handler, 0, dribbles on the spot all the time, 5 in front.
pub fn with_handler(stage: Stage, at: Spot) -> Stage {
    let guard = hoopward(at);
    stage
        .path(0, &[(0.0, at.0, at.1)])
        .path(5, &[(0.0, guard.0, guard.1)])
        .has_ball(0, 0.0..SECONDS, TouchEnd::DeadBall)
}

pub const DOWN: Way = Way {
    from: (0.7, 6.4),
    by: (2.5, 6.1),
    to: (6.6, 4.4),
    screener_from: (4.5, 2.0),
    spot: (2.4, 5.3),
};
pub const BACK: Way = Way {
    from: (5.8, 5.4),
    by: (4.1, 4.5),
    to: (1.0, 1.2),
    screener_from: (2.0, 2.6),
    spot: (4.4, 3.8),
};
pub const CROSS: Way = Way {
    from: (1.3, 2.8),
    by: (1.1, 0.4),
    to: (1.6, -2.8),
    screener_from: (4.5, 0.6),
    spot: (1.8, 0.3),
};
pub const FLEX: Way = Way {
    from: (0.5, 6.4),
    by: (0.4, 3.1),
    to: (1.3, 0.1),
    screener_from: (4.5, 2.0),
    spot: (1.1, 3.0),
};
pub const FLARE: Way = Way {
    from: (8.2, 1.6),
    by: (7.8, 3.4),
    to: (5.2, 6.6),
    screener_from: (4.5, 2.0),
    spot: (7.1, 3.1),
};
pub const ZIPPER: Way = Way {
    from: (1.3, 2.7),
    by: (4.3, 2.1),
    to: (8.3, 1.5),
    screener_from: (4.5, 5.6),
    spot: (4.4, 2.9),
};
pub const OVER_TOP: Way = Way {
    from: (5.4, 5.9),
    by: (5.6, 1.4),
    to: (5.8, -5.6),
    screener_from: (2.0, 2.6),
    spot: (4.8, 1.4),
};
pub const EXIT: Way = Way {
    from: (2.2, 0.2),
    by: (0.6, 3.1),
    to: (0.5, 6.7),
    screener_from: (4.6, 2.6),
    spot: (1.4, 3.2),
};
/// Across the high post toward the ball: up from nowhere, in to no rim, away from no ball.
pub const SIDEWAYS: Way = Way {
    from: (5.2, -1.4),
    by: (5.9, 2.2),
    to: (6.8, 5.0),
    screener_from: (2.0, 2.6),
    spot: (5.1, 2.4),
};
pub const RUB: Way = Way {
    from: (8.3, 0.4),
    by: (4.7, 1.2),
    to: (1.2, 1.6),
    screener_from: (1.6, 2.6),
    spot: (4.6, 2.0),
};

/// 2 passes to 4 on the right wing at 3.2 s, and cuts.
pub fn rub() -> Stage {
    RUB.stage()
        .path(4, &[(0.0, 5.4, 6.2)])
        .path(9, &[(0.0, 4.4, 5.4)])
        .path(3, &[(0.0, 0.5, -6.4)])
        .path(0, &[(0.0, 6.5, -5.0)])
        .path(5, &[(0.0, 5.0, -3.8)])
        .has_ball(2, 0.0..3.2, TouchEnd::Pass)
        .has_ball(4, 3.6..SECONDS, TouchEnd::DeadBall)
}

pub fn down() -> Stage {
    with_handler(DOWN.stage(), (8.2, -2.0))
}

/// One scene of each kind, with the user's way.
pub fn all() -> Vec<(ScreenKind, Way, Stage)> {
    // On the left wing, 4 would be in a cross's way.
    vec![
        (ScreenKind::Down, DOWN, down()),
        (ScreenKind::Back, BACK, with_handler(BACK.stage(), (8.2, -2.0))),
        (ScreenKind::Cross, CROSS, with_handler(CROSS.stage(), (7.4, -3.0))),
        (ScreenKind::Flex, FLEX, with_handler(FLEX.stage(), (7.4, -3.0))),
        (ScreenKind::Flare, FLARE, with_handler(FLARE.stage(), (8.0, -3.2))),
        (
            ScreenKind::Zipper,
            ZIPPER,
            with_handler(ZIPPER.stage(), (7.4, -3.6)),
        ),
        (ScreenKind::Rub, RUB, rub()),
        (
            ScreenKind::OverTop,
            OVER_TOP,
            with_handler(OVER_TOP.stage(), (8.9, -0.6)).path(4, &[(0.0, 0.5, -6.6)]),
        ),
        (ScreenKind::Exit, EXIT, with_handler(EXIT.stage(), (7.4, -3.0))),
        (
            ScreenKind::Other,
            SIDEWAYS,
            with_handler(SIDEWAYS.stage(), (2.4, 6.9)),
        ),
    ]
}

/// The off-ball screens of a scene.
pub fn found(stage: &Stage) -> Vec<OffBallScreen> {
    let (game, play) = (stage.game(), stage.play());
    let scenes = Scene::all(&game, &play);
    let ball_screens = find_ball_screens(&scenes, &play, &ScreenParams::default());
    find_off_ball_screens(
        &scenes,
        &play,
        &ball_screens,
        // What a screen is called is asked here, not how sure the model is of a scene that no game has.
        &OffBallScreenParams {
            min_rare_confidence: 0.5,
            ..OffBallScreenParams::default()
        },
        &Definitions::DEFAULT,
    )
}

/// Whatever may be an off-ball screen of a scene, however sure.
pub fn candidates(stage: &Stage) -> Vec<OffBallCandidate> {
    let (game, play) = (stage.game(), stage.play());
    let scenes = Scene::all(&game, &play);
    let ball_screens = find_ball_screens(&scenes, &play, &ScreenParams::default());
    off_ball_candidates(&scenes, &play, &ball_screens, &OffBallScreenParams::default())
}

/// The only off-ball screen of a scene.
pub fn only(stage: &Stage) -> OffBallScreen {
    let mut rows = found(stage);
    assert_eq!(rows.len(), 1, "{rows:#?}");
    rows.remove(0)
}

/// The period's frame at an instant.
pub fn frame(t_s: f64) -> usize {
    (t_s * HZ) as usize
}

/// Seconds of a period's frame.
pub fn t_s(frame: usize) -> f64 {
    frame as f64 / HZ
}
