//! Where the five stand: the shapes that a set begins from, and who makes room.

use scrim_tables::tags::Alignment;

use crate::vec2::{Vec2, v2};
use crate::world::{Leg, World};

impl World<'_> {
    /// A place for each of the five slots, in one of the usual shapes, mirrored half of the time. The first place is
    /// the ball's. The shape is kept as the one meant next.
    pub fn half_court_spots(&mut self) -> [Vec2; 5] {
        let drawn = self.dice.weighted(&[
            (Alignment::FourOutOneIn, 0.35),
            (Alignment::FiveOut, 0.15),
            (Alignment::Horns, 0.14),
            (Alignment::ThreeOutTwoIn, 0.15),
            (Alignment::Box, 0.08),
            (Alignment::FourHigh, 0.06),
            (Alignment::Stack, 0.09),
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
                v2(6.0, 5.9),
                v2(6.0, -5.9),
                v2(0.3, -corner_y),
                v2(0.3, corner_y),
            ],
            Alignment::FourOutOneIn => [
                v2(8.3, 2.2),
                v2(6.6, -5.0),
                v2(0.3, corner_y),
                v2(0.3, -corner_y),
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
        // Players along one line keep the line.
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

    /// Whether the five stand in the shape that was meant, each in a place of their own, with the ball up top.
    pub fn stands_in_shape(&self) -> bool {
        let Some((shape, spots)) = self.shape else {
            return false;
        };
        // Players along one line stand closer.
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

    /// Of `places` the one that is farthest from where the team-mates of `slot` are and where they go.
    pub fn roomiest<const N: usize>(&self, slot: usize, places: [Vec2; N]) -> Vec2 {
        let room_m = |place: &Vec2| {
            self.attackers()
                .filter(|&mate| mate != slot)
                .map(|mate| {
                    self.pos(mate)
                        .distance(*place)
                        .min(self.tasks[mate].hold.distance(*place))
                })
                .fold(f64::INFINITY, f64::min)
        };
        let best = places.into_iter().max_by(|a, b| room_m(a).total_cmp(&room_m(b)));
        best.expect("at least one place")
    }

    /// The three (or more) who are not in the action go where they are out of its way.
    pub fn space_floor(&mut self, busy: &[usize], action: Vec2) {
        let corner_y = self.side_y_m() - 0.55;
        let (corner_x, slot, apart_m) = self
            .style
            .pick((0.2, v2(7.3, 4.2), 4.7), (0.7, v2(7.8, 3.3), 3.3));
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
        // Post players choose last: they get the dunker's spot if the corners are full.
        free.sort_by_key(|s| s % 5);
        for slot in free {
            let here = self.tasks[slot].hold;
            let is_post = slot % 5 == 4;
            let best = places
                .into_iter()
                .enumerate()
                .filter(|&(i, p)| (i < 6 || is_post) && taken.iter().all(|t| t.distance(p) > apart_m))
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
                    // In a season nobody cuts without an order.
                    Some(_) => self.dice.between(1.6, 2.2),
                    None => self.dice.between(2.4, 4.2),
                };
                let wait = self.dice.between(0.0, 0.6);
                self.move_over(slot, &[Leg::Wait { left_s: wait }, Leg::to(place, speed)]);
            }
        }
    }

    /// While the ball is played elsewhere, players away from it lift, drift or fill.
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
                self.move_over(slot, &[Leg::Wait { left_s: wait }, Leg::to(there, pace)]);
            }
        }
    }
}
