//! Scripts away from the ball: the seven screens of the vocabulary and the stagger.

use scrim_tables::tags::{CutKind, Outcome, ScreenKind};

use crate::ball::Grip;
use crate::plan::CutPlan;
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
    /// Notes that `slot` goes now.
    pub fn note_cut(&mut self, kind: Option<CutKind>, slot: usize, screen: Option<usize>) {
        let cut = CutPlan {
            period: self.period,
            possession: self.log.possessions.len() - 1,
            slot,
            kind,
            t_go_s: self.now_s(),
            screen,
        };
        self.log.cuts.push(cut);
    }

    /// Draws an off-ball screen and runs it; sometimes the user gets the ball, sometimes a ball screen follows.
    pub fn draw_off_ball(&mut self) -> Result<Next, Halt> {
        let kind = self.dice.weighted(&[
            (ScreenKind::Down, 0.26),
            (ScreenKind::Back, 0.14),
            (ScreenKind::Rub, 0.14),
            (ScreenKind::Cross, 0.12),
            (ScreenKind::Flex, 0.1),
            (ScreenKind::Flare, 0.12),
            (ScreenKind::Zipper, 0.12),
        ]);
        let side = self.dice.sign();
        if kind == ScreenKind::Down && self.dice.chance(0.3) {
            return self.stagger(side);
        }
        let Some(pattern) = pattern(kind, side) else {
            return Ok(Next::Play);
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
            return Ok(Next::Play);
        }
        let screener = free[self.dice.index(free.len())];
        let mut user = self
            .attackers()
            .filter(|&s| s != handler && s != screener && s % 5 != 4)
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
            self.go(user, pattern.start, 4.2);
            self.run_until(3.5, |w| w.pos(user).distance(pattern.start) < 0.7)?;
        }
        let index = self.screen_off_ball(kind, screener, user, &pattern, None)?;
        self.after_off_ball(index)
    }

    /// One screener sets, one user cuts by; gives the log's index when the cut is over.
    fn screen_off_ball(
        &mut self,
        kind: ScreenKind,
        screener: usize,
        user: usize,
        pattern: &Pattern,
        previous: Option<usize>,
    ) -> Result<usize, Halt> {
        let spot = pattern.screen;
        let out = (pattern.end - pattern.start).unit();
        let index = self.log_screen(false, kind, Outcome::Used, screener, user, out, previous);
        if self.pos(screener).distance(spot) > 0.4 {
            self.go(screener, spot, 4.3);
        }
        self.run_until(3.0, |w| {
            w.pos(screener).distance(spot) < 0.4 && w.bodies[screener].vel.length() < 0.9
        })?;
        self.bodies[screener].planted = true;
        self.log.screens[index].t_planted_s = Some(self.now_s());
        let set = self.dice.between(0.25, 0.6);
        self.run_for(set)?;
        self.log.screens[index].t_go_s = self.now_s();
        self.note_cut(cut_off(kind), user, Some(index));
        let pace = self.dice.between(4.3, 5.5);
        self.path(
            user,
            &[
                Leg::Past {
                    spot: spot + pattern.by,
                    speed_mps: pace,
                },
                Leg::To {
                    spot: pattern.end,
                    speed_mps: pace,
                },
            ],
        );
        self.run_until(2.5, |w| (w.pos(user) - spot).dot(out) > 0.4)?;
        Ok(index)
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

    /// The user comes open, or not; the screener leaves; a ball screen may follow at once.
    fn after_off_ball(&mut self, index: usize) -> Result<Next, Halt> {
        let (screener, user, kind) = {
            let plan = &self.log.screens[index];
            (plan.screener, plan.user, plan.kind)
        };
        self.bodies[screener].planted = false;
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
        if self.dice.chance(0.6) && self.shot_clock_s > 10.0 {
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
