//! Scripts of the ball screen: how it is set, used or not, defended, and what comes of it.

mod draw;
mod meet;
mod option;
mod orderly;
mod outcome;

use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, ScreenKind, ScreenerAction,
};

use crate::ball::Grip;
use crate::defense::Duty;
use crate::plan::{HardCoverage, ScreenPlan};
use crate::shot::Next;
use crate::style::Style;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, Order, World};

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
        // A screener who stands on the spot already steps away first, as bigs do.
        if screen.previous.is_none() && self.pos(screen.screener).distance(screen.place) < 2.2 {
            let spot = self.pos(screen.screener).toward(v2(1.5, 0.0), 0.4);
            self.go(screen.screener, spot, 3.0);
        }
        self.space_floor(&[handler, screen.screener], screen.place);
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
            t_go_s: now,
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
        let beside = (guard_at.dot(out) + self.dice.between(0.8, 1.7)).clamp(0.8, 2.8);
        let spot = here + toward_hoop * depth + out * beside;
        let limit_y = self.side_y_m() - 0.5;
        (v2(spot.x.max(0.8), spot.y.clamp(-limit_y, limit_y)), out)
    }

    /// The screener is on his way to `spot`: the defence answers, he sets (or does not), the outcome follows.
    fn set_screen(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) -> Result<Next, Halt> {
        let screener = screen.screener;
        let handler = self.handler;
        let big = self.log.screens[index].screener_defender;
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
        self.duties[big] = match screen.coverage {
            Coverage::Drop => Duty::Drop {
                screen: spot,
                depth_m,
            },
            Coverage::Ice => Duty::IceBig { out },
            Coverage::Level | Coverage::Switch => Duty::Level { screen: spot, out },
            Coverage::Hedge | Coverage::Blitz => Duty::Level {
                screen: spot,
                out: out * 0.7,
            },
            Coverage::Unclear => Duty::Guard,
        };
        // Ice by call, or a handler's defender who jumps to the screen's side on his own.
        if iced || (screen.outcome == Outcome::Rejected && self.dice.chance(0.5)) {
            self.duties[on_ball] = Duty::Ice { out };
        }
        if screen.previous.is_none() && self.playbook.is_none() {
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
                self.go(handler, near, handler_mps);
            }
            if !iced {
                return self.leave_lively_screen(index, screen, out, pace);
            }
        }
        if screen.outcome == Outcome::Ghosted {
            return self.ghost(index, screen, spot, out);
        }
        if screen.outcome == Outcome::Slipped && self.dice.chance(0.5) {
            // He never quite stops: he is off again as he arrives.
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
        self.run_until(3.0, |w| {
            w.pos(screener).distance(spot) < there_m && w.bodies[screener].vel.length() < slow_mps
        })?;
        self.bodies[screener].planted = true;
        self.log.screens[index].t_planted_s = Some(self.now_s());
        let set = self.dice.between(least_s, longest_s);
        self.run_for(set)
    }

    /// The handler comes off the screen; then the option.
    fn use_screen(
        &mut self,
        index: usize,
        screen: &BallScreen,
        spot: Vec2,
        out: Vec2,
        screener_mps: f64,
    ) -> Result<Next, Halt> {
        let handler = self.handler;
        let up = spot.unit();
        let screener = screen.screener;
        let pace = self.dice.between(3.9, 5.6);
        // Past the screener's shoulder; wider when the screen is set for a defender who sags.
        let wide_m = (self.pos(handler) - spot).dot(up);
        let (least_m, share) = (self.dice.between(0.55, 1.1), self.dice.between(0.35, 1.0));
        let past_m = (wide_m * share).clamp(least_m, 2.6);
        let shoulder = spot + up * past_m + out * 0.45;
        // He goes so that he is there when the screener has stood for as long as screens are: not at all, or half a second.
        let stands_s = if self.dice.chance(0.45) {
            self.dice.between(-0.5, -0.15)
        } else {
            self.dice.between(-0.15, 0.15)
        };
        let screener_s = self.pos(screener).distance(spot) / screener_mps + 0.3;
        let handler_s = self.pos(handler).distance(shoulder) / pace + 0.45;
        let wait_s = (screener_s + stands_s - handler_s).max(0.0);
        // A step the other way meanwhile, to lean the defender.
        let leans = wait_s > 0.3;
        if leans {
            let here = self.pos(handler);
            let step = self.dice.between(1.8, 3.2);
            let back = self.dice.between(-0.4, 0.6);
            self.path(
                handler,
                &[Leg::Past {
                    spot: here - out * 1.2 + up * (0.6 + back),
                    speed_mps: step,
                }],
            );
        }
        // Some never quite stop: they brush by and go on.
        let brushes = self.dice.chance(0.2);
        if brushes {
            // Slower than 2 m/s they are all the same (vocabulary, "Screens").
            let on = (spot - self.pos(screener)).unit();
            let slow_mps = self.dice.between(1.1, 1.7);
            self.path(
                screener,
                &[
                    Leg::Past {
                        spot: spot - on * 1.2,
                        speed_mps: screener_mps,
                    },
                    Leg::Past {
                        spot,
                        speed_mps: slow_mps,
                    },
                    Leg::To {
                        spot: spot + on * 0.9,
                        speed_mps: slow_mps,
                    },
                ],
            );
        }
        let mut set = brushes;
        set |= self.run_until_set(index, screener, spot, set, wait_s)?;
        // A hedge or a double drives him wide and up; otherwise he turns the corner.
        let wide = matches!(screen.coverage, Coverage::Hedge | Coverage::Blitz);
        let corner = if wide {
            spot + out * 2.2 + up * 1.3
        } else {
            spot + out * 2.2 - up * 1.2
        };
        let legs = [
            Leg::Past {
                spot: shoulder,
                speed_mps: pace,
            },
            Leg::To {
                spot: corner,
                speed_mps: pace,
            },
        ];
        self.come_off_screen(index, screen, spot, out, &legs);
        set |= self.run_until_past(index, screener, spot, set, handler, out)?;
        self.settle_coverage(index, screen, out);
        if set && !brushes {
            self.leave_screen(index, screen, spot, out);
        } else {
            self.leave_screen_after(index, screen, spot, out, 0.0);
        }
        self.help(index, screen);
        self.option(index, screen, out)
    }

    /// The handler goes along `legs` past the screener, and the two defenders answer.
    fn come_off_screen(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2, legs: &[Leg]) {
        let (big, on_ball) = (
            self.log.screens[index].screener_defender,
            self.log.screens[index].user_defender,
        );
        self.log.screens[index].t_go_s = self.now_s();
        self.log.screens[index].coverage = Some(screen.coverage);
        self.log.screens[index].on_ball_path = Some(screen.path);
        self.path(self.handler, legs);
        self.duties[on_ball] = match screen.path {
            OnBallPath::Under => Duty::Under { screen: spot, out },
            OnBallPath::Switched => Duty::Stay { screen: spot, out },
            OnBallPath::Over | OnBallPath::Denied | OnBallPath::Unclear => Duty::Over { screen: spot, out },
        };
        match screen.coverage {
            Coverage::Drop
                if screen.path == OnBallPath::Under
                    && (self.pos(on_ball) - spot).dot(spot.unit()) < 0.1
                    && spot.length() - self.pos(big).length() > 1.6
                    && self.dice.chance(0.35) =>
            {
                self.catch_under(index, spot, out);
            }
            Coverage::Drop if self.dice.chance(0.12) => {
                // He dies on the screen: stuck for a moment, then trails.
                self.duties[on_ball] = Duty::Spot {
                    spot: spot - out * 0.6,
                };
                self.later(
                    0.8,
                    Order::Duty {
                        slot: on_ball,
                        duty: Duty::Guard,
                    },
                );
            }
            // A step out is one of a big who is at the screen's height already.
            Coverage::Level if self.pos(big).length() > spot.length() - 1.0 && self.dice.chance(0.35) => {
                self.log.screens[index].hard = Some(HardCoverage::SoftShow);
                self.later(
                    0.1,
                    Order::Duty {
                        slot: big,
                        duty: Duty::Show { screen: spot, out },
                    },
                );
            }
            Coverage::Drop
            | Coverage::Level
            | Coverage::Hedge
            | Coverage::Blitz
            | Coverage::Switch
            | Coverage::Ice
            | Coverage::Unclear => {}
        }
        if matches!(screen.coverage, Coverage::Hedge | Coverage::Blitz) {
            self.later(
                0.1,
                Order::Duty {
                    slot: big,
                    duty: Duty::Hedge { screen: spot, out },
                },
            );
        }
    }

    /// Runs for `seconds`; the screener is planted when he has arrived. Tells whether he was.
    fn run_until_set(
        &mut self,
        index: usize,
        screener: usize,
        spot: Vec2,
        was_set: bool,
        seconds: f64,
    ) -> Result<bool, Halt> {
        let arrived =
            |w: &Self| w.pos(screener).distance(spot) < 0.5 && w.bodies[screener].vel.length() < 1.2;
        let from_s = self.now_s();
        if was_set || !self.run_until(seconds, arrived)? {
            let left_s = seconds - (self.now_s() - from_s);
            self.run_for(left_s)?;
            return Ok(false);
        }
        self.bodies[screener].planted = true;
        self.log.screens[index].t_planted_s = Some(self.now_s());
        let left_s = seconds - (self.now_s() - from_s);
        self.run_for(left_s)?;
        Ok(true)
    }

    /// Runs until the handler is past the screen; the screener may still arrive meanwhile. Tells whether he did.
    fn run_until_past(
        &mut self,
        index: usize,
        screener: usize,
        spot: Vec2,
        was_set: bool,
        handler: usize,
        out: Vec2,
    ) -> Result<bool, Halt> {
        let past = |w: &Self| (w.pos(handler) - spot).dot(out) > 0.1;
        let arrived =
            |w: &Self| w.pos(screener).distance(spot) < 0.5 && w.bodies[screener].vel.length() < 1.2;
        let mut is_set = was_set;
        self.run_until(2.4, |w| past(w) || (!is_set && arrived(w)))?;
        if !is_set && arrived(self) && !past(self) {
            self.bodies[screener].planted = true;
            self.log.screens[index].t_planted_s = Some(self.now_s());
            is_set = true;
            self.run_until(2.0, past)?;
        }
        Ok(is_set)
    }

    /// The handler's defender wants to go under and is held up beside the screener, on the hoop side, for a while.
    fn catch_under(&mut self, index: usize, spot: Vec2, out: Vec2) {
        let on_ball = self.log.screens[index].user_defender;
        self.log.screens[index].hard = Some(HardCoverage::CaughtUnder);
        self.duties[on_ball] = Duty::Spot {
            spot: spot - spot.unit() * 1.1 - out * 0.2,
        };
        // The big has the handler alone meanwhile, and stays down.
        let big = self.log.screens[index].screener_defender;
        self.duties[big] = Duty::Drop {
            screen: spot,
            depth_m: 2.6,
        };
        let caught = self.dice.between(0.9, 1.3);
        self.later(
            caught,
            Order::Duty {
                slot: on_ball,
                duty: Duty::Under { screen: spot, out },
            },
        );
        self.later(
            caught + 0.7,
            Order::Duty {
                slot: on_ball,
                duty: Duty::Guard,
            },
        );
    }

    /// The big takes the handler, the handler's defender goes to the screener and bodies up to him for a while.
    pub fn switch_now(&mut self, big: usize, on_ball: usize) {
        self.swap_matchups(big, on_ball);
        self.duties[big] = Duty::Guard;
        self.duties[on_ball] = Duty::Take;
        self.later(
            2.4,
            Order::Duty {
                slot: on_ball,
                duty: Duty::Guard,
            },
        );
    }

    /// What the two defenders do once the handler is past the screen.
    pub fn settle_coverage(&mut self, index: usize, screen: &BallScreen, out: Vec2) {
        let (big, on_ball) = (
            self.log.screens[index].screener_defender,
            self.log.screens[index].user_defender,
        );
        match screen.coverage {
            Coverage::Switch => {
                if screen.path == OnBallPath::Over {
                    // A late one: both go after the handler first.
                    let late = self.dice.between(0.5, 0.9);
                    self.later(
                        late,
                        Order::Switch {
                            index,
                            case: HardCoverage::LateSwitch,
                        },
                    );
                    self.duties[on_ball] = Duty::Guard;
                } else {
                    self.switch_now(big, on_ball);
                }
            }
            Coverage::Hedge if self.playbook.is_none() && self.dice.chance(0.25) => {
                // The hedge that becomes a switch: nobody gets back. (In a season what is called is played.)
                let late = self.dice.between(0.6, 0.9);
                self.later(
                    late,
                    Order::Switch {
                        index,
                        case: HardCoverage::HedgeToSwitch,
                    },
                );
                self.log.screens[index].coverage = Some(Coverage::Switch);
                self.log.screens[index].on_ball_path = Some(OnBallPath::Switched);
            }
            Coverage::Hedge => {
                // Back to his man's body first, wherever the man went.
                let back = self.dice.between(0.0, 0.3);
                self.later(
                    back,
                    Order::Duty {
                        slot: big,
                        duty: Duty::Take,
                    },
                );
                self.later(
                    back + 1.5,
                    Order::Duty {
                        slot: big,
                        duty: Duty::Guard,
                    },
                );
                self.later(
                    1.3,
                    Order::Duty {
                        slot: on_ball,
                        duty: Duty::Guard,
                    },
                );
            }
            Coverage::Blitz => {
                self.later(
                    0.35,
                    Order::Duty {
                        slot: big,
                        duty: Duty::Double {
                            side: out * 0.8 - self.pos(self.handler).unit() * 0.4,
                        },
                    },
                );
                self.later(
                    0.5,
                    Order::Duty {
                        slot: on_ball,
                        duty: Duty::Double { side: -out },
                    },
                );
            }
            Coverage::Level => {
                let back = if self.log.screens[index].hard == Some(HardCoverage::SoftShow) {
                    self.dice.between(0.0, 0.2)
                } else {
                    self.dice.between(0.2, 0.6)
                };
                self.later(
                    back,
                    Order::Duty {
                        slot: big,
                        duty: Duty::Take,
                    },
                );
                self.later(
                    back,
                    Order::Duty {
                        slot: on_ball,
                        duty: Duty::Guard,
                    },
                );
            }
            Coverage::Drop => {
                let back = self.dice.between(1.6, 2.4);
                self.later(
                    back,
                    Order::Duty {
                        slot: big,
                        duty: Duty::Guard,
                    },
                );
                if self.log.screens[index].hard != Some(HardCoverage::CaughtUnder) {
                    self.later(
                        1.4,
                        Order::Duty {
                            slot: on_ball,
                            duty: Duty::Guard,
                        },
                    );
                }
            }
            Coverage::Ice | Coverage::Unclear => {}
        }
    }
}
