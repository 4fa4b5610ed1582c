//! Scripts of the ball screen: how it is called and set.

mod come_off;
mod defend;
mod draw;
mod flip;
mod lift;
mod meet;
mod option;
mod orderly;
mod outcome;

use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, ScreenKind, ScreenerAction,
};

use crate::ball::Grip;
use crate::duty::Duty;
use crate::plan::ScreenPlan;
use crate::shot::Next;
use crate::style::Style;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// A ball screen before it is run.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BallScreen {
    pub screener: usize,
    /// Where the handler waits for it.
    pub place: Vec2,
    /// +1 or −1: to which side (quarter turn of the way to the hoop) the handler is to go.
    pub side: f64,
    pub outcome: Outcome,
    pub coverage: Coverage,
    pub path: OnBallPath,
    pub screener_action: ScreenerAction,
    pub handler_action: HandlerAction,
    pub helper_action: HelperAction,
    pub previous: Option<usize>,
}

/// So far from the place a screener waits until the handler is there, metres.
const COMES_FROM_M: f64 = 3.2;

impl World<'_> {
    /// The handler goes toward the place, the others make room; the screener waits at a distance. Returns when the
    /// handler is about there, most often still on the move.
    fn prepare_screen(&mut self, screen: &BallScreen) -> Result<(), Halt> {
        let handler = self.handler;
        self.grip(Grip::Dribble);
        if self.pos(handler).distance(screen.place) > 1.2 {
            let speed = self.dice.between(2.6, 4.2);
            self.go(handler, screen.place, speed);
        }
        // A screener who stands on the spot already steps away first, as post players do.
        if screen.previous.is_none() && self.pos(screen.screener).distance(screen.place) < 2.2 {
            let spot = self.pos(screen.screener).toward(v2(1.5, 0.0), 0.4);
            self.go(screen.screener, spot, 3.0);
        }
        self.space_floor(&[handler, screen.screener], screen.place);
        self.fill_weak_corner(screen);
        // The screener is on the way meanwhile.
        let (way, pace) = (
            self.pos(screen.screener) - screen.place,
            self.dice.between(3.2, 4.8),
        );
        if way.length() > COMES_FROM_M {
            self.go(screen.screener, screen.place + way.unit() * COMES_FROM_M, pace);
        }
        let early_m = self.dice.between(0.8, 3.0);
        self.run_until(1.2, |w| w.pos(handler).distance(screen.place) < early_m)?;
        Ok(())
    }

    /// Writes the plan of a screen into the log and gives its index.
    #[expect(
        clippy::too_many_arguments,
        reason = "the plan's first facts, each of its own type"
    )]
    pub fn log_screen(
        &mut self,
        on_ball: bool,
        kind: ScreenKind,
        outcome: Outcome,
        screener: usize,
        user: usize,
        out: Vec2,
        previous: Option<usize>,
    ) -> usize {
        let now = self.now_s();
        let plan = ScreenPlan {
            period: self.period,
            possession: self.log.possessions.len() - 1,
            on_ball,
            kind,
            outcome,
            screener,
            user,
            screener_defender: self.defender_of(screener),
            user_defender: self.defender_of(user),
            t_call_s: now,
            t_planted_s: None,
            t_go_s: f64::INFINITY,
            t_turn_s: None,
            out,
            early_denial: false,
            previous,
            coverage: None,
            on_ball_path: None,
            hard: None,
            helper: None,
            helper_action: None,
            screener_action: None,
            handler_action: None,
            pass_target: None,
            receiver: None,
            t_pass_s: None,
            shot: None,
        };
        self.log.screens.push(plan);
        self.log.screens.len() - 1
    }

    /// Runs one ball screen from the call to what comes of it.
    pub fn ball_screen(&mut self, screen: BallScreen) -> Result<Next, Halt> {
        let handler = self.handler;
        let here = match self.style {
            Style::Lively => {
                self.prepare_screen(&screen)?;
                self.ahead(handler)
            }
            Style::Orderly => self.prepare_orderly_screen(&screen)?,
        };
        let (spot, out) = self.screen_spot(here, screen.side, screen.outcome);
        let index = self.log_screen(
            true,
            ScreenKind::BallScreen,
            screen.outcome,
            screen.screener,
            handler,
            out,
            screen.previous,
        );
        let (slow_mps, fast_mps) = self.style.pick((3.4, 5.0), (4.2, 5.2));
        let pace = self.dice.between(slow_mps, fast_mps);
        self.go(screen.screener, spot, pace);
        self.set_screen(index, &screen, spot, out)
    }

    /// Where `slot` will be in a moment.
    fn ahead(&self, slot: usize) -> Vec2 {
        self.pos(slot) + self.bodies[slot].vel * 0.25
    }

    /// Where a screener stands for a handler at `here` who is to go to `side`, and which way that is. It is the handler's
    /// defender who is screened: the handler has some way to come, and a defender who sags is met where that defender is.
    fn screen_spot(&mut self, here: Vec2, side: f64, outcome: Outcome) -> (Vec2, Vec2) {
        let toward_hoop = -here.unit();
        let out = toward_hoop.quarter_turn() * side;
        if self.style == Style::Orderly {
            return (self.orderly_spot(here, out, outcome), out);
        }
        let guard = self.defender_of(self.handler);
        let guard_at = self.pos(guard) + self.bodies[guard].vel * 0.3 - here;
        // At the defender's height, a step or two beside: the handler comes down past both.
        let depth = (guard_at.dot(toward_hoop) + self.dice.between(-0.4, 0.4)).clamp(0.3, 2.6);
        let beside = (guard_at.dot(out) + self.dice.between(0.65, 1.5)).clamp(0.65, 2.8);
        let spot = here + toward_hoop * depth + out * beside;
        let limit_y = self.side_y_m() - 0.5;
        (v2(spot.x.max(0.8), spot.y.clamp(-limit_y, limit_y)), out)
    }

    /// The screener is on the way to `spot`: the defence answers, the screen is set (or not), the outcome follows.
    fn set_screen(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) -> Result<Next, Halt> {
        let screener = screen.screener;
        let handler = self.handler;
        let on_screener = self.log.screens[index].screener_defender;
        let on_ball = self.log.screens[index].user_defender;
        let iced = screen.coverage == Coverage::Ice;
        if iced && self.dice.chance(0.4) {
            self.run_until(3.0, |w| w.pos(screener).distance(spot) < 4.6)?;
            if self.pos(screener).distance(spot) > 3.0 {
                return self.deny_early(index, screen, spot, out);
            }
        }
        let lively = self.style == Style::Lively;
        let met_m = self.style.pick(3.0, 2.0);
        self.run_until(4.0, |w| w.pos(screener).distance(spot) < met_m)?;
        // Meanwhile the handler has moved, and the screener goes where the handler is now. In order the handler waits.
        let (spot, out) = if iced || !lively {
            (spot, out)
        } else {
            self.screen_spot(self.ahead(handler), screen.side, screen.outcome)
        };
        self.log.screens[index].out = out;
        let mut pace = 0.0;
        if lively {
            pace = self.dice.between(2.8, 4.6);
            self.go(screener, spot, pace);
        }
        let (least_m, most_m) = self.style.pick((1.5, 2.9), (2.0, 3.4));
        let depth_m = self.dice.between(least_m, most_m);
        let called = match screen.coverage {
            Coverage::Drop => Duty::Drop {
                screen: spot,
                depth_m,
            },
            Coverage::Ice => Duty::IceLow { out },
            Coverage::Level | Coverage::Switch => Duty::Level { screen: spot, out },
            Coverage::Hedge | Coverage::Blitz => Duty::Level {
                screen: spot,
                out: out * 0.7,
            },
            Coverage::Unclear => Duty::Guard,
        };
        let late_s = self.late_by_quirk_s(on_screener);
        if late_s > 0.0 {
            self.duties[on_screener] = Duty::Spot {
                spot: self.pos(on_screener),
            };
            self.duty_later(late_s, on_screener, called);
        } else {
            self.duties[on_screener] = called;
        }
        // Ice by call, or a handler's defender who jumps to the screen's side unasked.
        if iced || (screen.outcome == Outcome::Rejected && self.dice.chance(0.5)) {
            self.duties[on_ball] = Duty::Ice { out };
        }
        if screen.previous.is_none() && self.playbook.is_none() && self.params.lifts_hold.is_none() {
            self.draw_weak_side(&[handler, screener]);
        }
        if lively {
            if screen.outcome == Outcome::Used {
                return self.use_screen(index, screen, spot, out, pace);
            }
            // The handler comes near enough for it to be a screen.
            let apart_m = self.dice.between(1.2, 2.5);
            let near = spot - out * apart_m + spot.unit() * 0.5;
            let handler_mps = self.dice.between(2.0, 3.8);
            if screen.outcome != Outcome::Ghosted {
                // A step the other way until the screener is there: who comes to a screen is on the move.
                let screener_s = self.pos(screener).distance(spot) / pace + 0.2;
                let early_s = screener_s - self.pos(handler).distance(near) / handler_mps;
                let mut legs = vec![Leg::to(near, handler_mps)];
                if early_s > 0.3 {
                    let aside = (spot.unit() * 0.5 - out) * (0.5 * handler_mps * early_s).min(2.0);
                    legs.insert(0, Leg::past(self.pos(handler) + aside, handler_mps));
                }
                self.path(handler, &legs);
            }
            if !iced {
                return self.leave_lively_screen(index, screen, out, pace);
            }
        }
        if screen.outcome == Outcome::Ghosted {
            return self.ghost(index, screen, spot, out);
        }
        if screen.outcome == Outcome::Slipped && self.dice.chance(0.5) {
            // They never quite stop: they are off again as they arrive.
            self.run_until(2.0, |w| w.pos(screener).distance(spot) < 0.55)?;
            return self.slip(index, screen, out);
        }
        self.stand(index, screener, spot, self.style.pick(0.6, 1.1))?;
        match screen.outcome {
            Outcome::Rejected => self.reject(index, screen, spot, out),
            Outcome::Slipped => self.slip(index, screen, out),
            Outcome::Flipped => self.flip(index, screen, handler),
            Outcome::Unused => self.leave_unused(index, screen, spot, out),
            Outcome::Used => self.use_orderly_screen(index, screen, spot, out),
            Outcome::Ghosted => self.ghost(index, screen, spot, out),
        }
    }

    /// The screener arrives and stands, a moment to `longest_s`.
    fn stand(&mut self, index: usize, screener: usize, spot: Vec2, longest_s: f64) -> Result<(), Halt> {
        let (there_m, slow_mps, least_s) = self.style.pick((0.5, 1.1, 0.1), (0.4, 0.9, 0.15));
        self.dribble_until(index, 3.0, |w| {
            w.pos(screener).distance(spot) < there_m && w.bodies[screener].vel.length() < slow_mps
        })?;
        self.bodies[screener].planted = true;
        self.log.screens[index].t_planted_s = Some(self.now_s());
        let set_s = self.dice.between(least_s, longest_s);
        self.dribble_until(index, set_s, |_| false)
    }
}
