//! How the user comes off a ball screen, and how its two defenders meet it.

use scrim_tables::tags::{Coverage, OnBallPath};

use super::BallScreen;
use crate::duty::Duty;
use crate::plan::HardCoverage;
use crate::shot::Next;
use crate::vec2::Vec2;
use crate::world::{Halt, Leg, World};

/// Who has longer to wait for the screener leans the defender first, s; how far, m; and nobody waits longer than this, s. Chosen so
/// that handlers come to screens as fast as real ones.
const LEANS_S: f64 = 0.1;
/// See [`LEANS_S`].
const LEAN_M: f64 = 2.4;
/// See [`LEANS_S`].
const LONGEST_WAIT_S: f64 = 2.5;

impl World<'_> {
    /// The handler comes off the screen; then the option.
    pub fn use_screen(
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
        let pace = self.dice.between(5.2, 7.0);
        // Past the screener's shoulder; wider when the screen is set for a defender who sags.
        let wide_m = (self.pos(handler) - spot).dot(up);
        let (least_m, share) = (self.dice.between(0.55, 1.1), self.dice.between(0.35, 1.0));
        let past_m = (wide_m * share).clamp(least_m, 2.6);
        let shoulder = spot + up * past_m + out * 0.45;
        // The user starts so as to be there when the screener has stood for as long as screens are: not at all, or half a second.
        let stands_s = if self.dice.chance(0.45) {
            self.dice.between(-0.75, -0.3)
        } else {
            self.dice.between(-0.4, 0.0)
        };
        let wait_s = |w: &Self| {
            let handler_s = w.pos(handler).distance(shoulder) / pace + 0.45;
            w.pos(screener).distance(spot) / screener_mps + 0.3 + stands_s - handler_s
        };
        // A step the other way meanwhile, to lean the defender: who has leaned comes from farther.
        if wait_s(self) > LEANS_S {
            let here = self.pos(handler);
            let step = self.dice.between(2.2, 3.8);
            let back = self.dice.between(-0.4, 0.6);
            self.path(
                handler,
                &[Leg::past(here - out * LEAN_M + up * (0.6 + back), step)],
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
                    Leg::past(spot - on * 1.2, screener_mps),
                    Leg::past(spot, slow_mps),
                    Leg::to(spot + on * 0.9, slow_mps),
                ],
            );
        }
        let mut set = brushes;
        set |= self.run_until_set(index, screener, spot, set, |w| wait_s(w) <= 0.0)?;
        // A hedge or a double drives the user wide and up; otherwise the user turns the corner.
        let wide = matches!(screen.coverage, Coverage::Hedge | Coverage::Blitz);
        let corner = if wide {
            spot + out * 2.2 + up * 1.3
        } else {
            spot + out * 2.2 - up * 1.2
        };
        let legs = [Leg::past(shoulder, pace), Leg::to(corner, pace)];
        self.come_off_screen(index, screen, spot, out, &legs);
        set |= self.run_until_past(index, screener, spot, set, handler, out)?;
        self.settle_coverage(index, screen, out);
        if set && !brushes {
            self.leave_screen(index, screen, spot, out);
        } else {
            self.leave_screen_after(index, screen, spot, out, 0.0);
        }
        self.play_out(index, screen, out)
    }

    /// The handler goes along `legs` past the screener, and the two defenders answer.
    pub fn come_off_screen(
        &mut self,
        index: usize,
        screen: &BallScreen,
        spot: Vec2,
        out: Vec2,
        legs: &[Leg],
    ) {
        let (on_screener, on_ball) = (
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
                    && spot.length() - self.pos(on_screener).length() > 1.6
                    && self.dice.chance(0.35) =>
            {
                self.catch_under(index, spot, out);
            }
            Coverage::Drop if self.dice.chance(0.12) => {
                // Caught on the screen: stuck for a moment, then trails.
                self.duties[on_ball] = Duty::Spot {
                    spot: spot - out * 0.6,
                };
                self.duty_later(0.8, on_ball, Duty::Guard);
            }
            // Only who is at the screen's height already, when the screener is nearly there, can step out.
            Coverage::Level
                if self.pos(on_screener).length() > spot.length() - 1.0
                    && self.pos(screen.screener).distance(spot) < 1.6
                    && self.dice.chance(0.6) =>
            {
                self.log.screens[index].hard = Some(HardCoverage::SoftShow);
                self.duty_later(0.1, on_screener, Duty::Show { screen: spot, out });
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
            self.duty_later(0.1, on_screener, Duty::Hedge { screen: spot, out });
        }
    }

    /// Runs until the handler has to start; the screener is planted on arrival, at which the handler starts too. Says whether that
    /// came.
    fn run_until_set(
        &mut self,
        index: usize,
        screener: usize,
        spot: Vec2,
        was_set: bool,
        due: impl Fn(&Self) -> bool,
    ) -> Result<bool, Halt> {
        let arrives =
            |w: &Self| w.pos(screener).distance(spot) < 0.5 && w.bodies[screener].vel.length() < 1.2;
        self.run_until(LONGEST_WAIT_S, |w| due(w) || (!was_set && arrives(w)))?;
        let is_set = !was_set && arrives(self);
        if is_set {
            self.bodies[screener].planted = true;
            self.log.screens[index].t_planted_s = Some(self.now_s());
        }
        Ok(is_set)
    }

    /// Runs until the handler is past the screen; the screener may still arrive meanwhile. Says whether they did.
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
}
