//! Dead time: whistles, time-outs, substitutions, free throws.

use scrim_tables::tags::EndKind;

use crate::ball::{BallState, Flight, Grip, RIM_M, shot_duration_s};
use crate::shot::{Next, Restart};
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, World};

impl World<'_> {
    /// The whistle: clocks stop, everyone slows down, the ball goes to a referee or out of sight.
    pub fn dead_ball(&mut self) -> Result<(), Halt> {
        self.live = false;
        self.clock_runs = false;
        self.shot_clock_runs = false;
        self.shot_in_air = false;
        self.forget_orders();
        self.walk_everyone();
        let seconds = self.dice.between(3.0, 6.0);
        self.run_for(seconds)?;
        self.ball.state = if self.dice.chance(0.4) {
            BallState::Unseen
        } else {
            BallState::Dead
        };
        self.ball.z = 1.1;
        Ok(())
    }

    /// Everybody ambles about where they are.
    pub fn walk_everyone(&mut self) {
        for slot in 0..10 {
            let step = v2(self.dice.between(0.5, 3.0), 0.0);
            let angle = self.dice.between(0.0, std::f64::consts::TAU);
            let limit_y = self.side_y_m() - 0.5;
            let far = 2.0 * self.hoop_x_m();
            let mut spot = self.pos(slot) + step.turned(angle);
            spot = v2(spot.x.clamp(0.0, far), spot.y.clamp(-limit_y, limit_y));
            self.go(slot, spot, 1.3);
        }
    }

    /// Defenders walk to canonical position on where their players are going.
    pub fn walk_defense(&mut self) {
        for slot in self.defenders() {
            let player = self.tasks[self.guards[slot]].hold;
            let mut spot = Self::canonical(player, player);
            spot.x = spot.x.min(self.hoop_x_m() - 2.0);
            self.go(slot, spot, 2.0);
        }
    }

    /// Where the bench of `team` is, in the present attack frame.
    pub fn bench(&self, team: usize) -> Vec2 {
        // Court frame: benches on the side of negative y, home left of the table.
        let x = if team == 0 { -3.0 } else { 3.0 };
        let sign = self.sign();
        v2(self.hoop_x_m() - sign * x, sign * (self.side_y_m() + 0.5))
    }

    /// Sometimes a coach stops the game: everybody walks to their bench, stands there, and walks back.
    pub fn maybe_time_out(&mut self) -> Result<(), Halt> {
        let team = self.dice.index(2);
        if self.timeouts[team] == 0 || !self.dice.chance(0.16) {
            return Ok(());
        }
        self.timeouts[team] -= 1;
        self.team_event("timeout", team);
        for slot in 0..10 {
            let bench = self.bench(self.team_of(slot));
            let inward = -bench.y.signum();
            let spot = bench + v2(self.dice.between(-2.2, 2.2), inward * self.dice.between(1.0, 2.6));
            let pace = self.dice.between(1.6, 2.6);
            self.go(slot, spot, pace);
        }
        self.ball.state = BallState::Unseen;
        let seconds = self.dice.between(40.0, 70.0);
        self.run_for(seconds)
    }

    /// Sometimes players come and go while the ball is dead.
    pub fn substitutions(&mut self) -> Result<(), Halt> {
        for team in 0..2 {
            let mut leavers = Vec::new();
            for slot in 0..5 {
                if self.dice.chance(0.12) {
                    leavers.push(team * 5 + slot);
                }
            }
            if leavers.is_empty() {
                continue;
            }
            let bench = self.bench(team);
            for (place, &slot) in leavers.iter().enumerate() {
                self.go(slot, bench + v2(place as f64 * 0.9, 0.0), 2.6);
            }
            let all_there = leavers.clone();
            self.run_until(14.0, |w| all_there.iter().all(|&s| w.is_idle(s)))?;
            for &slot in &leavers {
                self.event("substitution_out", Some(slot), None);
                let squad = crate::league::SQUAD as u8;
                let player = self.bodies[slot].player;
                let (own, number) = (player / squad, player % squad);
                let fresh = own * squad + (number + 5) % squad;
                // The substitute stands at the table where the tired player arrives.
                let mut body = crate::body::Body::new(fresh, slot % 5, &mut self.dice);
                body.pos = self.pos(slot) + v2(0.8, 0.0);
                self.bodies[slot] = body;
                self.event("substitution_in", Some(slot), None);
                self.stop(slot);
            }
        }
        Ok(())
    }

    /// Free throws: the lane fills, the shooter shoots, the last one is played on.
    pub fn free_throws(&mut self, shooter: usize, count: u8) -> Result<Restart, Halt> {
        self.dead_ball()?;
        if self.team_of(shooter) != self.offense {
            self.change_sides();
        }
        self.settle_matchups();
        self.maybe_time_out()?;
        self.substitutions()?;
        let line = f64::from(self.params.court.free_throw_x_m());
        let lane = f64::from(self.params.court.lane_width_m) / 2.0 + 0.35;
        let shooters = self.attackers();
        self.go(shooter, v2(line + 0.15, 0.0), 2.0);
        // Defence nearest the end line on both sides, then attackers, then a defender; the rest behind the arc.
        let rivals: Vec<usize> = self.defenders().rev().collect();
        let mates: Vec<usize> = shooters.rev().filter(|&s| s != shooter).collect();
        let spots = [
            (rivals[0], v2(1.0, lane)),
            (rivals[1], v2(1.0, -lane)),
            (mates[0], v2(1.9, lane)),
            (mates[1], v2(1.9, -lane)),
            (rivals[2], v2(2.8, lane)),
            (rivals[3], v2(8.6, 2.0)),
            (rivals[4], v2(9.5, -2.5)),
            (mates[2], v2(9.0, 3.6)),
            (mates[3], v2(8.8, -0.8)),
        ];
        for (slot, spot) in spots {
            self.go(slot, spot, 1.9);
        }
        let seconds = self.dice.between(7.0, 11.0);
        self.run_for(seconds)?;
        self.run_until(10.0, |w| (0..10).all(|s| w.is_idle(s)))?;
        self.open_possession(true);
        let mut made = 0;
        for shot in 0..count {
            // The referee bounces it to the shooter from under the hoop.
            self.ball.pos = v2(line - 2.6, 0.4);
            self.ball.z = 1.0;
            self.throw(shooter);
            self.run_until(2.0, |w| w.ball.holder().is_some())?;
            self.grip(Grip::Dribble);
            let ritual = self.dice.between(2.0, 4.0);
            self.run_for(ritual)?;
            self.grip(Grip::Hold);
            self.run_for(0.4)?;
            self.grip(Grip::Raise);
            self.run_for(0.4)?;
            let makes = self.dice.chance(0.76);
            let (from, release_m) = (self.ball.pos, self.ball.z);
            let rim = if makes {
                Vec2::ZERO
            } else {
                v2(0.2, 0.0).turned(self.dice.between(-1.5, 1.5))
            };
            let duration = shot_duration_s(from.distance(rim));
            self.ball.state = BallState::Free(Flight::between(from, release_m, rim, RIM_M, duration));
            self.run_for(duration)?;
            if makes {
                made += 1;
                self.event("free_throw_made", Some(shooter), Some(1));
            } else {
                self.event("free_throw_missed", Some(shooter), Some(0));
            }
            if let Some(possession) = self.log.possessions.last_mut() {
                possession.points = made;
            }
            let last = shot + 1 == count;
            let p0 = self.ball.pos;
            if makes || !last {
                self.ball.state = BallState::Free(Flight {
                    p0,
                    v0: v2(0.4, 0.2),
                    z0: self.ball.z,
                    w0: -1.5,
                    elapsed_s: 0.0,
                });
            }
            if last && makes {
                self.close_possession(EndKind::Foul);
                self.clock_runs = true;
                return Ok(Restart::EndLine {
                    team: 1 - self.offense,
                });
            }
            if last {
                self.live = true;
                self.clock_runs = true;
                self.shot_clock_s = 24.0;
                return match self.rebound(line)? {
                    Next::Over(restart) => Ok(restart),
                    Next::Play => {
                        // An attacker got it: a new possession of the same team.
                        self.close_possession(EndKind::Foul);
                        let slot = self.handler;
                        Ok(Restart::Live { slot })
                    }
                };
            }
            self.run_for(1.2)?;
            // Somebody fetches it for the referee, out of the cameras' sight.
            self.ball.state = BallState::Unseen;
            let pause = self.dice.between(0.8, 2.0);
            self.run_for(pause)?;
        }
        Ok(Restart::EndLine {
            team: 1 - self.offense,
        })
    }
}
