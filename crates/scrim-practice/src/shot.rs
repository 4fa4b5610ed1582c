//! Shots, rebounds, passes and how the ball is lost.

use scrim_floor::Point;
use scrim_tables::tags::EndKind;

use crate::ball::{BALL_RADIUS_M, BallState, Flight, Grip, RIM_M, shot_duration_s};
use crate::duty::Duty;
use crate::plan::ShotPlan;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// How play goes on after a possession.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Restart {
    /// The ball is in play in this slot's hands.
    Live { slot: usize },
    /// The other team made a shot: `team` throws in from its end line.
    EndLine { team: usize },
    /// `team` throws in from the side, at `spot` in its own attack frame.
    SideLine { team: usize, spot: Vec2 },
    /// Slot shoots free throws.
    FreeThrows { shooter: usize, count: u8 },
}

/// How a script goes on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Next {
    /// The possession goes on; someone has the ball.
    Play,
    Over(Restart),
}

/// How a shot is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ShotStyle {
    Jump,
    Layup,
}

impl World<'_> {
    /// Throws the ball to `to` and runs until it is caught.
    pub fn pass(&mut self, to: usize) -> Result<(), Halt> {
        self.throw(to);
        self.run_until(3.0, |w| w.ball.holder().is_some())?;
        Ok(())
    }

    /// Throws the ball to `to`; it is in the air when this returns.
    pub fn throw(&mut self, to: usize) {
        let distance = self.ball.pos.distance(self.pos(to));
        let (slow_mps, fast_mps) = self.style.pick((6.8, 12.0), (8.5, 12.5));
        let speed = self.dice.between(slow_mps, fast_mps);
        let duration_s = (distance / speed).max(0.16);
        self.ball.state = BallState::Pass {
            from: self.ball.pos,
            z0: self.ball.z.max(0.9),
            to,
            elapsed_s: 0.0,
            duration_s,
        };
    }

    /// Points a shot of `slot` from its place would be worth.
    pub fn shot_value(&self, slot: usize) -> u8 {
        let p = self.pos(slot);
        self.params
            .court
            .shot_value(Point::new(p.x as f32, p.y as f32))
            .points()
    }

    /// Chance to make it: by distance and by the nearest defender. Common practice, no source.
    fn make_chance(&self, slot: usize) -> f64 {
        let distance = self.pos(slot).length();
        let open = (self.space(slot) / 1.8).min(1.2) - 0.7;
        let base = if distance < 2.2 {
            0.6
        } else if distance < 6.2 {
            0.42
        } else {
            0.36
        };
        (base + 0.12 * open).clamp(0.1, 0.9)
    }

    /// `slot` shoots; the ball flies, goes in or comes off, and somebody gets it. `screen` is the screen (index in
    /// the log) that this shot came of.
    pub fn shoot(&mut self, slot: usize, style: ShotStyle, screen: Option<usize>) -> Result<Next, Halt> {
        let value = self.shot_value(slot);
        let makes = {
            let chance = self.make_chance(slot);
            self.dice.chance(chance)
        };
        if style == ShotStyle::Jump {
            // The shooter stops and rises: a third of a second between gathering and release.
            self.stop(slot);
            self.grip(Grip::Raise);
            let rise = self.dice.between(0.3, 0.45);
            self.run_for(rise)?;
        } else {
            // Two steps with the ball in the hands, the last with it over the head.
            self.grip(Grip::Raise);
            self.run_for(0.24)?;
        }
        let fouled = self
            .dice
            .chance(if style == ShotStyle::Layup { 0.17 } else { 0.04 });
        let spot = self.pos(slot);
        let shot = ShotPlan {
            space_m: self.space(slot),
            t_s: self.now_s(),
            shooter: slot,
            spot,
            value,
            points: 0,
        };
        if fouled && !makes {
            // The whistle goes before the ball does: a foul, no shot in the books.
            return self.shooting_foul(slot, value);
        }
        if let Some(index) = screen {
            self.log.screens[index].shot = Some(shot);
        }
        let team = self.offense;
        self.shot_in_air = true;
        self.crash(slot);
        let rim = if makes {
            Vec2::ZERO
        } else {
            let angle = self.dice.between(0.0, std::f64::consts::TAU);
            v2(0.2, 0.0).turned(angle)
        };
        let (from, release_m) = (self.ball.pos, self.ball.z);
        let distance = from.distance(rim);
        let duration = shot_duration_s(distance);
        self.ball.state = BallState::Free(Flight::between(from, release_m, rim, RIM_M, duration));
        self.run_for(duration)?;
        if makes {
            self.event("shot_made", Some(slot), Some(value));
            self.score(value, screen);
            self.close_possession(EndKind::ShotMade);
            // Through the net: slowed, straight down.
            let p0 = self.ball.pos;
            self.ball.state = BallState::Free(Flight {
                p0,
                v0: v2(0.25, 0.1),
                z0: self.ball.z,
                w0: -1.5,
                elapsed_s: 0.0,
            });
            self.shot_in_air = false;
            return Ok(Next::Over(Restart::EndLine { team: 1 - team }));
        }
        self.event("shot_missed", Some(slot), Some(0));
        self.rebound(distance)
    }

    /// Points for the team in possession.
    fn score(&mut self, points: u8, screen: Option<usize>) {
        if let Some(possession) = self.log.possessions.last_mut() {
            possession.points += points;
        }
        if let Some(shot) = screen.and_then(|index| self.log.screens[index].shot.as_mut()) {
            shot.points = points;
        }
    }

    fn shooting_foul(&mut self, shooter: usize, value: u8) -> Result<Next, Halt> {
        let fouler = self.defender_of(shooter);
        self.event("foul", Some(fouler), None);
        self.close_possession(EndKind::Foul);
        Ok(Next::Over(Restart::FreeThrows {
            shooter,
            count: value,
        }))
    }

    /// While a shot is up: post players and a wing go to the glass, guards back; defenders between their player and the rim.
    fn crash(&mut self, shooter: usize) {
        self.forget_orders();
        for body in &mut self.bodies {
            body.planted = false;
        }
        for slot in self.attackers() {
            if slot == shooter {
                continue;
            }
            let role = slot % 5;
            let far = self.pos(slot).length() > 7.2;
            if role >= 2 && !far {
                let angle = self.dice.between(-1.2, 1.2);
                let spot = v2(self.dice.between(1.4, 2.6), 0.0).turned(angle);
                self.path(slot, &[Leg::To { spot, speed_mps: 4.5 }]);
            } else if role < 2 {
                let spot = v2(self.dice.between(9.0, 11.0), self.dice.between(-3.0, 3.0));
                self.path(
                    slot,
                    &[Leg::Wait { left_s: 0.4 }, Leg::To { spot, speed_mps: 4.0 }],
                );
            }
        }
        for slot in self.defenders() {
            let player = self.pos(self.guards[slot]);
            let spot = (player * 0.55).capped(3.6);
            self.duties[slot] = Duty::Spot {
                spot: if spot.length() < 1.2 {
                    spot.unit() * 1.3
                } else {
                    spot
                },
            };
        }
    }

    /// The ball comes off the rim; the nearest body to where it can be caught gets it.
    pub fn rebound(&mut self, shot_distance_m: f64) -> Result<Next, Halt> {
        let angle = self.dice.between(-1.35, 1.35);
        let speed = self.dice.between(1.2, 2.4 + 0.22 * shot_distance_m);
        let v0 = v2(speed, 0.0).turned(angle);
        let w0 = self.dice.between(1.2, 3.2);
        let p0 = self.ball.pos;
        self.ball.state = BallState::Free(Flight {
            p0,
            v0,
            z0: self.ball.z,
            w0,
            elapsed_s: 0.0,
        });
        // When it is down to 2.4 m: 2.4 = z0 + w t − g t²/2.
        let g = crate::ball::GRAVITY_MPS2;
        let down_s = (w0 + (w0 * w0 + 2.0 * g * (self.ball.z - 2.4)).sqrt()) / g;
        let target = p0 + v0 * (down_s + 0.1);
        let mut chasers: Vec<(f64, usize)> = (0..10)
            .map(|s| {
                (
                    self.pos(s).distance(target) + if self.team_of(s) == self.offense { 0.9 } else { 0.0 },
                    s,
                )
            })
            .collect();
        chasers.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (rank, &(_, slot)) in chasers.iter().enumerate().take(4) {
            // Only one can stand under the ball; the others come from around it.
            let target = if rank == 0 {
                target
            } else {
                target.toward(self.pos(slot), 0.6 / self.pos(slot).distance(target).max(0.6))
            };
            if self.team_of(slot) == self.offense {
                self.go(slot, target, 6.0);
            } else {
                self.duties[slot] = Duty::Spot { spot: target };
            }
        }
        let start = self.now_s();
        let mut getter = None;
        while getter.is_none() {
            self.step()?;
            let age = self.now_s() - start;
            if self.ball.z < 2.5 && age > 0.25 {
                let reach = if self.ball.z > 1.9 { 0.9 } else { 1.0 };
                getter = (0..10)
                    .map(|s| (self.pos(s).distance(self.ball.pos), s))
                    .filter(|&(gap, _)| gap < reach)
                    .min_by(|a, b| a.0.total_cmp(&b.0))
                    .map(|(_, s)| s);
            }
            if age > 0.9 {
                // Nobody there yet: everyone near goes after the bouncing ball.
                let spot = self.ball.pos;
                for slot in 0..10 {
                    if self.pos(slot).distance(spot) < 6.0 || self.is_nearest_mate(slot, spot) {
                        if self.team_of(slot) == self.offense {
                            self.go(slot, spot, 6.0);
                        } else {
                            self.duties[slot] = Duty::Spot { spot };
                        }
                    }
                }
            }
            if self.is_out_of_bounds(self.ball.pos) {
                self.shot_in_air = false;
                return Ok(Next::Over(self.out_of_bounds(EndKind::ShotMissed)));
            }
        }
        self.shot_in_air = false;
        let slot = getter.expect("the loop ends with one");
        self.event("rebound", Some(slot), None);
        if self.team_of(slot) == self.offense {
            self.shot_clock_s = 14.0;
            self.give(slot, Grip::Hold);
            for defender in self.defenders() {
                self.duties[defender] = Duty::Guard;
            }
            self.stop(slot);
            Ok(Next::Play)
        } else {
            self.close_possession(EndKind::ShotMissed);
            self.give(slot, Grip::Hold);
            Ok(Next::Over(Restart::Live { slot }))
        }
    }

    /// Whether nobody of `slot`'s team is nearer to `spot`: somebody always goes for a loose ball.
    pub fn is_nearest_mate(&self, slot: usize, spot: Vec2) -> bool {
        let team = self.team_of(slot) * 5;
        let own = self.pos(slot).distance(spot);
        (team..team + 5).all(|s| s == slot || self.pos(s).distance(spot) > own)
    }

    pub fn is_out_of_bounds(&self, p: Vec2) -> bool {
        let end = -f64::from(self.params.court.hoop_from_end_line_m);
        let far = 2.0 * self.hoop_x_m() - end;
        p.y.abs() > self.side_y_m() || p.x < end || p.x > far
    }

    /// The ball left the floor off the attackers; the others throw in near there.
    pub fn out_of_bounds(&mut self, end_kind: EndKind) -> Restart {
        self.close_possession(end_kind);
        let team = 1 - self.offense;
        let across = 2.0 * self.hoop_x_m();
        let p = v2(across - self.ball.pos.x, -self.ball.pos.y);
        let side = if p.y < 0.0 { -1.0 } else { 1.0 };
        let spot = v2(p.x.clamp(3.0, across - 1.0), side * (self.side_y_m() + 0.4));
        Restart::SideLine { team, spot }
    }

    /// The handler loses the ball: a pass is picked off, or it goes out.
    pub fn turnover(&mut self) -> Result<Restart, Halt> {
        let handler = self.handler;
        if self.dice.chance(0.6) {
            // A pass that a defender reads: the one nearest to the lane of a random pass.
            let mates: Vec<usize> = self.attackers().filter(|&s| s != handler).collect();
            let to = mates[self.dice.index(mates.len())];
            let (from, end) = (self.ball.pos, self.pos(to));
            let lane = |p: Vec2| {
                let along = end - from;
                let share = ((p - from).dot(along) / along.dot(along).max(1e-6)).clamp(0.2, 1.0);
                p.distance(from.toward(end, share))
            };
            let thief = self
                .defenders()
                .min_by(|&a, &b| lane(self.pos(a)).total_cmp(&lane(self.pos(b))))
                .expect("five defenders");
            self.throw(thief);
            self.run_until(3.0, |w| w.ball.holder().is_some())?;
            self.event("turnover", Some(handler), None);
            self.event("steal", Some(thief), None);
            self.close_possession(EndKind::Turnover);
            Ok(Restart::Live { slot: thief })
        } else {
            // Thrown away: over the nearest sideline.
            let p = self.ball.pos;
            let side = if p.y < 0.0 { -1.0 } else { 1.0 };
            let v0 = v2(self.dice.between(-2.0, 2.0), side * 7.0);
            self.ball.state = BallState::Free(Flight {
                p0: p,
                v0,
                z0: self.ball.z.max(BALL_RADIUS_M),
                w0: 2.5,
                elapsed_s: 0.0,
            });
            self.run_until(4.0, |w| w.is_out_of_bounds(w.ball.pos))?;
            self.event("turnover", Some(handler), None);
            Ok(self.out_of_bounds(EndKind::Turnover))
        }
    }
}
