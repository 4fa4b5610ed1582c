//! What the other three do while a ball screen is on: a screen for the shooter, a cut behind the helper's back.
//! Nothing here stops the play on the ball: orders are given for later, and the play may break them off.

use scrim_tables::tags::{CutKind, Outcome, ScreenKind};

use crate::vec2::{Vec2, v2};
use crate::world::{Leg, Order, World};

/// A screen away from the ball that runs by orders.
struct Plan {
    kind: ScreenKind,
    spot: Vec2,
    /// Where the user passes, and where they end.
    by: Vec2,
    end: Vec2,
}

impl World<'_> {
    /// Perhaps starts something among those who are not in the ball screen.
    pub fn draw_weak_side(&mut self, busy: &[usize]) {
        let what = self.dice.between(0.0, 1.0);
        if what < 0.3 {
            self.weak_side_screen(busy);
        } else if what < 0.58 {
            self.weak_side_cut(busy);
        }
    }

    /// One of the others cuts.
    fn weak_side_cut(&mut self, busy: &[usize]) {
        let ball_y = self.pos(self.handler).y;
        let free: Vec<usize> = self
            .attackers()
            .filter(|s| !busy.contains(s) && self.is_idle(*s))
            .collect();
        let corner = free
            .iter()
            .copied()
            .find(|&s| self.pos(s).x < 2.4 && self.pos(s).y.abs() > 5.2);
        let high = free
            .iter()
            .copied()
            .find(|&s| self.pos(s).length() > 6.0 && self.pos(s).x > 3.5);
        let weak = free.iter().copied().find(|&s| {
            let p = self.pos(s);
            p.y * ball_y < 0.0 && p.y.abs() > 0.8 && p.length() < 7.0 && ball_y.abs() > 1.6
        });
        match (self.dice.index(3), corner, high, weak) {
            (0, Some(slot), _, _) => self.run_baseline(slot),
            (1, _, Some(slot), _) => self.run_to_rim(slot, CutKind::Basket),
            (2, _, _, Some(slot)) => self.run_flash(slot),
            _ => {}
        }
    }

    /// Two of the others: one screens, one comes off it.
    fn weak_side_screen(&mut self, busy: &[usize]) {
        let free: Vec<usize> = self.attackers().filter(|s| !busy.contains(s)).collect();
        let user = free
            .iter()
            .copied()
            .filter(|&s| s % 5 < 4)
            .max_by(|&a, &b| self.pos(a).y.abs().total_cmp(&self.pos(b).y.abs()));
        let Some(user) = user else { return };
        let at = self.pos(user);
        let side = if at.y < 0.0 { -1.0 } else { 1.0 };
        let Some(screener) = free
            .iter()
            .copied()
            .filter(|&s| s != user && self.gap(s, user) < 8.0)
            .min_by(|&a, &b| self.gap(a, user).total_cmp(&self.gap(b, user)))
        else {
            return;
        };
        let plan = if at.x < 2.6 && at.y.abs() > 4.8 {
            Plan {
                kind: ScreenKind::Down,
                spot: v2(3.0, side * 5.2),
                by: v2(0.25, side * 0.7),
                end: v2(6.4, side * 5.2),
            }
        } else if at.x > 3.4 && at.length() < 9.0 && at.y.abs() > 3.4 {
            Plan {
                kind: ScreenKind::Back,
                spot: at.toward(v2(1.0, side * 1.0), 0.32),
                by: v2(0.1, side * 0.7),
                end: v2(1.0, side * 1.4),
            }
        } else {
            return;
        };
        self.screen_by_orders(&plan, screener, user);
    }

    /// The screener goes now and stands, the user goes, the screener leaves: by the clock.
    fn screen_by_orders(&mut self, plan: &Plan, screener: usize, user: usize) {
        let out = (plan.end - self.pos(user)).unit();
        let index = self.log_screen(false, plan.kind, Outcome::Used, screener, user, out, None);
        let pace = self.dice.between(4.2, 5.0);
        self.go(screener, plan.spot, pace);
        self.stop(user);
        // It takes about half a second to get going and to stop.
        let there_s = self.pos(screener).distance(plan.spot) / pace + 0.75;
        let go_s = there_s + self.dice.between(0.35, 0.7);
        let pace = self.dice.between(4.2, 5.3);
        self.later(there_s, Order::Plant { index });
        let legs = vec![Leg::past(plan.spot + plan.by, pace), Leg::to(plan.end, pace)];
        let kind = (plan.kind == ScreenKind::Back).then_some(CutKind::Basket);
        self.later(go_s, Order::ComeOff { index, legs, kind });
        self.later(go_s + 1.5, Order::Unplant { slot: screener });
    }

    /// A screener who is ordered to stand does so, where the place is right.
    pub fn plant_by_order(&mut self, index: usize) {
        let screener = self.log.screens[index].screener;
        if self.bodies[screener].vel.length() < 1.6 {
            self.bodies[screener].planted = true;
            self.log.screens[index].t_planted_s = Some(self.now_s());
        }
    }

    /// The user comes off the screen, if it stands.
    pub fn come_off_by_order(&mut self, index: usize, legs: &[Leg], kind: Option<CutKind>) {
        let user = self.log.screens[index].user;
        // A player who got the ball meanwhile has something else to do.
        if self.log.screens[index].t_planted_s.is_none() || user == self.handler {
            return;
        }
        self.log.screens[index].t_go_s = self.now_s();
        self.note_cut(kind, user, Some(index));
        self.path(user, legs);
    }
}
