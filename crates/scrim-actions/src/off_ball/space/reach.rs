//! Who can be where first.

use scrim_floor::{AttackFrame, Court, Point, Vector};

use super::SpaceParams;

/// Who cannot be somewhere in this time is not counted there, s: the whole half court.
const LONGEST_S: f32 = 4.0;

/// Steps of the table of discs, s.
const STEP_S: f32 = 0.05;
/// A grid finer than this many squares a side, or a table of more steps than this, is a slip in the parameters, and would
/// eat the time.
const MOST_SQUARES: usize = 100;
const MOST_STEPS: usize = 1000;

/// Answers who is first at each square of the half court. Holds its working arrays from question to question.
pub(in crate::off_ball) struct FirstThere {
    squares: Vec<Point<AttackFrame>>,
    square_m2: f32,
    /// For each step in time: the way that a unit of velocity carries a player, s, and the radius that the player adds.
    discs: Vec<(f32, Radius)>,
    /// The same steps for the player who is looked at: where they are carried, and the radius that they add.
    carried: Vec<Disc>,
    /// For each square: who is there soonest.
    soonest: Vec<Soonest>,
}

/// Where a player can be after a step: within a radius of a centre.
type Disc = (Point<AttackFrame>, Radius);

/// A radius, and by which squared distances are beyond it: no root is taken to know that.
#[derive(Debug, Clone, Copy)]
struct Radius {
    m: f32,
    /// The largest number whose root, rounded, is not larger than the radius; below 0 when there is none.
    most_m2: f32,
}

impl Radius {
    fn new(m: f32) -> Self {
        let mut most_m2 = if m < 0.0 { -1.0 } else { m * m };
        while most_m2.sqrt() > m {
            most_m2 = most_m2.next_down();
        }
        while most_m2.next_up().sqrt() <= m && most_m2 < f32::MAX {
            most_m2 = most_m2.next_up();
        }
        Self { m, most_m2 }
    }
}

/// Who is at a square soonest.
#[derive(Clone, Copy)]
struct Soonest {
    t_s: f32,
    who: Option<usize>,
    /// Who is outside the last of so many discs comes later.
    discs: usize,
}

impl FirstThere {
    pub(in crate::off_ball) fn new(court: &Court, params: &SpaceParams) -> Self {
        let [low, _, high, _] = court.half_court_corners();
        let (length_m, width_m) = (high.x_m - low.x_m, high.y_m - low.y_m);
        let count = |side_m: f32| ((side_m / params.square_m).round() as usize).clamp(1, MOST_SQUARES);
        let (along, across) = (count(length_m), count(width_m));
        let (step_x_m, step_y_m) = (length_m / along as f32, width_m / across as f32);
        let squares: Vec<Point<AttackFrame>> = (0..along * across)
            .map(|n| {
                let (i, j) = (n / across, n % across);
                Point::new(
                    low.x_m + (i as f32 + 0.5) * step_x_m,
                    low.y_m + (j as f32 + 0.5) * step_y_m,
                )
            })
            .collect();
        let steps = ((LONGEST_S / STEP_S).ceil() as usize).clamp(1, MOST_STEPS);
        let discs = (0..=steps)
            .map(|step| {
                let (carried_s, radius_m) = params.sprint.disc(step as f32 * STEP_S);
                (carried_s, Radius::new(radius_m))
            })
            .collect();
        Self {
            carried: Vec::new(),
            soonest: Vec::new(),
            squares,
            square_m2: step_x_m * step_y_m,
            discs,
        }
    }

    /// The area of which each of the `players`, given by place and velocity, is there first, m², in their order. Who is
    /// not finite has none. A square that two reach at the same time is the earlier one's in the order.
    pub(in crate::off_ball) fn areas_m2(
        &mut self,
        players: impl Iterator<Item = (Point<AttackFrame>, Vector<AttackFrame>)>,
    ) -> Vec<f32> {
        let nobody = Soonest {
            t_s: f32::INFINITY,
            who: None,
            discs: self.discs.len(),
        };
        self.soonest.clear();
        self.soonest.resize(self.squares.len(), nobody);
        let mut areas_m2 = Vec::new();
        for (who, (at, velocity)) in players.enumerate() {
            areas_m2.push(0.0);
            if !at.is_finite() {
                continue;
            }
            carry(&self.discs, at, known_or_standing(velocity), &mut self.carried);
            for (square, soonest) in self.squares.iter().zip(&mut self.soonest) {
                // Who is outside when the soonest is there comes later: most are.
                let t_s = time_to_s(&self.carried[..soonest.discs], *square);
                if t_s < soonest.t_s {
                    let steps = (t_s / STEP_S).ceil() as usize;
                    *soonest = Soonest {
                        t_s,
                        who: Some(who),
                        discs: self.carried.len().min(steps + 1),
                    };
                }
            }
        }
        for who in self.soonest.iter().filter_map(|soonest| soonest.who) {
            areas_m2[who] += self.square_m2;
        }
        areas_m2
    }
}

/// The velocity; of who is seen too briefly for one, as from standing.
pub(in crate::off_ball) fn known_or_standing(velocity: Vector<AttackFrame>) -> Vector<AttackFrame> {
    if velocity.length().is_finite() {
        velocity
    } else {
        Vector::zero()
    }
}

/// The discs of the player at `at` who moves with `velocity`, into `carried`.
fn carry(
    discs: &[(f32, Radius)],
    at: Point<AttackFrame>,
    velocity: Vector<AttackFrame>,
    carried: &mut Vec<Disc>,
) {
    carried.clear();
    carried.extend(
        discs
            .iter()
            .map(|&(carried_s, radius)| (at + velocity * carried_s, radius)),
    );
}

/// The time after which the player of these discs can be at `spot`, s: the first step whose disc holds it, and all discs after it,
/// then a share of that step by straight line. Infinite beyond the last disc.
fn time_to_s(discs: &[Disc], spot: Point<AttackFrame>) -> f32 {
    let is_outside = |&(center, radius): &Disc| {
        let way = spot - center;
        way.dot(way) > radius.most_m2
    };
    if discs.last().is_none_or(is_outside) {
        return f32::INFINITY;
    }
    // Who runs away from the spot may lose it for a moment; after that the disc only gains on it, so that it is outside and then inside.
    let step = discs.partition_point(is_outside);
    let Some(disc) = discs.get(step) else {
        return f32::INFINITY;
    };
    let Some(before) = step.checked_sub(1) else {
        return 0.0;
    };
    let outside_m = |&(center, radius): &Disc| center.distance_m(spot) - radius.m;
    let (outside_before_m, inside_m) = (outside_m(&discs[before]), -outside_m(disc));
    (before as f32 + outside_before_m / (outside_before_m + inside_m)) * STEP_S
}

#[cfg(test)]
mod tests {
    use scrim_floor::voronoi_areas_m2;

    use super::*;

    /// Without drag's help (a drag so strong that the top speed is there at once) the model is a plain speed.
    fn plain() -> SpaceParams {
        let mut params = SpaceParams::default();
        params.sprint.drag_per_s = 1e4;
        params.sprint.top_speed_mps = 5.0;
        params
    }

    /// The time to `spot` of who is at `at` and moves with `velocity`.
    fn time_s(
        params: &SpaceParams,
        at: Point<AttackFrame>,
        velocity: Vector<AttackFrame>,
        spot: Point<AttackFrame>,
    ) -> f32 {
        let mut carried = Vec::new();
        carry(
            &FirstThere::new(&Court::fiba(), params).discs,
            at,
            velocity,
            &mut carried,
        );
        time_to_s(&carried, spot)
    }

    #[test]
    fn beyond_a_radius_by_its_square_is_beyond_it_by_the_root() {
        for step in 0..4000_u16 {
            // From a hair to 40 m, and some that are their squares' roots.
            let m = f32::from(step) * 0.01;
            let radius = Radius::new(m);
            assert!(radius.most_m2.sqrt() <= m, "{m}");
            assert!(radius.most_m2.next_up().sqrt() > m, "{m}");
        }
        assert_eq!(Radius::new(0.0).most_m2, 0.0);
        assert!(Radius::new(-1.0).most_m2 < 0.0);
    }

    #[test]
    fn at_a_plain_speed_the_time_is_distance_over_speed() {
        let t_s = time_s(
            &plain(),
            Point::new(1.0, 1.0),
            Vector::new(3.0, 0.0),
            Point::new(4.0, 5.0),
        );
        // 5 m at 5 m/s; the velocity is forgotten at once.
        assert!((t_s - 1.0).abs() < 1e-3, "{t_s}");
    }

    #[test]
    fn from_standing_the_time_solves_the_models_equation() {
        // After 1 s at V = 7.8 and α = 1.3: r = 7.8 · (1 − (1 − e^−1.3)/1.3) = 7.8 · (1 − 0.727468/1.3) = 3.43519 m.
        let t_s = time_s(
            &SpaceParams::default(),
            Point::new(0.0, 0.0),
            Vector::zero(),
            Point::new(3.43519, 0.0),
        );
        assert!((t_s - 1.0).abs() < 2e-3, "{t_s}");
    }

    #[test]
    fn a_runner_is_sooner_ahead_and_later_behind() {
        let to_s = |velocity_mps, x_m| {
            time_s(
                &SpaceParams::default(),
                Point::new(5.0, 0.0),
                Vector::new(velocity_mps, 0.0),
                Point::new(x_m, 0.0),
            )
        };
        let standing_s = to_s(0.0, 8.0);
        assert!(to_s(4.0, 8.0) < standing_s && standing_s < to_s(4.0, 2.0));
    }

    #[test]
    fn standing_players_share_the_floor_as_by_distance() {
        // Equal sprints from rest: first there is nearest. Two at x = 1 and x = 5 part at x = 3, which the grid of 0.5 m
        // meets to a column of squares, 0.25 m · 15 m.
        let mut first = FirstThere::new(&Court::fiba(), &SpaceParams::default());
        let still = |x_m| (Point::new(x_m, 0.0), Vector::zero());
        let areas_m2 = first.areas_m2([still(1.0), still(5.0)].into_iter());
        assert!((areas_m2[0] - 68.6).abs() <= 3.8, "{areas_m2:?}");
        assert!((areas_m2[0] + areas_m2[1] - 210.0).abs() < 1e-2, "{areas_m2:?}");
        // The same question again has the same answer; who is missing has nothing.
        let lost = (Point::new(f32::NAN, 0.0), Vector::zero());
        assert_eq!(first.areas_m2([still(1.0), still(5.0), lost].into_iter())[2], 0.0);
        assert_eq!(first.areas_m2([still(1.0), still(5.0)].into_iter()), areas_m2);
    }

    #[test]
    fn standing_players_have_their_voronoi_cells() {
        // Of equal sprints from rest the nearest is there first, so that the areas are Voronoi's, whose areas `tests/whole/voronoi.rs` holds
        // against Shapely. A square of 0.2 m is given whole to one side of a border that crosses it: at random, 0.2 m · 0.1 m off a square, so
        // that along 40 m of border (200 squares) the standard deviation is at most 0.02 m² · √200 = 0.28 m². Four of these: 1.2 m².
        let court = Court::fiba();
        let fine = SpaceParams {
            square_m: 0.2,
            ..SpaceParams::default()
        };
        let mut first = FirstThere::new(&court, &fine);
        let corners = court.half_court_corners();
        for set in 0..30_u32 {
            // Spread over the half court by the golden ratio and √2, another turn a set.
            let spots: Vec<Point<AttackFrame>> = (0..10)
                .map(|k| {
                    let turn = f64::from(10 * set + k + 1);
                    let (along, across) = ((turn * 0.618_034).fract(), (turn * 0.414_214).fract());
                    Point::new((along * 13.0 - 1.0) as f32, (across * 14.0 - 7.0) as f32)
                })
                .collect();
            let ours = first.areas_m2(spots.iter().map(|spot| (*spot, Vector::zero())));
            for (ours, cell) in ours.iter().zip(voronoi_areas_m2(&spots, &corners)) {
                let cell = cell.expect("every spot is finite");
                assert!((ours - cell).abs() < 1.2, "set {set}: {ours} and {cell} m²");
            }
        }
    }
}
