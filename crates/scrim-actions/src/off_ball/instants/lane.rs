//! Whether a pass would get through: the ball's flight against what defenders can reach.

use scrim_floor::{AttackFrame, Point, Vector};

use super::InstantParams;
use crate::SprintModel;
use crate::off_ball::space::reach::known_or_standing;

/// From one spot of the flight that is looked at to the next, m.
const SPOT_M: f32 = 0.25;

/// By how much the defender who comes nearest to it misses a pass, m: the least gap between the ball and what a defender can touch
/// when it comes by; negative when one can. `None` when there is no flight, or no defender is seen.
///
/// The ball flies straight and level at one speed. A defender goes on as they move for the time of a reaction, then sprints anywhere
/// ([`SprintModel`]), and reaches so far beyond. Within that reach of the passer and of the receiver nothing is looked at: whoever
/// guards the passer does not take every pass, and the receiver reaches for the ball, too.
pub(super) fn pass_gap_m(
    from: Point<AttackFrame>,
    to: Point<AttackFrame>,
    defenders: impl Iterator<Item = (Point<AttackFrame>, Vector<AttackFrame>)> + Clone,
    params: &InstantParams,
    sprint: &SprintModel,
) -> Option<f32> {
    let way_m = from.distance_m(to);
    let open_m = way_m - 2.0 * params.reach_m;
    if !open_m.is_finite() || open_m <= 0.0 {
        return None;
    }
    let spots = (open_m / SPOT_M).ceil() as usize;
    let mut least_m: Option<f32> = None;
    for spot in 0..=spots {
        let gone_m = params.reach_m + (spot as f32 * SPOT_M).min(open_m);
        let ball = from.toward(to, gone_m / way_m);
        let t_s = gone_m / params.pass_speed_mps;
        let sprint_s = (t_s - params.reaction_s).max(0.0);
        let (carried_s, radius_m) = sprint.disc(sprint_s);
        for (at, velocity) in defenders.clone().filter(|(at, _)| at.is_finite()) {
            let center = at + known_or_standing(velocity) * (t_s.min(params.reaction_s) + carried_s);
            let gap_m = center.distance_m(ball) - radius_m - params.reach_m;
            if least_m.is_none_or(|least_m| gap_m < least_m) {
                least_m = Some(gap_m);
            }
        }
    }
    least_m
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gap_m(defender: (f32, f32), velocity: (f32, f32), params: &InstantParams) -> f32 {
        let defender = (
            Point::new(defender.0, defender.1),
            Vector::new(velocity.0, velocity.1),
        );
        let [from, to] = [(8.0, 0.0), (2.0, 0.0)].map(|(x, y)| Point::new(x, y));
        pass_gap_m(
            from,
            to,
            std::iter::once(defender),
            params,
            &SprintModel::default(),
        )
        .unwrap()
    }

    /// Defenders who never get to sprint: what is left is the distance from the line.
    fn slow() -> InstantParams {
        InstantParams {
            reaction_s: 2.0,
            ..InstantParams::default()
        }
    }

    #[test]
    fn one_who_stands_covers_what_is_within_reach_of_the_line() {
        // 1.7 m beside the line and 1.0 m of reach: 0.7 m. Behind the receiver at (2, 0), who has the ball at (3, 0): 3 m away, 2.0 m.
        assert!((gap_m((5.0, 1.7), (0.0, 0.0), &slow()) - 0.7).abs() < 0.01);
        assert!((gap_m((0.0, 0.0), (0.0, 0.0), &slow()) - 2.0).abs() < 0.01);
        assert!((gap_m((5.0, 0.3), (0.0, 0.0), &slow()) + 0.7).abs() < 0.01);
    }

    #[test]
    fn one_who_moves_meets_the_ball_where_both_are_at_the_same_time() {
        // The ball is at x = 5 after 3 m at 9 m/s, 1/3 s; from (5, 3.0) at 3 m/s toward the line the defender is at y = 2.0 then. Later spots:
        // after t the ball is at 8 − 9 t, the defender at (5, 3 − 3 t): the squared distance is (3 − 9t)² + (3 − 3t)², least at t = 0.4:
        // 0.36 + 3.24 = 3.6, 1.897 m; less the reach, 0.897 m.
        assert!((gap_m((5.0, 3.0), (0.0, -3.0), &slow()) - 0.897).abs() < 0.01);
    }

    #[test]
    fn from_standing_a_sprint_closes_what_the_model_says() {
        // Behind the receiver: the ball is 5/9 s under way to (3, 0), 0.30556 s of them the defender sprints: V (t − (1 − e^−αt)/α) with
        // V = 7.8 and α = 1.3: e^−0.39722 = 0.67219; 7.8 · (0.30556 − 0.32781/1.3) = 7.8 · 0.05340 = 0.4165 m of 3 − 1.
        let found = gap_m((0.0, 0.0), (0.0, 0.0), &InstantParams::default());
        assert!((found - (2.0 - 0.4165)).abs() < 0.01, "{found}");
    }

    #[test]
    fn a_hand_to_hand_pass_has_no_flight_and_nobody_seen_stops_nothing() {
        let params = InstantParams::default();
        let at = |x: f32| Point::<AttackFrame>::new(x, 0.0);
        let nobody = std::iter::empty();
        assert_eq!(
            pass_gap_m(at(1.0), at(2.9), nobody.clone(), &params, &SprintModel::default()),
            None
        );
        assert_eq!(
            pass_gap_m(at(1.0), at(9.0), nobody, &params, &SprintModel::default()),
            None
        );
    }
}
