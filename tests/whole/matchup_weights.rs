//! The matchup model's canonical position against the paper it is from: A. Franks, A. Miller, L. Bornn & K. Goldsberry,
//! "Characterizing the spatial structure of defensive skill in professional basketball", Annals of Applied Statistics
//! 9(1), 2015, 94–121: 0.62 of the attacker, 0.11 of the ball, 0.27 of the hoop (as the project's vocabulary has them).

use scrim_floor::{AttackFrame, Point};
use scrim_play::{ATTACKER_WEIGHT, BALL_WEIGHT, HOOP_WEIGHT, canonical_position};

#[test]
fn the_weights_are_the_papers() {
    assert_eq!((ATTACKER_WEIGHT, BALL_WEIGHT, HOOP_WEIGHT), (0.62, 0.11, 0.27));
}

#[test]
fn each_weight_moves_the_defender_by_its_share() {
    let hoop = Point::<AttackFrame>::origin();
    let far = Point::new(10.0, 0.0);
    // One thing 10 m out, the others at the hoop: the defender stands 10 m times that thing's weight out.
    assert!((canonical_position(far, hoop).x_m - 6.2).abs() < 1e-5);
    assert!((canonical_position(hoop, far).x_m - 1.1).abs() < 1e-5);
    // Attacker and ball both 10 m out: the hoop holds the defender back by 2.7 m.
    assert!((canonical_position(far, far).x_m - (10.0 - 2.7)).abs() < 1e-5);
}
