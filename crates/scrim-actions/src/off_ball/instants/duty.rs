//! What each defender has to do at a ball screen, by where they stand when it is set. Common practice, no source.

use scrim_floor::{AttackFrame, Court, Point, Zone};
use scrim_play::{Attacker, Defender, Five, Scene};
use scrim_tables::tags::Duty;

/// A defender on the ball's side of the floor's middle line by less than this is on no side, m.
const MIDDLE_M: f32 = 0.5;

/// What each defender has to do at a ball screen.
pub(in crate::off_ball) type Duties = Five<Defender, Option<Duty>>;

/// The defenders' duties at frame `set`; `None` for who is not seen, and for all where the two who are
/// screened are not known. Of the three others: the one on the side away from the ball who is nearest to the hoop is the low man; of the
/// other two the one nearest to the middle of the free-throw line has the nail; one who guards the corner of the ball's side stays
/// there whoever is nearer.
pub(in crate::off_ball) fn duties(
    scene: &Scene,
    court: &Court,
    set: usize,
    user: Attacker,
    screener: Attacker,
) -> Duties {
    let mut duties = Duties::default();
    let guard = &scene.guard[set];
    let (Some(on_ball), Some(on_screener)) = (guard[user], guard[screener]) else {
        return duties;
    };
    if on_ball == on_screener {
        return duties;
    }
    duties[on_ball] = Some(Duty::OnBall);
    duties[on_screener] = Some(Duty::OnScreener);
    let at = |defender: Defender| scene.defenders[defender].at(set);
    let mut others: Vec<Defender> = scene
        .defenders
        .places()
        .filter(|&defender| defender != on_ball && defender != on_screener && at(defender).is_finite())
        .collect();
    let ball_y_m = scene.ball_at(set).y_m;
    let is_strong = |spot: Point<AttackFrame>| spot.y_m * ball_y_m > 0.0;
    let guarded = |defender: Defender| {
        let attacker = scene.guarded_by(defender, set)?;
        Some(scene.attackers[attacker].at(set))
    };
    if ball_y_m.abs() >= MIDDLE_M {
        let corner = others.iter().copied().find(|&defender| {
            guarded(defender).is_some_and(|spot| is_strong(spot) && is_corner(court, spot))
        });
        if let Some(corner) = corner {
            duties[corner] = Some(Duty::StrongCorner);
            others.retain(|&defender| defender != corner);
        }
    }
    let nearest_to = |spot: Point<AttackFrame>, others: &[Defender]| {
        let gap_m = |defender: &Defender| at(*defender).distance_m(spot);
        others
            .iter()
            .copied()
            .min_by(|a, b| gap_m(a).total_cmp(&gap_m(b)))
    };
    let weak: Vec<Defender> = others
        .iter()
        .copied()
        .filter(|&defender| ball_y_m.abs() < MIDDLE_M || !is_strong(at(defender)))
        .collect();
    let low_man = nearest_to(Point::origin(), if weak.is_empty() { &others } else { &weak });
    if let Some(low_man) = low_man {
        duties[low_man] = Some(Duty::LowMan);
        others.retain(|&defender| defender != low_man);
    }
    if let Some(nail) = nearest_to(Point::new(court.free_throw_x_m(), 0.0), &others) {
        duties[nail] = Some(Duty::Nail);
        others.retain(|&defender| defender != nail);
    }
    for defender in others {
        duties[defender] = Some(Duty::Other);
    }
    duties
}

fn is_corner(court: &Court, spot: Point<AttackFrame>) -> bool {
    matches!(court.zone_of(spot), Zone::LeftCorner | Zone::RightCorner)
}
