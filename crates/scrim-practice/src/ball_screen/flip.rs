//! Flips: the same two screen again on the handler's other side. Two rows, linked.

use scrim_tables::tags::{OnBallPath, Outcome, ScreenKind, ScreenerAction};

use super::BallScreen;
use crate::duty::Duty;
use crate::shot::Next;
use crate::style::Style;
use crate::vec2::Vec2;
use crate::world::{Halt, Leg, World};

/// How often it is the handler who turns back, not the screener who goes round: so it was in all 8 flips of the labelled real
/// scenes (`tests/reference/real/`), of which some would be the other kind had there been more.
const TURNS_BACK: f64 = 0.8;

/// A defender this far past the screen has come round; a handler does not wait for it longer than this, metres and seconds. Common
/// practice, no source.
const ROUND_M: f64 = 0.3;
/// See [`ROUND_M`].
const ROUND_S: f64 = 0.5;

impl World<'_> {
    /// The first side is given up and the second taken.
    pub(super) fn flip(&mut self, index: usize, screen: &BallScreen, handler: usize) -> Result<Next, Halt> {
        self.log.screens[index].t_go_s = self.now_s();
        self.log.screens[index].screener_action = Some(ScreenerAction::Rescreen);
        if self.style == Style::Lively && self.dice.chance(TURNS_BACK) {
            self.turn_back(index, screen, handler)
        } else {
            self.go_round(index, screen, handler)
        }
    }

    /// The handler comes off the screen, turns, and comes off the same screener the other way.
    fn turn_back(&mut self, index: usize, screen: &BallScreen, handler: usize) -> Result<Next, Halt> {
        let screener = screen.screener;
        let plan = &self.log.screens[index];
        let (out, on_ball) = (plan.out, plan.user_defender);
        let spot = self.pos(screener);
        let up = spot.unit();
        let pace = self.dice.between(2.4, 4.6);
        let past_m = self.dice.between(0.5, 1.5);
        let shoulder = spot + up * past_m + out * 0.2;
        // Some turn beside the screener already, some when they see what waits for them there.
        let turns_m = self.dice.between(-0.4, 1.3);
        let beyond = shoulder + out * (turns_m + 1.2) + up * self.dice.between(-0.6, 0.9);
        self.path(handler, &[Leg::past(shoulder, pace), Leg::to(beyond, pace)]);
        self.duties[on_ball] = match screen.path {
            OnBallPath::Under => Duty::Under { screen: spot, out },
            OnBallPath::Switched => Duty::Guard,
            OnBallPath::Over | OnBallPath::Denied | OnBallPath::Unclear => Duty::Over { screen: spot, out },
        };
        self.run_until(2.0, |w| (w.pos(handler) - spot).dot(out) > turns_m)?;
        self.log.screens[index].t_turn_s = Some(self.now_s());
        // The handler turns once the defender has come round, and whom the screener holds up now has to come back.
        self.stop(handler);
        self.run_until(ROUND_S, |w| (w.pos(on_ball) - spot).dot(out) > ROUND_M)?;
        let waits_s = self.dice.between(0.0, 0.2);
        self.run_for(waits_s)?;
        let here = self.ahead(handler);
        let (second, spot, out) = self.call_second_side(index, screen, handler, here);
        let pace = self.dice.between(1.6, 3.4);
        self.go(screener, spot, pace);
        self.set_screen(second, &second_side(screen, index), spot, out)
    }

    /// The screener goes round to the handler's other side.
    fn go_round(&mut self, index: usize, screen: &BallScreen, handler: usize) -> Result<Next, Halt> {
        let here = self.pos(handler);
        let (second, spot, out) = self.call_second_side(index, screen, handler, here);
        let pace = self.dice.between(3.6, 4.6);
        // Round the handler's defender on the hoop side.
        self.path(
            screen.screener,
            &[Leg::past(here - here.unit() * 2.2, pace), Leg::to(spot, pace)],
        );
        self.run_for(0.4)?;
        // The handler waits for the screener to come round.
        let (screener, near_m) = (screen.screener, self.dice.between(0.5, 1.6));
        self.run_until(1.6, |w| w.pos(screener).distance(spot) < near_m)?;
        self.set_screen(second, &second_side(screen, index), spot, out)
    }

    /// Logs the screen on the second side for a handler at `here`: its index, its spot and the way the handler is to go.
    fn call_second_side(
        &mut self,
        index: usize,
        screen: &BallScreen,
        handler: usize,
        here: Vec2,
    ) -> (usize, Vec2, Vec2) {
        let (spot, out) = self.screen_spot(here, -screen.side, screen.outcome);
        let second = self.log_screen(
            true,
            ScreenKind::BallScreen,
            Outcome::Used,
            screen.screener,
            handler,
            out,
            Some(index),
        );
        self.duties[self.log.screens[second].screener_defender] = Duty::Guard;
        self.duties[self.log.screens[second].user_defender] = Duty::Guard;
        (second, spot, out)
    }
}

/// What the second side is to be.
fn second_side(screen: &BallScreen, first: usize) -> BallScreen {
    BallScreen {
        side: -screen.side,
        outcome: Outcome::Used,
        previous: Some(first),
        ..*screen
    }
}
