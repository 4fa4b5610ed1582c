//! The way to a screen that nobody comes off: the screener comes to the handler's defender, wherever that defender goes.

use crate::vec2::Vec2;
use crate::world::{Halt, Leg, World};

/// How near to the handler's defender a screener comes whom nobody uses, metres. In the real scenes the screeners of all 23 ball
/// screens that were labelled `slipped`, `ghosted`, `unused` or `flipped` came within 1.4 m, half of them within 0.6 m.
const MEETS_M: (f64, f64) = (0.45, 1.0);
/// Who has not come so near after this long gives it up, seconds.
const MEETS_S: f64 = 2.2;
/// The screener aims this far beside that defender, metres.
const BESIDE_M: f64 = 0.45;

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
        self.run_for(stands_s)
    }
}
