//! Two screeners in a row for one user: the stagger, and over the top past both elbows.

use scrim_tables::tags::{Outcome, ScreenKind};

use super::pattern::is_named_by_its_start;
use crate::ball::Grip;
use crate::shot::Next;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// Where two screens in a row happen.
pub(super) struct InARow {
    /// What each of them is.
    kind: ScreenKind,
    /// Where the handler has the ball.
    ball: Vec2,
    /// Where the user starts.
    start: Vec2,
    /// Where the screeners stand, in the user's order.
    spots: [Vec2; 2],
    /// Where the user passes each, relative to them.
    by: Vec2,
    /// Where the user goes.
    end: Vec2,
}

impl InARow {
    /// Up from the corner past two down screens. `side` = +1 or −1.
    pub fn down(side: f64) -> Self {
        Self {
            kind: ScreenKind::Down,
            ball: v2(8.2, side * -3.2),
            start: v2(0.6, side * 6.3),
            spots: [v2(2.5, side * 5.0), v2(5.0, side * 3.2)],
            by: v2(0.25, side * 0.6),
            end: v2(8.2, side * 0.6),
        }
    }

    /// From wing to wing over both elbows.
    pub fn over_top(side: f64) -> Self {
        Self {
            kind: ScreenKind::OverTop,
            ball: v2(8.9, side * -0.6),
            start: v2(5.6, side * 5.8),
            spots: [v2(4.8, side * 2.2), v2(4.8, side * -1.6)],
            by: v2(0.7, 0.0),
            end: v2(6.0, side * -5.8),
        }
    }
}

impl World<'_> {
    /// Runs two screens in a row for one user.
    pub(super) fn in_a_row(&mut self, two: &InARow) -> Result<Next, Halt> {
        let &InARow {
            kind,
            ball,
            start,
            spots,
            by,
            end,
        } = two;
        let base = self.offense * 5;
        let handler = self.handler;
        let (first, second) = (base + 3, base + 4);
        let user = base + if handler == base + 1 { 2 } else { 1 };
        if [first, second, user].contains(&handler) {
            return Ok(Next::Play);
        }
        self.grip(Grip::Dribble);
        self.space_floor(&[handler, user, first, second], spots[0]);
        self.go(handler, ball, 3.4);
        self.go(user, start, 4.5);
        self.run_until(4.0, |w| w.pos(user).distance(start) < 0.7)?;
        let out = (end - start).unit();
        let one = self.log_screen(false, kind, Outcome::Used, first, user, out, None);
        let two = self.log_screen(false, kind, Outcome::Used, second, user, out, Some(one));
        for (slot, spot) in [(first, spots[0]), (second, spots[1])] {
            self.go(slot, spot, 4.3);
        }
        self.run_until(3.5, |w| {
            [(first, spots[0]), (second, spots[1])]
                .iter()
                .all(|&(s, p)| w.pos(s).distance(p) < 0.4 && w.bodies[s].vel.length() < 0.9)
        })?;
        for slot in [first, second] {
            self.bodies[slot].planted = true;
        }
        for index in [one, two] {
            self.log.screens[index].t_planted_s = Some(self.now_s());
        }
        if is_named_by_its_start(kind) && !self.is_at_start(user, start)? {
            return self.after_off_ball(two);
        }
        self.run_for(0.4)?;
        let pace = self.dice.between(4.4, 5.4);
        self.path(
            user,
            &[
                Leg::past(spots[0] + by, pace),
                Leg::past(spots[1] + by, pace),
                Leg::to(end, pace),
            ],
        );
        self.log.screens[one].t_go_s = self.now_s();
        self.run_until(2.5, |w| (w.pos(user) - spots[0]).dot(out) > 0.4)?;
        self.log.screens[two].t_go_s = self.now_s();
        self.run_until(2.5, |w| (w.pos(user) - spots[1]).dot(out) > 0.4)?;
        self.bodies[first].planted = false;
        self.after_off_ball(two)
    }
}
