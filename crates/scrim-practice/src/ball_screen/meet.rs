//! The way to a screen that nobody comes off: the screener comes to the handler's defender, wherever that defender goes.

use scrim_tables::tags::Outcome;

use crate::style::Style;
use crate::vec2::Vec2;
use crate::world::{Halt, Leg, World};

/// How near to the handler's defender a screener comes whom nobody uses, metres. In the real scenes the screeners of all 23 ball
/// screens that were labelled `slipped`, `ghosted`, `unused` or `flipped` came within 1.4 m, half of them within 0.6 m.
const MEETS_M: (f64, f64) = (0.45, 1.0);
/// Who has not come so near after this long gives it up, seconds.
const MEETS_S: f64 = 2.2;
/// The screener aims this far beside that defender, metres.
const BESIDE_M: f64 = 0.45;

/// Share of a waiting handler's steps that lead toward the screen. Chosen so that handlers meet screens as fast as real ones.
const TOWARD_SCREEN: f64 = 0.3;

/// How a screener comes to the defender.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Arrival {
    /// To stand there.
    Stops,
    /// To run on.
    RunsOn,
}

impl World<'_> {
    /// Sends the screener of the screen `index` to the handler's defender, on the side of `out`; returns when they are there.
    pub(super) fn meet_defender(
        &mut self,
        index: usize,
        out: Vec2,
        speed_mps: f64,
        arrival: Arrival,
    ) -> Result<(), Halt> {
        let plan = &self.log.screens[index];
        let (screener, guard) = (plan.screener, plan.user_defender);
        let near_m = self.dice.between(MEETS_M.0, MEETS_M.1);
        let mut left_s = MEETS_S;
        while self.gap(screener, guard) > near_m && left_s > 0.0 {
            let spot = self.pos(guard) + self.bodies[guard].vel * 0.25 + out * BESIDE_M;
            let leg = match arrival {
                Arrival::Stops => Leg::To { spot, speed_mps },
                // Aimed beyond, so that the run does not end there.
                Arrival::RunsOn => Leg::past(spot + (spot - self.pos(screener)).unit(), speed_mps),
            };
            self.path(screener, &[leg]);
            self.keep_dribbling(index);
            self.step()?;
            left_s -= self.dt_s;
        }
        Ok(())
    }

    /// The screener, who has come to the defender, stands there, a moment to `longest_s`.
    pub(super) fn stand_there(&mut self, index: usize, longest_s: f64) -> Result<(), Halt> {
        let screener = self.log.screens[index].screener;
        self.stop(screener);
        self.bodies[screener].planted = true;
        self.log.screens[index].t_planted_s = Some(self.now_s());
        let stands_s = self.dice.between(0.1, longest_s);
        self.dribble_until(index, stands_s, |_| false)
    }

    /// Runs until `done`, no longer than `seconds`; the handler of the screen `index` keeps moving meanwhile.
    pub(super) fn dribble_until(
        &mut self,
        index: usize,
        seconds: f64,
        done: impl Fn(&Self) -> bool,
    ) -> Result<(), Halt> {
        let mut left_s = seconds;
        while left_s > 0.0 && !done(self) {
            self.keep_dribbling(index);
            self.step()?;
            left_s -= self.dt_s;
        }
        Ok(())
    }

    /// In lively play a handler with nothing to do takes a few steps, rather away from the screen than toward it. In the real scenes
    /// handlers went at 2.0 to 2.7 m/s when a screener was nearest whom they rejected, who slipped, ghosted or flipped; those who
    /// did not use a screen and stayed, at 1.0.
    fn keep_dribbling(&mut self, index: usize) {
        let plan = &self.log.screens[index];
        let (user, out) = (plan.user, plan.out);
        let stays = self.style == Style::Orderly || plan.outcome == Outcome::Unused;
        if stays || user != self.handler || !self.is_idle(user) {
            return;
        }
        let side = if self.dice.chance(TOWARD_SCREEN) {
            1.0
        } else {
            -1.0
        };
        let (steps_m, pace_mps) = (self.dice.between(0.8, 2.0), self.dice.between(1.8, 3.4));
        let way = out * side + self.pos(user).unit() * self.dice.between(-0.5, 0.5);
        let spot = self.pos(user) + way * steps_m;
        self.path(user, &[Leg::past(spot, pace_mps)]);
    }
}
