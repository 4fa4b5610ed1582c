//! A screen of each kind, found with all that its row says.

use scrim_tables::tags::{Outcome, ScreenKind};
use scrim_tracks::PlayerIx;

use super::staged::{self, DOWN, GO_S, Way, apart_m, only, t_s, with_handler};

/// Times may be off by this, s.
const WITHIN_S: f64 = 0.3;

#[test]
fn each_kind_is_found_once_and_called_by_its_name() {
    for (kind, way, stage) in staged::all() {
        let row = only(&stage);
        assert_eq!((row.kind, row.outcome), (kind, Outcome::Used), "{row:#?}");
        assert_eq!((row.screener, row.user), (PlayerIx(1), PlayerIx(2)));
        let defenders = (row.screener_defender, row.user_defender);
        assert_eq!(defenders, (Some(PlayerIx(6)), Some(PlayerIx(7))), "{kind}");
        // The closest approach is where the way leads by the screener.
        assert!(
            (t_s(row.used) - way.by_s()).abs() <= WITHIN_S,
            "{kind} {}",
            t_s(row.used)
        );
        let set = row.set.map(t_s).expect("the screener comes and stands");
        assert!((set - way.set_s()).abs() <= WITHIN_S, "{kind} {set}");
        assert!(
            apart_m((row.spot.x_m, row.spot.y_m), way.spot) < 0.2,
            "{kind} {:?}",
            row.spot
        );
        assert!(row.evidence.user_gap_m < 1.0 && row.evidence.screener_speed_mps < 0.5);
        assert_eq!(row.previous, None);
    }
}

#[test]
fn the_end_is_when_both_are_away_or_two_and_a_half_seconds_later() {
    // The screener stays on the spot: 2.5 s after the use.
    let row = only(&staged::down());
    assert!((t_s(row.end) - t_s(row.used) - 2.5).abs() < 0.05);
}

#[test]
fn a_back_screen_after_a_pass_is_a_rub_with_back_as_runner_up() {
    let row = only(&staged::rub());
    assert_eq!(
        (row.kind, row.runner_up),
        (ScreenKind::Rub, Some(ScreenKind::Back))
    );
}

#[test]
fn the_same_way_without_a_pass_before_it_is_a_back_screen() {
    let stage = with_handler(staged::RUB.stage(), (6.5, -4.4)).path(4, &[(0.0, 5.4, 6.2)]);
    let row = only(&stage.path(9, &[(0.0, 4.4, 5.4)]));
    assert_eq!(row.kind, ScreenKind::Back, "{row:#?}");
}

#[test]
fn a_zipper_has_down_as_runner_up() {
    let (_, _, stage) = staged::all().remove(5);
    let row = only(&stage);
    assert_eq!(
        (row.kind, row.runner_up),
        (ScreenKind::Zipper, Some(ScreenKind::Down))
    );
}

#[test]
fn a_screen_that_no_name_fits_has_none_that_came_second() {
    let row = only(&with_handler(staged::SIDEWAYS.stage(), (2.4, 6.9)));
    assert_eq!((row.kind, row.runner_up), (ScreenKind::Other, None), "{row:#?}");
}

#[test]
fn a_way_over_two_screeners_is_over_the_top_at_each() {
    // 2 goes from the right wing over 1 at the right elbow and 3 at the left one; 8 guards 3. How sure each is, the model says.
    let way = Way {
        by: (5.6, 2.2),
        spot: (4.8, 2.2),
        ..staged::OVER_TOP
    };
    let stage = with_handler(way.stage(), (8.9, -0.6))
        .path(4, &[(0.0, 0.5, -6.6)])
        .path(9, &[(0.0, 0.6, -5.2)])
        .path(3, &[(1.6, 1.4, -0.6), (3.2, 4.8, -1.8)])
        .path(8, &[(1.6, 0.9, -0.4), (3.2, 3.8, -1.4)]);
    let kinds: Vec<_> = staged::candidates(&stage)
        .into_iter()
        .filter(|candidate| candidate.user == PlayerIx(2) && candidate.used > staged::frame(GO_S))
        .map(|candidate| (candidate.screener, candidate.kind))
        .collect();
    assert_eq!(
        kinds,
        [
            (PlayerIx(1), ScreenKind::OverTop),
            (PlayerIx(3), ScreenKind::OverTop)
        ]
    );
}

#[test]
fn who_comes_out_of_the_paint_up_to_the_wing_is_off_a_down_screen() {
    let up = Way {
        from: (1.4, 1.8),
        by: (3.2, 3.4),
        to: (6.2, 6.0),
        spot: (2.6, 4.0),
        ..staged::EXIT
    };
    let row = only(&with_handler(up.stage(), (7.4, -3.0)));
    assert_eq!(row.kind, ScreenKind::Down, "{row:#?}");
}

#[test]
fn who_curls_off_a_down_screen_to_the_rim_has_come_off_a_down_screen() {
    let curl = Way {
        to: (1.6, 2.4),
        by: (3.0, 5.9),
        ..DOWN
    };
    let row = only(&with_handler(curl.stage(), (8.2, -2.0)));
    assert_eq!(row.kind, ScreenKind::Down, "{row:#?}");
}

#[test]
fn two_screeners_within_a_second_and_a_half_are_a_stagger() {
    // 2 runs up from the corner past 1 at (2.5, 5.0) and, 0.8 s later, past 3 at (5.2, 3.2); 8 guards 3.
    let first = Way {
        from: (0.6, 6.4),
        by: (2.8, 5.7),
        to: (5.6, 3.9),
        screener_from: (4.5, 2.0),
        spot: (2.5, 5.0),
    };
    let then = first.there_s();
    let user: Vec<_> = first.user().into_iter().chain([(then + 0.9, 8.2, 0.8)]).collect();
    let trailing: Vec<_> = first
        .trailing()
        .into_iter()
        .chain([(then + 1.2, 8.2, 0.8)])
        .collect();
    let stage = with_handler(first.stage(), (8.0, -3.4))
        .path(2, &user)
        .path(7, &trailing)
        .path(3, &[(1.6, 1.4, -0.6), (3.2, 5.2, 3.2)])
        .path(8, &[(1.6, 0.9, -0.4), (3.2, 4.2, 2.4)]);
    let rows = staged::found(&stage);
    assert_eq!(rows.len(), 2, "{rows:#?}");
    assert_eq!(
        rows.iter().map(|row| row.screener).collect::<Vec<_>>(),
        [PlayerIx(1), PlayerIx(3)]
    );
    assert_eq!(
        rows.iter().map(|row| row.previous).collect::<Vec<_>>(),
        [None, Some(0)]
    );
}

#[test]
fn without_the_users_defender_the_screen_is_found_and_he_is_unknown() {
    let row = only(&staged::down().without(7));
    assert_eq!((row.user_defender, row.user_defender_path), (None, None));
    assert_eq!(row.evidence.defender_gap_m, None);
}

#[test]
fn without_the_screener_there_is_no_screen() {
    assert_eq!(staged::found(&staged::down().without(1)), []);
}
