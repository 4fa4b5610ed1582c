//! Scripts away from the ball: the nine screens of the vocabulary, one at a time or two in a row.
//!
//! - `pattern`: where each happens; `in_a_row`: two screeners for one user; `after`: what follows.

mod after;
mod in_a_row;
mod pattern;

use scrim_tables::tags::{CutKind, Outcome, ScreenKind};

use crate::ball::Grip;
use crate::shot::Next;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};
use in_a_row::InARow;
use pattern::{Pattern, cut_off, is_named_by_its_start, pattern};

/// Players who take their places for a scripted screen walk, m/s: what they do on the way must not be a cut, or the look would not
/// be the one in the truth tables. (Cuts are 2.4 m/s and more: common practice, no source.)
const STAGING_MPS: f64 = 1.9;

/// How an off-ball screen is run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Style {
    /// Any outcome, any way off it.
    Varied,
    /// It is used, the way the pattern has it, by the players who stand nearest; they walk to their places.
    Plain,
}

impl World<'_> {
    /// Draws an off-ball screen and runs it; sometimes the user gets the ball, sometimes a ball screen follows.
    pub fn draw_off_ball(&mut self) -> Result<Next, Halt> {
        let kind = self.dice.weighted(&[
            (ScreenKind::Down, 0.36),
            (ScreenKind::Back, 0.14),
            (ScreenKind::Rub, 0.14),
            (ScreenKind::Cross, 0.12),
            (ScreenKind::Flex, 0.17),
            (ScreenKind::Flare, 0.17),
            (ScreenKind::Zipper, 0.12),
            (ScreenKind::OverTop, 0.2),
            (ScreenKind::Exit, 0.22),
        ]);
        let side = self.dice.sign();
        let in_a_row = match kind {
            ScreenKind::Down if self.dice.chance(0.22) => Some(InARow::down(side)),
            ScreenKind::OverTop if self.dice.chance(0.3) => Some(InARow::over_top(side)),
            _ => None,
        };
        if let Some(two) = in_a_row {
            return self.in_a_row(&two);
        }
        match self.off_ball(kind, side, Style::Varied)? {
            Some(index) => self.after_off_ball(index),
            None => Ok(Next::Play),
        }
    }

    /// Runs an off-ball screen on a side; gives the log's index when the cut is past the screener.
    pub fn off_ball(&mut self, kind: ScreenKind, side: f64, style: Style) -> Result<Option<usize>, Halt> {
        let Some(pattern) = pattern(kind, side) else {
            return Ok(None);
        };
        let base = self.offense * 5;
        let handler = self.handler;
        let free: Vec<usize> = pattern
            .screeners
            .iter()
            .map(|s| base + s)
            .filter(|&s| s != handler)
            .collect();
        if free.is_empty() {
            return Ok(None);
        }
        let screener = match style {
            Style::Varied => free[self.dice.index(free.len())],
            Style::Plain => self.nearest(&free, pattern.screen),
        };
        // Post players free the others; but a cross screen is post for post as well, when both are at the blocks.
        let post_for_post = kind == ScreenKind::Cross && style == Style::Plain;
        let mut user = self
            .attackers()
            .filter(|&s| s != handler && s != screener && (s % 5 != 4 || post_for_post))
            .min_by(|&a, &b| {
                self.pos(a)
                    .distance(pattern.start)
                    .total_cmp(&self.pos(b).distance(pattern.start))
            })
            .expect("at least two others");
        if kind == ScreenKind::Rub {
            // The passer is the one who cuts: a player on the wing gets the ball first.
            let wing = user;
            user = handler;
            self.space_floor(&[handler, wing, screener], pattern.screen);
            self.go(wing, pattern.ball, 4.0);
            self.go(handler, pattern.start, 3.5);
            self.go(screener, pattern.screen, 4.0);
            self.run_until(3.0, |w| {
                w.pos(wing).distance(pattern.ball) < 0.8 && w.pos(user).distance(pattern.start) < 0.8
            })?;
            self.pass(wing)?;
        } else {
            self.grip(Grip::Dribble);
            self.space_floor(&[handler, user, screener], pattern.screen);
            self.go(handler, pattern.ball, 3.4);
            let (pace_mps, longest_s) = match style {
                Style::Varied => (4.2, 3.5),
                Style::Plain => (STAGING_MPS, 5.0),
            };
            self.go(user, pattern.start, pace_mps);
            if style == Style::Plain {
                // Both go at once: the clock must leave time for what follows.
                self.go(screener, pattern.screen, 4.3);
            }
            self.run_until(longest_s, |w| w.pos(user).distance(pattern.start) < 0.7)?;
        }
        let index = self.screen_off_ball(kind, screener, user, &pattern, style)?;
        if style == Style::Plain {
            // The play flows on during the run; the screener stands no more.
            self.run_until(0.5, |w| w.is_idle(user))?;
            self.bodies[screener].planted = false;
        }
        Ok(Some(index))
    }

    /// The one of some players who stands nearest to a spot.
    ///
    /// # Panics
    /// When there are none.
    fn nearest(&self, of: &[usize], spot: Vec2) -> usize {
        let by_way = |a: &&usize, b: &&usize| {
            let way = |slot: usize| self.pos(slot).distance(spot);
            way(**a).total_cmp(&way(**b))
        };
        *of.iter().min_by(by_way).expect("somebody may screen")
    }

    /// The side on which a screen's two players have the shorter way to their places.
    pub fn nearer_side(&self, kind: ScreenKind) -> f64 {
        let way_m = |side: f64| {
            let Some(pattern) = pattern(kind, side) else {
                return f64::INFINITY;
            };
            let others = || self.attackers().filter(|&slot| slot != self.handler);
            let to = |spot: Vec2, posts: bool| {
                let screens = |slot: usize| pattern.screeners.contains(&(slot % 5));
                others()
                    .filter(|&slot| screens(slot) == posts)
                    .map(|slot| self.pos(slot).distance(spot))
                    .fold(f64::INFINITY, f64::min)
            };
            to(pattern.start, false) + to(pattern.screen, true)
        };
        if way_m(1.0) <= way_m(-1.0) { 1.0 } else { -1.0 }
    }

    /// One screener sets, one user cuts by; gives the log's index when the cut is over.
    fn screen_off_ball(
        &mut self,
        kind: ScreenKind,
        screener: usize,
        user: usize,
        pattern: &Pattern,
        style: Style,
    ) -> Result<usize, Halt> {
        let spot = pattern.screen;
        let out = (pattern.end - pattern.start).unit();
        let index = self.log_screen(false, kind, Outcome::Used, screener, user, out, None);
        if self.pos(screener).distance(spot) > 0.4 {
            self.go(screener, spot, 4.3);
        }
        self.run_until(3.0, |w| {
            w.pos(screener).distance(spot) < 0.4 && w.bodies[screener].vel.length() < 0.9
        })?;
        self.bodies[screener].planted = true;
        self.log.screens[index].t_planted_s = Some(self.now_s());
        if is_named_by_its_start(kind) && !self.is_at_start(user, pattern.start)? {
            return Ok(index);
        }
        let outcome = self.dice.weighted(&[
            (Outcome::Used, 0.6),
            (Outcome::Rejected, 0.15),
            (Outcome::Slipped, 0.12),
            (Outcome::Unused, 0.13),
        ]);
        let always_used = matches!(
            kind,
            ScreenKind::Rub | ScreenKind::Cross | ScreenKind::OverTop | ScreenKind::Exit
        );
        let room = self.gap(user, screener) < 4.5 && !always_used;
        if outcome != Outcome::Used && room && style == Style::Varied {
            self.not_used(index, outcome, pattern)?;
            return Ok(index);
        }
        let set = self.dice.between(0.25, 0.6);
        self.run_for(set)?;
        self.log.screens[index].t_go_s = self.now_s();
        let pace = self.dice.between(4.3, 5.5);
        let (word, legs) = self.way_off(kind, pattern, pace, style);
        self.note_cut(word, user, Some(index));
        self.path(user, &legs);
        self.run_until(2.5, |w| (w.pos(user) - spot).dot(out) > 0.4)?;
        Ok(index)
    }

    /// Sees to it that a user is where the way off the screen begins; says whether they got there in time. Who did not would
    /// go another way, with another name: no label is to be sure of it.
    fn is_at_start(&mut self, user: usize, start: Vec2) -> Result<bool, Halt> {
        let is_there = |w: &Self| w.pos(user).distance(start) < 1.2;
        if !is_there(self) {
            self.go(user, start, 4.2);
            self.run_until(2.0, is_there)?;
        }
        Ok(is_there(self))
    }

    /// The user's way off the screen, and what it is called. Off a down screen the user comes straight up, curls to the rim,
    /// or fades to the corner.
    fn way_off(
        &mut self,
        kind: ScreenKind,
        pattern: &Pattern,
        pace: f64,
        style: Style,
    ) -> (Option<CutKind>, Vec<Leg>) {
        let spot = pattern.screen;
        let side = if spot.y < 0.0 { -1.0 } else { 1.0 };
        let past = |spot: Vec2| Leg::past(spot, pace);
        let to = |spot: Vec2| Leg::to(spot, pace);
        let way = if kind == ScreenKind::Down && style == Style::Varied {
            self.dice.weighted(&[
                (None, 0.36),
                (Some(CutKind::Curl), 0.4),
                (Some(CutKind::Fade), 0.24),
            ])
        } else {
            cut_off(kind)
        };
        let legs = match (kind, way) {
            // Nobody turns on the spot at full speed: v² / r is what legs give.
            (ScreenKind::Down, Some(CutKind::Curl)) => [
                v2(0.0, side * 0.8),
                v2(1.2, side * 0.5),
                v2(1.7, side * -0.8),
                v2(0.9, side * -2.0),
            ]
            .into_iter()
            .map(|by| Leg::past(spot + by, pace * 0.72))
            .chain([to(v2(1.1, side * 0.7))])
            .collect(),
            // Up to the screen as if to come off it, and away along it to the corner.
            (ScreenKind::Down, Some(CutKind::Fade)) => vec![
                past(spot + v2(-0.6, side * 0.8)),
                to(v2(1.6, side * (self.side_y_m() - 0.7))),
            ],
            _ => vec![past(spot + pattern.by), to(pattern.end)],
        };
        (way, legs)
    }

    /// The screen stands and is not used: the user goes the other way, the screener leaves for the rim, or nothing.
    fn not_used(&mut self, index: usize, outcome: Outcome, pattern: &Pattern) -> Result<(), Halt> {
        let (screener, user) = (self.log.screens[index].screener, self.log.screens[index].user);
        let out = self.log.screens[index].out;
        self.log.screens[index].outcome = outcome;
        // The user comes near first, so that it could be one.
        let from = self.pos(screener);
        let near = from + (self.pos(user) - from).unit() * 1.95;
        self.go(user, near, 2.4);
        self.run_until(1.6, |w| {
            w.pos(user).distance(near) < 0.35 && w.bodies[user].vel.length() < 0.9
        })?;
        let wait = self.dice.between(0.2, 0.6);
        self.run_for(wait)?;
        match outcome {
            Outcome::Slipped => {
                self.log.screens[index].t_go_s = self.now_s();
                let side = if from.y < 0.0 { -1.0 } else { 1.0 };
                self.go(screener, v2(1.3, side * -0.8), 4.6);
                self.run_for(1.2)
            }
            Outcome::Unused => {
                let stands = self.dice.between(0.5, 1.1);
                self.run_for(stands)?;
                self.log.screens[index].t_go_s = self.now_s();
                let back = from + (pattern.ball - from).unit() * -2.6;
                self.go(screener, v2(back.x.max(0.8), back.y.clamp(-6.6, 6.6)), 3.2);
                self.run_for(1.0)
            }
            _ => {
                self.log.screens[index].t_go_s = self.now_s();
                let side = if from.y < 0.0 { -1.0 } else { 1.0 };
                let away = match self.log.screens[index].kind {
                    // From low the user goes in instead of up, or out to the corner.
                    ScreenKind::Down => v2(1.0, side * 0.4),
                    ScreenKind::Zipper => v2(0.7, side * 6.4),
                    _ => self.pos(user) - out * 3.6,
                };
                self.note_cut(None, user, None);
                self.go(user, v2(away.x.max(0.6), away.y.clamp(-6.8, 6.8)), 4.8);
                self.run_for(1.2)
            }
        }
    }
}
