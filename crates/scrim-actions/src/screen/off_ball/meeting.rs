//! How the user's defender met the screen: ran into it, went under it, trailed the user around it, or switched.

use scrim_floor::Point;
use scrim_play::Scene;
use scrim_tables::tags::ScreenMeeting;

use super::reading::Reading;

/// A defender who was hit had the screener this near, or nearer, m ...
const HIT_GAP_M: f32 = 1.0;
/// ... and is this far behind the user 0.8 s after the use, or farther, m.
const HIT_BEHIND_M: f32 = 1.8;

/// Who guards the user is looked up from this long after the use ..., s.
const SWITCH_FROM_S: f32 = 0.6;
/// ... to this long after it, s.
const SWITCH_TO_S: f32 = 2.0;
/// The user's way past the screener is the line between their places this long before and after the use, s.
const WAY_S: f32 = 0.4;
/// The defender is by the screener at the latest this long after the use, s; who is not, has not come past.
const LATEST_S: f32 = 1.6;
/// Who is by the screener is looked for from this long before the use, s.
const EARLIEST_S: f32 = 0.8;
/// How far behind the user a defender is, is measured this long after the use, s.
const BEHIND_S: f32 = 0.8;

/// How the user's defender met the screen; `None` when nobody is known to guard the user, or that defender is not seen.
pub(super) fn meeting(scene: &Scene, reading: &Reading) -> Option<ScreenMeeting> {
    let passing = reading.passing;
    let defender = reading.four.user_defender?;
    let (u, s, d) = (
        &scene.attackers[passing.user],
        &scene.attackers[passing.screener],
        &scene.defenders[defender],
    );
    let at = passing.at;
    let back = |seconds: f32| at.saturating_sub(scene.frames_in(seconds));
    let ahead = |seconds: f32| (at + scene.frames_in(seconds)).min(scene.frames - 1);
    // Left for good: most of the time after the use another guards the user.
    let later = ahead(SWITCH_FROM_S)..ahead(SWITCH_TO_S);
    let guarded_by = |other: bool| {
        later
            .clone()
            .filter_map(|k| scene.guard[k][passing.user])
            .filter(|&place| (place != defender) == other)
            .count()
    };
    if guarded_by(true) > guarded_by(false) {
        return Some(ScreenMeeting::Switched);
    }
    let spot = reading.spot;
    let way = u.at(ahead(WAY_S)) - u.at(back(WAY_S));
    // When the defender draws level with the screener on the user's way.
    let level = (back(EARLIEST_S)..ahead(LATEST_S) + 1).find(|&k| (d.at(k) - spot).dot(way) >= 0.0);
    let by = level.unwrap_or_else(|| ahead(LATEST_S));
    let side_of_user = way.cross(u.at(at) - spot);
    let side_of_defender = way.cross(d.at(by) - spot);
    let to_hoop = way.cross(Point::origin() - spot);
    if !(side_of_user.is_finite() && side_of_defender.is_finite()) {
        return None;
    }
    let other_side = side_of_defender * side_of_user < 0.0;
    if other_side && side_of_defender * to_hoop > 0.0 {
        return Some(ScreenMeeting::Under);
    }
    let nearest_m = (back(EARLIEST_S)..ahead(LATEST_S) + 1)
        .map(|k| d.at(k).distance_m(s.at(k)))
        .filter(|gap_m| gap_m.is_finite())
        .fold(f32::INFINITY, f32::min);
    let k = ahead(BEHIND_S);
    let behind_m = d.at(k).distance_m(u.at(k));
    if nearest_m <= HIT_GAP_M && behind_m >= HIT_BEHIND_M {
        Some(ScreenMeeting::Hit)
    } else {
        Some(ScreenMeeting::Trailed)
    }
}
