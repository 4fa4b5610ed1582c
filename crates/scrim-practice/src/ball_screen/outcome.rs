//! Ball screens that are not used: rejected, iced early, slipped, ghosted, left alone.

use scrim_tables::tags::{Coverage, HandlerAction, OnBallPath, Outcome, ScreenerAction};

use super::BallScreen;
use super::meet::Arrival;
use crate::ball::Grip;
use crate::duty::Duty;
use crate::shot::Next;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// A defender who jumps out at the handler while the screener slips is so long away, seconds.
const JUMPS_OUT_S: f64 = 0.9;

impl World<'_> {
    /// A lively screen that is not used: the screener comes to the handler's defender, and one of the two leaves.
    pub(super) fn leave_lively_screen(
        &mut self,
        index: usize,
        screen: &BallScreen,
        out: Vec2,
        screener_mps: f64,
    ) -> Result<Next, Halt> {
        let screener = screen.screener;
        if screen.outcome == Outcome::Ghosted {
            let runs_mps = self.dice.between(1.8, 3.4);
            self.meet_defender(index, out, runs_mps, Arrival::RunsOn)?;
            return self.ghost(index, screen, self.pos(screener), out);
        }
        self.meet_defender(index, out, screener_mps, Arrival::Stops)?;
        // Most who slip never quite stop: they are off again as they arrive.
        if screen.outcome == Outcome::Slipped && self.dice.chance(0.6) {
            return self.slip(index, screen, out);
        }
        // Who turns away from a screen does it at once.
        let longest_s = if screen.outcome == Outcome::Rejected {
            0.2
        } else {
            0.5
        };
        self.stand_there(index, longest_s)?;
        let spot = self.pos(screener);
        match screen.outcome {
            Outcome::Rejected => self.reject(index, screen, spot, out),
            Outcome::Slipped => self.slip(index, screen, out),
            Outcome::Flipped => self.flip(index, screen, self.handler),
            Outcome::Unused | Outcome::Used | Outcome::Ghosted => self.leave_unused(index, screen, spot, out),
        }
    }

    /// The handler's defender takes the icing position while the screener is still on the way; the handler leaves.
    pub fn deny_early(
        &mut self,
        index: usize,
        screen: &BallScreen,
        spot: Vec2,
        out: Vec2,
    ) -> Result<Next, Halt> {
        let screener = screen.screener;
        let plan = &self.log.screens[index];
        let (on_screener, on_ball) = (plan.screener_defender, plan.user_defender);
        self.duties[on_ball] = Duty::Ice { out };
        self.duties[on_screener] = Duty::IceLow { out };
        let handler = self.handler;
        let on_side = |w: &Self| (w.pos(on_ball) - w.pos(handler)).dot(out) > 0.3;
        self.run_until(0.8, on_side)?;
        if self.pos(screener).distance(spot) < 1.3 || !on_side(self) {
            // Too late to be early: it goes on as an ordinary ice.
            self.stand(index, screener, spot, 0.7)?;
        } else {
            self.log.screens[index].early_denial = true;
        }
        self.reject(index, screen, spot, out)
    }

    /// The screener leaves for the rim before the handler comes.
    pub fn slip(&mut self, index: usize, screen: &BallScreen, out: Vec2) -> Result<Next, Halt> {
        let handler = self.handler;
        let on_screener = self.log.screens[index].screener_defender;
        self.log.screens[index].t_go_s = self.now_s();
        self.log.screens[index].coverage = Some(screen.coverage);
        let slip = BallScreen {
            screener_action: ScreenerAction::Slip,
            ..*screen
        };
        let from = self.pos(screen.screener);
        self.leave_screen_after(index, &slip, from, out, 0.0);
        if self.jumps_out_by_quirk(screen.coverage) {
            self.duties[on_screener] = Duty::Hedge { screen: from, out };
            self.duty_later(JUMPS_OUT_S, on_screener, Duty::Guard);
        } else {
            self.duty_later(0.35, on_screener, Duty::Guard);
        }
        self.help(index, &slip);
        self.handler_after_no_use(index, &slip, handler, 0.5)
    }

    /// The screener runs through to the perimeter without stopping.
    pub fn ghost(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) -> Result<Next, Halt> {
        let handler = self.handler;
        let on_screener = self.log.screens[index].screener_defender;
        let screener = screen.screener;
        let away = (spot + out * 4.2).unit() * self.dice.between(7.1, 7.6);
        let pop = v2(away.x.max(0.8), away.y.clamp(-6.8, 6.8));
        self.log.screens[index].screener_action = Some(ScreenerAction::Ghost);
        self.path(screener, &[Leg::Past { spot, speed_mps: 4.8 }, Leg::to(pop, 4.8)]);
        self.run_until(2.0, |w| w.pos(screener).distance(spot) < 0.75)?;
        self.log.screens[index].t_go_s = self.now_s();
        self.duties[on_screener] = Duty::Guard;
        self.handler_after_no_use(index, screen, handler, 0.45)
    }

    /// After a slip or a ghost: the pass to the one who left, a drive into the gap, or nothing.
    pub fn handler_after_no_use(
        &mut self,
        index: usize,
        screen: &BallScreen,
        handler: usize,
        to_screener: f64,
    ) -> Result<Next, Halt> {
        let wait = self.dice.between(0.5, 0.9);
        self.run_for(wait)?;
        if self.dice.chance(to_screener) {
            self.log.screens[index].handler_action = Some(HandlerAction::Pass);
            return self.pass_out_to(index, screen.screener, true);
        }
        if self.dice.chance(0.4) {
            return self.option(
                index,
                &BallScreen {
                    handler_action: HandlerAction::Drive,
                    ..*screen
                },
                Vec2::ZERO,
            );
        }
        self.log.screens[index].handler_action = Some(HandlerAction::Reset);
        let back = self.pos(handler) + self.pos(handler).unit() * 0.8;
        self.go(handler, back, 2.5);
        self.run_for(1.4)?;
        self.calm(index);
        Ok(Next::Play)
    }

    /// Set, and nothing comes of it: the handler passes elsewhere, or the screener leaves again.
    pub fn leave_unused(
        &mut self,
        index: usize,
        screen: &BallScreen,
        spot: Vec2,
        out: Vec2,
    ) -> Result<Next, Halt> {
        let handler = self.handler;
        let (least_s, most_s, passes) = self.style.pick((0.2, 0.8, 0.7), (0.5, 1.1, 0.5));
        let wait = self.dice.between(least_s, most_s);
        self.run_for(wait)?;
        self.log.screens[index].t_go_s = self.now_s();
        if self.dice.chance(passes) {
            self.log.screens[index].handler_action = Some(HandlerAction::Pass);
            let to = self.some_mate(&[handler, screen.screener]);
            self.note_pass(index, to, false);
            self.throw(to);
            self.leave_screen_after(index, screen, spot, out, 0.2);
            self.run_until(3.0, |w| w.ball.holder().is_some())?;
        } else {
            self.log.screens[index].handler_action = Some(HandlerAction::Reset);
            self.leave_screen_after(index, screen, spot, out, 0.0);
        }
        self.run_for(1.3)?;
        self.calm(index);
        self.grip(Grip::Dribble);
        Ok(Next::Play)
    }

    /// The handler goes away from the screen.
    pub fn reject(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) -> Result<Next, Halt> {
        let handler = self.handler;
        let here = self.pos(handler);
        let (on_screener, on_ball) = (
            self.log.screens[index].screener_defender,
            self.log.screens[index].user_defender,
        );
        self.log.screens[index].t_go_s = self.now_s();
        self.log.screens[index].coverage = Some(screen.coverage);
        if screen.coverage == Coverage::Ice {
            self.log.screens[index].on_ball_path = Some(OnBallPath::Denied);
        }
        let first = here - out * 1.8 - here.unit() * 0.9;
        let deep = first - first.unit() * 2.5 - out * 0.4;
        let pace = self.dice.between(4.6, 5.8);
        self.path(handler, &[Leg::past(first, pace), Leg::to(deep, pace)]);
        self.duty_later(0.45, on_ball, Duty::Guard);
        if screen.coverage != Coverage::Ice {
            self.duties[on_screener] = Duty::Drop {
                screen: spot,
                depth_m: 2.0,
            };
        }
        self.duty_later(1.6, on_screener, Duty::Guard);
        if self.log.screens[index].early_denial {
            // No screen to come to: the handler turns off.
            self.stop(screen.screener);
        }
        let wait = self.dice.between(0.4, 0.7);
        self.run_for(wait)?;
        self.leave_screen(index, screen, spot, out);
        self.help(index, screen);
        self.run_until(1.2, |w| w.pos(handler).distance(deep) < 0.9)?;
        self.log.screens[index].handler_action = Some(HandlerAction::Reject);
        if self.dice.chance(0.5) {
            return self.option(
                index,
                &BallScreen {
                    handler_action: HandlerAction::Reject,
                    ..*screen
                },
                out,
            );
        }
        let to = self.some_mate(&[handler]);
        self.pass(to)?;
        self.calm(index);
        Ok(Next::Play)
    }
}
