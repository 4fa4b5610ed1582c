//! All screens of a game in one order, so that every table calls a screen by the same number.

use super::common::{BallScreen, OffBallScreen, Screen};

/// One screen, by its place in its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ScreenRef {
    /// Place in [`Screens::on_ball`].
    OnBall(usize),
    /// Place in [`Screens::off_ball`].
    OffBall(usize),
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
            let found = screen_of(&on_ball, &off_ball, screen);
            (found.possession, found.used, found.screener, screen)
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
    pub fn get(&self, screen: ScreenRef) -> &Screen {
        screen_of(&self.on_ball, &self.off_ball, screen)
    }

    /// The number in the tables.
    pub fn id_of(&self, screen: ScreenRef) -> u32 {
        match screen {
            ScreenRef::OnBall(place) => self.on_ball_ids[place],
            ScreenRef::OffBall(place) => self.off_ball_ids[place],
        }
    }
}

fn screen_of<'a>(on_ball: &'a [BallScreen], off_ball: &'a [OffBallScreen], screen: ScreenRef) -> &'a Screen {
    match screen {
        ScreenRef::OnBall(place) => &on_ball[place],
        ScreenRef::OffBall(place) => &off_ball[place],
    }
}

/// The part of a list, ascending by possession, that belongs to one.
pub fn of_possession<T>(list: &[T], possession: usize, of: impl Fn(&T) -> usize) -> &[T] {
    let from = list.partition_point(|item| of(item) < possession);
    let until = list.partition_point(|item| of(item) <= possession);
    &list[from..until]
}
