//! All screens of a game in one order, so that every table calls a screen by the same number.

use scrim_floor::{AttackFrame, Point};
use scrim_tables::tags::{Outcome, ScreenKind, ScreenMeeting};
use scrim_tracks::PlayerIx;

use crate::{BallScreen, OffBallScreen, ScreenEvidence};

/// One screen, by its place in its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ScreenRef {
    /// Place in [`Screens::on_ball`].
    OnBall(usize),
    /// Place in [`Screens::off_ball`].
    OffBall(usize),
}

/// What is known of a screen, on the ball or off it. Frames are the period's.
#[derive(Debug, Clone, Copy)]
pub(crate) struct AnyScreen<'a> {
    pub possession: usize,
    pub kind: ScreenKind,
    pub outcome: Outcome,
    pub screener: PlayerIx,
    pub user: PlayerIx,
    pub screener_defender: Option<PlayerIx>,
    pub user_defender: Option<PlayerIx>,
    pub set: Option<usize>,
    pub used: usize,
    pub end: usize,
    pub spot: Point<AttackFrame>,
    pub strong_side: bool,
    pub previous: Option<ScreenRef>,
    pub confidence: f32,
    pub evidence: &'a ScreenEvidence,
    pub early_denial: bool,
    pub runner_up: Option<ScreenKind>,
    pub user_defender_path: Option<ScreenMeeting>,
}

/// The fields that both kinds of screen have; the others are given.
macro_rules! any_screen {
    ($screen:expr, $reference:expr, $($other:ident: $value:expr),+) => {
        AnyScreen {
            possession: $screen.possession,
            kind: $screen.kind,
            outcome: $screen.outcome,
            screener: $screen.screener,
            user: $screen.user,
            screener_defender: $screen.screener_defender,
            user_defender: $screen.user_defender,
            set: $screen.set,
            used: $screen.used,
            end: $screen.end,
            spot: $screen.spot,
            strong_side: $screen.strong_side,
            previous: $screen.previous.map($reference),
            confidence: $screen.confidence,
            evidence: &$screen.evidence,
            $($other: $value),+
        }
    };
}

/// The screens of a game, on the ball and off it, and the number that each has in the tables: from 0 in time order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Screens {
    /// Ball screens and handoffs, in time order.
    on_ball: Vec<BallScreen>,
    /// Off-ball screens, in time order.
    off_ball: Vec<OffBallScreen>,
    /// All, in time order.
    order: Vec<ScreenRef>,
    /// The number of each in `on_ball`.
    on_ball_ids: Vec<u32>,
    /// The number of each in `off_ball`.
    off_ball_ids: Vec<u32>,
}

impl Screens {
    /// Numbers the screens: by possession, then by the use; at the same instant by screener, those on the ball first.
    pub fn new(on_ball: Vec<BallScreen>, off_ball: Vec<OffBallScreen>) -> Self {
        let mut order: Vec<ScreenRef> = (0..on_ball.len())
            .map(ScreenRef::OnBall)
            .chain((0..off_ball.len()).map(ScreenRef::OffBall))
            .collect();
        order.sort_by_key(|&screen| {
            let any = any_of(&on_ball, &off_ball, screen);
            (any.possession, any.used, any.screener, screen)
        });
        let (mut on_ball_ids, mut off_ball_ids) = (vec![0; on_ball.len()], vec![0; off_ball.len()]);
        for (id, &screen) in order.iter().enumerate() {
            match screen {
                ScreenRef::OnBall(place) => on_ball_ids[place] = id as u32,
                ScreenRef::OffBall(place) => off_ball_ids[place] = id as u32,
            }
        }
        Self {
            on_ball,
            off_ball,
            order,
            on_ball_ids,
            off_ball_ids,
        }
    }

    /// Ball screens and handoffs, in time order.
    pub fn on_ball(&self) -> &[BallScreen] {
        &self.on_ball
    }

    /// Off-ball screens, in time order.
    pub fn off_ball(&self) -> &[OffBallScreen] {
        &self.off_ball
    }

    /// All, in time order: the place in this list is the number in the tables.
    pub fn in_order(&self) -> &[ScreenRef] {
        &self.order
    }

    /// One of them, whichever kind it is.
    pub(crate) fn any(&self, screen: ScreenRef) -> AnyScreen<'_> {
        any_of(&self.on_ball, &self.off_ball, screen)
    }

    /// The number in the tables.
    pub fn id_of(&self, screen: ScreenRef) -> u32 {
        match screen {
            ScreenRef::OnBall(place) => self.on_ball_ids[place],
            ScreenRef::OffBall(place) => self.off_ball_ids[place],
        }
    }
}

fn any_of<'a>(on_ball: &'a [BallScreen], off_ball: &'a [OffBallScreen], screen: ScreenRef) -> AnyScreen<'a> {
    match screen {
        ScreenRef::OnBall(place) => {
            let screen = &on_ball[place];
            any_screen!(screen, ScreenRef::OnBall, early_denial: screen.early_denial, runner_up: None, user_defender_path: None)
        }
        ScreenRef::OffBall(place) => {
            let screen = &off_ball[place];
            any_screen!(screen, ScreenRef::OffBall, early_denial: false, runner_up: screen.runner_up, user_defender_path: screen.user_defender_path)
        }
    }
}

/// The part of a list, ascending by possession, that belongs to one.
pub(crate) fn of_possession<T>(list: &[T], possession: usize, of: impl Fn(&T) -> usize) -> &[T] {
    let from = list.partition_point(|item| of(item) < possession);
    let until = list.partition_point(|item| of(item) <= possession);
    &list[from..until]
}
