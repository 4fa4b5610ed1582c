//! Scripts away from the ball: the seven screens of the vocabulary and the stagger.

use scrim_tables::tags::{CutKind, Outcome, ScreenKind};

use crate::ball::Grip;
use crate::shot::{Next, ShotStyle};
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// Where one off-ball screen happens. `m` = +1 or −1 is the side it is on.
struct Pattern {
    /// Where the handler has the ball.
    ball: Vec2,
    /// Where the user starts.
    start: Vec2,
    /// Where the screener stands.
    screen: Vec2,
    /// Where the user passes the screener, relative to him.
    by: Vec2,
    /// Where the user goes.
    end: Vec2,
    /// Slots (of five) that may screen.
    screeners: &'static [usize],
}

fn pattern(kind: ScreenKind, m: f64) -> Option<Pattern> {
    let mirrored = |p: Pattern| Pattern {
        ball: v2(p.ball.x, p.ball.y * m),
        start: v2(p.start.x, p.start.y * m),
        screen: v2(p.screen.x, p.screen.y * m),
        by: v2(p.by.x, p.by.y * m),
        end: v2(p.end.x, p.end.y * m),
        screeners: p.screeners,
    };
    let pattern = match kind {
        ScreenKind::Down => Pattern {
            ball: v2(8.5, -1.5),
            start: v2(0.9, 3.8),
            screen: v2(3.3, 4.2),
            by: v2(0.3, 0.65),
            end: v2(6.6, 5.0),
            screeners: &[3, 4],
        },
        ScreenKind::Back => Pattern {
            ball: v2(8.4, -2.5),
            start: v2(6.2, 5.4),
            screen: v2(4.8, 4.2),
            by: v2(0.0, 0.7),
            end: v2(1.1, 1.6),
            screeners: &[3, 4],
        },
        ScreenKind::Rub => Pattern {
            ball: v2(5.6, 5.9),
            start: v2(8.4, 0.8),
            screen: v2(4.6, 1.9),
            by: v2(0.2, -0.65),
            end: v2(1.2, 2.0),
            screeners: &[3, 4],
        },
        ScreenKind::Cross => Pattern {
            ball: v2(6.4, 5.2),
            start: v2(1.4, -3.0),
            screen: v2(1.7, -0.4),
            by: v2(-0.6, 0.1),
            end: v2(1.5, 2.9),
            screeners: &[2, 3],
        },
        ScreenKind::Flex => Pattern {
            ball: v2(7.6, -3.6),
            start: v2(0.4, 6.4),
            screen: v2(1.0, 3.1),
            by: v2(-0.65, 0.0),
            end: v2(1.0, -0.4),
            screeners: &[3, 4],
        },
        ScreenKind::Flare => Pattern {
            ball: v2(8.2, -3.0),
            start: v2(8.2, 1.6),
            screen: v2(7.2, 3.2),
            by: v2(0.65, 0.1),
            end: v2(5.2, 6.4),
            screeners: &[3, 4],
        },
        ScreenKind::Zipper => Pattern {
            ball: v2(6.6, -5.2),
            start: v2(1.3, 2.8),
            screen: v2(4.4, 2.9),
            by: v2(0.1, -0.65),
            end: v2(8.5, 1.6),
            screeners: &[3, 4],
        },
        ScreenKind::BallScreen | ScreenKind::Handoff => return None,
    };
    Some(mirrored(pattern))
}

/// Men who take their places for a scripted screen walk, m/s: what they do on the way must not be a cut, or the look would not
/// be the one that the truth tells. (Cuts are 2.4 m/s and more: common practice, no source.)
const STAGING_MPS: f64 = 1.9;

/// How an off-ball screen is run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Style {
    /// Any outcome, any way off it.
    Varied,
    /// It is used, the way the pattern has it, by the men who stand nearest; they walk to their places.
    Plain,
}

/// What the user's way off the screen is called, when it goes as the pattern has it; `None` where it has no name.
const fn cut_off(kind: ScreenKind) -> Option<CutKind> {
    match kind {
        ScreenKind::Rub => Some(CutKind::RubCut),
        ScreenKind::Flex => Some(CutKind::FlexCut),
        ScreenKind::Back => Some(CutKind::Basket),
        ScreenKind::Flare => Some(CutKind::Fade),
        ScreenKind::Down
        | ScreenKind::Cross
        | ScreenKind::Zipper
        | ScreenKind::BallScreen
        | ScreenKind::Handoff => None,
    }
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
            (ScreenKind::Flare, 0.12),
            (ScreenKind::Zipper, 0.12),
        ]);
        let side = self.dice.sign();
        if kind == ScreenKind::Down && self.dice.chance(0.22) {
            return self.stagger(side);
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
        // Bigs free smalls; but a cross screen is big for big as well, when both are at the blocks.
        let big_for_big = kind == ScreenKind::Cross && style == Style::Plain;
        let mut user = self
            .attackers()
            .filter(|&s| s != handler && s != screener && (s % 5 != 4 || big_for_big))
            .min_by(|&a, &b| {
                self.pos(a)
                    .distance(pattern.start)
                    .total_cmp(&self.pos(b).distance(pattern.start))
            })
            .expect("at least two others");
        if kind == ScreenKind::Rub {
            // The passer is the one who cuts: a man on the wing gets the ball first.
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
            // The play flows on while he runs; the screener stands no more.
            self.run_until(0.5, |w| w.is_idle(user))?;
            self.bodies[screener].planted = false;
        }
        Ok(Some(index))
    }

    /// The one of some men who stands nearest to a spot.
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

    /// The side on which a screen's two men have the shorter way to their places.
    pub fn nearer_side(&self, kind: ScreenKind) -> f64 {
        let way_m = |side: f64| {
            let Some(pattern) = pattern(kind, side) else {
                return f64::INFINITY;
            };
            let others = || self.attackers().filter(|&slot| slot != self.handler);
            let to = |spot: Vec2, bigs: bool| {
                let screens = |slot: usize| pattern.screeners.contains(&(slot % 5));
                others()
                    .filter(|&slot| screens(slot) == bigs)
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
        let outcome = self.dice.weighted(&[
            (Outcome::Used, 0.6),
            (Outcome::Rejected, 0.15),
            (Outcome::Slipped, 0.12),
            (Outcome::Unused, 0.13),
        ]);
        let room = self.gap(user, screener) < 4.5 && !matches!(kind, ScreenKind::Rub | ScreenKind::Cross);
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

    /// The user's way off the screen, and what it is called. Off a down screen he comes straight up, curls to the rim,
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
        let past = |spot: Vec2| Leg::Past {
            spot,
            speed_mps: pace,
        };
        let to = |spot: Vec2| Leg::To {
            spot,
            speed_mps: pace,
        };
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
            // Nobody turns on the spot at full speed: v² / r is what his legs give.
            (ScreenKind::Down, Some(CutKind::Curl)) => [
                v2(0.0, side * 0.8),
                v2(1.2, side * 0.5),
                v2(1.7, side * -0.8),
                v2(0.9, side * -2.0),
            ]
            .into_iter()
            .map(|by| Leg::Past {
                spot: spot + by,
                speed_mps: pace * 0.72,
            })
            .chain([to(v2(1.1, side * 0.7))])
            .collect(),
            // Up to the screen as if he came off it, and away along it to the corner.
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
        // He comes near first, so that it could be one.
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
                    // From low he goes in instead of up, or out to the corner.
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

    /// Two down screens in a row for one man.
    fn stagger(&mut self, side: f64) -> Result<Next, Halt> {
        let base = self.offense * 5;
        let handler = self.handler;
        let (first, second) = (base + 3, base + 4);
        let user = base + if handler == base + 1 { 2 } else { 1 };
        if [first, second, user].contains(&handler) {
            return Ok(Next::Play);
        }
        let corner = v2(0.6, side * 6.3);
        let spots = [v2(2.5, side * 5.0), v2(5.0, side * 3.2)];
        let by = v2(0.25, side * 0.6);
        let end = v2(8.2, side * 0.6);
        self.grip(Grip::Dribble);
        self.space_floor(&[handler, user, first, second], spots[0]);
        self.go(handler, v2(8.2, side * -3.2), 3.4);
        self.go(user, corner, 4.5);
        self.run_until(4.0, |w| w.pos(user).distance(corner) < 0.7)?;
        let out = (end - corner).unit();
        let one = self.log_screen(false, ScreenKind::Down, Outcome::Used, first, user, out, None);
        let two = self.log_screen(
            false,
            ScreenKind::Down,
            Outcome::Used,
            second,
            user,
            out,
            Some(one),
        );
        for (slot, spot) in [(first, spots[0]), (second, spots[1])] {
            self.go(slot, spot, 4.3);
        }
        self.run_until(3.5, |w| {
            [(first, spots[0]), (second, spots[1])]
                .iter()
                .all(|&(s, p)| w.pos(s).distance(p) < 0.4 && w.bodies[s].vel.length() < 0.9)
        })?;
        for slot in [first, second] {
            self.bodies[slot].planted = true;
        }
        for index in [one, two] {
            self.log.screens[index].t_planted_s = Some(self.now_s());
        }
        self.run_for(0.4)?;
        let pace = self.dice.between(4.4, 5.4);
        self.path(
            user,
            &[
                Leg::Past {
                    spot: spots[0] + by,
                    speed_mps: pace,
                },
                Leg::Past {
                    spot: spots[1] + by,
                    speed_mps: pace,
                },
                Leg::To {
                    spot: end,
                    speed_mps: pace,
                },
            ],
        );
        self.log.screens[one].t_go_s = self.now_s();
        self.run_until(2.5, |w| (w.pos(user) - spots[0]).dot(out) > 0.4)?;
        self.log.screens[two].t_go_s = self.now_s();
        self.run_until(2.5, |w| (w.pos(user) - spots[1]).dot(out) > 0.4)?;
        self.bodies[first].planted = false;
        self.after_off_ball(two)
    }

    /// The screener leaves his own screen for the perimeter.
    /// Tells whether there was a place for him.
    fn pop_out(&mut self, index: usize) -> bool {
        let screener = self.log.screens[index].screener;
        let from = self.pos(screener);
        let side = if from.y < 0.0 { -1.0 } else { 1.0 };
        let places = [
            v2(7.2, side * 3.4),
            v2(5.4, side * 6.2),
            v2(8.2, 0.0),
            v2(0.8, side * (self.side_y_m() - 0.7)),
        ];
        let free = |p: &Vec2| {
            self.attackers()
                .all(|s| s == screener || self.tasks[s].hold.distance(*p) > 2.6)
        };
        let spot = places
            .into_iter()
            .filter(|p| (2.5..6.5).contains(&p.distance(from)) && free(p))
            .min_by(|a, b| a.distance(from).total_cmp(&b.distance(from)));
        let Some(spot) = spot else { return false };
        self.note_cut(Some(CutKind::PopOut), screener, Some(index));
        let pace = self.dice.between(3.4, 4.6);
        self.go(screener, spot, pace);
        true
    }

    /// The user comes open, or not; the screener leaves; a ball screen may follow at once.
    fn after_off_ball(&mut self, index: usize) -> Result<Next, Halt> {
        let (screener, user, kind) = {
            let plan = &self.log.screens[index];
            (plan.screener, plan.user, plan.kind)
        };
        self.bodies[screener].planted = false;
        let plan = &self.log.screens[index];
        let pops = matches!(
            kind,
            ScreenKind::Down | ScreenKind::Back | ScreenKind::Flare | ScreenKind::Zipper
        ) && plan.outcome == Outcome::Used;
        if pops && self.dice.chance(0.45) && self.pop_out(index) {
            self.run_until(1.8, |w| w.is_idle(screener))?;
        }
        let to_rim = self.log.cuts.iter().rev().any(|c| {
            let rimward = matches!(
                c.kind,
                Some(CutKind::Basket | CutKind::Curl | CutKind::RubCut | CutKind::FlexCut)
            );
            c.screen == Some(index) && c.slot == user && rimward
        });
        if to_rim && self.dice.chance(0.75) {
            // Nobody passes before he is there.
            self.run_until(2.4, |w| w.pos(user).length() < 2.6)?;
        }
        let inside = matches!(
            kind,
            ScreenKind::Back | ScreenKind::Rub | ScreenKind::Cross | ScreenKind::Flex
        );
        let wait = self.dice.between(0.2, 0.7);
        self.run_for(wait)?;
        let handler = self.handler;
        let open = self.space(user) > if inside { 0.9 } else { 1.2 };
        if open && self.dice.chance(if inside { 0.35 } else { 0.5 }) && user != handler {
            self.pass(user)?;
            if inside && self.pos(user).length() < 3.0 {
                return self.shoot(user, ShotStyle::Layup, None);
            }
            let hold = self.dice.between(0.2, 0.6);
            self.run_for(hold)?;
            if self.pos(user).length() < 7.6 && self.space(user) > 1.4 && self.dice.chance(0.4) {
                return self.shoot(user, ShotStyle::Jump, None);
            }
            self.grip(Grip::Dribble);
        }
        if self.dice.chance(0.8) && self.shot_clock_s > 8.0 {
            // The flow: the screener (or the man he freed, when he is inside) comes up for a ball screen.
            let next = if inside && user != self.handler && self.dice.chance(0.4) {
                user
            } else {
                screener
            };
            if next != self.handler {
                return self.draw_ball_screen(Some(next));
            }
        }
        Ok(Next::Play)
    }
}
