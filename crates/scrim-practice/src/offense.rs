//! What a team does with the ball from its own half to a shot: the way up, the set, the end of the clock.

mod pass;
mod shape;

use crate::ball::Grip;
use crate::duty::Duty;
use crate::shot::{Next, Restart, ShotStyle};
use crate::style::Style;
use crate::vec2::v2;
use crate::world::{Halt, Leg, World};

/// Something a team can run in the half court.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Action {
    BallScreen,
    Follow,
    Handoff,
    Swing,
    OffBall,
    Cut,
    Negative,
    Isolation,
}

/// Share of possessions in which the ball goes on once more before somebody makes something alone. Chosen so that touches agree.
const MOVES_AGAIN: f64 = 0.8;
/// Share of possessions whose first action begins at once, before the ball is moved. Chosen so that the first ball screens come as soon
/// as real ones.
const AT_ONCE: f64 = 0.22;
/// After so long with the ball a handler passes before anything else, seconds. Chosen so that touches agree with real ones.
const LONG_TOUCH_S: f64 = 1.9;

impl World<'_> {
    /// Plays the possession that is open until it is over.
    pub fn attack(&mut self) -> Result<Restart, Halt> {
        if self.playbook.is_some() {
            return self.attack_by_habit();
        }
        if let Next::Over(restart) = self.bring_up()? {
            return Ok(restart);
        }
        let few = [(4, 0.0), (1, 0.55), (2, 0.35), (3, 0.1)];
        let many = [(1, 0.3), (2, 0.4), (3, 0.25), (4, 0.05)];
        let actions = self.dice.weighted(&self.style.pick(few, many));
        self.play_on(actions)
    }

    /// A possession of a season: up the floor, the look, and then whatever the handler makes of it.
    fn attack_by_habit(&mut self) -> Result<Restart, Halt> {
        let look = self.choose_look();
        if let Next::Over(restart) = self.bring_up()? {
            return Ok(restart);
        }
        if let Some(look) = look
            && let Next::Over(restart) = self.run_look(look)?
        {
            return Ok(restart);
        }
        self.play_on(0)
    }

    /// Goes on with up to `actions` actions until the possession is over.
    fn play_on(&mut self, mut actions: u32) -> Result<Restart, Halt> {
        self.settles = false;
        let mut begins = true;
        loop {
            let holder = self.handler;
            let hurried = self.shot_clock_s < 6.0 || self.game_clock_s < 5.0;
            if self.pos(holder).length() < 2.6 && !hurried {
                // Caught or rebounded under the rim: go up or throw it out.
                if self.dice.chance(0.55) {
                    match self.shoot(holder, ShotStyle::Layup, None)? {
                        Next::Over(restart) => return Ok(restart),
                        Next::Play => continue,
                    }
                }
                self.kick_out()?;
                continue;
            }
            if actions == 0 && !hurried && self.moves_again() {
                self.swing_once()?;
            }
            if hurried || actions == 0 {
                match self.finish()? {
                    Next::Over(restart) => return Ok(restart),
                    Next::Play => {
                        // In a season nothing is scripted but the looks.
                        actions = u32::from(self.playbook.is_none());
                        continue;
                    }
                }
            }
            actions -= 1;
            if self.dice.chance(0.035) {
                return self.turnover();
            }
            if self.dice.chance(0.1) {
                return Ok(self.common_foul());
            }
            if self.dice.chance(0.02) {
                return self.knocked_out();
            }
            let lively = self.style == Style::Lively;
            // Who has had the ball for long gives it up; a lively team moves it anyway.
            let had_s = self.now_s() - self.touch_from_s;
            let moves_it = self.passing * (2.0 * self.tempo * self.tempo).max(had_s / LONG_TOUCH_S);
            let at_once = std::mem::take(&mut begins) && self.dice.chance(AT_ONCE);
            if lively && !at_once && self.playbook.is_none() && self.dice.chance(moves_it.min(0.95)) {
                let goes_on = (0.45 * self.tempo * self.passing).min(0.7);
                while self.swing_once()? && self.dice.chance(goes_on) {}
                self.grip(Grip::Dribble);
            }
            let long = self.shot_clock_s > 8.5;
            let weight = |w: f64| if long { w } else { 0.0 };
            let action = self.dice.weighted(&[
                (Action::BallScreen, weight(self.style.pick(1.6, 0.62))),
                (Action::Follow, weight(self.style.pick(1.8, 0.0))),
                (Action::Handoff, weight(self.style.pick(1.15, 0.1))),
                (Action::OffBall, weight(self.style.pick(0.65, 0.34))),
                (Action::Cut, weight(self.style.pick(0.55, 0.18))),
                (Action::Negative, weight(0.4)),
                (Action::Swing, self.style.pick(0.25, 0.08)),
                (Action::Isolation, self.style.pick(0.08, 0.05)),
            ]);
            let next = match action {
                Action::BallScreen => self.draw_ball_screen(None)?,
                Action::Follow => self.pass_and_follow()?,
                Action::Handoff => self.draw_handoff()?,
                Action::OffBall => self.draw_off_ball()?,
                Action::Cut => self.draw_cut()?,
                Action::Negative => self.draw_negative()?,
                Action::Swing => self.swing()?,
                Action::Isolation => self.finish()?,
            };
            if let Next::Over(restart) = next {
                return Ok(restart);
            }
        }
    }

    /// Whether a team passes once more before somebody makes something alone.
    fn moves_again(&mut self) -> bool {
        self.style == Style::Lively && self.playbook.is_none() && self.dice.chance(MOVES_AGAIN)
    }

    /// The handler makes something alone: a drive, a jumper, a drive and kick.
    pub fn finish(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let here = self.pos(handler);
        if here.length() < 7.7 && self.space(handler) > 1.7 && self.dice.chance(0.5) {
            return self.shoot(handler, ShotStyle::Jump, None);
        }
        self.grip(Grip::Dribble);
        let side = self.dice.sign();
        let around = here + (-here.unit()).turned(side * 0.7) * 2.0;
        self.path(
            handler,
            &[Leg::past(around, 5.5), Leg::to(v2(0.9, side * -0.5), 5.8)],
        );
        // The nearest helper comes.
        let helper = self
            .defenders()
            .filter(|&d| self.guards[d] != handler)
            .min_by(|&a, &b| self.pos(a).length().total_cmp(&self.pos(b).length()));
        if let Some(helper) = helper.filter(|_| self.dice.chance(0.6)) {
            self.duty_later(0.6, helper, Duty::Tag { roller: handler });
            self.duty_later(2.2, helper, Duty::Guard);
        }
        let depth = self.dice.between(1.2, 5.0);
        self.run_until(3.0, |w| {
            w.pos(handler).length() < depth || (w.space(handler) < 0.6 && w.pos(handler).length() < 5.0)
        })?;
        let distance = self.pos(handler).length();
        if self.shot_clock_s > 3.0 && self.game_clock_s > 3.0 && self.dice.chance(0.42) {
            self.kick_out()?;
            let shooter = self.handler;
            if self.space(shooter) > 1.3 && self.dice.chance(0.6) && self.pos(shooter).length() < 8.2 {
                return self.shoot(shooter, ShotStyle::Jump, None);
            }
            return Ok(Next::Play);
        }
        self.shoot(
            handler,
            if distance < 2.6 {
                ShotStyle::Layup
            } else {
                ShotStyle::Jump
            },
            None,
        )
    }
}
