//! Scripts of cuts that come off no screen: to the rim, behind a denying defender, to the ball, along the baseline,
//! and the moves along the perimeter.

use scrim_tables::tags::CutKind;

use crate::ball::Grip;
use crate::duty::Duty;
use crate::plan::CutPlan;
use crate::shot::{Next, ShotStyle};
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

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

    /// Draws a cut and runs it; the cutter may get the ball.
    pub fn draw_cut(&mut self) -> Result<Next, Halt> {
        let kind = self.dice.weighted(&[
            (CutKind::Basket, 0.26),
            (CutKind::Backdoor, 0.36),
            (CutKind::Flash, 0.18),
            (CutKind::Baseline, 0.14),
            (CutKind::Lift, 0.08),
            (CutKind::Drift, 0.08),
            (CutKind::Fill, 0.1),
        ]);
        self.run_cut(kind)
    }

    /// Runs one cut of `kind`; nothing happens where nobody stands as it needs.
    pub fn run_cut(&mut self, kind: CutKind) -> Result<Next, Halt> {
        match kind {
            CutKind::Basket => self.give_and_go(),
            CutKind::Backdoor => self.backdoor(),
            CutKind::Flash => self.flash(),
            CutKind::Baseline => {
                let runner = self.corner_player(None);
                match runner {
                    Some(slot) => {
                        self.run_baseline(slot);
                        self.watch(slot, 2.6)
                    }
                    None => Ok(Next::Play),
                }
            }
            CutKind::Lift | CutKind::Drift | CutKind::Fill => self.perimeter_move(kind),
            // These come off screens.
            CutKind::Curl | CutKind::Fade | CutKind::PopOut | CutKind::RubCut | CutKind::FlexCut => {
                Ok(Next::Play)
            }
        }
    }

    /// A player without the ball who stands in a corner, on the side of `y` if that is given.
    pub fn corner_player(&self, y: Option<f64>) -> Option<usize> {
        let handler = self.handler;
        self.attackers().find(|&s| {
            let p = self.pos(s);
            s != handler && self.is_idle(s) && p.x < 2.4 && p.y.abs() > 5.2 && y.is_none_or(|y| y * p.y > 0.0)
        })
    }

    /// Along the baseline under the hoop to the other corner, or as far as it is free.
    pub fn run_baseline(&mut self, slot: usize) {
        let side = self.pos(slot).y.signum();
        let pace = self.dice.between(4.0, 5.2);
        let far = self.side_y_m() - self.dice.between(0.6, 2.2);
        self.note_cut(Some(CutKind::Baseline), slot, None);
        self.path(
            slot,
            &[
                Leg::past(v2(1.6, side * 1.6), pace),
                Leg::past(v2(1.6, side * -1.6), pace),
                Leg::to(v2(0.8, side * -far), pace),
            ],
        );
    }

    /// Straight to the rim and, when nothing comes of it, out to the corner of that side.
    pub fn run_to_rim(&mut self, slot: usize, kind: CutKind) {
        let side = if self.pos(slot).y < 0.0 { -1.0 } else { 1.0 };
        let pace = self.dice.between(4.4, 5.6);
        self.note_cut(Some(kind), slot, None);
        let under = v2(1.1, side * self.dice.between(0.3, 0.9));
        self.path(
            slot,
            &[
                Leg::to(under, pace),
                Leg::Wait { left_s: 0.5 },
                Leg::to(v2(0.8, side * (self.side_y_m() - 0.8)), 3.0),
            ],
        );
    }

    /// The ball is with the handler while `cutter` runs for up to `seconds`; an open one gets it.
    fn watch(&mut self, cutter: usize, seconds: f64) -> Result<Next, Halt> {
        let wants = self.dice.chance(0.45);
        let open = |w: &Self| wants && w.pos(cutter).length() < 3.4 && w.space(cutter) > 1.0;
        let found = self.run_until(seconds, open)?;
        if !found || cutter == self.handler {
            return Ok(Next::Play);
        }
        self.pass(cutter)?;
        if self.pos(cutter).length() < 3.2 {
            return self.shoot(cutter, ShotStyle::Layup, None);
        }
        self.grip(Grip::Dribble);
        Ok(Next::Play)
    }

    /// The handler passes to the wing and goes to the rim; a player of the other side fills the place.
    fn give_and_go(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let here = self.pos(handler);
        let receiver = self
            .attackers()
            .filter(|&s| s != handler && self.pos(s).length() > 5.0 && self.pos(s).x > 3.0)
            .min_by(|&a, &b| self.gap(a, handler).total_cmp(&self.gap(b, handler)));
        let Some(receiver) = receiver.filter(|_| here.length() > 6.0) else {
            return Ok(Next::Play);
        };
        self.pass(receiver)?;
        let pause = self.dice.between(0.2, 0.6);
        self.run_for(pause)?;
        self.run_to_rim(handler, CutKind::Basket);
        // The nearest of the others on the perimeter fills behind the cutter.
        let filler = self
            .attackers()
            .filter(|&s| s != handler && s != receiver && self.pos(s).length() > 6.0 && self.pos(s).x > 3.5)
            .min_by(|&a, &b| self.pos(a).distance(here).total_cmp(&self.pos(b).distance(here)));
        if let Some(filler) = filler {
            self.note_cut(Some(CutKind::Fill), filler, None);
            let pace = self.dice.between(3.0, 4.4);
            self.path(filler, &[Leg::Wait { left_s: 0.4 }, Leg::to(here, pace)]);
        }
        self.grip(Grip::Dribble);
        self.watch(handler, 2.8)
    }

    /// A wing whose defender jumps into the passing lane steps to the ball and goes behind that defender.
    fn backdoor(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let ball = self.pos(handler);
        let cutter = self
            .attackers()
            .filter(|&s| {
                let p = self.pos(s);
                s != handler && p.length() > 5.6 && (3.5..9.0).contains(&p.distance(ball)) && s % 5 < 4
            })
            .max_by(|&a, &b| self.pos(a).x.total_cmp(&self.pos(b).x));
        let Some(cutter) = cutter else {
            return Ok(Next::Play);
        };
        self.grip(Grip::Dribble);
        let guard = self.defender_of(cutter);
        self.path(cutter, &[Leg::Wait { left_s: 1.6 }]);
        self.duties[guard] = Duty::Deny;
        let toward = (ball - self.pos(cutter)).unit();
        self.run_until(1.4, |w| {
            let player = w.pos(cutter);
            (w.pos(guard) - player).dot((w.pos(handler) - player).unit()) > 0.8
        })?;
        // A step to the ball draws the defender out.
        let lure = self.pos(cutter) + toward * 0.6;
        self.go(cutter, lure, 2.6);
        self.run_until(1.6, |w| {
            let player = w.pos(cutter);
            (w.pos(guard) - player).dot((w.pos(handler) - player).unit()) > 0.75
                && w.bodies[cutter].vel.length() < 1.4
        })?;
        self.run_to_rim(cutter, CutKind::Backdoor);
        let late = self.dice.between(0.25, 0.5);
        self.duty_later(late, guard, Duty::Guard);
        self.watch(cutter, 2.6)
    }

    /// A player of the weak side comes to the elbow or the high post on the ball's side.
    fn flash(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        self.grip(Grip::Dribble);
        let side = self.dice.sign();
        let wing = v2(self.dice.between(6.0, 7.2), side * self.dice.between(3.8, 5.4));
        self.space_floor(&[handler], wing);
        self.go(handler, wing, 3.6);
        self.run_until(3.0, |w| w.pos(handler).distance(wing) < 0.7)?;
        let cutter = self.flasher();
        let Some(cutter) = cutter else {
            return Ok(Next::Play);
        };
        self.run_flash(cutter);
        let catches = self.dice.chance(0.4);
        self.run_until(2.4, |w| w.is_idle(cutter))?;
        let shows = self.dice.between(0.35, 0.7);
        self.run_for(shows)?;
        if catches && self.space(cutter) > 0.9 {
            self.pass(cutter)?;
            let hold = self.dice.between(0.3, 0.8);
            self.run_for(hold)?;
            self.grip(Grip::Dribble);
        }
        if self.shot_clock_s > 11.0 && self.dice.chance(0.5) && cutter != self.handler {
            // What looked like a post entry is a ball screen.
            return self.draw_ball_screen(Some(cutter));
        }
        Ok(Next::Play)
    }

    /// Who can come to the ball from the weak side: not from the far corner.
    pub fn flasher(&self) -> Option<usize> {
        let (handler, ball_y) = (self.handler, self.pos(self.handler).y);
        self.attackers()
            .filter(|&s| {
                let p = self.pos(s);
                s != handler && self.is_idle(s) && p.y * ball_y < 0.0 && p.y.abs() > 0.8 && p.length() < 7.4
            })
            .max_by_key(|&s| s % 5)
    }

    /// To the ball's elbow or the middle of the free-throw line.
    pub fn run_flash(&mut self, cutter: usize) {
        let side = self.pos(self.handler).y.signum();
        // In a season to the elbow: a look is one set, and where the flash ends is part of the set.
        let (nearest, farthest) = if self.playbook.is_some() {
            (1.7, 2.6)
        } else {
            (0.6, 2.2)
        };
        let spot = v2(
            self.dice.between(3.8, 5.0),
            side * self.dice.between(nearest, farthest),
        );
        let pace = self.dice.between(3.6, 4.8);
        self.note_cut(Some(CutKind::Flash), cutter, None);
        self.go(cutter, spot, pace);
    }

    /// One player moves along the perimeter into a free place.
    fn perimeter_move(&mut self, kind: CutKind) -> Result<Next, Halt> {
        let handler = self.handler;
        let corner_y = self.side_y_m() - 0.6;
        let free = |w: &Self, spot: Vec2, slot: usize| {
            w.attackers()
                .all(|s| s == slot || w.tasks[s].hold.distance(spot) > 3.2)
        };
        let idle: Vec<usize> = self
            .attackers()
            .filter(|&s| s != handler && self.is_idle(s))
            .collect();
        for slot in idle {
            let p = self.pos(slot);
            let side = p.y.signum();
            let (fits, spot) = match kind {
                CutKind::Lift => (p.x < 2.4 && p.y.abs() > 5.4, v2(5.0, side * 6.2)),
                CutKind::Drift => (p.x > 4.2 && p.y.abs() > 4.6, v2(0.8, side * corner_y)),
                _ => continue,
            };
            if fits && free(self, spot, slot) {
                self.note_cut(Some(kind), slot, None);
                let pace = self.dice.between(3.0, 4.6);
                self.go(slot, spot, pace);
                self.run_for(1.4)?;
                return Ok(Next::Play);
            }
        }
        if kind == CutKind::Fill {
            return self.rotate();
        }
        Ok(Next::Play)
    }

    /// The perimeter moves one place round: each goes where the next one stood.
    pub fn rotate(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let side = self.dice.sign();
        let mut ring: Vec<usize> = self
            .attackers()
            .filter(|&s| s != handler && self.pos(s).length() > 6.0)
            .collect();
        ring.sort_by(|&a, &b| {
            let angle = |s: usize| side * self.pos(s).y.atan2(self.pos(s).x);
            angle(a).total_cmp(&angle(b))
        });
        let spots: Vec<Vec2> = ring.iter().map(|&s| self.pos(s)).collect();
        self.grip(Grip::Dribble);
        for (place, &slot) in ring.iter().enumerate().skip(1) {
            let spot = spots[place - 1];
            if spot.distance(self.pos(slot)) > 7.0 || spot.distance(self.pos(handler)) < 2.8 {
                continue;
            }
            let pace = self.dice.between(2.8, 4.2);
            self.go(slot, spot, pace);
        }
        // The first one goes through to where the last one stood.
        if let (Some(&first), Some(&end)) = (ring.first(), spots.last())
            && ring.len() > 2
        {
            let pace = self.dice.between(3.4, 4.6);
            self.path(first, &[Leg::past(v2(2.2, 0.0), pace), Leg::to(end, pace)]);
        }
        self.run_for(2.0)?;
        Ok(Next::Play)
    }
}
