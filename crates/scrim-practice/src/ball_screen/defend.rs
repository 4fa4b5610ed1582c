//! What the two defenders of a ball screen do when it is passed.

use scrim_tables::tags::{Coverage, OnBallPath};

use super::BallScreen;
use crate::duty::Duty;
use crate::plan::HardCoverage;
use crate::vec2::Vec2;
use crate::world::{Order, World};

impl World<'_> {
    /// The handler's defender wants to go under and is held up beside the screener, on the hoop side, for a while.
    pub fn catch_under(&mut self, index: usize, spot: Vec2, out: Vec2) {
        let on_ball = self.log.screens[index].user_defender;
        self.log.screens[index].hard = Some(HardCoverage::CaughtUnder);
        self.duties[on_ball] = Duty::Spot {
            spot: spot - spot.unit() * 1.1 - out * 0.2,
        };
        // The screener's defender has the handler alone meanwhile, and stays down.
        let on_screener = self.log.screens[index].screener_defender;
        self.duties[on_screener] = Duty::Drop {
            screen: spot,
            depth_m: 2.6,
        };
        let caught = self.dice.between(0.9, 1.3);
        self.duty_later(caught, on_ball, Duty::Under { screen: spot, out });
        self.duty_later(caught + 0.7, on_ball, Duty::Guard);
    }

    /// The screener's defender takes the handler, the handler's defender goes to the screener and stays body to body for a while.
    pub fn switch_now(&mut self, on_screener: usize, on_ball: usize) {
        self.swap_matchups(on_screener, on_ball);
        self.duties[on_screener] = Duty::Guard;
        self.duties[on_ball] = Duty::Take;
        self.duty_later(2.4, on_ball, Duty::Guard);
    }

    /// What the two defenders do once the handler is past the screen.
    pub fn settle_coverage(&mut self, index: usize, screen: &BallScreen, out: Vec2) {
        let (on_screener, on_ball) = (
            self.log.screens[index].screener_defender,
            self.log.screens[index].user_defender,
        );
        match screen.coverage {
            Coverage::Switch => {
                if screen.path == OnBallPath::Over {
                    // A late one: both go after the handler first.
                    let late = self.dice.between(0.5, 0.9);
                    let case = HardCoverage::LateSwitch;
                    self.later(late, Order::Switch { index, case });
                    self.duties[on_ball] = Duty::Guard;
                } else {
                    self.switch_now(on_screener, on_ball);
                }
            }
            Coverage::Hedge if self.playbook.is_none() && self.dice.chance(0.25) => {
                // The hedge that becomes a switch: nobody gets back. (In a season what is called is played.)
                let late = self.dice.between(0.6, 0.9);
                let case = HardCoverage::HedgeToSwitch;
                self.later(late, Order::Switch { index, case });
                self.log.screens[index].coverage = Some(Coverage::Switch);
                self.log.screens[index].on_ball_path = Some(OnBallPath::Switched);
            }
            Coverage::Hedge => {
                // Back to the screener's body first, wherever that is.
                let back = self.dice.between(0.0, 0.3);
                self.duty_later(back, on_screener, Duty::Take);
                self.duty_later(back + 1.5, on_screener, Duty::Guard);
                self.duty_later(1.3, on_ball, Duty::Guard);
            }
            Coverage::Blitz => {
                let side = out * 0.8 - self.pos(self.handler).unit() * 0.4;
                self.duty_later(0.35, on_screener, Duty::Double { side });
                self.duty_later(0.5, on_ball, Duty::Double { side: -out });
            }
            Coverage::Level => {
                let back = if self.log.screens[index].hard == Some(HardCoverage::SoftShow) {
                    self.dice.between(0.0, 0.2)
                } else {
                    self.dice.between(0.2, 0.6)
                };
                self.duty_later(back, on_screener, Duty::Take);
                self.duty_later(back, on_ball, Duty::Guard);
            }
            Coverage::Drop => {
                let back = self.dice.between(1.6, 2.4);
                self.duty_later(back, on_screener, Duty::Guard);
                if self.log.screens[index].hard != Some(HardCoverage::CaughtUnder) {
                    self.duty_later(1.4, on_ball, Duty::Guard);
                }
            }
            Coverage::Ice | Coverage::Unclear => {}
        }
    }
}
