//! What follows an off-ball screen: the screener pops out, the user gets the ball, a ball screen flows out of it.

use scrim_tables::tags::{CutKind, Outcome, ScreenKind};

use crate::ball::Grip;
use crate::shot::{Next, ShotStyle};
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, World};

impl World<'_> {
    /// The screener leaves their own screen for the perimeter.
    /// Says whether there was a place for them.
    fn pop_out(&mut self, index: usize) -> bool {
        let screener = self.log.screens[index].screener;
        let from = self.pos(screener);
        let side = if from.y < 0.0 { -1.0 } else { 1.0 };
        let places = [
            v2(7.2, side * 3.4),
            v2(5.4, side * 6.2),
            v2(8.2, 0.0),
            v2(0.8, side * (self.side_y_m() - 0.7)),
        ];
        let free = |p: &Vec2| {
            self.attackers()
                .all(|s| s == screener || self.tasks[s].hold.distance(*p) > 2.6)
        };
        let spot = places
            .into_iter()
            .filter(|p| (2.5..6.5).contains(&p.distance(from)) && free(p))
            .min_by(|a, b| a.distance(from).total_cmp(&b.distance(from)));
        let Some(spot) = spot else { return false };
        self.note_cut(Some(CutKind::PopOut), screener, Some(index));
        let pace = self.dice.between(3.4, 4.6);
        self.go(screener, spot, pace);
        true
    }

    /// The user comes open, or not; the screener leaves; a ball screen may follow at once.
    pub(super) fn after_off_ball(&mut self, index: usize) -> Result<Next, Halt> {
        let (screener, user, kind) = {
            let plan = &self.log.screens[index];
            (plan.screener, plan.user, plan.kind)
        };
        self.bodies[screener].planted = false;
        let plan = &self.log.screens[index];
        let pops = matches!(
            kind,
            ScreenKind::Down | ScreenKind::Back | ScreenKind::Flare | ScreenKind::Zipper
        ) && plan.outcome == Outcome::Used;
        if pops && self.dice.chance(0.45) && self.pop_out(index) {
            self.run_until(1.8, |w| w.is_idle(screener))?;
        }
        let to_rim = self.log.cuts.iter().rev().any(|c| {
            let rimward = matches!(
                c.kind,
                Some(CutKind::Basket | CutKind::Curl | CutKind::RubCut | CutKind::FlexCut)
            );
            c.screen == Some(index) && c.slot == user && rimward
        });
        if to_rim && self.dice.chance(0.75) {
            // Nobody passes before the screener is there.
            self.run_until(2.4, |w| w.pos(user).length() < 2.6)?;
        }
        if kind == ScreenKind::OverTop {
            // Nor before the user is on the other wing.
            let side = self.log.screens[index].out.y.signum();
            self.run_until(2.4, |w| w.pos(user).y * side > 3.8)?;
        }
        let inside = matches!(
            kind,
            ScreenKind::Back | ScreenKind::Rub | ScreenKind::Cross | ScreenKind::Flex
        );
        let wait = self.dice.between(0.2, 0.7);
        self.run_for(wait)?;
        let handler = self.handler;
        let open = self.space(user) > if inside { 0.9 } else { 1.2 };
        if open && self.dice.chance(if inside { 0.35 } else { 0.5 }) && user != handler {
            self.pass(user)?;
            if inside && self.pos(user).length() < 3.0 {
                return self.shoot(user, ShotStyle::Layup, None);
            }
            let hold = self.dice.between(0.2, 0.6);
            self.run_for(hold)?;
            if self.pos(user).length() < 7.6 && self.space(user) > 1.4 && self.dice.chance(0.4) {
                return self.shoot(user, ShotStyle::Jump, None);
            }
            self.grip(Grip::Dribble);
        }
        if self.dice.chance(0.8) && self.shot_clock_s > 8.0 {
            // The flow: the screener (or the player they freed, when that one is inside) comes up for a ball screen.
            let next = if inside && user != self.handler && self.dice.chance(0.4) {
                user
            } else {
                screener
            };
            if next != self.handler {
                return self.draw_ball_screen(Some(next));
            }
        }
        Ok(Next::Play)
    }
}
