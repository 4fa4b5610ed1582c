//! Two screens in a row for the handler on the way up: the double drag.

use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, ScreenKind, ScreenerAction,
};

use crate::ball::Grip;
use crate::ball_screen::BallScreen;
use crate::duty::Duty;
use crate::shot::Next;
use crate::vec2::v2;
use crate::world::{Halt, Leg, World};

impl World<'_> {
    /// The two post players stop side by side in the handler's way, and the handler comes off both.
    pub fn double_drag(&mut self) -> Result<Next, Halt> {
        let base = self.offense * 5;
        let (first, second) = (base + 3, base + 4);
        let handler = self.handler;
        if handler == first || handler == second {
            return Ok(Next::Play);
        }
        self.grip(Grip::Dribble);
        let side = self.dice.sign();
        let place = v2(
            self.dice.between(8.8, 9.8),
            self.dice.between(-1.5, 1.5) - side * 1.5,
        );
        self.space_floor(&[handler, first, second], place);
        self.go(handler, place, 4.0);
        let toward_hoop = -place.unit();
        let across = toward_hoop.quarter_turn();
        let out = if across.y * side > 0.0 { across } else { -across };
        let spots = [
            place + toward_hoop * 0.6 + out * 1.0,
            place + toward_hoop * 0.9 + out * 3.6,
        ];
        let log = |w: &mut Self, screener, previous| {
            w.log_screen(
                true,
                ScreenKind::BallScreen,
                Outcome::Used,
                screener,
                handler,
                out,
                previous,
            )
        };
        let one = log(self, first, None);
        let two = log(self, second, Some(one));
        self.go(first, spots[0], 5.0);
        self.go(second, spots[1], 5.0);
        let on_screeners = [one, two].map(|i| self.log.screens[i].screener_defender);
        let on_ball = self.log.screens[one].user_defender;
        self.run_until(5.0, |w| {
            let stands = |s: usize, at| w.pos(s).distance(at) < 0.4 && w.bodies[s].vel.length() < 0.9;
            stands(first, spots[0]) && stands(second, spots[1]) && w.pos(handler).distance(place) < 0.7
        })?;
        for (slot, index) in [(first, one), (second, two)] {
            self.bodies[slot].planted = true;
            self.log.screens[index].t_planted_s = Some(self.now_s());
        }
        for (on_screener, spot) in on_screeners.into_iter().zip(spots) {
            self.duties[on_screener] = Duty::Drop {
                screen: spot,
                depth_m: 2.4,
            };
        }
        self.run_for(0.35)?;
        let pace = self.dice.between(4.4, 5.4);
        let up = place.unit();
        self.path(
            handler,
            &[
                Leg::past(spots[0] + up * 0.6, pace * 0.9),
                Leg::past(spots[1] + up * 0.6, pace),
                Leg::to(spots[1] + out * 1.7 - up * 1.0, pace),
            ],
        );
        for (index, spot) in [(one, spots[0]), (two, spots[1])] {
            let now_s = self.now_s();
            let plan = &mut self.log.screens[index];
            plan.t_go_s = now_s;
            plan.coverage = Some(Coverage::Drop);
            plan.on_ball_path = Some(OnBallPath::Over);
            self.duties[on_ball] = Duty::Over { screen: spot, out };
            self.run_until(2.4, |w| (w.pos(handler) - spot).dot(out) > 0.1)?;
        }
        let pop = BallScreen {
            screener: first,
            place,
            side,
            outcome: Outcome::Used,
            coverage: Coverage::Drop,
            path: OnBallPath::Over,
            screener_action: ScreenerAction::Pop,
            handler_action: self.dice.weighted(&[
                (HandlerAction::Drive, 0.3),
                (HandlerAction::PullUp, 0.3),
                (HandlerAction::Pass, 0.4),
            ]),
            helper_action: HelperAction::None,
            previous: None,
        };
        self.leave_screen(one, &pop, spots[0], out);
        let roll = BallScreen {
            screener: second,
            screener_action: ScreenerAction::Roll,
            ..pop
        };
        self.settle_coverage(two, &roll, out);
        self.leave_screen(two, &roll, spots[1], out);
        self.help(two, &roll);
        self.option(two, &roll, out)
    }
}
