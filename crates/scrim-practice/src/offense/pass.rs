//! Passes around the perimeter, and out of the paint to it.

use crate::ball::Grip;
use crate::shot::{Next, ShotStyle};
use crate::style::Style;
use crate::vec2::v2;
use crate::world::{Halt, World};

impl World<'_> {
    /// Out of the paint to a player on the perimeter.
    pub fn kick_out(&mut self) -> Result<(), Halt> {
        let handler = self.handler;
        let to = self
            .attackers()
            .filter(|&s| s != handler)
            .max_by(|&a, &b| {
                let out = |s: usize| self.pos(s).length() - 0.8 * self.gap(s, handler);
                out(a).total_cmp(&out(b))
            })
            .expect("four mates");
        if self.pos(to).length() < 6.5 {
            let spot = self.pos(to).unit() * 7.3;
            self.go(to, spot, 4.0);
            self.run_for(0.6)?;
        }
        self.pass(to)?;
        let hold = self.dice.between(0.3, 0.8);
        self.run_for(hold)?;
        let busy = [self.handler];
        let action = self.pos(self.handler);
        self.space_floor(&busy, action);
        self.run_for(1.0)
    }

    /// The ball goes round the perimeter, one to three passes, the others move with it.
    pub fn swing(&mut self) -> Result<Next, Halt> {
        if self.style == Style::Orderly {
            return self.swing_in_order();
        }
        let passes = self.dice.weighted(&[(1, 0.15), (2, 0.35), (3, 0.3), (4, 0.2)]);
        for _ in 0..passes {
            if !self.swing_once()? {
                break;
            }
        }
        let to = self.handler;
        if self.space(to) > 2.0 && self.pos(to).length() < 7.6 && self.dice.chance(0.25) {
            return self.shoot(to, ShotStyle::Jump, None);
        }
        self.grip(Grip::Dribble);
        Ok(Next::Play)
    }

    /// One pass around the perimeter, and the ball is held.
    fn swing_in_order(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let from = self.pos(handler);
        let mates: Vec<(usize, f64)> = self
            .attackers()
            .filter(|&s| s != handler && self.pos(s).length() > 4.0)
            .map(|s| (s, 1.0 / (1.0 + self.pos(s).distance(from))))
            .collect();
        if mates.is_empty() {
            return Ok(Next::Play);
        }
        let to = self.dice.weighted(&mates);
        self.pass(to)?;
        let hold = self.dice.between(0.4, 1.2);
        self.run_for(hold)?;
        if self.space(to) > 2.0 && self.pos(to).length() < 7.6 && self.dice.chance(0.45) {
            return self.shoot(to, ShotStyle::Jump, None);
        }
        self.grip(Grip::Dribble);
        Ok(Next::Play)
    }

    /// One pass to a team-mate on the perimeter; the passer goes elsewhere now and then. Says whether there was one.
    pub fn swing_once(&mut self) -> Result<bool, Halt> {
        let handler = self.handler;
        let from = self.pos(handler);
        let mates: Vec<(usize, f64)> = self
            .attackers()
            .filter(|&s| s != handler && self.pos(s).length() > 3.4 && self.gap(s, handler) > 2.4)
            .map(|s| (s, self.space(s).min(3.0) / self.pos(s).distance(from).powi(2)))
            .collect();
        if mates.is_empty() {
            return Ok(false);
        }
        let to = self.dice.weighted(&mates);
        self.pass(to)?;
        let hold = self.dice.between(0.12, 0.6) / (self.tempo * self.passing);
        self.run_for(hold)?;
        let what = self.dice.between(0.0, 1.0);
        if what < 0.2 {
            // At the defender who comes out: a few dribbles toward the hoop, and the ball goes on from there.
            self.grip(Grip::Dribble);
            let here = self.pos(to);
            let share = self.dice.between(0.3, 0.75);
            let ahead = here.toward(v2(1.5, 0.0), share);
            let aside = here.unit().quarter_turn();
            let deep = self.roomiest(to, [ahead + aside, ahead - aside]);
            let pace = self.dice.between(3.0, 4.8);
            self.go(to, deep, pace);
            let drives = self.dice.between(0.7, 1.4);
            self.run_until(drives, |w| w.pos(to).length() < 2.4)?;
            self.stop(to);
        } else if what < 0.4 {
            self.grip(Grip::Dribble);
            let dribbles = self.dice.between(0.3, 1.3);
            self.run_for(dribbles)?;
        }
        Ok(true)
    }

    /// A team-mate who is not among `but` (of whom the first has the ball), rather near than far.
    pub fn some_mate(&mut self, but: &[usize]) -> usize {
        let mates: Vec<(usize, f64)> = self
            .attackers()
            .filter(|s| !but.contains(s))
            .map(|s| (s, 1.0 / self.gap(s, but[0]).max(1.0)))
            .collect();
        self.dice.weighted(&mates)
    }

    /// A post player (or whoever has it) gives the ball up and goes straight after it to screen for the receiver.
    pub fn pass_and_follow(&mut self) -> Result<Next, Halt> {
        let base = self.offense * 5;
        let (handler, post) = (self.handler, base + if self.dice.chance(0.7) { 4 } else { 3 });
        if handler % 5 < 3 && handler != post {
            // The post player is found first, somewhere between the elbow and the slot.
            let mirror = self.dice.sign();
            let spot = v2(self.dice.between(5.0, 8.4), mirror * self.dice.between(0.5, 4.0));
            self.go(post, spot, 3.8);
            self.run_until(1.4, |w| {
                w.pos(post).distance(spot) < 1.2 && w.gap(post, handler) > 2.0
            })?;
            self.pass(post)?;
            let hold = self.dice.between(0.1, 0.6);
            self.run_for(hold)?;
        }
        let giver = self.handler;
        let receivers: Vec<(usize, f64)> = self
            .attackers()
            .filter(|&s| s != giver && s % 5 < 3 && self.pos(s).length() > 4.5)
            .filter(|&s| (2.4..8.0).contains(&self.gap(s, giver)))
            .map(|s| (s, 1.0 / self.gap(s, giver)))
            .collect();
        if receivers.is_empty() || giver % 5 < 2 {
            return Ok(Next::Play);
        }
        let to = self.dice.weighted(&receivers);
        self.pass(to)?;
        self.draw_ball_screen(Some(giver))
    }
}
