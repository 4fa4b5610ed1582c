//! Scripts of the handoff: on the dribble, or from a post player who was found at the high post.

use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, ScreenKind, ScreenerAction,
};

use crate::ball::Grip;
use crate::ball_screen::BallScreen;
use crate::duty::Duty;
use crate::shot::Next;
use crate::style::Style;
use crate::vec2::v2;
use crate::world::{Halt, Leg, World};

/// The ball is handed over an arm's length apart: two bodies and two half-stretched arms, metres. Common practice, no source.
const HAND_M: f64 = 1.35;

/// Share of handoffs whose giver comes on the dribble, and of those that are only shown. Common practice, no source.
const ON_THE_RUN: f64 = 0.8;
/// See [`ON_THE_RUN`].
const FAKED: f64 = 0.15;

impl World<'_> {
    /// The handler (or a post player at the high post, who gets the ball first) gives the ball to a team-mate who runs by.
    pub fn draw_handoff(&mut self) -> Result<Next, Halt> {
        let base = self.offense * 5;
        let mirror = self.dice.sign();
        if self.dice.chance(0.55) && self.handler != base + 4 {
            // The post player comes up to the elbow or the slot and is found there.
            let post = base + 4;
            let spot = v2(self.dice.between(5.2, 7.4), mirror * self.dice.between(0.8, 3.0));
            self.space_floor(&[self.handler, post], spot);
            self.go(post, spot, 4.2);
            self.run_until(3.0, |w| w.pos(post).distance(spot) < 0.8)?;
            self.pass(post)?;
            // The passer makes room, unless it is the passer who comes back for it.
        } else {
            let spot = v2(self.dice.between(6.6, 8.2), mirror * self.dice.between(2.0, 4.2));
            let handler = self.handler;
            self.grip(Grip::Dribble);
            self.space_floor(&[handler], spot);
            self.go(handler, spot, 3.6);
            self.run_until(3.0, |w| w.pos(handler).distance(spot) < 1.6)?;
        }
        let giver = self.handler;
        let receiver = self
            .attackers()
            .filter(|&s| s != giver && s % 5 < 4 && self.pos(s).length() > 3.0)
            .filter(|&s| (2.8..8.5).contains(&self.gap(s, giver)))
            .min_by(|&a, &b| (a % 5).cmp(&(b % 5)));
        match receiver {
            Some(receiver)
                if self.style == Style::Lively && self.playbook.is_none() && self.dice.chance(FAKED) =>
            {
                self.fake_handoff(giver, receiver)
            }
            Some(receiver) => self.handoff(giver, receiver),
            None => Ok(Next::Play),
        }
    }

    /// `receiver` runs by as if for the ball; `giver` keeps it and goes the other way.
    fn fake_handoff(&mut self, giver: usize, receiver: usize) -> Result<Next, Halt> {
        let (at, from) = (self.pos(giver), self.pos(receiver));
        let beyond = at + (at - from).unit() * 3.4 - at.unit() * 0.8;
        let limit_y = self.side_y_m() - 0.8;
        let pace = self.dice.between(3.6, 5.0);
        self.grip(Grip::Dribble);
        self.go(giver, at.toward(from, 0.25), 2.2);
        self.path(
            receiver,
            &[
                Leg::past(at + at.unit() * 0.9, pace),
                Leg::to(v2(beyond.x.max(0.8), beyond.y.clamp(-limit_y, limit_y)), pace),
            ],
        );
        self.run_until(2.5, |w| w.gap(giver, receiver) < HAND_M)?;
        if self.dice.chance(0.5) {
            return self.finish();
        }
        let there = at.toward(from, 0.6);
        self.go(giver, there, 3.4);
        self.run_for(0.9)?;
        Ok(Next::Play)
    }

    /// `giver` has the ball and stops, or comes on the dribble; `receiver` runs close by, takes it and goes on.
    fn handoff(&mut self, giver: usize, receiver: usize) -> Result<Next, Halt> {
        let on_the_run = self.style == Style::Lively && self.dice.chance(ON_THE_RUN);
        let spot = if on_the_run {
            self.grip(Grip::Dribble);
            let meet = self.pos(giver).toward(self.pos(receiver), 0.35);
            let pace = self.dice.between(2.4, 4.0);
            // On past where they meet: the giver does not slow down for it.
            let on = (meet - self.pos(giver)).unit();
            self.path(giver, &[Leg::past(meet, pace), Leg::to(meet + on * 1.5, pace)]);
            meet
        } else {
            self.stop(giver);
            self.run_for(self.style.pick(0.3, 0.35))?;
            self.pos(giver)
        };
        let up = spot.unit();
        let across = up.quarter_turn();
        let out = if (spot - self.pos(receiver)).dot(across) >= 0.0 {
            across
        } else {
            -across
        };
        let index = self.log_screen(
            true,
            ScreenKind::Handoff,
            Outcome::Used,
            giver,
            receiver,
            out,
            None,
        );
        let (on_screener, chaser) = (
            self.log.screens[index].screener_defender,
            self.log.screens[index].user_defender,
        );
        let coverage = self.dice.weighted(&[
            (Coverage::Drop, 0.45),
            (Coverage::Level, 0.2),
            (Coverage::Switch, 0.35),
        ]);
        let path = match coverage {
            Coverage::Switch => OnBallPath::Switched,
            Coverage::Drop
            | Coverage::Level
            | Coverage::Hedge
            | Coverage::Blitz
            | Coverage::Ice
            | Coverage::Unclear => self
                .dice
                .weighted(&[(OnBallPath::Over, 0.7), (OnBallPath::Under, 0.3)]),
        };
        let screen = BallScreen {
            screener: giver,
            place: spot,
            side: 1.0,
            outcome: Outcome::Used,
            coverage,
            path,
            screener_action: self.dice.weighted(&[
                (ScreenerAction::Roll, 0.5),
                (ScreenerAction::Pop, 0.2),
                (ScreenerAction::Stay, 0.3),
            ]),
            handler_action: self.dice.weighted(&[
                (HandlerAction::Drive, 0.25),
                (HandlerAction::PullUp, 0.2),
                (HandlerAction::Pass, 0.35),
                (HandlerAction::Reset, 0.2),
            ]),
            helper_action: self
                .dice
                .weighted(&[(HelperAction::Tag, 0.3), (HelperAction::None, 0.7)]),
            previous: None,
        };
        if !on_the_run {
            self.bodies[giver].planted = true;
            self.log.screens[index].t_planted_s = Some(self.now_s());
        }
        self.log.screens[index].coverage = Some(coverage);
        self.log.screens[index].on_ball_path = Some(path);
        self.duties[on_screener] = match coverage {
            Coverage::Drop => Duty::Drop {
                screen: spot,
                depth_m: 2.0,
            },
            Coverage::Level
            | Coverage::Switch
            | Coverage::Hedge
            | Coverage::Blitz
            | Coverage::Ice
            | Coverage::Unclear => Duty::Level { screen: spot, out },
        };
        let pace = self.dice.between(4.4, 5.6);
        self.path(
            receiver,
            &[
                Leg::past(spot + up * 0.7 - out * 1.2, pace),
                Leg::past(spot + up * 0.66 + out * 0.1, pace),
                Leg::past(spot + up * 0.35 + out * 1.2, pace),
                Leg::to(spot + out * 2.6 - up * 1.2, pace),
            ],
        );
        self.duties[chaser] = match path {
            OnBallPath::Under => Duty::Under { screen: spot, out },
            OnBallPath::Switched => Duty::Stay { screen: spot, out },
            OnBallPath::Over | OnBallPath::Denied | OnBallPath::Unclear => Duty::Over { screen: spot, out },
        };
        let met = self.run_until(3.0, |w| w.gap(receiver, giver) < HAND_M)?;
        if !met {
            self.calm(index);
            return Ok(Next::Play);
        }
        self.log.screens[index].t_go_s = self.now_s();
        self.throw(receiver);
        self.run_until(1.0, |w| w.ball.holder().is_some())?;
        self.grip(Grip::Dribble);
        self.run_until(1.0, |w| (w.pos(receiver) - spot).dot(out) > 0.3)?;
        self.settle_coverage(index, &screen, out);
        self.leave_screen(index, &screen, spot, out);
        self.help(index, &screen);
        self.option(index, &screen, out)
    }
}
