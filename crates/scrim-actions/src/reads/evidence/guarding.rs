//! How far a defender is from guarding somebody.

use scrim_floor::{AttackFrame, Point, Segment, distance_to_segment_m};
use scrim_play::{Attacker, Scene, canonical_position};

/// Where a defender of `attacker` may stand at frame `k`: from the attacker to canonical position, or, of the handler,
/// to a step and a half toward the hoop. Near the ball attackers are guarded tighter than canonical position has it.
pub(super) fn guard_line(scene: &Scene, attacker: Attacker, k: usize) -> Segment<AttackFrame> {
    let at = scene.attackers[attacker].at(k);
    if scene.handler[k] == Some(attacker) {
        return Segment::new(at, at + (Point::origin() - at).unit() * ON_BALL_M);
    }
    let ball = scene.ball_at(k);
    Segment::new(
        at,
        canonical_position(at, if ball.is_finite() { ball } else { at }),
    )
}

/// A handler's defender may be this far from the handler, toward the hoop, m. Common practice, no source.
const ON_BALL_M: f32 = 1.5;

/// How far a defender is from guarding somebody: the mean of the distances to the line on which that attacker is guarded and
/// to its far end. The line alone takes whoever is near the ball for a guard of both; the end alone (canonical position) takes
/// an attacker near the ball for guarded by nobody.
pub(super) fn guard_gap_m(defender: Point<AttackFrame>, line: Segment<AttackFrame>) -> f32 {
    0.5 * (distance_to_segment_m(defender, line) + defender.distance_m(line.end))
}
