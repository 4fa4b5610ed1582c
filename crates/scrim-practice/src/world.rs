//! The floor, ten bodies, the ball and the clocks; one [`World::step`] at a time.
//!
//! Everything lives in the attack frame of the team that has the ball ([`World::change_sides`] turns the frame
//! when the ball changes hands); the record is in the court frame.

mod orders;
mod recording;

use std::collections::VecDeque;

use scrim_tables::tags::Alignment;

use crate::ball::{Ball, BallState, Flight, Grip};
use crate::body::Body;
use crate::dice::Dice;
use crate::duty::Duty;
use crate::order::Task;
pub(crate) use crate::order::{Leg, Order};
use crate::params::PracticeParams;
use crate::plan::Log;
use crate::record::{Event, PeriodRecord};
use crate::season::Playbook;
use crate::style::Style;
use crate::vec2::{Vec2, v2};

/// Why a script must stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Halt {
    PeriodOver,
    ShotClock,
}

/// Deviation of the logarithm of how far a player has the ball from the body, from touch to touch.
const REACH: f64 = 0.14;

/// Seconds of positions that reactions look back on.
const HISTORY_S: f64 = 0.4;

/// A copy goes on by itself: the game that it was taken from does not notice.
#[derive(Clone)]
pub(crate) struct World<'a> {
    pub params: &'a PracticeParams,
    pub dice: Dice,
    pub dt_s: f64,
    substeps: u32,
    substep: u32,
    pub period: u8,
    pub bodies: Vec<Body>,
    pub tasks: [Task; 10],
    pub duties: [Duty; 10],
    /// For each slot: the opponent's slot it guards when its team defends.
    pub guards: [usize; 10],
    pub ball: Ball,
    /// The team whose attack frame holds.
    pub offense: usize,
    /// Sign of the hoop that team 0 attacks in this period.
    pub team0_sign: f64,
    /// The slot in control of the ball, or the last one that was.
    pub handler: usize,
    pub game_clock_s: f64,
    pub shot_clock_s: f64,
    pub clock_runs: bool,
    pub shot_clock_runs: bool,
    /// Whether the ball is live; when dead, both teams follow their tasks.
    pub live: bool,
    /// How the possession is played.
    pub style: Style,
    /// How bodies move while nothing is called: the possession's style, or where the two are mixed one of its own.
    pub gait: Style,
    /// Whether the defence presses: it guards in the back court as well.
    pub presses: bool,
    /// How loosely everybody off the ball is guarded in this possession, a factor, and how far from the body the handler has the ball in this touch.
    pub looseness: f64,
    pub reach: f64,
    /// How fast the handler goes in this possession, and how readily the ball is passed, factors.
    pub handler_pace: f64,
    /// See `handler_pace`.
    pub passing: f64,
    /// When the handler got the ball, period time.
    pub touch_from_s: f64,
    /// Whether the attackers take up their places for the set.
    pub settles: bool,
    /// How lively the possession is: the pace of what nobody ordered, a factor.
    pub tempo: f64,
    /// While a shot is in the air the buzzer does not end the play.
    pub shot_in_air: bool,
    /// Orders that wait for their instant (period time).
    pub schedule: Vec<(f64, Order)>,
    history: VecDeque<[(Vec2, Vec2); 11]>,
    /// The shape that the attackers were sent to, and its places.
    pub shape: Option<(Alignment, [Vec2; 5])>,
    /// The shape that the next set is to begin from, where a look needs one.
    pub wished_shape: Option<Alignment>,
    /// In a season: what the two teams run.
    pub playbook: Option<Playbook>,
    /// Whether this is a copy that plays what might have been ([`World::play_out`] keeps no copies of copies).
    pub is_replay: bool,
    /// Time-outs each team has left in the game.
    pub timeouts: [u8; 2],
    pub record: PeriodRecord,
    pub events: Vec<Event>,
    pub log: Log,
}

impl<'a> World<'a> {
    pub fn new(params: &'a PracticeParams, dice: Dice, bodies: Vec<Body>) -> Self {
        // Bodies move in steps of at most 40 ms, whatever the recording's rate.
        let substeps = (25.0 / params.hz).ceil().max(1.0) as u32;
        Self {
            params,
            dice,
            dt_s: 1.0 / (params.hz * f64::from(substeps)),
            substeps,
            substep: 0,
            period: 0,
            bodies,
            tasks: Default::default(),
            duties: [Duty::Guard; 10],
            guards: [5, 6, 7, 8, 9, 0, 1, 2, 3, 4],
            ball: Ball::new(),
            offense: 0,
            team0_sign: 1.0,
            handler: 0,
            game_clock_s: params.period_s,
            shot_clock_s: 24.0,
            clock_runs: false,
            shot_clock_runs: false,
            live: false,
            shot_in_air: false,
            style: Style::Lively,
            gait: Style::Lively,
            presses: false,
            looseness: 1.0,
            reach: 1.0,
            handler_pace: 1.0,
            passing: 1.0,
            touch_from_s: 0.0,
            settles: false,
            tempo: 1.0,
            schedule: Vec::new(),
            history: VecDeque::new(),
            shape: None,
            wished_shape: None,
            playbook: None,
            is_replay: false,
            timeouts: [5; 2],
            record: PeriodRecord::default(),
            events: Vec::new(),
            log: Log::default(),
        }
    }

    /// Seconds since the period's first frame: the stamp of the frame that is recorded next.
    pub fn now_s(&self) -> f64 {
        (self.record.frames.len() as f64 + f64::from(self.substep) / f64::from(self.substeps))
            / self.params.hz
    }

    pub fn hoop_x_m(&self) -> f64 {
        f64::from(self.params.court.hoop_x_m())
    }

    /// Half-width of the court.
    pub fn side_y_m(&self) -> f64 {
        f64::from(self.params.court.width_m) / 2.0
    }

    pub fn sign(&self) -> f64 {
        if self.offense == 0 {
            self.team0_sign
        } else {
            -self.team0_sign
        }
    }

    pub fn team_of(&self, slot: usize) -> usize {
        slot / 5
    }

    /// Slots of the team with the ball.
    pub fn attackers(&self) -> std::ops::Range<usize> {
        self.offense * 5..self.offense * 5 + 5
    }

    pub fn defenders(&self) -> std::ops::Range<usize> {
        let team = 1 - self.offense;
        team * 5..team * 5 + 5
    }

    /// Who guards attacker `slot`.
    pub fn defender_of(&self, slot: usize) -> usize {
        self.defenders()
            .find(|&d| self.guards[d] == slot)
            .expect("matchups are a permutation")
    }

    pub fn pos(&self, slot: usize) -> Vec2 {
        self.bodies[slot].pos
    }

    pub fn gap(&self, a: usize, b: usize) -> f64 {
        self.pos(a).distance(self.pos(b))
    }

    /// Distance from `slot` to the nearest opponent.
    pub fn space(&self, slot: usize) -> f64 {
        let rivals = (1 - slot / 5) * 5;
        (rivals..rivals + 5)
            .map(|r| self.gap(slot, r))
            .fold(f64::INFINITY, f64::min)
    }

    /// What `slot` believes of entity `of` (10 is the ball): where it was a reaction ago, carried on a little.
    pub fn perceived(&self, slot: usize, of: usize) -> (Vec2, Vec2) {
        let late = self.bodies[slot].reaction_s;
        let back = ((late / self.dt_s) as usize).min(self.history.len().saturating_sub(1));
        match self.history.get(back) {
            Some(seen) => {
                let (pos, vel) = seen[of];
                (pos + vel * (0.6 * late), vel)
            }
            None if of < 10 => (self.bodies[of].pos, self.bodies[of].vel),
            None => (self.ball.pos, Vec2::ZERO),
        }
    }

    /// The ball goes into `slot`'s hands.
    pub fn give(&mut self, slot: usize, grip: Grip) {
        self.ball.state = BallState::Held { slot, grip };
        if self.handler != slot {
            self.touch_from_s = self.now_s();
        }
        self.handler = slot;
        self.reach = (REACH * self.dice.normal()).exp();
    }

    pub fn grip(&mut self, grip: Grip) {
        if let BallState::Held { slot, .. } = self.ball.state {
            self.ball.state = BallState::Held { slot, grip };
        }
    }

    pub fn run_for(&mut self, seconds: f64) -> Result<(), Halt> {
        let steps = (seconds / self.dt_s).round().max(0.0) as u32;
        for _ in 0..steps {
            self.step()?;
        }
        Ok(())
    }

    /// Runs until `done`, at most `max_s`; says whether it was done.
    pub fn run_until(&mut self, max_s: f64, done: impl Fn(&Self) -> bool) -> Result<bool, Halt> {
        let steps = (max_s / self.dt_s).round() as u32;
        for _ in 0..steps {
            if done(self) {
                return Ok(true);
            }
            self.step()?;
        }
        Ok(done(self))
    }

    /// One step of everything.
    pub fn step(&mut self) -> Result<(), Halt> {
        self.give_due_orders();
        self.move_bodies();
        self.move_ball();
        self.remember();
        if self.clock_runs {
            self.game_clock_s = (self.game_clock_s - self.dt_s).max(0.0);
            if self.shot_clock_runs {
                self.shot_clock_s = (self.shot_clock_s - self.dt_s).max(0.0);
            }
        }
        self.substep += 1;
        if self.substep == self.substeps {
            self.substep = 0;
            self.record_frame();
        }
        if self.clock_runs && !self.shot_in_air {
            if self.game_clock_s <= 0.0 {
                return Err(Halt::PeriodOver);
            }
            if self.shot_clock_runs && self.shot_clock_s <= 0.0 {
                return Err(Halt::ShotClock);
            }
        }
        Ok(())
    }

    fn remember(&mut self) {
        let mut seen = [(Vec2::ZERO, Vec2::ZERO); 11];
        for (slot, body) in self.bodies.iter().enumerate() {
            seen[slot] = (body.pos, body.vel);
        }
        let ball_vel = self
            .ball
            .holder()
            .map_or(Vec2::ZERO, |slot| self.bodies[slot].vel);
        seen[10] = (self.ball.pos, ball_vel);
        self.history.push_front(seen);
        while self.history.len() as f64 * self.dt_s > HISTORY_S {
            self.history.pop_back();
        }
    }

    /// The other team attacks now: every spot is in its frame now (half a turn, a shift).
    pub fn change_sides(&mut self) {
        self.offense = 1 - self.offense;
        let across = 2.0 * self.hoop_x_m();
        let turn = |p: Vec2| v2(across - p.x, -p.y);
        for body in &mut self.bodies {
            body.pos = turn(body.pos);
            body.vel = -body.vel;
            body.facing = -body.facing;
            body.sway = -body.sway;
            body.planted = false;
        }
        for (slot, task) in self.tasks.iter_mut().enumerate() {
            task.legs.clear();
            task.hold = self.bodies[slot].pos;
        }
        for seen in &mut self.history {
            for (pos, vel) in seen.iter_mut() {
                *pos = turn(*pos);
                *vel = -*vel;
            }
        }
        self.ball.pos = turn(self.ball.pos);
        self.ball.state = match self.ball.state {
            BallState::Pass {
                from,
                z0,
                to,
                elapsed_s,
                duration_s,
            } => BallState::Pass {
                from: turn(from),
                z0,
                to,
                elapsed_s,
                duration_s,
            },
            BallState::Free(f) => BallState::Free(Flight {
                p0: turn(f.p0),
                v0: -f.v0,
                ..f
            }),
            BallState::Rolling { vel } => BallState::Rolling { vel: -vel },
            state @ (BallState::Held { .. } | BallState::Dead | BallState::Unseen) => state,
        };
        self.duties = [Duty::Guard; 10];
        self.forget_orders();
    }
}
