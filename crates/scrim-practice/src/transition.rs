//! From the back court to the front: the outlet, the fast break, the walk up and what crosses it.

use crate::ball::Grip;
use crate::plan::NegativeKind;
use crate::shot::{Next, ShotStyle};
use crate::style::Style;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// Share of early screens that are called where the handler crosses the half-court line (most of them are set some steps farther
/// on). Common practice, no source.
const HIGH_SCREENS: f64 = 0.5;

/// Of so many places at the half-court line the handler takes the one with the most room.
const ENTRIES: usize = 4;

impl World<'_> {
    /// The ball comes over half court, the others run to their places.
    pub fn bring_up(&mut self) -> Result<Next, Halt> {
        let base = self.offense * 5;
        let far = self.pos(self.handler).x > self.hoop_x_m();
        if !far {
            return Ok(Next::Play);
        }
        let is_season = self.playbook.is_some();
        if self.dice.chance(if is_season { 0.1 } else { 0.19 }) {
            return self.fast_break();
        }
        if self.handler % 5 >= 2 {
            // The outlet: the point guard (sometimes the other) comes for the ball.
            let guard = base + usize::from(self.dice.chance(0.25));
            let from = self.pos(self.handler);
            let spot = v2((from.x - 4.0).max(13.0), from.y * 0.4 + self.dice.sign() * 3.0);
            self.transition_lanes(guard, self.handler);
            self.go(guard, spot, 4.0);
            let handler = self.handler;
            self.stop(handler);
            self.run_until(2.5, |w| {
                w.gap(guard, handler) < 7.5 && w.pos(guard).distance(spot) < 2.5
            })?;
            self.pass(guard)?;
        }
        let handler = self.handler;
        self.grip(Grip::Dribble);
        self.transition_lanes(handler, usize::MAX);
        // Some teams keep their places until everybody is there.
        self.settles = self.dice.chance(0.36);
        let across = self.pos(handler).y * 0.5;
        let entries: [Vec2; ENTRIES] = std::array::from_fn(|_| {
            v2(
                self.dice.between(9.2, 10.6),
                (across + self.dice.between(-3.0, 3.0)).clamp(-4.5, 4.5),
            )
        });
        let entry = self.roomiest(handler, entries);
        let (slow_mps, fast_mps) = self.style.pick((2.8, 4.4), (3.4, 5.0));
        let pace = self.dice.between(slow_mps, fast_mps);
        if self.style == Style::Lively && !is_season {
            // The ball waits for the others to be ahead of it.
            let walks_mps = self.dice.between(1.6, 2.6);
            self.go(handler, entry, walks_mps);
            self.run_until(2.5, |w| {
                let ahead = w
                    .attackers()
                    .filter(|&m| m != handler && w.pos(m).x < w.pos(handler).x - 1.0);
                ahead.count() >= 3 || w.pos(handler).x < 13.0
            })?;
        }
        self.go(handler, entry, pace);
        if is_season {
            self.run_until(9.0, |w| w.pos(handler).distance(entry) < 0.8)?;
            return Ok(Next::Play);
        }
        self.cross_on_the_way(handler, pace)?;
        // Screens before the defence is set: one drag, or two.
        let early = self.dice.between(0.0, 1.0);
        if early < self.style.pick(0.29, 0.16) && handler % 5 < 3 && self.shot_clock_s > 14.0 {
            // Some screen right behind the half-court line.
            let high = early >= 0.07 && self.dice.chance(HIGH_SCREENS);
            let (near_m, far_m) = self.style.pick((12.0, 14.4), (11.2, 13.6));
            let from_x = if high {
                self.dice.between(near_m, far_m)
            } else {
                near_m
            };
            self.run_until(5.0, |w| w.pos(handler).x < from_x)?;
            return if early < 0.07 {
                self.double_drag()
            } else if high {
                let nearest = self.attackers().filter(|&mate| mate != handler);
                let nearest = nearest.min_by(|&a, &b| self.gap(a, handler).total_cmp(&self.gap(b, handler)));
                self.draw_ball_screen(nearest)
            } else {
                self.draw_ball_screen(None)
            };
        }
        // A quick one before the defence is set.
        if self.dice.chance(0.12) {
            self.run_until(5.0, |w| w.pos(handler).x < 9.5)?;
            return self.finish();
        }
        if self.style == Style::Orderly {
            return self.arrive_in_order(handler, entry);
        }
        let near_m = if self.settles { 0.8 } else { 4.0 };
        let arrives = self.run_until(9.0, |w| w.pos(handler).distance(entry) < near_m);
        if self.settles && arrives.is_ok() {
            let in_shape = self.run_until(2.8, Self::stands_in_shape);
            self.settles = false;
            in_shape?;
        }
        self.settles = false;
        arrives?;
        self.note_alignment();
        let settle = self.dice.between(0.0, 0.4);
        self.run_for(settle)?;
        Ok(Next::Play)
    }

    /// The handler comes to `entry` and mostly holds the ball until everybody is in place, and a while longer.
    fn arrive_in_order(&mut self, handler: usize, entry: Vec2) -> Result<Next, Halt> {
        self.run_until(9.0, |w| w.pos(handler).distance(entry) < 0.8)?;
        if self.dice.chance(0.75) {
            self.run_until(3.0, Self::stands_in_shape)?;
        }
        let settle = self.dice.between(0.2, 1.8);
        self.run_for(settle)?;
        self.note_alignment();
        Ok(Next::Play)
    }

    /// On the way up, sometimes: a team-mate stands where the handler dribbles by, or one crosses the handler's way.
    fn cross_on_the_way(&mut self, handler: usize, pace: f64) -> Result<(), Halt> {
        let here = self.pos(handler);
        if here.x < 17.0 {
            return Ok(());
        }
        let mates: Vec<usize> = self
            .attackers()
            .filter(|&s| s != handler && self.pos(s).x > 14.5)
            .collect();
        if mates.is_empty() || !self.dice.chance(0.28) {
            return Ok(());
        }
        let ahead = mates.iter().copied().find(|&s| self.pos(s).x < here.x - 1.5);
        let stander = ahead.filter(|_| self.dice.chance(0.6));
        let drawn = mates[self.dice.index(mates.len())];
        let mate = stander.unwrap_or(drawn);
        let start_s = self.now_s();
        let goal = self.tasks[handler].hold;
        let home = self.tasks[mate].hold;
        if stander.is_some() {
            // The team-mate stands in the back court beside the handler's way, and no defender is anywhere near.
            let along = (goal - here).unit();
            let reach = ((here.x - self.pos(mate).x) / along.x.abs().max(0.5)).max(3.0);
            let aside = along.quarter_turn() * (1.25 * self.dice.sign());
            let ahead = here + along * reach + aside;
            let spot = v2(ahead.x.max(14.3), ahead.y);
            self.go(mate, spot, 4.0);
            self.run_until(6.0, |w| w.pos(handler).x < spot.x - 2.0)?;
            self.note_negative(NegativeKind::PastStander, handler, mate, start_s);
            self.go(mate, home, 4.8);
        } else {
            // The team-mate changes lanes in front of or behind the handler, on the run.
            let over = v2((here.x - 5.0).max(11.0), -self.pos(mate).y.signum() * 4.5);
            self.path(mate, &[Leg::past(over, 5.2), Leg::to(home, 4.8)]);
            self.go(handler, goal, pace);
            self.run_until(3.0, |w| w.pos(mate).distance(over) < 1.0)?;
            self.note_negative(NegativeKind::TransitionCross, handler, mate, start_s);
        }
        Ok(())
    }

    /// Two wings run ahead, the ball goes up as fast as it can; the rest only jog. A shot within seconds.
    fn fast_break(&mut self) -> Result<Next, Halt> {
        let base = self.offense * 5;
        let side = self.dice.sign();
        let mut runners: Vec<usize> = (base..base + 3).filter(|&s| s != self.handler).collect();
        // The two farthest ahead run; the others come after.
        runners.sort_by(|&a, &b| self.pos(a).x.total_cmp(&self.pos(b).x));
        runners.truncate(2);
        let lanes = [v2(1.2, side * 1.0), v2(1.0, side * -6.6)];
        let spots = self.half_court_spots();
        let handler = self.handler;
        for slot in self
            .attackers()
            .filter(|&s| s != handler && !runners.contains(&s))
        {
            let pace = self.dice.between(2.4, 3.2);
            self.path(slot, &[Leg::Wait { left_s: 0.8 }, Leg::to(spots[slot % 5], pace)]);
        }
        for (&slot, lane) in runners.iter().zip(lanes) {
            let wide = v2(11.0, lane.y.signum() * 5.0);
            self.path(slot, &[Leg::past(wide, 6.4), Leg::to(lane, 6.2)]);
        }
        if self.handler % 5 >= 3 {
            self.run_for(0.7)?;
            self.pass(runners[0])?;
        }
        let handler = self.handler;
        self.grip(Grip::Dribble);
        self.path(handler, &[Leg::to(v2(1.6, side * -0.8), 6.2)]);
        self.run_until(6.0, |w| {
            w.pos(handler).x < 6.5 || (w.pos(handler).x < 9.0 && w.space(handler) < 1.0)
        })?;
        let mate = runners
            .iter()
            .copied()
            .find(|&s| s != handler && self.pos(s).x < 7.5 && self.space(s) > 1.4);
        if let Some(mate) = mate.filter(|_| self.dice.chance(0.5)) {
            self.pass(mate)?;
            self.run_until(0.8, |w| w.pos(mate).length() < 1.8)?;
            let style = if self.pos(mate).length() < 2.6 {
                ShotStyle::Layup
            } else {
                ShotStyle::Jump
            };
            return self.shoot(mate, style, None);
        }
        if self.space(handler) < 1.0 && self.pos(handler).length() > 4.0 {
            // Stopped: they set up instead.
            let place = v2(8.4, self.pos(handler).y.clamp(-3.5, 3.5));
            self.go(handler, place, 3.0);
            self.run_for(1.5)?;
            return Ok(Next::Play);
        }
        self.run_until(1.6, |w| w.pos(handler).length() < 1.9)?;
        let style = if self.pos(handler).length() < 2.6 {
            ShotStyle::Layup
        } else {
            ShotStyle::Jump
        };
        self.shoot(handler, style, None)
    }
}
