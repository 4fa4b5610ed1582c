//! What comes of a ball screen: where the screener goes, who helps, what the handler makes of it.

use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, Outcome, PassTarget, ScreenKind, ScreenerAction,
};

use super::BallScreen;
use crate::ball::Grip;
use crate::duty::Duty;
use crate::shot::{Next, ShotStyle};
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

impl World<'_> {
    /// The screener leaves the spot as the action says.
    pub fn leave_screen(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) {
        let (least_s, most_s) = self.style.pick((0.0, 0.2), (0.05, 0.4));
        let wait = self.dice.between(least_s, most_s);
        self.leave_screen_after(index, screen, spot, out, wait);
    }

    /// The same, `wait` seconds from now.
    pub fn leave_screen_after(
        &mut self,
        index: usize,
        screen: &BallScreen,
        spot: Vec2,
        out: Vec2,
        wait: f64,
    ) {
        let screener = screen.screener;
        let legs: Vec<Leg> = match screen.screener_action {
            ScreenerAction::Roll | ScreenerAction::Slip => vec![
                Leg::Wait { left_s: wait },
                Leg::to(v2(1.1, spot.unit().y * 1.2), self.dice.between(4.2, 5.4)),
            ],
            ScreenerAction::ShortRoll => vec![
                Leg::Wait { left_s: wait },
                Leg::to(v2(self.dice.between(3.6, 4.1), spot.y.clamp(-2.0, 2.0)), 4.2),
            ],
            ScreenerAction::Pop | ScreenerAction::Ghost => {
                let away = spot - out * 3.2;
                let arc = away.unit() * self.dice.between(7.1, 7.7);
                vec![
                    Leg::Wait { left_s: wait },
                    Leg::to(v2(arc.x.max(0.7), arc.y.clamp(-6.9, 6.9)), 4.4),
                ]
            }
            ScreenerAction::Stay | ScreenerAction::Rescreen | ScreenerAction::Unclear => {
                vec![Leg::Wait { left_s: 2.2 }]
            }
        };
        self.log.screens[index].screener_action = Some(screen.screener_action);
        self.path(screener, &legs);
    }

    /// One of the other three defenders helps.
    pub fn help(&mut self, index: usize, screen: &BallScreen) {
        let plan = &self.log.screens[index];
        let (on_screener, on_ball) = (plan.screener_defender, plan.user_defender);
        let others = self.defenders().filter(|&d| d != on_screener && d != on_ball);
        let handler = self.handler;
        let rolls = matches!(
            screen.screener_action,
            ScreenerAction::Roll | ScreenerAction::ShortRoll
        );
        let action = if screen.helper_action == HelperAction::Tag && !rolls {
            HelperAction::None
        } else {
            screen.helper_action
        };
        let goal = match action {
            HelperAction::Stunt => self.pos(handler),
            HelperAction::Tag | HelperAction::Sag | HelperAction::None => v2(2.0, 0.0),
        };
        let helper = others
            .min_by(|&a, &b| self.pos(a).distance(goal).total_cmp(&self.pos(b).distance(goal)))
            .expect("three others");
        let start = self.dice.between(0.2, 0.5);
        let duty = match action {
            HelperAction::Tag => Some((
                Duty::Tag {
                    roller: screen.screener,
                },
                self.dice.between(0.9, 1.5),
            )),
            HelperAction::Sag => Some((Duty::Lane, self.dice.between(1.2, 2.0))),
            HelperAction::Stunt => Some((Duty::Stunt, self.dice.between(0.4, 0.6))),
            HelperAction::None => None,
        };
        if let Some((duty, seconds)) = duty {
            self.duty_later(start, helper, duty);
            self.duty_later(start + seconds, helper, Duty::Guard);
        }
        let plan = &mut self.log.screens[index];
        plan.helper_action = Some(action);
        plan.helper = duty.map(|_| helper);
    }

    /// A handler who goes alone waits for the moment: nobody drives into two defenders.
    fn wait_out(&mut self, screen: &BallScreen, out: Vec2, alone: bool) -> Result<(), Halt> {
        let here = self.pos(self.handler);
        let pulls_up = screen.handler_action == HandlerAction::PullUp;
        let (way, wait) = match screen.coverage {
            // The handler pulls the screener's defender out first and then goes at them.
            Coverage::Switch if alone => (here.unit() * 1.4, (1.0, 1.5)),
            // The handler backs out, and goes when the screener's defender is on the way back.
            Coverage::Hedge if alone || pulls_up => (here.unit() * 2.2 + out * 0.8, (1.1, 1.5)),
            // The handler is contained, and goes when the screener's defender returns to the screener.
            Coverage::Level if alone => (here.unit() * 1.0, (0.7, 1.1)),
            Coverage::Switch
            | Coverage::Hedge
            | Coverage::Level
            | Coverage::Drop
            | Coverage::Blitz
            | Coverage::Ice
            | Coverage::Unclear => return Ok(()),
        };
        let back = here + way;
        self.go(self.handler, v2(back.x, back.y.clamp(-6.0, 6.0)), 3.2);
        let wait = self.dice.between(wait.0, wait.1);
        self.run_for(wait)
    }

    /// What the handler makes of it.
    pub fn option(&mut self, index: usize, screen: &BallScreen, out: Vec2) -> Result<Next, Halt> {
        let handler = self.handler;
        self.log.screens[index].handler_action = Some(screen.handler_action);
        self.relocate(&[handler, screen.screener]);
        let alone = matches!(
            screen.handler_action,
            HandlerAction::Drive | HandlerAction::StepBack
        );
        if screen.outcome == Outcome::Used {
            self.wait_out(screen, out, alone)?;
        }
        match screen.handler_action {
            HandlerAction::Drive | HandlerAction::Reject => {
                let side = self.pos(handler).y.signum();
                self.path(handler, &[Leg::to(v2(0.8, side * 0.6), 5.8)]);
                self.run_until(3.0, |w| {
                    w.pos(handler).length() < 1.7
                        || (w.space(handler) < 0.55 && w.pos(handler).length() < 3.0)
                })?;
                let style = if self.pos(handler).length() < 2.6 {
                    ShotStyle::Layup
                } else {
                    ShotStyle::Jump
                };
                self.shoot(handler, style, Some(index))
            }
            HandlerAction::PullUp => {
                let range = self.dice.weighted(&[(4.6, 0.5), (7.0, 0.5)]);
                let goal = self.pos(handler).unit() * range + out * 0.6;
                self.path(handler, &[Leg::to(goal, 4.8)]);
                let most = self.dice.between(0.7, 1.5);
                self.run_until(most, |w| w.pos(handler).distance(goal) < 0.7)?;
                self.shoot(handler, ShotStyle::Jump, Some(index))
            }
            HandlerAction::StepBack => {
                let at = self.pos(handler);
                self.path(handler, &[Leg::to(at - at.unit() * 1.6, 4.8)]);
                self.run_for(0.6)?;
                let at = self.pos(handler);
                self.path(handler, &[Leg::to(at + at.unit() * 1.5, 3.4)]);
                self.run_for(0.8)?;
                self.shoot(handler, ShotStyle::Jump, Some(index))
            }
            HandlerAction::Split => {
                let plan = &self.log.screens[index];
                let (a, b) = (plan.screener_defender, plan.user_defender);
                self.run_for(0.35)?;
                let between = self.pos(a).toward(self.pos(b), 0.5);
                let beyond = between + (between - self.pos(handler)).unit() * 1.5;
                self.path(
                    handler,
                    &[
                        Leg::past(between, 5.5),
                        Leg::past(beyond, 5.5),
                        Leg::to(v2(1.2, 0.0), 5.5),
                    ],
                );
                self.run_until(2.5, |w| w.pos(handler).length() < 2.0)?;
                self.shoot(handler, ShotStyle::Layup, Some(index))
            }
            HandlerAction::Pass => self.pass_option(index, screen),
            HandlerAction::Reset | HandlerAction::Unclear => {
                self.run_for(0.5)?;
                let y = self.pos(handler).y;
                self.path(handler, &[Leg::to(v2(9.2, y * 0.8), 3.0)]);
                let is_ball_screen = self.log.screens[index].kind == ScreenKind::BallScreen;
                let again = is_ball_screen && self.shot_clock_s > 9.0 && self.dice.chance(0.25);
                self.run_for(if again { 0.9 } else { 1.0 })?;
                self.calm(index);
                if again {
                    // The same screener comes again, from the other side: a re-screen.
                    self.log.screens[index].screener_action = Some(ScreenerAction::Rescreen);
                    let place = self.tasks[handler].hold;
                    let handler_action = self.dice.weighted(&[
                        (HandlerAction::Drive, 0.4),
                        (HandlerAction::PullUp, 0.3),
                        (HandlerAction::Pass, 0.3),
                    ]);
                    return self.ball_screen(BallScreen {
                        place,
                        side: -screen.side,
                        handler_action,
                        outcome: Outcome::Used,
                        previous: Some(index),
                        ..*screen
                    });
                }
                Ok(Next::Play)
            }
        }
    }

    /// The pass out of the screen and what the receiver does.
    pub fn pass_option(&mut self, index: usize, screen: &BallScreen) -> Result<Next, Halt> {
        let handler = self.handler;
        let wait = match screen.coverage {
            Coverage::Blitz => self.dice.between(1.4, 2.0),
            Coverage::Hedge => self.dice.between(0.9, 1.6),
            Coverage::Drop | Coverage::Level | Coverage::Switch | Coverage::Ice | Coverage::Unclear => {
                self.dice.between(0.5, 1.4)
            }
        };
        self.run_for(wait)?;
        let to_screener = self
            .dice
            .chance(if screen.screener_action == ScreenerAction::Stay {
                0.1
            } else {
                0.5
            });
        let to = if to_screener {
            screen.screener
        } else {
            self.some_mate(&[handler, screen.screener])
        };
        self.pass_out_to(index, to, to == screen.screener)
    }

    /// The pass out of the screen to `to`, and what comes of it.
    pub fn pass_out_to(&mut self, index: usize, to: usize, is_screener: bool) -> Result<Next, Halt> {
        self.note_pass(index, to, is_screener);
        self.pass(to)?;
        self.calm(index);
        let distance = self.pos(to).length();
        if distance < 3.2 {
            let side = self.pos(to).y.signum();
            self.path(to, &[Leg::to(v2(0.8, side * 0.5), 5.0)]);
            self.run_until(1.0, |w| w.pos(to).length() < 1.6)?;
            return self.shoot(to, ShotStyle::Layup, Some(index));
        }
        let hold = self.dice.between(0.15, 0.6);
        self.run_for(hold)?;
        let wants = if self.space(to) > 1.5 { 0.6 } else { 0.2 };
        if distance < 8.0 && self.dice.chance(wants) {
            return self.shoot(to, ShotStyle::Jump, Some(index));
        }
        self.grip(Grip::Dribble);
        Ok(Next::Play)
    }

    /// Notes the pass out of a screen: to whom, and to which side if that is plain.
    pub fn note_pass(&mut self, index: usize, to: usize, is_screener: bool) {
        let now = self.now_s();
        let (ball_y, to_y) = (self.ball.pos.y, self.pos(to).y);
        let plan = &mut self.log.screens[index];
        plan.receiver = Some(to);
        plan.t_pass_s = Some(now);
        plan.pass_target = if is_screener {
            Some(PassTarget::Screener)
        } else if ball_y.abs() < 1.5 || to_y.abs() < 0.5 {
            // Within the strip the side depends on where the ball was before.
            None
        } else if ball_y * to_y > 0.0 {
            Some(PassTarget::StrongSide)
        } else {
            Some(PassTarget::WeakSide)
        };
    }

    /// Everyone on defence goes back to guarding their player; the screener may be planted no more.
    pub fn calm(&mut self, index: usize) {
        self.forget_orders();
        // A screen away from the ball that still stands is broken off with the rest.
        let screener = self.log.screens[index].screener;
        for slot in self.attackers().filter(|s| s / 5 == screener / 5) {
            self.bodies[slot].planted = false;
        }
        for slot in self.defenders() {
            self.duties[slot] = Duty::Guard;
        }
    }
}
