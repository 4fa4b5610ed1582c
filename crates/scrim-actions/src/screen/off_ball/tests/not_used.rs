//! Back screens that nobody used: 2 waits on the right wing at (5.8, 5.4), 7 in front at (5.0, 4.7); 1 comes up from
//! the lane to (4.5, 4.1), 0.8 m from 7, and is there at 3.0 s.

use scrim_tables::tags::{Outcome, ScreenKind};
use scrim_tracks::PlayerIx;

use super::staged::{self, only, t_s, with_handler};
use crate::screen::tests::stage::{Stage, Waypoint};

fn comes(then: &[Waypoint]) -> Stage {
    let mut way = vec![(2.0, 2.6, 1.2), (3.0, 4.5, 4.1)];
    way.extend_from_slice(then);
    let stage = Stage::new(staged::SECONDS)
        .path(1, &way)
        .path(6, &[(2.0, 1.8, 0.9), (3.0, 3.4, 3.2)])
        .path(2, &[(0.0, 5.8, 5.4)])
        .path(7, &[(0.0, 5.0, 4.7)]);
    with_handler(stage, (8.2, -2.0))
}

#[test]
fn a_user_who_goes_the_other_way_rejects() {
    let stage = comes(&[])
        .path(2, &[(4.4, 5.8, 5.4), (5.4, 8.4, 7.0)])
        .path(7, &[(4.6, 5.0, 4.7), (5.6, 7.4, 6.0)]);
    let row = only(&stage);
    assert_eq!(
        (row.kind, row.outcome, row.screener, row.user),
        (ScreenKind::Back, Outcome::Rejected, PlayerIx(1), PlayerIx(2))
    );
    assert!((t_s(row.used) - 4.4).abs() < 0.4, "{}", t_s(row.used));
}

#[test]
fn a_screener_who_goes_to_the_rim_before_the_user_comes_slips() {
    let row = only(&comes(&[(3.7, 4.5, 4.1), (4.7, 1.2, 1.0)]));
    assert_eq!((row.kind, row.outcome), (ScreenKind::Back, Outcome::Slipped));
}

#[test]
fn a_screener_who_waits_and_goes_elsewhere_was_unused() {
    let row = only(&comes(&[(5.2, 4.5, 4.1), (6.6, 8.0, 3.0)]));
    assert_eq!((row.kind, row.outcome), (ScreenKind::Back, Outcome::Unused));
}

#[test]
fn a_team_mate_who_stops_beside_a_man_without_a_defender_near_has_not_screened() {
    let stage = comes(&[(5.2, 4.5, 4.1), (6.6, 8.0, 3.0)]).path(7, &[(0.0, 2.6, 3.0)]);
    assert_eq!(staged::found(&stage), []);
}

#[test]
fn a_team_mate_who_has_stood_there_all_along_has_not_screened() {
    let stage = comes(&[]).path(1, &[(5.2, 4.5, 4.1), (6.6, 8.0, 3.0)]);
    assert_eq!(staged::found(&stage), []);
}
