//! Closeness that is no ball screen: what a detector must not fall for.

use crate::ball::{BALL_RADIUS_M, BallState, Flight, Grip};
use crate::duty::Duty;
use crate::plan::{Negative, NegativeKind};
use crate::shot::{Next, Restart, ShotStyle};
use crate::vec2::v2;
use crate::world::{Halt, Leg, World};
use scrim_tables::tags::EndKind;

impl World<'_> {
    /// Notes a hard negative that began at `t_start_s` and ends now.
    pub fn note_negative(&mut self, kind: NegativeKind, handler: usize, mate: usize, t_start_s: f64) {
        self.note_negative_until(kind, handler, mate, t_start_s, self.now_s());
    }

    /// Notes one that goes on until `t_end_s`.
    pub fn note_negative_until(
        &mut self,
        kind: NegativeKind,
        handler: usize,
        mate: usize,
        t_start_s: f64,
        t_end_s: f64,
    ) {
        let period = self.period;
        self.log.negatives.push(Negative {
            period,
            handler,
            mate,
            t_start_s,
            t_end_s,
            kind,
        });
    }

    /// Draws one of the half-court negatives.
    pub fn draw_negative(&mut self) -> Result<Next, Halt> {
        let kind = self.dice.weighted(&[
            (NegativeKind::WalkBy, 0.22),
            (NegativeKind::LooseHandler, 0.2),
            (NegativeKind::PostUp, self.style.pick(0.28, 0.18)),
            (NegativeKind::ClearOut, 0.14),
            (NegativeKind::Scramble, self.style.pick(0.28, 0.1)),
            (NegativeKind::MatesPass, self.style.pick(0.3, 0.1)),
            (NegativeKind::PostStands, self.style.pick(0.2, 0.1)),
        ]);
        match kind {
            NegativeKind::WalkBy => self.walk_by(),
            NegativeKind::LooseHandler => self.loose_handler(),
            NegativeKind::PostUp => self.post_up(),
            NegativeKind::ClearOut => self.clear_out(),
            NegativeKind::Scramble => self.scramble(),
            NegativeKind::MatesPass => self.mates_pass(),
            NegativeKind::PostStands => self.post_stands(),
            // These happen on the way up and at throw-ins.
            NegativeKind::PastStander | NegativeKind::InboundTraffic | NegativeKind::TransitionCross => {
                Ok(Next::Play)
            }
        }
    }

    /// A team-mate passes behind the handler on the way to the other side.
    fn walk_by(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let place = v2(self.dice.between(7.6, 8.8), self.dice.between(-3.0, 3.0));
        self.go(handler, place, 3.0);
        self.space_floor(&[handler], place);
        self.run_until(2.5, |w| w.pos(handler).distance(place) < 0.5)?;
        let here = self.pos(handler);
        let up = here.unit();
        let across = up.quarter_turn();
        let walker = self
            .attackers()
            .filter(|&s| s != handler && s % 5 < 4)
            .filter(|&s| (self.pos(s) - here).dot(across).abs() > 2.0 && self.pos(s).length() > 4.0)
            .min_by(|&a, &b| self.gap(a, handler).total_cmp(&self.gap(b, handler)));
        let Some(walker) = walker else {
            return Ok(Next::Play);
        };
        let side = (self.pos(walker) - here).dot(across).signum();
        let start_s = self.now_s();
        let far = here - across * (side * 4.2) - up * 0.8;
        let pace = self.dice.between(2.4, 3.8);
        self.path(
            walker,
            &[
                Leg::past(here + up * 1.2 + across * (side * 0.9), pace),
                Leg::past(here + up * 1.2 - across * (side * 0.9), pace),
                Leg::to(v2(far.x.max(0.6), far.y.clamp(-6.8, 6.8)), pace),
            ],
        );
        self.run_until(5.0, |w| (w.pos(walker) - here).dot(across) * side < -2.4)?;
        self.note_negative(NegativeKind::WalkBy, handler, walker, start_s);
        Ok(Next::Play)
    }

    /// The handler's defender sags into the lane; a post player stands beside the handler all the same.
    fn loose_handler(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let post = self.offense * 5 + if handler % 5 == 4 { 3 } else { 4 };
        let place = v2(self.dice.between(8.2, 9.4), self.dice.between(-3.0, 3.0));
        let guard = self.defender_of(handler);
        self.space_floor(&[handler, post], place);
        self.go(handler, place, 3.0);
        let gap_m = self.dice.between(3.4, 4.4);
        self.duties[guard] = Duty::Sag { gap_m };
        self.run_until(3.0, |w| w.pos(handler).distance(place) < 0.5)?;
        self.run_until(2.0, |w| w.gap(guard, handler) > 2.9)?;
        let here = self.pos(handler);
        let side = self.dice.sign();
        let start_s = self.now_s();
        let beside = here + (-here.unit()) * 0.6 + here.unit().quarter_turn() * (side * 1.15);
        self.go(post, beside, 3.2);
        self.run_until(4.0, |w| w.pos(post).distance(beside) < 0.5)?;
        self.bodies[post].planted = true;
        let stand = self.dice.between(1.0, 2.2);
        self.run_for(stand)?;
        let back = v2(1.2, side * 3.2);
        self.go(post, back, 3.4);
        self.run_until(2.5, |w| w.gap(post, handler) > 2.8)?;
        self.note_negative(NegativeKind::LooseHandler, handler, post, start_s);
        self.duties[guard] = Duty::Guard;
        Ok(Next::Play)
    }

    /// The ball goes to a post player on the block, who backs down their defender; the passer cuts by.
    fn post_up(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let base = self.offense * 5;
        if handler % 5 >= 3 {
            return Ok(Next::Play);
        }
        let post = base + if self.dice.chance(0.7) { 4 } else { 3 };
        let side = self.dice.sign();
        let (wing, block) = (v2(4.6, side * 6.3), v2(2.1, side * 3.3));
        self.grip(Grip::Dribble);
        self.space_floor(&[handler, post], block);
        self.go(handler, wing, 3.8);
        self.go(post, block, 4.2);
        self.run_until(3.5, |w| {
            w.pos(handler).distance(wing) < 0.8 && w.pos(post).distance(block) < 0.6
        })?;
        let seal = self.dice.between(0.3, 0.8);
        self.run_for(seal)?;
        self.pass(post)?;
        let start_s = self.now_s();
        // The post player backs down; the passer cuts over the top to the far side.
        self.grip(Grip::Dribble);
        self.path(post, &[Leg::to(v2(1.3, side * 1.9), 1.1)]);
        let cut = self.dice.chance(0.7);
        if cut {
            self.path(
                handler,
                &[
                    Leg::past(v2(3.9, side * 2.4), 4.6),
                    Leg::past(v2(2.2, side * -1.5), 4.6),
                    Leg::to(v2(0.8, side * -6.5), 4.2),
                ],
            );
        }
        let work = self.dice.between(1.4, 2.4);
        self.run_for(work)?;
        self.note_negative(NegativeKind::PostUp, post, handler, start_s);
        if self.dice.chance(0.65) {
            return self.shoot(
                post,
                if self.pos(post).length() < 2.6 {
                    ShotStyle::Layup
                } else {
                    ShotStyle::Jump
                },
                None,
            );
        }
        self.kick_out()?;
        Ok(Next::Play)
    }

    /// The handler dribbles at a team-mate, who leaves before the handler is there.
    fn clear_out(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let mate = self
            .attackers()
            .filter(|&s| s != handler && self.pos(s).length() > 5.0 && self.gap(s, handler) > 4.0)
            .min_by(|&a, &b| self.gap(a, handler).total_cmp(&self.gap(b, handler)));
        let Some(mate) = mate else { return Ok(Next::Play) };
        let goal = self.pos(mate);
        let start_s = self.now_s();
        self.grip(Grip::Dribble);
        self.go(handler, goal, 3.6);
        self.run_until(3.0, |w| w.gap(mate, handler) < 3.6)?;
        let y = -goal.y.signum() * 6.3;
        self.path(
            mate,
            &[Leg::past(v2(1.6, goal.y * 0.35), 5.0), Leg::to(v2(1.0, y), 4.6)],
        );
        self.run_until(2.5, |w| w.pos(handler).distance(goal) < 0.8)?;
        self.note_negative(NegativeKind::ClearOut, handler, mate, start_s);
        if self.dice.chance(0.4) {
            return self.finish();
        }
        Ok(Next::Play)
    }

    /// Away from the ball two team-mates exchange their places at a jog and pass each other; neither stands.
    fn mates_pass(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        self.grip(Grip::Dribble);
        let mates: Vec<usize> = self
            .attackers()
            .filter(|&s| s != handler && self.is_idle(s) && self.gap(s, handler) > 4.0)
            .collect();
        let pair = mates.iter().enumerate().find_map(|(i, &a)| {
            let near = |b: &&usize| (3.5..8.0).contains(&self.gap(a, **b));
            mates[i + 1..].iter().find(near).map(|&b| (a, b))
        });
        let Some((a, b)) = pair else { return Ok(Next::Play) };
        let start_s = self.now_s();
        let (at_a, at_b) = (self.pos(a), self.pos(b));
        let (pace_a, pace_b) = (self.dice.between(1.7, 3.0), self.dice.between(1.7, 3.0));
        self.go(a, at_b, pace_a);
        self.go(b, at_a, pace_b);
        self.run_until(4.5, |w| w.is_idle(a) && w.is_idle(b))?;
        self.note_negative(NegativeKind::MatesPass, a, b, start_s);
        Ok(Next::Play)
    }

    /// A post player stands at the elbow with a hand up; a guard walks by at some distance. Nobody is screened.
    fn post_stands(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        self.grip(Grip::Dribble);
        let base = self.offense * 5;
        let post = base + if handler % 5 == 4 { 3 } else { 4 };
        let ball_side = if self.pos(handler).y < 0.0 { -1.0 } else { 1.0 };
        let elbow = v2(4.7, ball_side * -2.4);
        self.space_floor(&[handler, post], elbow);
        self.go(post, elbow, 3.4);
        self.run_until(3.0, |w| w.pos(post).distance(elbow) < 0.5)?;
        let walker = self
            .attackers()
            .filter(|&s| s != handler && s != post && self.gap(s, post) > 2.6)
            .min_by(|&a, &b| self.gap(a, post).total_cmp(&self.gap(b, post)));
        let Some(walker) = walker else {
            return Ok(Next::Play);
        };
        let start_s = self.now_s();
        let from = self.pos(walker);
        // Round the post player at more than the width of a screen.
        let outward = (from - elbow).unit() * 2.6;
        let round = elbow + outward.turned(0.8);
        let end = elbow + outward.turned(1.6) * 1.2;
        let pace = self.dice.between(1.4, 2.2);
        self.path(
            walker,
            &[
                Leg::past(round, pace),
                Leg::to(v2(end.x.max(0.8), end.y.clamp(-6.8, 6.8)), pace),
            ],
        );
        self.run_until(3.5, |w| w.is_idle(walker))?;
        self.note_negative(NegativeKind::PostStands, walker, post, start_s);
        Ok(Next::Play)
    }

    /// The handler loses the dribble; whoever is nearest goes for the ball.
    pub fn scramble(&mut self) -> Result<Next, Halt> {
        let loser = self.handler;
        let start_s = self.now_s();
        let angle = self.dice.between(0.0, std::f64::consts::TAU);
        let v0 = v2(self.dice.between(2.5, 4.5), 0.0).turned(angle);
        self.ball.state = BallState::Free(Flight {
            p0: self.ball.pos,
            v0,
            z0: self.ball.z.max(BALL_RADIUS_M),
            w0: 0.8,
            elapsed_s: 0.0,
        });
        let mut getter = None;
        while getter.is_none() {
            let age = self.now_s() - start_s;
            let spot = self.ball.pos;
            for slot in 0..10 {
                if self.pos(slot).distance(spot) < 4.5 || self.is_nearest_mate(slot, spot) {
                    if self.team_of(slot) == self.offense {
                        self.go(slot, spot, 6.5);
                    } else {
                        self.duties[slot] = Duty::Spot { spot };
                    }
                }
            }
            self.step()?;
            if self.is_out_of_bounds(self.ball.pos) {
                self.event("turnover", Some(loser), None);
                return Ok(Next::Over(self.out_of_bounds(EndKind::Turnover)));
            }
            if age > 0.5 {
                getter = (0..10)
                    .map(|s| (self.pos(s).distance(self.ball.pos), s))
                    .filter(|&(gap, _)| gap < 0.7)
                    .min_by(|a, b| a.0.total_cmp(&b.0))
                    .map(|(_, s)| s);
            }
        }
        let slot = getter.expect("the loop ends with one");
        for defender in self.defenders() {
            self.duties[defender] = Duty::Guard;
        }
        if self.team_of(slot) != self.offense {
            self.event("turnover", Some(loser), None);
            self.event("steal", Some(slot), None);
            self.close_possession(EndKind::Turnover);
            self.give(slot, Grip::Dribble);
            return Ok(Next::Over(Restart::Live { slot }));
        }
        self.give(slot, Grip::Hold);
        self.stop(slot);
        for mate in self.attackers().filter(|&m| m != slot) {
            self.stop(mate);
        }
        self.run_for(0.5)?;
        let place = v2(8.0, self.pos(slot).y.clamp(-3.0, 3.0));
        self.go(slot, place, 3.4);
        self.grip(Grip::Dribble);
        self.space_floor(&[slot], place);
        self.run_for(1.6)?;
        for mate in self.attackers() {
            if mate != slot {
                self.note_negative(NegativeKind::Scramble, slot, mate, start_s);
            }
        }
        Ok(Next::Play)
    }
}
