//! Orders: what bodies do from now on, and what waits for its instant.

use super::World;
use crate::duty::Duty;
use crate::order::{Leg, Order};
use crate::vec2::Vec2;

impl World<'_> {
    pub fn stop(&mut self, slot: usize) {
        self.tasks[slot].legs.clear();
        let body = &self.bodies[slot];
        self.tasks[slot].hold = body.pos + body.vel * 0.3;
    }

    pub fn go(&mut self, slot: usize, spot: Vec2, speed_mps: f64) {
        self.path(slot, &[Leg::To { spot, speed_mps }]);
    }

    /// Goes along `legs` to be elsewhere, for no action: round the player with the ball.
    pub fn move_over(&mut self, slot: usize, legs: &[Leg]) {
        self.path(slot, legs);
        self.tasks[slot].makes_way = true;
    }

    pub fn path(&mut self, slot: usize, legs: &[Leg]) {
        self.bodies[slot].planted = false;
        self.tasks[slot].makes_way = false;
        self.tasks[slot].legs = legs.iter().copied().collect();
        let hold = self.pos(slot);
        self.tasks[slot].hold = legs
            .iter()
            .rev()
            .find_map(|leg| match leg {
                Leg::To { spot, .. } | Leg::Past { spot, .. } => Some(*spot),
                Leg::Wait { .. } => None,
            })
            .unwrap_or(hold);
    }

    /// Gives `order` in `after_s` seconds.
    pub fn later(&mut self, after_s: f64, order: Order) {
        let at_s = self.now_s() + after_s;
        self.schedule.push((at_s, order));
    }

    /// Forgets the orders that still wait.
    pub fn forget_orders(&mut self) {
        self.schedule.clear();
    }

    pub fn give_due_orders(&mut self) {
        let now_s = self.now_s();
        let mut index = 0;
        while index < self.schedule.len() {
            if self.schedule[index].0 > now_s {
                index += 1;
                continue;
            }
            match self.schedule.remove(index).1 {
                Order::Duty { slot, duty } => self.duties[slot] = duty,
                Order::Plant { index } => self.plant_by_order(index),
                Order::ComeOff { index, legs, kind } => self.come_off_by_order(index, &legs, kind),
                Order::Unplant { slot } => self.bodies[slot].planted = false,
                Order::Switch { index, case } => {
                    let plan = &mut self.log.screens[index];
                    plan.hard = Some(case);
                    let (on_screener, on_ball) = (plan.screener_defender, plan.user_defender);
                    self.switch_now(on_screener, on_ball);
                }
            }
        }
    }

    pub fn is_idle(&self, slot: usize) -> bool {
        self.tasks[slot].legs.is_empty()
    }

    /// Gives `slot` that duty in `after_s` seconds.
    pub fn duty_later(&mut self, after_s: f64, slot: usize, duty: Duty) {
        self.later(after_s, Order::Duty { slot, duty });
    }
}
