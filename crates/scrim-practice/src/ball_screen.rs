//! Scripts of the ball screen: how it is set, used or not, defended, and what comes of it.

mod draw;
mod option;
mod outcome;

use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, ScreenKind, ScreenerAction,
};

use crate::ball::Grip;
use crate::defense::Duty;
use crate::plan::{HardCoverage, ScreenPlan};
use crate::shot::Next;
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
    /// The handler goes to the place, the others make room; the screener waits at a distance. Returns when the
    /// handler is within `early_m` of the place.
    fn prepare_screen(&mut self, screen: &BallScreen, early_m: f64) -> Result<(), Halt> {
        let handler = self.handler;
        self.grip(Grip::Dribble);
        if self.pos(handler).distance(screen.place) > 1.2 {
            let speed = self.dice.between(2.6, 4.2);
            self.go(handler, screen.place, speed);
        }
        // A screener who stands on the spot already steps away first, as bigs do.
        if screen.previous.is_none() && self.pos(screen.screener).distance(screen.place) < 3.0 {
            let spot = self.pos(screen.screener).toward(v2(1.5, 0.0), 0.5);
            self.go(screen.screener, spot, 3.0);
        }
        self.space_floor(&[handler, screen.screener], screen.place);
        self.run_until(4.0, |w| {
            let stopped = early_m > 1.0 || w.bodies[handler].vel.length() < 0.8;
            w.pos(handler).distance(screen.place) < early_m && stopped
        })?;
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
        // Some screens are set for a handler who stands and waits, some for one who is still coming.
        let early_m = if self.dice.chance(0.3) { 2.4 } else { 0.5 };
        self.prepare_screen(&screen, early_m)?;
        let handler = self.handler;
        let here = if early_m > 1.0 {
            screen.place
        } else {
            self.pos(handler)
        };
        let (spot, out) = self.screen_spot(here, screen.side);
        if early_m < 1.0 {
            self.tasks[handler].legs.clear();
            self.tasks[handler].hold = here;
        }
        let index = self.log_screen(
            true,
            ScreenKind::BallScreen,
            screen.outcome,
            screen.screener,
            handler,
            out,
            screen.previous,
        );
        let pace = self.dice.between(4.2, 5.2);
        self.go(screen.screener, spot, pace);
        self.set_screen(index, &screen, spot, out)
    }

    /// Where a screener stands for a handler at `here` who is to go to `side`, and which way that is.
    fn screen_spot(&mut self, here: Vec2, side: f64) -> (Vec2, Vec2) {
        let toward_hoop = -here.unit();
        let out = toward_hoop.quarter_turn() * side;
        // From flat (beside the handler) to steep (nearer the hoop than he is).
        let depth = self.dice.between(0.15, 0.95);
        let beside = self.dice.between(0.8, 1.15);
        (here + toward_hoop * depth + out * beside, out)
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
        self.run_until(4.0, |w| w.pos(screener).distance(spot) < 2.0)?;
        let depth_m = self.dice.between(2.0, 3.4);
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
        if screen.outcome == Outcome::Ghosted {
            return self.ghost(index, screen, spot, out);
        }
        if screen.outcome == Outcome::Slipped && self.dice.chance(0.5) {
            // He never quite stops: he is off again as he arrives.
            self.run_until(2.0, |w| w.pos(screener).distance(spot) < 0.55)?;
            return self.slip(index, screen, out);
        }
        self.stand(index, screener, spot, 1.1)?;
        match screen.outcome {
            Outcome::Used => self.use_screen(index, screen, spot, out),
            Outcome::Rejected => self.reject(index, screen, spot, out),
            Outcome::Slipped => self.slip(index, screen, out),
            Outcome::Flipped => self.flip(index, screen, handler),
            Outcome::Unused => self.leave_unused(index, screen, spot, out),
            Outcome::Ghosted => self.ghost(index, screen, spot, out),
        }
    }

    /// The screener arrives and stands, 0.15 s to `longest_s`.
    fn stand(&mut self, index: usize, screener: usize, spot: Vec2, longest_s: f64) -> Result<(), Halt> {
        self.run_until(3.0, |w| {
            w.pos(screener).distance(spot) < 0.4 && w.bodies[screener].vel.length() < 0.9
        })?;
        self.bodies[screener].planted = true;
        self.log.screens[index].t_planted_s = Some(self.now_s());
        let set = self.dice.between(0.15, longest_s);
        self.run_for(set)
    }

    /// The handler comes off the screen; then the option.
    fn use_screen(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) -> Result<Next, Halt> {
        let handler = self.handler;
        let (big, on_ball) = (
            self.log.screens[index].screener_defender,
            self.log.screens[index].user_defender,
        );
        let up = spot.unit();
        self.log.screens[index].t_go_s = self.now_s();
        self.log.screens[index].coverage = Some(screen.coverage);
        self.log.screens[index].on_ball_path = Some(screen.path);
        let pace = self.dice.between(4.4, 5.8);
        let shoulder = spot + up * 0.62 + out * 0.1;
        // A hedge or a double drives him wide and up; otherwise he turns the corner.
        let wide = matches!(screen.coverage, Coverage::Hedge | Coverage::Blitz);
        let corner = if wide {
            spot + out * 2.2 + up * 1.3
        } else {
            spot + out * 1.7 - up * 0.9
        };
        let mut legs = vec![
            Leg::Past {
                spot: shoulder,
                speed_mps: pace * 0.9,
            },
            Leg::To {
                spot: corner,
                speed_mps: pace,
            },
        ];
        if self.dice.chance(0.3) {
            // A step the other way first, to lean the defender.
            let here = self.pos(handler);
            legs.insert(
                0,
                Leg::To {
                    spot: here - out * 0.6 + up * 0.1,
                    speed_mps: 3.2,
                },
            );
        }
        self.path(handler, &legs);
        self.duties[on_ball] = match screen.path {
            OnBallPath::Under => Duty::Under { screen: spot, out },
            OnBallPath::Switched => Duty::Stay { screen: spot, out },
            OnBallPath::Over | OnBallPath::Denied | OnBallPath::Unclear => Duty::Over { screen: spot, out },
        };
        match screen.coverage {
            Coverage::Drop if screen.path == OnBallPath::Under && self.dice.chance(0.25) => {
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
            Coverage::Level if self.dice.chance(0.25) => {
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
        if wide {
            self.later(
                0.1,
                Order::Duty {
                    slot: big,
                    duty: Duty::Hedge { screen: spot, out },
                },
            );
        }
        self.run_until(2.2, |w| (w.pos(handler) - spot).dot(out) > 0.1)?;
        self.settle_coverage(index, screen, out);
        self.leave_screen(index, screen, spot, out);
        self.help(index, screen);
        self.option(index, screen, out)
    }

    /// The handler's defender wants to go under and is held up beside the screener, on the hoop side, for a while.
    fn catch_under(&mut self, index: usize, spot: Vec2, out: Vec2) {
        let on_ball = self.log.screens[index].user_defender;
        self.log.screens[index].hard = Some(HardCoverage::CaughtUnder);
        self.duties[on_ball] = Duty::Spot {
            spot: spot - spot.unit() * 0.8 - out * 0.3,
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
                    self.log.screens[index].hard = Some(HardCoverage::LateSwitch);
                    let late = self.dice.between(0.5, 0.9);
                    self.later(late, Order::Switch { big, on_ball });
                    self.duties[on_ball] = Duty::Guard;
                } else {
                    self.switch_now(big, on_ball);
                }
            }
            Coverage::Hedge if self.playbook.is_none() && self.dice.chance(0.2) => {
                // The hedge that becomes a switch: nobody gets back. (In a season what is called is played.)
                self.log.screens[index].hard = Some(HardCoverage::HedgeToSwitch);
                let late = self.dice.between(0.6, 0.9);
                self.later(late, Order::Switch { big, on_ball });
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
                        duty: Duty::Guard,
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
