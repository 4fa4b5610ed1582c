//! How the user's defender met a down screen. The user, 2, comes from the corner and passes above the screener, on the
//! sideline's side; the hoop's side is the other one.

use scrim_tables::tags::ScreenMeeting;

use super::staged::{self, DOWN, GO_S, only};

#[test]
fn who_follows_the_user_around_the_screener_trails() {
    assert_eq!(
        only(&staged::down()).user_defender_path,
        Some(ScreenMeeting::Trailed)
    );
}

#[test]
fn who_goes_between_screener_and_hoop_goes_under() {
    // From (0.8, 5.4) past (3.0, 4.2), 1.3 m on the hoop's side of the screener at (2.4, 5.3), and out to the user.
    let row = only(&staged::down().path(
        7,
        &[
            (GO_S + 0.2, 0.8, 5.4),
            (GO_S + 0.8, 3.0, 4.2),
            (DOWN.there_s() + 0.2, 5.8, 4.0),
        ],
    ));
    assert_eq!(row.user_defender_path, Some(ScreenMeeting::Under), "{row:#?}");
}

#[test]
fn who_runs_into_the_screener_and_comes_late_is_hit() {
    // The defender stands at the screener's side, 0.6 m away, until the user is 3 m gone.
    let row = only(&staged::down().path(
        7,
        &[
            (GO_S + 0.1, 0.8, 5.7),
            (GO_S + 0.6, 2.0, 5.8),
            (GO_S + 1.5, 2.6, 5.9),
            (GO_S + 2.6, 6.0, 4.4),
        ],
    ));
    assert_eq!(row.user_defender_path, Some(ScreenMeeting::Hit), "{row:#?}");
}

#[test]
fn who_takes_the_screener_and_leaves_the_user_to_his_mate_has_switched() {
    let after = DOWN.by_s() + 0.4;
    let (near, far) = (0.0..after, after..staged::SECONDS);
    let stage = staged::down()
        .guarded_by(&[
            (7, 2, near.clone()),
            (6, 1, near),
            (6, 2, far.clone()),
            (7, 1, far),
        ])
        .path(6, &[(DOWN.by_s(), 3.0, 4.6), (DOWN.there_s(), 5.8, 4.0)])
        .path(7, &[(GO_S + 0.2, 0.8, 5.6), (DOWN.by_s() + 0.4, 2.0, 4.6)]);
    let row = only(&stage);
    assert_eq!(row.user_defender_path, Some(ScreenMeeting::Switched), "{row:#?}");
}
