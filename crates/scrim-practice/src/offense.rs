//! What a team does with the ball from its own half to a shot: the trip up, the set, the end of the clock.

use scrim_tables::tags::Alignment;

use crate::ball::Grip;
use crate::defense::Duty;

use crate::shot::{Next, Restart, ShotStyle};
use crate::style::Style;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// Something a team can run in the half court.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Action {
    BallScreen,
    Follow,
    Handoff,
    Swing,
    OffBall,
    Cut,
    Negative,
    Isolation,
}

/// After so long with the ball a handler passes before anything else, seconds. Chosen so that touches agree with real ones.
const LONG_TOUCH_S: f64 = 4.0;

impl World<'_> {
    /// A place for each of the five slots, in one of the usual shapes, mirrored half of the time. The first place is
    /// the ball's. The shape is kept as the one meant next.
    pub fn half_court_spots(&mut self) -> [Vec2; 5] {
        let drawn = self.dice.weighted(&[
            (Alignment::FourOutOneIn, 0.32),
            (Alignment::FiveOut, 0.21),
            (Alignment::Horns, 0.17),
            (Alignment::ThreeOutTwoIn, 0.12),
            (Alignment::Box, 0.08),
            (Alignment::FourHigh, 0.05),
            (Alignment::Stack, 0.08),
        ]);
        let shape = self.wished_shape.unwrap_or(drawn);
        self.spots_of(shape)
    }

    /// The five places of `shape`.
    pub fn spots_of(&mut self, shape: Alignment) -> [Vec2; 5] {
        let corner_y = self.side_y_m() - 0.55;
        let spots = match shape {
            Alignment::FiveOut => [
                v2(8.6, 0.0),
                v2(6.6, 5.2),
                v2(6.6, -5.2),
                v2(0.7, -corner_y),
                v2(0.7, corner_y),
            ],
            Alignment::FourOutOneIn => [
                v2(8.3, 2.2),
                v2(7.2, -4.4),
                v2(0.8, corner_y),
                v2(0.8, -corner_y),
                v2(0.9, -3.4),
            ],
            Alignment::ThreeOutTwoIn | Alignment::Other => [
                v2(8.7, 0.0),
                v2(6.2, 5.6),
                v2(6.2, -5.6),
                v2(1.0, 3.0),
                v2(1.0, -3.0),
            ],
            Alignment::Horns => [
                v2(9.0, 0.0),
                v2(0.7, corner_y),
                v2(0.7, -corner_y),
                v2(4.8, 2.7),
                v2(4.8, -2.7),
            ],
            // Nobody low: two wings and two elbows along the free-throw line extended, the ball above them.
            Alignment::FourHigh => [
                v2(8.9, 0.0),
                v2(5.6, 6.0),
                v2(5.6, -6.0),
                v2(4.9, 2.6),
                v2(4.9, -2.6),
            ],
            Alignment::Box => [
                v2(9.0, 0.0),
                v2(1.2, 2.7),
                v2(1.2, -2.7),
                v2(4.5, 2.6),
                v2(4.5, -2.6),
            ],
            // Three in a line down one side of the lane, one in the far corner.
            Alignment::Stack => [
                v2(8.8, -1.5),
                v2(1.5, 2.9),
                v2(0.7, -corner_y),
                v2(4.3, 2.9),
                v2(2.9, 2.9),
            ],
        };
        let side = self.dice.sign();
        // Men along one line keep the line.
        let loose = if shape == Alignment::Stack { 0.15 } else { 0.5 };
        let spots = spots.map(|s| {
            v2(
                s.x + self.dice.between(-loose, loose),
                s.y * side + self.dice.between(-loose, loose) * 0.6,
            )
        });
        self.shape = Some((shape, spots));
        spots
    }

    /// Whether the five stand in the shape that was meant, each in a place of his own, with the ball up top.
    pub fn stands_in_shape(&self) -> bool {
        let Some((shape, spots)) = self.shape else {
            return false;
        };
        // Men along one line stand closer.
        let (line_m, apart_m, slow_mps) = self.style.pick((1.2, 1.6, 2.4), (0.5, 0.75, 1.2));
        let near_m = if shape == Alignment::Stack {
            line_m
        } else {
            apart_m
        };
        let handler = self.handler;
        let ball = self.pos(handler);
        let settled = self.attackers().filter(|&s| s != handler).all(|s| {
            let own = spots.iter().any(|p| self.pos(s).distance(*p) < near_m);
            own && self.bodies[s].vel.length() < slow_mps
        });
        settled && ball.x > 6.8 && ball.y.abs() < 4.6
    }

    /// The set begins: keeps the shape that was meant, if the five stand in it.
    pub fn note_alignment(&mut self) {
        let shape = self.shape.filter(|_| self.stands_in_shape());
        self.shape = None;
        if let (Some((shape, _)), Some(possession)) = (shape, self.log.possessions.last_mut()) {
            possession.alignment = Some(shape);
        }
    }

    /// The three (or more) who are not in the action go where they are out of its way.
    pub fn space_floor(&mut self, busy: &[usize], action: Vec2) {
        let corner_y = self.side_y_m() - 0.55;
        let (corner_x, slot, apart_m) = self
            .style
            .pick((0.2, v2(7.3, 4.2), 4.4), (0.7, v2(7.8, 3.3), 3.3));
        let places = [
            v2(corner_x, corner_y),
            v2(corner_x, -corner_y),
            v2(5.0, 6.3),
            v2(5.0, -6.3),
            slot,
            v2(slot.x, -slot.y),
            v2(0.8, 3.6),
            v2(0.8, -3.6),
        ];
        let mut taken: Vec<Vec2> = vec![action];
        taken.extend(busy.iter().map(|&s| self.tasks[s].hold));
        let mut free: Vec<usize> = self.attackers().filter(|s| !busy.contains(s)).collect();
        if self.playbook.is_some() {
            // The shape of a look is kept: only who stands in the way of the action leaves.
            free.retain(|&s| taken.iter().any(|t| t.distance(self.tasks[s].hold) < 2.0));
        }
        // Bigs choose last: they get the dunker's spot if the corners are full.
        free.sort_by_key(|s| s % 5);
        for slot in free {
            let here = self.tasks[slot].hold;
            let is_big = slot % 5 == 4;
            let best = places
                .into_iter()
                .enumerate()
                .filter(|&(i, p)| (i < 6 || is_big) && taken.iter().all(|t| t.distance(p) > apart_m))
                .map(|(_, p)| p)
                .min_by(|a, b| a.distance(here).total_cmp(&b.distance(here)));
            let mut place = best.unwrap_or(here);
            if place.distance(here) < 1.6 {
                place = here;
            }
            place += v2(self.dice.between(-0.25, 0.25), self.dice.between(-0.25, 0.25));
            taken.push(place);
            if place.distance(here) > 0.6 {
                let speed = match self.playbook {
                    // In a season nobody cuts who is not told to.
                    Some(_) => self.dice.between(1.6, 2.2),
                    None => self.dice.between(2.4, 4.2),
                };
                let wait = self.dice.between(0.0, 0.6);
                self.path(
                    slot,
                    &[
                        Leg::Wait { left_s: wait },
                        Leg::To {
                            spot: place,
                            speed_mps: speed,
                        },
                    ],
                );
            }
        }
    }

    /// Plays the possession that is open until it is over.
    pub fn attack(&mut self) -> Result<Restart, Halt> {
        if self.playbook.is_some() {
            return self.attack_by_habit();
        }
        if let Next::Over(restart) = self.bring_up()? {
            return Ok(restart);
        }
        let few = [(4, 0.0), (1, 0.55), (2, 0.35), (3, 0.1)];
        let many = [(1, 0.3), (2, 0.4), (3, 0.25), (4, 0.05)];
        let actions = self.dice.weighted(&self.style.pick(few, many));
        self.play_on(actions)
    }

    /// A possession of a season: up the floor, the look, and then whatever the handler makes of it.
    fn attack_by_habit(&mut self) -> Result<Restart, Halt> {
        let look = self.choose_look();
        if let Next::Over(restart) = self.bring_up()? {
            return Ok(restart);
        }
        if let Some(look) = look
            && let Next::Over(restart) = self.run_look(look)?
        {
            return Ok(restart);
        }
        self.play_on(0)
    }

    /// Goes on with up to `actions` actions until the possession is over.
    fn play_on(&mut self, mut actions: u32) -> Result<Restart, Halt> {
        self.settles = false;
        loop {
            let holder = self.handler;
            let hurried = self.shot_clock_s < 6.0 || self.game_clock_s < 5.0;
            if self.pos(holder).length() < 2.6 && !hurried {
                // Caught or rebounded under the rim: go up or throw it out.
                if self.dice.chance(0.55) {
                    match self.shoot(holder, ShotStyle::Layup, None)? {
                        Next::Over(restart) => return Ok(restart),
                        Next::Play => continue,
                    }
                }
                self.kick_out()?;
                continue;
            }
            if hurried || actions == 0 {
                match self.finish()? {
                    Next::Over(restart) => return Ok(restart),
                    Next::Play => {
                        // In a season nothing is scripted but the looks.
                        actions = u32::from(self.playbook.is_none());
                        continue;
                    }
                }
            }
            actions -= 1;
            if self.dice.chance(0.035) {
                return self.turnover();
            }
            if self.dice.chance(0.1) {
                return Ok(self.common_foul());
            }
            if self.dice.chance(0.02) {
                return self.knocked_out();
            }
            let lively = self.style == Style::Lively;
            // Who has had the ball for long gives it up; a lively team moves it anyway.
            let had_s = self.now_s() - self.touch_from_s;
            let moves_it = (0.9 * self.tempo * self.tempo).max(had_s / LONG_TOUCH_S);
            if lively && self.playbook.is_none() && self.dice.chance(moves_it.min(0.95)) {
                let goes_on = (0.4 * self.tempo).min(0.7);
                while self.swing_once()? && self.dice.chance(goes_on) {}
                self.grip(Grip::Dribble);
            }
            let long = self.shot_clock_s > 8.5;
            let weight = |w: f64| if long { w } else { 0.0 };
            let action = self.dice.weighted(&[
                (Action::BallScreen, weight(self.style.pick(1.1, 0.62))),
                (Action::Follow, weight(self.style.pick(0.7, 0.0))),
                (Action::Handoff, weight(self.style.pick(0.2, 0.1))),
                (Action::OffBall, weight(self.style.pick(0.6, 0.34))),
                (Action::Cut, weight(self.style.pick(0.16, 0.18))),
                (Action::Negative, weight(0.3)),
                (Action::Swing, self.style.pick(0.4, 0.08)),
                (Action::Isolation, self.style.pick(0.08, 0.05)),
            ]);
            let next = match action {
                Action::BallScreen => self.draw_ball_screen(None)?,
                Action::Follow => self.pass_and_follow()?,
                Action::Handoff => self.draw_handoff()?,
                Action::OffBall => self.draw_off_ball()?,
                Action::Cut => self.draw_cut()?,
                Action::Negative => self.draw_negative()?,
                Action::Swing => self.swing()?,
                Action::Isolation => self.finish()?,
            };
            if let Next::Over(restart) = next {
                return Ok(restart);
            }
        }
    }

    /// While the ball is played elsewhere, men away from it lift, drift or fill.
    pub fn relocate(&mut self, busy: &[usize]) {
        let corner_y = self.side_y_m() - 0.55;
        for slot in self.attackers().filter(|s| !busy.contains(s)) {
            let here = self.tasks[slot].hold;
            if !self.is_idle(slot) || !self.dice.chance(0.55) || here.length() < 3.0 {
                continue;
            }
            let side = if here.y < 0.0 { -1.0 } else { 1.0 };
            let there = if here.x < 2.0 {
                v2(self.dice.between(3.8, 5.2), side * 6.3)
            } else if here.y.abs() > 4.5 {
                if self.dice.chance(0.6) {
                    v2(0.8, side * corner_y)
                } else {
                    v2(7.4, side * 3.8)
                }
            } else {
                v2(5.2, side * 6.2)
            };
            let crowded = self
                .attackers()
                .any(|s| s != slot && self.tasks[s].hold.distance(there) < 3.0);
            if !crowded {
                let (wait, pace) = (self.dice.between(0.0, 0.9), self.dice.between(2.2, 4.6));
                self.path(
                    slot,
                    &[
                        Leg::Wait { left_s: wait },
                        Leg::To {
                            spot: there,
                            speed_mps: pace,
                        },
                    ],
                );
            }
        }
    }

    /// Out of the paint to a man on the perimeter.
    pub fn kick_out(&mut self) -> Result<(), Halt> {
        let handler = self.handler;
        let to = self
            .attackers()
            .filter(|&s| s != handler)
            .max_by(|&a, &b| {
                let out = |s: usize| self.pos(s).length() - 0.8 * self.gap(s, handler);
                out(a).total_cmp(&out(b))
            })
            .expect("four mates");
        if self.pos(to).length() < 6.5 {
            let spot = self.pos(to).unit() * 7.3;
            self.go(to, spot, 4.0);
            self.run_for(0.6)?;
        }
        self.pass(to)?;
        let hold = self.dice.between(0.3, 0.8);
        self.run_for(hold)?;
        let busy = [self.handler];
        let action = self.pos(self.handler);
        self.space_floor(&busy, action);
        self.run_for(1.0)
    }

    /// The ball goes round the perimeter, one to three passes, the others move with it.
    fn swing(&mut self) -> Result<Next, Halt> {
        if self.style == Style::Orderly {
            return self.swing_in_order();
        }
        let passes = self.dice.weighted(&[(1, 0.15), (2, 0.35), (3, 0.3), (4, 0.2)]);
        for _ in 0..passes {
            if !self.swing_once()? {
                break;
            }
        }
        let to = self.handler;
        if self.space(to) > 2.0 && self.pos(to).length() < 7.6 && self.dice.chance(0.25) {
            return self.shoot(to, ShotStyle::Jump, None);
        }
        self.grip(Grip::Dribble);
        Ok(Next::Play)
    }

    /// One pass around the perimeter, and the ball is held.
    fn swing_in_order(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let from = self.pos(handler);
        let mates: Vec<(usize, f64)> = self
            .attackers()
            .filter(|&s| s != handler && self.pos(s).length() > 4.0)
            .map(|s| (s, 1.0 / (1.0 + self.pos(s).distance(from))))
            .collect();
        if mates.is_empty() {
            return Ok(Next::Play);
        }
        let to = self.dice.weighted(&mates);
        self.pass(to)?;
        let hold = self.dice.between(0.4, 1.2);
        self.run_for(hold)?;
        if self.space(to) > 2.0 && self.pos(to).length() < 7.6 && self.dice.chance(0.45) {
            return self.shoot(to, ShotStyle::Jump, None);
        }
        self.grip(Grip::Dribble);
        Ok(Next::Play)
    }

    /// One pass to a team-mate on the perimeter; the passer goes elsewhere now and then. Says whether there was one.
    pub fn swing_once(&mut self) -> Result<bool, Halt> {
        let handler = self.handler;
        let from = self.pos(handler);
        let mates: Vec<(usize, f64)> = self
            .attackers()
            .filter(|&s| s != handler && self.pos(s).length() > 3.4 && self.gap(s, handler) > 2.4)
            .map(|s| (s, self.space(s).min(3.0) / self.pos(s).distance(from).powi(2)))
            .collect();
        if mates.is_empty() {
            return Ok(false);
        }
        let to = self.dice.weighted(&mates);
        self.pass(to)?;
        let hold = self.dice.between(0.15, 0.75) / self.tempo;
        self.run_for(hold)?;
        let what = self.dice.between(0.0, 1.0);
        if what < 0.3 {
            // At the defender who comes out: a few dribbles toward the hoop, and the ball goes on from there.
            self.grip(Grip::Dribble);
            let here = self.pos(to);
            let side = self.dice.sign();
            let share = self.dice.between(0.3, 0.75);
            let deep = here.toward(v2(1.5, 0.0), share) + here.unit().quarter_turn() * side;
            let pace = self.dice.between(3.0, 4.8);
            self.go(to, deep, pace);
            let drives = self.dice.between(0.7, 1.4);
            self.run_until(drives, |w| w.pos(to).length() < 2.4)?;
            self.stop(to);
        } else if what < 0.6 {
            self.grip(Grip::Dribble);
            let dribbles = self.dice.between(0.3, 1.3);
            self.run_for(dribbles)?;
        }
        Ok(true)
    }

    /// A team-mate who is not among `but` (of whom the first has the ball), rather near than far.
    pub fn some_mate(&mut self, but: &[usize]) -> usize {
        let mates: Vec<(usize, f64)> = self
            .attackers()
            .filter(|s| !but.contains(s))
            .map(|s| (s, 1.0 / self.gap(s, but[0]).max(1.0)))
            .collect();
        self.dice.weighted(&mates)
    }

    /// A big (or whoever has it) gives the ball up and goes straight after it to screen for the receiver.
    fn pass_and_follow(&mut self) -> Result<Next, Halt> {
        let base = self.offense * 5;
        let (handler, big) = (self.handler, base + if self.dice.chance(0.7) { 4 } else { 3 });
        if handler % 5 < 3 && handler != big {
            // The big is found first, somewhere between the elbow and the slot.
            let mirror = self.dice.sign();
            let spot = v2(self.dice.between(5.0, 8.4), mirror * self.dice.between(0.5, 4.0));
            self.go(big, spot, 3.8);
            self.run_until(2.2, |w| {
                w.pos(big).distance(spot) < 1.2 && w.gap(big, handler) > 2.0
            })?;
            self.pass(big)?;
            let hold = self.dice.between(0.3, 1.3);
            self.run_for(hold)?;
        }
        let giver = self.handler;
        let receivers: Vec<(usize, f64)> = self
            .attackers()
            .filter(|&s| s != giver && s % 5 < 3 && self.pos(s).length() > 4.5)
            .filter(|&s| (2.4..8.0).contains(&self.gap(s, giver)))
            .map(|s| (s, 1.0 / self.gap(s, giver)))
            .collect();
        if receivers.is_empty() || giver % 5 < 2 {
            return Ok(Next::Play);
        }
        let to = self.dice.weighted(&receivers);
        self.pass(to)?;
        self.draw_ball_screen(Some(giver))
    }

    /// The handler makes something on his own: a drive, a jumper, a drive and kick.
    pub fn finish(&mut self) -> Result<Next, Halt> {
        let handler = self.handler;
        let here = self.pos(handler);
        if here.length() < 7.7 && self.space(handler) > 1.7 && self.dice.chance(0.5) {
            return self.shoot(handler, ShotStyle::Jump, None);
        }
        self.grip(Grip::Dribble);
        let side = self.dice.sign();
        let around = here + (-here.unit()).turned(side * 0.7) * 2.0;
        self.path(
            handler,
            &[
                Leg::Past {
                    spot: around,
                    speed_mps: 5.5,
                },
                Leg::To {
                    spot: v2(0.9, side * -0.5),
                    speed_mps: 5.8,
                },
            ],
        );
        // The nearest helper comes.
        let helper = self
            .defenders()
            .filter(|&d| self.guards[d] != handler)
            .min_by(|&a, &b| self.pos(a).length().total_cmp(&self.pos(b).length()));
        if let Some(helper) = helper.filter(|_| self.dice.chance(0.6)) {
            self.later(
                0.6,
                crate::world::Order::Duty {
                    slot: helper,
                    duty: Duty::Tag { roller: handler },
                },
            );
            self.later(
                2.2,
                crate::world::Order::Duty {
                    slot: helper,
                    duty: Duty::Guard,
                },
            );
        }
        let depth = self.dice.between(1.2, 5.0);
        self.run_until(3.0, |w| {
            w.pos(handler).length() < depth || (w.space(handler) < 0.6 && w.pos(handler).length() < 5.0)
        })?;
        let distance = self.pos(handler).length();
        if self.shot_clock_s > 3.0 && self.game_clock_s > 3.0 && self.dice.chance(0.3) {
            self.kick_out()?;
            let shooter = self.handler;
            if self.space(shooter) > 1.3 && self.dice.chance(0.6) && self.pos(shooter).length() < 8.2 {
                return self.shoot(shooter, ShotStyle::Jump, None);
            }
            return Ok(Next::Play);
        }
        self.shoot(
            handler,
            if distance < 2.6 {
                ShotStyle::Layup
            } else {
                ShotStyle::Jump
            },
            None,
        )
    }
}
