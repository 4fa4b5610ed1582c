//! Scripts of the ball screen: how it is set, used or not, defended, and what comes of it.

use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget, ScreenKind, ScreenerAction,
};

use crate::ball::Grip;
use crate::defense::Duty;
use crate::plan::ScreenPlan;
use crate::shot::{Next, ShotStyle};
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
    /// Draws a ball screen that fits together and runs it.
    pub fn draw_ball_screen(&mut self, preferred: Option<usize>) -> Result<Next, Halt> {
        let handler = self.handler;
        let base = self.offense * 5;
        let candidates: Vec<(usize, f64)> = [(4, 0.55), (3, 0.27), (2, 0.1), (1, 0.08), (0, 0.06)]
            .iter()
            .map(|&(s, w)| (base + s, w))
            .filter(|&(s, _)| s != handler)
            .collect();
        let drawn = self.dice.weighted(&candidates);
        let screener = preferred.filter(|&s| s != handler).unwrap_or(drawn);
        let side_y = self.side_y_m();
        let mirror = self.dice.sign();
        let place = self.dice.weighted(&[
            (v2(8.6, 0.4), 0.3),
            (v2(8.0, 3.2), 0.28),
            (v2(6.2, 5.2), 0.22),
            (v2(4.2, side_y - 0.9), 0.1),
            (v2(5.8, 2.9), 0.1),
        ]);
        let place = v2(
            place.x + self.dice.between(-0.5, 0.7),
            place.y * mirror + self.dice.between(-0.5, 0.5),
        );
        // In the attack frame the way to the hoop from the right side turns by +90° toward the middle or the
        // sideline; both happen, the middle more often.
        let middle = if place.y > 0.0 { -1.0 } else { 1.0 };
        let side = if self.dice.chance(0.68) { -middle } else { middle };
        let coverage = self.dice.weighted(&[
            (Coverage::Drop, 0.34),
            (Coverage::Level, 0.14),
            (Coverage::Hedge, 0.13),
            (Coverage::Blitz, 0.1),
            (Coverage::Switch, 0.2),
            (Coverage::Ice, 0.09),
        ]);
        let outcome = match coverage {
            Coverage::Ice => Outcome::Rejected,
            Coverage::Drop
            | Coverage::Level
            | Coverage::Hedge
            | Coverage::Blitz
            | Coverage::Switch
            | Coverage::Unclear => self.dice.weighted(&[
                (Outcome::Used, 0.64),
                (Outcome::Rejected, 0.07),
                (Outcome::Slipped, 0.09),
                (Outcome::Ghosted, 0.06),
                (Outcome::Flipped, 0.05),
                (Outcome::Unused, 0.09),
            ]),
        };
        let path = match coverage {
            Coverage::Switch => OnBallPath::Switched,
            Coverage::Ice => OnBallPath::Denied,
            Coverage::Hedge | Coverage::Blitz => OnBallPath::Over,
            Coverage::Drop | Coverage::Level | Coverage::Unclear => self
                .dice
                .weighted(&[(OnBallPath::Over, 0.68), (OnBallPath::Under, 0.32)]),
        };
        let screener_action = self.dice.weighted(&[
            (ScreenerAction::Roll, 0.42),
            (ScreenerAction::ShortRoll, 0.18),
            (ScreenerAction::Pop, 0.28),
            (ScreenerAction::Stay, 0.12),
        ]);
        let handler_action = match coverage {
            Coverage::Blitz => self
                .dice
                .weighted(&[(HandlerAction::Pass, 0.85), (HandlerAction::Split, 0.15)]),
            Coverage::Hedge => self.dice.weighted(&[
                (HandlerAction::Pass, 0.5),
                (HandlerAction::Reset, 0.35),
                (HandlerAction::Split, 0.15),
            ]),
            Coverage::Ice => HandlerAction::Reject,
            Coverage::Drop | Coverage::Level | Coverage::Switch | Coverage::Unclear => self.dice.weighted(&[
                (HandlerAction::Drive, 0.2),
                (HandlerAction::PullUp, 0.2),
                (HandlerAction::StepBack, 0.06),
                (HandlerAction::Pass, 0.4),
                (HandlerAction::Reset, 0.14),
            ]),
        };
        let helper_action = self.dice.weighted(&[
            (HelperAction::Tag, 0.35),
            (HelperAction::Sag, 0.15),
            (HelperAction::Stunt, 0.2),
            (HelperAction::None, 0.3),
        ]);
        self.ball_screen(BallScreen {
            screener,
            place,
            side,
            outcome,
            coverage,
            path,
            screener_action,
            handler_action,
            helper_action,
            previous: None,
        })
    }

    /// The handler goes to the place, the others make room; the screener waits at a distance.
    fn prepare_screen(&mut self, screen: &BallScreen) -> Result<(), Halt> {
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
            w.pos(handler).distance(screen.place) < 0.5 && w.bodies[handler].vel.length() < 0.8
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
        self.prepare_screen(&screen)?;
        let handler = self.handler;
        let here = self.pos(handler);
        let (spot, out) = self.screen_spot(here, screen.side);
        self.tasks[handler].legs.clear();
        self.tasks[handler].hold = here;
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
        let depth = self.dice.between(0.35, 0.85);
        let beside = self.dice.between(0.85, 1.1);
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
        if iced || screen.outcome == Outcome::Rejected {
            self.duties[on_ball] = Duty::Ice { out };
        }
        if screen.outcome == Outcome::Ghosted {
            return self.ghost(index, screen, spot, out);
        }
        if screen.outcome == Outcome::Slipped && self.dice.chance(0.5) {
            // He never quite stops: he is off again as he arrives.
            self.run_until(2.0, |w| w.pos(screener).distance(spot) < 0.55)?;
            return self.slip(index, screen, out);
        }
        self.stand(index, screener, spot, 0.9)?;
        match screen.outcome {
            Outcome::Used => self.use_screen(index, screen, spot, out),
            Outcome::Rejected => self.reject(index, screen, spot, out),
            Outcome::Slipped => self.slip(index, screen, out),
            Outcome::Flipped => self.flip(index, screen, handler),
            Outcome::Unused => self.leave_unused(index, screen, spot, out),
            Outcome::Ghosted => self.ghost(index, screen, spot, out),
        }
    }

    /// The screener arrives and stands, 0.3 s to `longest_s`.
    fn stand(&mut self, index: usize, screener: usize, spot: Vec2, longest_s: f64) -> Result<(), Halt> {
        self.run_until(3.0, |w| {
            w.pos(screener).distance(spot) < 0.4 && w.bodies[screener].vel.length() < 0.9
        })?;
        self.bodies[screener].planted = true;
        self.log.screens[index].t_planted_s = Some(self.now_s());
        let set = self.dice.between(0.3, longest_s);
        self.run_for(set)
    }

    /// The handler's man takes the icing position while the screener is still on his way; the handler leaves.
    fn deny_early(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) -> Result<Next, Halt> {
        let screener = screen.screener;
        let plan = &self.log.screens[index];
        let (big, on_ball) = (plan.screener_defender, plan.user_defender);
        self.duties[on_ball] = Duty::Ice { out };
        self.duties[big] = Duty::IceBig { out };
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
    fn slip(&mut self, index: usize, screen: &BallScreen, out: Vec2) -> Result<Next, Halt> {
        let handler = self.handler;
        let big = self.log.screens[index].screener_defender;
        self.log.screens[index].t_go_s = self.now_s();
        let slip = BallScreen {
            screener_action: ScreenerAction::Slip,
            ..*screen
        };
        let from = self.pos(screen.screener);
        self.leave_screen_after(index, &slip, from, out, 0.0);
        self.later(
            0.35,
            Order::Duty {
                slot: big,
                duty: Duty::Guard,
            },
        );
        self.help(index, &slip);
        self.handler_after_no_use(index, &slip, handler, 0.5)
    }

    /// The screener runs through to the perimeter without stopping.
    fn ghost(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) -> Result<Next, Halt> {
        let handler = self.handler;
        let big = self.log.screens[index].screener_defender;
        let screener = screen.screener;
        let away = (spot + out * 4.2).unit() * self.dice.between(7.1, 7.6);
        let pop = v2(away.x.max(0.8), away.y.clamp(-6.8, 6.8));
        self.log.screens[index].screener_action = Some(ScreenerAction::Ghost);
        self.path(
            screener,
            &[
                Leg::Past { spot, speed_mps: 4.8 },
                Leg::To {
                    spot: pop,
                    speed_mps: 4.8,
                },
            ],
        );
        self.run_until(2.0, |w| w.pos(screener).distance(spot) < 0.75)?;
        self.log.screens[index].t_go_s = self.now_s();
        self.duties[big] = Duty::Guard;
        self.handler_after_no_use(index, screen, handler, 0.45)
    }

    /// After a slip or a ghost: the pass to the one who left, a drive into the gap, or nothing.
    fn handler_after_no_use(
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

    /// The screener goes round to the handler's other side and screens again: two rows, linked.
    fn flip(&mut self, index: usize, screen: &BallScreen, handler: usize) -> Result<Next, Halt> {
        self.log.screens[index].t_go_s = self.now_s();
        self.log.screens[index].screener_action = Some(ScreenerAction::Rescreen);
        let here = self.pos(handler);
        let side = -screen.side;
        let (spot, out) = self.screen_spot(here, side);
        let second = BallScreen {
            side,
            outcome: Outcome::Used,
            previous: Some(index),
            ..*screen
        };
        let next = self.log_screen(
            true,
            ScreenKind::BallScreen,
            Outcome::Used,
            screen.screener,
            handler,
            out,
            Some(index),
        );
        let pace = self.dice.between(3.6, 4.6);
        // Round the handler's man on the hoop side.
        self.path(
            screen.screener,
            &[
                Leg::Past {
                    spot: here - here.unit() * 2.2,
                    speed_mps: pace,
                },
                Leg::To {
                    spot,
                    speed_mps: pace,
                },
            ],
        );
        self.duties[self.log.screens[next].screener_defender] = Duty::Guard;
        self.duties[self.log.screens[next].user_defender] = Duty::Guard;
        self.run_for(0.4)?;
        self.set_screen(next, &second, spot, out)
    }

    /// Set, and nothing comes of it: the handler passes elsewhere, or the screener leaves again.
    fn leave_unused(
        &mut self,
        index: usize,
        screen: &BallScreen,
        spot: Vec2,
        out: Vec2,
    ) -> Result<Next, Halt> {
        let handler = self.handler;
        let wait = self.dice.between(0.5, 1.1);
        self.run_for(wait)?;
        self.log.screens[index].t_go_s = self.now_s();
        if self.dice.chance(0.5) {
            self.log.screens[index].handler_action = Some(HandlerAction::Pass);
            let mates: Vec<usize> = self
                .attackers()
                .filter(|&s| s != handler && s != screen.screener)
                .collect();
            let to = mates[self.dice.index(mates.len())];
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
        self.path(
            handler,
            &[
                Leg::Past {
                    spot: shoulder,
                    speed_mps: pace * 0.9,
                },
                Leg::To {
                    spot: corner,
                    speed_mps: pace,
                },
            ],
        );
        self.duties[on_ball] = match screen.path {
            OnBallPath::Under => Duty::Under { screen: spot, out },
            OnBallPath::Over | OnBallPath::Switched | OnBallPath::Denied | OnBallPath::Unclear => {
                Duty::Over { screen: spot, out }
            }
        };
        if screen.coverage == Coverage::Drop && self.dice.chance(0.12) {
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

    /// What the two defenders do once the handler is past the screen.
    pub fn settle_coverage(&mut self, index: usize, screen: &BallScreen, out: Vec2) {
        let (big, on_ball) = (
            self.log.screens[index].screener_defender,
            self.log.screens[index].user_defender,
        );
        match screen.coverage {
            Coverage::Switch => {
                if self.dice.chance(0.25) {
                    // A late one: both go after the handler first.
                    let late = self.dice.between(0.5, 0.9);
                    self.later(late, Order::Swap { a: big, b: on_ball });
                    self.duties[on_ball] = Duty::Guard;
                } else {
                    self.swap_matchups(big, on_ball);
                    self.duties[big] = Duty::Guard;
                    self.duties[on_ball] = Duty::Guard;
                }
            }
            Coverage::Hedge if self.dice.chance(0.2) => {
                // The hedge that becomes a switch: nobody gets back.
                let late = self.dice.between(0.6, 0.9);
                self.later(late, Order::Swap { a: big, b: on_ball });
                self.log.screens[index].coverage = Some(Coverage::Switch);
                self.log.screens[index].on_ball_path = Some(OnBallPath::Switched);
            }
            Coverage::Hedge => {
                let back = self.dice.between(0.5, 0.8);
                self.later(
                    back,
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
                let back = self.dice.between(0.4, 0.7);
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
                self.later(
                    1.4,
                    Order::Duty {
                        slot: on_ball,
                        duty: Duty::Guard,
                    },
                );
            }
            Coverage::Ice | Coverage::Unclear => {}
        }
    }

    /// The screener leaves his spot as the action says.
    pub fn leave_screen(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) {
        let wait = self.dice.between(0.05, 0.4);
        self.leave_screen_after(index, screen, spot, out, wait);
    }

    /// The same, `wait` seconds from now.
    fn leave_screen_after(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2, wait: f64) {
        let screener = screen.screener;
        let legs: Vec<Leg> = match screen.screener_action {
            ScreenerAction::Roll | ScreenerAction::Slip => vec![
                Leg::Wait { left_s: wait },
                Leg::To {
                    spot: v2(1.1, spot.unit().y * 1.2),
                    speed_mps: self.dice.between(4.2, 5.4),
                },
            ],
            ScreenerAction::ShortRoll => vec![
                Leg::Wait { left_s: wait },
                Leg::To {
                    spot: v2(self.dice.between(3.6, 4.1), spot.y.clamp(-2.0, 2.0)),
                    speed_mps: 4.2,
                },
            ],
            ScreenerAction::Pop | ScreenerAction::Ghost => {
                let away = spot - out * 3.2;
                let arc = away.unit() * self.dice.between(7.1, 7.7);
                vec![
                    Leg::Wait { left_s: wait },
                    Leg::To {
                        spot: v2(arc.x.max(0.7), arc.y.clamp(-6.9, 6.9)),
                        speed_mps: 4.4,
                    },
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
        let (big, on_ball) = (plan.screener_defender, plan.user_defender);
        let others = self.defenders().filter(|&d| d != big && d != on_ball);
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
            self.later(start, Order::Duty { slot: helper, duty });
            self.later(
                start + seconds,
                Order::Duty {
                    slot: helper,
                    duty: Duty::Guard,
                },
            );
        }
        let plan = &mut self.log.screens[index];
        plan.helper_action = Some(action);
        plan.helper = duty.map(|_| helper);
    }

    /// What the handler makes of it.
    pub fn option(&mut self, index: usize, screen: &BallScreen, out: Vec2) -> Result<Next, Halt> {
        let handler = self.handler;
        self.log.screens[index].handler_action = Some(screen.handler_action);
        self.relocate(&[handler, screen.screener]);
        match screen.handler_action {
            HandlerAction::Drive | HandlerAction::Reject => {
                let side = self.pos(handler).y.signum();
                self.path(
                    handler,
                    &[Leg::To {
                        spot: v2(0.8, side * 0.6),
                        speed_mps: 5.8,
                    }],
                );
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
                self.path(
                    handler,
                    &[Leg::To {
                        spot: goal,
                        speed_mps: 4.8,
                    }],
                );
                let most = self.dice.between(0.7, 1.5);
                self.run_until(most, |w| w.pos(handler).distance(goal) < 0.7)?;
                self.shoot(handler, ShotStyle::Jump, Some(index))
            }
            HandlerAction::StepBack => {
                let at = self.pos(handler);
                self.path(
                    handler,
                    &[Leg::To {
                        spot: at - at.unit() * 1.6,
                        speed_mps: 4.8,
                    }],
                );
                self.run_for(0.6)?;
                let at = self.pos(handler);
                self.path(
                    handler,
                    &[Leg::To {
                        spot: at + at.unit() * 1.5,
                        speed_mps: 3.4,
                    }],
                );
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
                        Leg::Past {
                            spot: between,
                            speed_mps: 5.5,
                        },
                        Leg::Past {
                            spot: beyond,
                            speed_mps: 5.5,
                        },
                        Leg::To {
                            spot: v2(1.2, 0.0),
                            speed_mps: 5.5,
                        },
                    ],
                );
                self.run_until(2.5, |w| w.pos(handler).length() < 2.0)?;
                self.shoot(handler, ShotStyle::Layup, Some(index))
            }
            HandlerAction::Pass => self.pass_option(index, screen),
            HandlerAction::Reset | HandlerAction::Unclear => {
                self.run_for(0.5)?;
                let y = self.pos(handler).y;
                self.path(
                    handler,
                    &[Leg::To {
                        spot: v2(9.2, y * 0.8),
                        speed_mps: 3.0,
                    }],
                );
                let is_ball_screen = self.log.screens[index].kind == ScreenKind::BallScreen;
                let again = is_ball_screen && self.shot_clock_s > 9.0 && self.dice.chance(0.5);
                self.run_for(if again { 0.9 } else { 1.6 })?;
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
    fn pass_option(&mut self, index: usize, screen: &BallScreen) -> Result<Next, Halt> {
        let handler = self.handler;
        let wait = match screen.coverage {
            Coverage::Blitz => self.dice.between(1.4, 2.0),
            Coverage::Drop
            | Coverage::Level
            | Coverage::Hedge
            | Coverage::Switch
            | Coverage::Ice
            | Coverage::Unclear => self.dice.between(0.5, 1.4),
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
            let mates: Vec<usize> = self
                .attackers()
                .filter(|&s| s != handler && s != screen.screener)
                .collect();
            mates[self.dice.index(mates.len())]
        };
        self.pass_out_to(index, to, to == screen.screener)
    }

    /// The pass out of the screen to `to`, and what he does with it.
    fn pass_out_to(&mut self, index: usize, to: usize, is_screener: bool) -> Result<Next, Halt> {
        self.note_pass(index, to, is_screener);
        self.pass(to)?;
        self.calm(index);
        let distance = self.pos(to).length();
        if distance < 3.2 {
            let side = self.pos(to).y.signum();
            self.path(
                to,
                &[Leg::To {
                    spot: v2(0.8, side * 0.5),
                    speed_mps: 5.0,
                }],
            );
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

    /// Everyone on defence goes back to guarding his man; the screener may be planted no more.
    pub fn calm(&mut self, index: usize) {
        self.forget_orders();
        let screener = self.log.screens[index].screener;
        self.bodies[screener].planted = false;
        for slot in self.defenders() {
            self.duties[slot] = Duty::Guard;
        }
    }

    /// The handler goes away from the screen.
    fn reject(&mut self, index: usize, screen: &BallScreen, spot: Vec2, out: Vec2) -> Result<Next, Halt> {
        let handler = self.handler;
        let here = self.pos(handler);
        let (big, on_ball) = (
            self.log.screens[index].screener_defender,
            self.log.screens[index].user_defender,
        );
        self.log.screens[index].t_go_s = self.now_s();
        if screen.coverage == Coverage::Ice {
            self.log.screens[index].coverage = Some(Coverage::Ice);
            self.log.screens[index].on_ball_path = Some(OnBallPath::Denied);
        }
        let first = here - out * 1.8 - here.unit() * 0.9;
        let deep = first - first.unit() * 2.5 - out * 0.4;
        let pace = self.dice.between(4.6, 5.8);
        self.path(
            handler,
            &[
                Leg::Past {
                    spot: first,
                    speed_mps: pace,
                },
                Leg::To {
                    spot: deep,
                    speed_mps: pace,
                },
            ],
        );
        self.later(
            0.45,
            Order::Duty {
                slot: on_ball,
                duty: Duty::Guard,
            },
        );
        if screen.coverage != Coverage::Ice {
            self.duties[big] = Duty::Drop {
                screen: spot,
                depth_m: 2.0,
            };
        }
        self.later(
            1.6,
            Order::Duty {
                slot: big,
                duty: Duty::Guard,
            },
        );
        if self.log.screens[index].early_denial {
            // No screen to come to: he turns off.
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
        let mates: Vec<usize> = self.attackers().filter(|&s| s != handler).collect();
        let to = mates[self.dice.index(mates.len())];
        self.pass(to)?;
        self.calm(index);
        Ok(Next::Play)
    }
}
