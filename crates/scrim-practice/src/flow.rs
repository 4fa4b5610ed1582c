//! The course of a period: possessions one after the other, and the dead time between them.

use scrim_tables::tags::EndKind;

use crate::ball::{BallState, Flight, Grip};
use crate::duty::Duty;
use crate::plan::{MatchupChange, NegativeKind, PossessionPlan};
use crate::shot::Restart;
use crate::style::Style;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// Deviation of the logarithm of a possession's pace. Chosen so that possessions differ as real ones do.
const TEMPO: f64 = 0.34;
/// Deviation of the logarithm of how loosely a defence plays, from possession to possession. Chosen likewise.
const LOOSENESS: f64 = 0.18;
/// Deviations of the logarithms of the handler's pace and of how readily the ball is passed, from possession to possession. Chosen
/// so that handlers' speeds and touches differ as real ones do.
const HANDLER_PACE: f64 = 0.3;
const PASSING: f64 = 0.3;
/// Share of possessions in which the defence presses. Common practice, no source.
const PRESSES: f64 = 0.06;

impl World<'_> {
    /// Plays period `period` from its first frame to its last.
    pub fn play_period(&mut self, period: u8) {
        self.begin_period(period);
        let first = if period == 1 {
            self.tip_off()
        } else {
            let team = usize::from(period % 2);
            let spot = v2(self.hoop_x_m() + 0.3, self.side_y_m() + 0.4);
            Ok(Restart::SideLine { team, spot })
        };
        let mut outcome = first;
        loop {
            outcome = match outcome {
                Ok(restart) => self.one_attack(restart),
                Err(Halt::ShotClock) => {
                    self.event("violation", Some(self.handler), None);
                    self.event("turnover", Some(self.handler), None);
                    Ok(self.out_of_bounds(EndKind::Turnover))
                }
                Err(Halt::PeriodOver) => break,
            };
        }
        self.close_possession(EndKind::PeriodEnd);
        self.clock_runs = false;
        self.event("period_end", None, None);
        self.live = false;
        self.shot_in_air = false;
        self.forget_orders();
        self.walk_everyone();
        // The recording goes on for a moment; with the clock stopped nothing can halt it.
        let _ = self.run_for(2.0);
    }

    fn begin_period(&mut self, period: u8) {
        self.period = period;
        self.record = crate::record::PeriodRecord::default();
        self.game_clock_s = self.params.period_s;
        self.shot_clock_s = 24.0;
        self.clock_runs = false;
        self.shot_clock_runs = false;
        self.live = false;
        self.shot_in_air = false;
        self.guards = [5, 6, 7, 8, 9, 0, 1, 2, 3, 4];
        let half = self.params.periods.div_ceil(2);
        self.team0_sign = if period <= half { 1.0 } else { -1.0 };
        self.offense = 0;
        self.forget_orders();
        let middle = self.hoop_x_m();
        for slot in 0..10 {
            let angle = self.dice.between(0.0, std::f64::consts::TAU);
            let away = self.dice.between(2.2, 5.5);
            let spot = v2(middle, 0.0) + v2(away, 0.0).turned(angle);
            let body = &mut self.bodies[slot];
            body.pos = spot;
            body.vel = Vec2::ZERO;
            body.planted = false;
            self.tasks[slot].legs.clear();
            self.tasks[slot].hold = spot;
        }
        self.ball.state = BallState::Dead;
        self.ball.pos = v2(middle, 0.3);
        self.ball.z = 1.2;
        self.event("period_start", None, None);
    }

    /// Two post players jump; the ball is tapped to a team-mate of one of them.
    fn tip_off(&mut self) -> Result<Restart, Halt> {
        let middle = v2(self.hoop_x_m(), 0.0);
        for (slot, side) in [(4, 0.5), (9, -0.5)] {
            self.go(slot, middle + v2(side, 0.0), 2.5);
        }
        self.run_for(4.0)?;
        self.ball.pos = middle;
        self.ball.state = BallState::Free(Flight {
            p0: middle,
            v0: Vec2::ZERO,
            z0: 1.6,
            w0: 5.0,
            elapsed_s: 0.0,
        });
        self.run_for(0.85)?;
        let winner = self.dice.index(2);
        let mates = [0, 1, 2].map(|s| s + winner * 5);
        let taken = mates.into_iter().min_by(|&a, &b| {
            self.pos(a)
                .distance(middle)
                .total_cmp(&self.pos(b).distance(middle))
        });
        let slot = taken.expect("three mates");
        self.clock_runs = true;
        self.throw(slot);
        self.run_until(2.0, |w| w.ball.holder().is_some())?;
        Ok(Restart::Live { slot })
    }

    // --- possessions ---

    pub fn open_possession(&mut self, is_doubtful: bool) {
        self.tempo = (TEMPO * self.dice.normal()).exp();
        self.settles = false;
        self.looseness = (LOOSENESS * self.dice.normal()).exp();
        self.handler_pace = (HANDLER_PACE * self.dice.normal()).exp();
        self.passing = (PASSING * self.dice.normal()).exp();
        self.presses = self.dice.chance(PRESSES);
        self.draw_style();
        let plan = PossessionPlan {
            period: self.period,
            t_start_s: self.now_s(),
            t_end_s: f64::NAN,
            offense: self.offense,
            end_kind: None,
            points: 0,
            is_doubtful,
            alignment: None,
        };
        self.log.possessions.push(plan);
        self.note_matchups();
    }

    /// Whether what is called is played in order, and whether players move so: real teams do one without the other. Where no
    /// possession is, nothing is drawn: such games are the same as without the choice.
    fn draw_style(&mut self) {
        let share = f64::from(self.params.orderly_share);
        let mut draw = || {
            if share > 0.0 && self.dice.chance(share) {
                Style::Orderly
            } else {
                Style::Lively
            }
        };
        (self.style, self.gait) = (draw(), draw());
        if self.gait == Style::Orderly {
            (self.tempo, self.looseness, self.presses) = (1.0, 1.0, false);
            (self.handler_pace, self.passing) = (1.0, 1.0);
        }
    }

    /// Ends the open possession, if there is one.
    pub fn close_possession(&mut self, end_kind: EndKind) {
        let now = self.now_s();
        let frame = 1.0 / self.params.hz;
        if let Some(open) = self.log.possessions.last_mut().filter(|p| p.end_kind.is_none()) {
            open.end_kind = Some(end_kind);
            open.t_end_s = (now - frame).max(open.t_start_s);
        }
    }

    /// Notes who guards whom from now on.
    pub fn note_matchups(&mut self) {
        let change = MatchupChange {
            period: self.period,
            t_s: self.now_s(),
            guards: self.guards,
            offense: self.offense,
        };
        self.log.matchups.push(change);
    }

    /// Two defenders exchange their players.
    pub fn swap_matchups(&mut self, a: usize, b: usize) {
        self.guards.swap(a, b);
        self.note_matchups();
    }

    /// One restart and the possession after it.
    fn one_attack(&mut self, restart: Restart) -> Result<Restart, Halt> {
        match restart {
            Restart::Live { slot } => {
                if self.team_of(slot) != self.offense {
                    self.change_sides();
                }
                self.live = true;
                self.clock_runs = true;
                self.shot_clock_s = 24.0;
                self.shot_clock_runs = true;
                self.settle_matchups();
                self.give(slot, Grip::Dribble);
                self.open_possession(false);
            }
            Restart::EndLine { team } => self.end_line_throw_in(team)?,
            Restart::SideLine { team, spot } => self.side_line_throw_in(team, spot)?,
            Restart::FreeThrows { shooter, count } => return self.free_throws(shooter, count),
        }
        self.attack()
    }

    /// Between possessions everyone takes their own player again.
    pub fn settle_matchups(&mut self) {
        self.guards = [5, 6, 7, 8, 9, 0, 1, 2, 3, 4];
        self.duties = [Duty::Guard; 10];
    }

    fn end_line_throw_in(&mut self, team: usize) -> Result<(), Halt> {
        if self.offense != team {
            self.change_sides();
        }
        self.settle_matchups();
        self.live = true;
        self.shot_clock_runs = false;
        self.shot_clock_s = 24.0;
        // FIBA: after a made goal the clock stops in the last two minutes of the game only.
        let late = self.period >= self.params.periods && self.game_clock_s < 120.0;
        if late {
            self.clock_runs = false;
        }
        let base = team * 5;
        let inbounder = [3, 4].map(|s| s + base).into_iter().min_by(|&a, &b| {
            self.pos(a)
                .distance(self.ball.pos)
                .total_cmp(&self.pos(b).distance(self.ball.pos))
        });
        let inbounder = inbounder.expect("two post players");
        let guard = base;
        let far = 2.0 * self.hoop_x_m();
        self.handler = inbounder;
        self.transition_lanes(guard, inbounder);
        let side = self.dice.sign();
        let receive = v2(
            far - self.dice.between(1.5, 4.0),
            side * self.dice.between(1.5, 3.5),
        );
        self.go(guard, receive, 3.0);
        // To the ball, pick it up, step out.
        let pause = self.dice.between(0.3, 1.0);
        self.run_for(pause)?;
        for _ in 0..200 {
            let spot = self.ball.pos;
            if self.pos(inbounder).distance(spot) < 0.75 {
                break;
            }
            self.go(inbounder, spot, 4.5);
            self.step()?;
        }
        self.give(inbounder, Grip::Hold);
        self.open_possession(false);
        let out = v2(
            far + f64::from(self.params.court.hoop_from_end_line_m) + 0.4,
            self.pos(inbounder).y,
        );
        self.go(inbounder, out, 3.5);
        self.run_until(3.0, |w| w.pos(inbounder).distance(out) < 0.5)?;
        let pause = self.dice.between(0.2, 1.0);
        self.run_for(pause)?;
        self.pass(guard)?;
        self.clock_runs = true;
        self.shot_clock_runs = true;
        Ok(())
    }

    fn side_line_throw_in(&mut self, team: usize, spot: Vec2) -> Result<(), Halt> {
        self.dead_ball()?;
        if self.offense != team {
            self.change_sides();
        }
        self.settle_matchups();
        self.shot_clock_s = 24.0;
        self.maybe_time_out()?;
        self.substitutions()?;
        let base = team * 5;
        let inbounder = base + 2;
        let guard = base;
        self.go(inbounder, spot, 2.2);
        let front = spot.x < self.hoop_x_m();
        let toward_middle = -spot.y.signum();
        let receive = v2((spot.x + 2.0).clamp(6.0, 24.0), spot.y + toward_middle * 4.0);
        self.go(guard, receive, 2.0);
        let spots = self.half_court_spots();
        for slot in self.attackers().filter(|&s| s != inbounder && s != guard) {
            let mut place = spots[slot % 5];
            if !front {
                place.x += 3.0;
            }
            self.go(slot, place, 2.0);
        }
        self.walk_defense();
        let wait = self.dice.between(5.0, 10.0);
        self.run_for(wait)?;
        self.run_until(8.0, |w| w.pos(inbounder).distance(spot) < 0.6)?;
        // The referee brings the ball along the line, mostly hidden, and hands it over.
        self.ball.state = BallState::Unseen;
        self.run_for(0.4)?;
        self.ball.pos = spot + v2(1.6, 0.0);
        self.ball.z = 1.2;
        self.throw(inbounder);
        self.run_until(2.0, |w| w.ball.holder().is_some())?;
        self.open_possession(false);
        self.live = true;
        let pause = self.dice.between(0.8, 1.8);
        self.run_for(pause)?;
        // Traffic: a mate runs close by the receiver, as on every out-of-bounds play, and goes on.
        let traffic = self.dice.chance(0.5).then_some(base + 1);
        let start_s = self.now_s();
        if let Some(mate) = traffic {
            let home = spots[1];
            let beside = self.tasks[guard].hold + v2(self.dice.between(-1.1, 1.1), -toward_middle);
            self.path(mate, &[Leg::past(beside, 4.4), Leg::to(home, 4.4)]);
            self.run_until(2.5, |w| w.gap(mate, guard) < 2.0)?;
        }
        self.throw(guard);
        self.run_until(3.0, |w| w.ball.holder().is_some())?;
        if let Some(mate) = traffic {
            let until_s = self.now_s() + 2.0;
            self.note_negative_until(NegativeKind::InboundTraffic, guard, mate, start_s, until_s);
        }
        self.clock_runs = true;
        self.shot_clock_runs = true;
        Ok(())
    }

    /// A defender knocks the ball out: the attackers throw in again.
    pub fn knocked_out(&mut self) -> Result<Restart, Halt> {
        let p = self.ball.pos;
        let side = if p.y < 0.0 { -1.0 } else { 1.0 };
        let v0 = v2(self.dice.between(-1.5, 1.5), side * 6.5);
        self.ball.state = BallState::Free(Flight {
            p0: p,
            v0,
            z0: self.ball.z.max(0.3),
            w0: 1.5,
            elapsed_s: 0.0,
        });
        self.run_until(4.0, |w| w.is_out_of_bounds(w.ball.pos))?;
        self.close_possession(EndKind::DeadBall);
        let x = self.ball.pos.x.clamp(3.5, 24.0);
        Ok(Restart::SideLine {
            team: self.offense,
            spot: v2(x, side * (self.side_y_m() + 0.4)),
        })
    }

    /// A foul away from the shot: side throw-in for the attackers.
    pub fn common_foul(&mut self) -> Restart {
        let fouler = self.defender_of(self.handler);
        self.event("foul", Some(fouler), None);
        self.close_possession(EndKind::Foul);
        let y = self.ball.pos.y;
        let side = if y < 0.0 { -1.0 } else { 1.0 };
        let x = self.ball.pos.x.clamp(3.5, 24.0);
        Restart::SideLine {
            team: self.offense,
            spot: v2(x, side * (self.side_y_m() + 0.4)),
        }
    }

    /// Everyone who has no job on the ball runs to their place of the next half-court set.
    pub fn transition_lanes(&mut self, handler: usize, trailer: usize) {
        let mut spots = self.half_court_spots();
        // The ball's place is the handler's, whoever that is.
        spots.swap(0, handler % 5);
        for slot in self.attackers().filter(|&s| s != handler && s != trailer) {
            let (slow_mps, fast_mps) = self.style.pick((4.4, 6.0), (3.6, 5.2));
            let speed = self.dice.between(slow_mps, fast_mps);
            let wait = self.dice.between(0.0, self.style.pick(0.2, 0.6));
            let legs = [Leg::Wait { left_s: wait }, Leg::to(spots[slot % 5], speed)];
            self.move_over(slot, &legs);
        }
    }
}
