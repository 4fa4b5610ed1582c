//! The ball screen of an orderly possession: the handler waits at the place, the screener comes, stands, and only then is used.

use scrim_tables::tags::{Coverage, Outcome};

use super::BallScreen;
use crate::ball::Grip;
use crate::shot::Next;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// Share of screens that are set for a handler who is still coming; for the others the handler stands and waits.
/// Common practice, no source.
const STILL_COMING: f64 = 0.3;

impl World<'_> {
    /// The handler goes to the place, the others make room; the screener waits at a distance. Returns where the handler takes the
    /// screen.
    pub(super) fn prepare_orderly_screen(&mut self, screen: &BallScreen) -> Result<Vec2, Halt> {
        let handler = self.handler;
        let still_coming = self.dice.chance(STILL_COMING);
        let early_m = if still_coming { 2.4 } else { 0.5 };
        self.grip(Grip::Dribble);
        if self.pos(handler).distance(screen.place) > 1.2 {
            let speed = self.dice.between(2.6, 4.2);
            self.go(handler, screen.place, speed);
        }
        // A screener who stands on the spot already steps away first, as post players do.
        if screen.previous.is_none() && self.pos(screen.screener).distance(screen.place) < 3.0 {
            let spot = self.pos(screen.screener).toward(v2(1.5, 0.0), 0.5);
            self.go(screen.screener, spot, 3.0);
        }
        self.space_floor(&[handler, screen.screener], screen.place);
        self.fill_weak_corner(screen);
        self.run_until(4.0, |w| {
            let stopped = still_coming || w.bodies[handler].vel.length() < 0.8;
            w.pos(handler).distance(screen.place) < early_m && stopped
        })?;
        if still_coming {
            return Ok(screen.place);
        }
        let here = self.pos(handler);
        self.tasks[handler].legs.clear();
        self.tasks[handler].hold = here;
        Ok(here)
    }

    /// Where a screener stands for a handler at `here` who is to go `out`: beside the handler, farther off where the handler will
    /// not come.
    pub(super) fn orderly_spot(&mut self, here: Vec2, out: Vec2, outcome: Outcome) -> Vec2 {
        // From flat (beside the handler) to steep (nearer the hoop than the handler is).
        let depth = self.dice.between(0.15, 0.95);
        let farther = if outcome == Outcome::Unused { 0.35 } else { 0.0 };
        let beside = self.dice.between(0.8, 1.15) + farther;
        here - here.unit() * depth + out * beside
    }

    /// The handler comes off a screener who stands; then the option.
    pub(super) fn use_orderly_screen(
        &mut self,
        index: usize,
        screen: &BallScreen,
        spot: Vec2,
        out: Vec2,
    ) -> Result<Next, Halt> {
        debug_assert_eq!(screen.outcome, Outcome::Used);
        let handler = self.handler;
        let up = spot.unit();
        let pace = self.dice.between(4.4, 5.8);
        // A hedge or a double drives the handler wide and up; otherwise it is round the corner.
        let corner = if matches!(screen.coverage, Coverage::Hedge | Coverage::Blitz) {
            spot + out * 2.2 + up * 1.3
        } else {
            spot + out * 1.7 - up * 0.9
        };
        let mut legs = vec![
            Leg::past(spot + up * 0.62 + out * 0.1, pace * 0.9),
            Leg::to(corner, pace),
        ];
        if self.dice.chance(0.3) {
            // A step the other way first, to lean the defender.
            let here = self.pos(handler);
            legs.insert(0, Leg::to(here - out * 0.6 + up * 0.1, 3.2));
        }
        self.come_off_screen(index, screen, spot, out, &legs);
        self.run_until(2.2, |w| (w.pos(handler) - spot).dot(out) > 0.1)?;
        self.settle_coverage(index, screen, out);
        self.leave_screen(index, screen, spot, out);
        self.play_out(index, screen, out)
    }
}
