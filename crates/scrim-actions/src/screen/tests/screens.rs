//! Screens that must be found, each with all that its row says. The screener, 1, comes up from the right elbow to
//! (7.4, 1.0), on the right of the handler, 0, at (8.0, 0.0), and is there at 2.0 s.

use scrim_floor::{Side, Zone};
use scrim_play::Scene;
use scrim_tables::tags::{Outcome, ScreenKind, TouchEnd};
use scrim_tracks::PlayerIx;

use super::super::candidate::candidates;
use super::stage::{HZ, Seen, Stage, Waypoint};

/// Times may be off by this, s.
const WITHIN_S: f64 = 0.3;
/// Where the screener stands.
pub const SPOT: (f32, f32) = (7.4, 1.0);

/// Up to the screen: from the elbow, 3.07 m in 1.1 s.
fn comes(then: &[Waypoint]) -> Vec<Waypoint> {
    let mut way = vec![(0.9, 4.5, 2.0), (2.0, SPOT.0, SPOT.1)];
    way.extend_from_slice(then);
    way
}

/// The screener comes and stands, the screener's defender drops.
fn set_screen(seconds: f64, then: &[Waypoint]) -> Stage {
    Stage::new(seconds)
        .path(1, &comes(then))
        .path(6, &[(0.9, 3.2, 1.5), (2.0, 5.0, 0.8)])
}

/// The handler goes right at 2.8 s, past the screener's outside; the handler's defender chases between the two.
pub fn used() -> Stage {
    set_screen(8.0, &[(3.9, SPOT.0, SPOT.1), (5.4, 2.0, 0.5)])
        .path(
            0,
            &[(2.8, 8.0, 0.0), (3.3, 8.5, 1.0), (3.8, 7.0, 2.6), (4.8, 4.0, 2.4)],
        )
        .path(
            5,
            &[(2.8, 6.9, 0.0), (3.4, 7.9, 0.5), (4.0, 7.5, 2.0), (4.9, 4.9, 2.4)],
        )
        .path(
            6,
            &[(0.9, 3.2, 1.5), (2.0, 5.0, 0.8), (3.4, 4.6, 1.4), (4.8, 2.6, 1.6)],
        )
        .has_ball(0, 0.0..8.0, TouchEnd::DeadBall)
}

/// The handler drives left at 2.8 s, away from the screener.
pub fn rejected() -> Stage {
    set_screen(8.0, &[(3.8, SPOT.0, SPOT.1), (5.2, 3.5, 1.5)])
        .path(0, &[(2.8, 8.0, 0.0), (3.5, 6.6, -1.9), (4.6, 3.0, -1.9)])
        .path(5, &[(2.8, 6.9, 0.0), (3.5, 6.2, -0.9), (4.6, 2.4, -1.2)])
        .has_ball(0, 0.0..8.0, TouchEnd::DeadBall)
}

/// The screener stands for 0.4 s, then cuts to the rim; the handler, who has not moved, finds 4 on the wing later.
pub fn slipped() -> Stage {
    set_screen(8.0, &[(2.4, SPOT.0, SPOT.1), (3.7, 1.6, 0.3)])
        .path(
            6,
            &[(0.9, 3.2, 1.5), (2.0, 5.4, 0.9), (2.6, 5.4, 0.8), (3.9, 1.2, 0.2)],
        )
        .has_ball(0, 0.0..4.4, TouchEnd::Pass)
        .has_ball(4, 4.8..8.0, TouchEnd::DeadBall)
}

/// Nobody uses the screen: after 2 s the screener goes off to the right wing, and the handler has stood still.
pub fn unused() -> Stage {
    set_screen(8.0, &[(4.0, SPOT.0, SPOT.1), (5.6, 6.0, 5.2)])
        .path(
            6,
            &[(0.9, 3.2, 1.5), (2.0, 5.0, 0.8), (4.0, 5.0, 0.8), (5.8, 4.6, 3.6)],
        )
        .has_ball(0, 0.0..6.4, TouchEnd::Pass)
        .has_ball(4, 6.8..8.0, TouchEnd::DeadBall)
}

/// The screener gives the right side up at 3.0 s, stands on the left from 3.9 s, and the handler goes left at 4.5 s.
pub fn flipped() -> Stage {
    let (x, y) = SPOT;
    set_screen(
        9.0,
        &[
            (3.0, x, y),
            (3.4, 6.0, 0.2),
            (3.9, x, -y),
            (5.6, x, -y),
            (7.0, 2.0, -0.5),
        ],
    )
    .path(
        0,
        &[
            (4.5, 8.0, 0.0),
            (5.0, 8.5, -1.0),
            (5.5, 7.0, -2.6),
            (6.5, 4.0, -2.4),
        ],
    )
    .path(
        5,
        &[
            (4.5, 6.9, 0.0),
            (5.1, 7.9, -0.5),
            (5.7, 7.5, -2.0),
            (6.6, 4.9, -2.4),
        ],
    )
    .has_ball(0, 0.0..9.0, TouchEnd::DeadBall)
}

/// 1 holds the ball at the right elbow's height; 0 runs by from the left at 4 m/s and takes it at 3.0 s.
pub fn handoff() -> Stage {
    Stage::new(7.0)
        .path(1, &[(0.0, 7.0, 2.0), (4.0, 7.0, 2.0), (5.4, 2.5, 1.0)])
        .path(6, &[(0.0, 5.6, 1.7), (4.0, 5.4, 1.7), (5.4, 1.8, 0.8)])
        .path(
            0,
            &[
                (1.6, 8.4, -3.4),
                (3.0, 7.9, 2.0),
                (3.6, 6.6, 4.0),
                (4.8, 3.4, 3.6),
            ],
        )
        .path(
            5,
            &[
                (1.6, 7.4, -3.0),
                (3.0, 7.6, 0.7),
                (3.8, 6.8, 2.9),
                (5.0, 3.4, 2.8),
            ],
        )
        .has_ball(1, 0.0..3.0, TouchEnd::Handoff)
        .has_ball(0, 3.04..7.0, TouchEnd::DeadBall)
}

/// Two stand in a row, 1 and then 2, and the handler goes past both: past 1 at 3.1 s, past 2 at 4.25 s.
pub fn double() -> Stage {
    Stage::new(9.0)
        .path(
            1,
            &[(0.7, 4.5, 2.0), (1.9, 7.4, 1.0), (4.2, 7.4, 1.0), (5.6, 2.0, 0.5)],
        )
        .path(
            6,
            &[(0.7, 3.2, 1.5), (1.9, 5.4, 0.9), (4.2, 5.2, 1.0), (5.6, 1.6, 0.8)],
        )
        .path(
            2,
            &[(0.5, 4.0, 4.6), (1.9, 7.2, 3.2), (4.9, 7.2, 3.2), (6.0, 8.6, 4.6)],
        )
        .path(
            7,
            &[(0.5, 3.2, 3.6), (1.9, 5.6, 2.6), (4.9, 5.6, 2.6), (6.0, 6.4, 3.6)],
        )
        .path(
            0,
            &[
                (2.8, 8.0, 0.0),
                (3.3, 8.4, 1.2),
                (4.1, 8.1, 3.4),
                (4.6, 6.6, 4.6),
                (5.8, 3.4, 3.6),
            ],
        )
        .path(
            5,
            &[
                (2.8, 6.9, 0.0),
                (3.4, 8.0, 0.4),
                (4.2, 8.0, 2.5),
                (4.8, 7.2, 4.2),
                (6.0, 4.2, 3.6),
            ],
        )
        .has_ball(0, 0.0..9.0, TouchEnd::DeadBall)
}

/// At 1.2 s, with the screener on the way, the handler's defender steps between the two; the handler leaves to the left at
/// 2.0 s, and the screener is there at 2.3 s only.
pub fn early_denial() -> Stage {
    Stage::new(8.0)
        .path(
            1,
            &[(0.9, 4.5, 2.4), (2.3, 7.4, 1.2), (3.4, 7.4, 1.2), (4.8, 4.0, 2.0)],
        )
        .path(
            6,
            &[
                (0.9, 3.2, 1.5),
                (2.0, 4.4, 0.2),
                (3.0, 4.0, -0.6),
                (5.0, 2.4, -0.4),
            ],
        )
        .path(0, &[(2.0, 8.0, 0.0), (2.7, 7.2, -1.9), (3.9, 4.0, -2.4)])
        .path(
            5,
            &[
                (1.0, 6.9, 0.0),
                (1.4, 7.8, 0.9),
                (2.1, 7.7, 0.8),
                (2.9, 7.2, -0.9),
                (4.1, 3.8, -1.5),
            ],
        )
        .has_ball(0, 0.0..8.0, TouchEnd::DeadBall)
}

/// The screener slows down beside the handler's defender and runs on to the right wing; the handler stays.
pub fn ghosted() -> Stage {
    Stage::new(8.0)
        .path(
            1,
            &[(0.9, 4.5, 2.0), (1.9, 7.2, 0.8), (2.4, 7.7, 1.3), (3.6, 8.0, 4.6)],
        )
        .path(6, &[(0.9, 3.2, 1.5), (2.0, 5.6, 0.9), (3.8, 6.4, 3.4)])
        .has_ball(0, 0.0..5.0, TouchEnd::Pass)
        .has_ball(4, 5.4..8.0, TouchEnd::DeadBall)
}

/// A screen on the left wing: the handler, at (5.8, −5.0), goes to the middle past the screener at (5.6, −3.7).
pub fn on_the_wing() -> Stage {
    Stage::new(8.0)
        .path(4, &[(0.0, 8.4, 1.5)])
        .path(9, &[(0.0, 6.6, 1.2)])
        .path(
            1,
            &[
                (0.8, 2.6, -2.0),
                (2.0, 5.6, -3.7),
                (3.9, 5.6, -3.7),
                (5.2, 1.6, -0.6),
            ],
        )
        .path(
            6,
            &[
                (0.8, 1.8, -1.6),
                (2.0, 3.9, -2.8),
                (3.9, 3.6, -1.8),
                (5.2, 1.2, -0.8),
            ],
        )
        .path(
            0,
            &[
                (2.8, 5.8, -5.0),
                (3.4, 6.6, -3.6),
                (4.0, 5.6, -2.0),
                (4.9, 3.4, -1.2),
            ],
        )
        .path(
            5,
            &[
                (2.8, 5.0, -4.3),
                (3.5, 6.2, -4.0),
                (4.1, 6.0, -2.6),
                (5.0, 4.0, -1.6),
            ],
        )
        .has_ball(0, 0.0..8.0, TouchEnd::DeadBall)
}

/// Every scene with a screen, and its name. Models say what is found of those whose screen came to nothing: in these scenes,
/// where nobody else moves, it may be nothing. How many are found is measured on labelled games.
pub fn all() -> Vec<(&'static str, Stage)> {
    vec![
        ("used", used()),
        ("rejected", rejected()),
        ("slipped", slipped()),
        ("unused", unused()),
        ("flipped", flipped()),
        ("handoff", handoff()),
        ("double", double()),
        ("early denial", early_denial()),
        ("ghosted", ghosted()),
        ("on the wing", on_the_wing()),
    ]
}

fn near(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= WITHIN_S
}

/// The one row, with the four of the scene in it.
fn the_only(stage: &Stage) -> Seen {
    let seen = stage.seen();
    assert_eq!(seen.len(), 1, "{seen:#?}");
    let row = seen[0].clone();
    assert_eq!((row.screener, row.user), (1, 0), "{row:#?}");
    assert_eq!(
        (row.screener_defender, row.user_defender),
        (Some(6), Some(5)),
        "{row:#?}"
    );
    assert_eq!(row.previous, None);
    row
}

/// Set at the spot (0.6 m nearer the hoop than the handler and 1 m to the right), at `set_s`.
fn assert_set_on_the_right(row: &Seen, set_s: f64) {
    assert!(row.set_s.is_some_and(|t_s| near(t_s, set_s)), "{row:#?}");
    let off_m = (row.spot.0 - SPOT.0).hypot(row.spot.1 - SPOT.1);
    assert!(off_m < 0.3, "{row:#?}");
    assert!((row.right_of_user_m - 1.0).abs() < 0.3, "{row:#?}");
    // 7.4 m out and 1.0 m to the right: beyond the free-throw line (4.2 m from the hoop), inside the arc's top.
    assert_eq!((row.zone, row.side), (Zone::Top, Side::Middle), "{row:#?}");
}

#[test]
fn a_handler_who_goes_past_the_screener_uses_the_screen() {
    let row = the_only(&used());
    assert_eq!((row.kind, row.outcome), (ScreenKind::BallScreen, Outcome::Used));
    assert_set_on_the_right(&row, 2.0);
    // From (8.5, 1.0) at 3.3 s to (7.0, 2.6) at 3.8 s, 2.19 m; nearest to (7.4, 1.0) after 1.1 · 1.5 / 2.19 = 0.75 m of
    // it, at 3.47 s, 0.80 m away (0.98 m before the turn).
    assert!(near(row.use_s, 3.47), "{row:#?}");
    // The screener is 2.5 m away from the spot after 2.5 / 3.7 s = 0.67 s of the way, at 4.6 s; the handler earlier.
    assert!(near(row.end_s, 4.6), "{row:#?}");
    // The handler takes the ball to the right, where the screener stands.
    assert!(row.strong_side && !row.early_denial, "{row:#?}");
}

#[test]
fn a_handler_who_drives_away_from_the_screener_rejects_the_screen() {
    let row = the_only(&rejected());
    assert_eq!(
        (row.kind, row.outcome),
        (ScreenKind::BallScreen, Outcome::Rejected)
    );
    assert_set_on_the_right(&row, 2.0);
    assert!(!row.early_denial, "{row:#?}");
}

#[test]
fn a_screener_who_goes_round_to_the_other_side_flips_the_screen() {
    let seen = flipped().seen();
    let rows: Vec<_> = seen
        .iter()
        .map(|row| (row.screener, row.user, row.outcome, row.previous))
        .collect();
    let expected = [(1, 0, Outcome::Flipped, None), (1, 0, Outcome::Used, Some(0))];
    assert_eq!(rows, expected, "{seen:#?}");
    // The first side is given up at 3.0 s: half a metre of the 1.6 m to (6.0, 0.2) in 0.4 s later.
    assert!(near(seen[0].use_s, 3.12), "{seen:#?}");
    assert!(
        seen[0].right_of_user_m > 0.3 && seen[1].right_of_user_m < -0.3,
        "{seen:#?}"
    );
    // From (8.0, 0.0) at 4.5 s by (8.5, -1.0) at 5.0 s to (7.0, -2.6) at 5.5 s, past (7.4, -1.0).
    assert!(near(seen[1].use_s, 5.17), "{seen:#?}");
}

#[test]
fn a_ball_taken_from_hand_to_hand_is_a_handoff_by_the_giver() {
    let row = the_only(&handoff());
    assert_eq!((row.kind, row.outcome), (ScreenKind::Handoff, Outcome::Used));
    // From (7.9, 2.0) at 3.0 s to (6.6, 4.0) at 3.6 s, 2.39 m; nearest to (7.0, 2.0) after 0.9 · 1.3 / 2.39 = 0.49 m of it.
    assert!(near(row.use_s, 3.12), "{row:#?}");
    let off_m = (row.spot.0 - 7.0).hypot(row.spot.1 - 2.0);
    assert!(off_m < 0.3, "{row:#?}");
    assert_eq!(row.side, Side::Right);
}

#[test]
fn a_side_of_a_screen_is_a_handoff_within_a_second_of_the_exchange_from_screener_to_user() {
    let stage = handoff();
    let (game, play) = (stage.game(), stage.play());
    let scene = &Scene::all(&game, &play)[0];
    let kinds_of = |user: u16, screener: u16| {
        let roles = [user, screener].map(|role| scene.attackers.place_of(PlayerIx(role)));
        let mut kinds = None;
        candidates(scene, &play, &play.possessions[0], |candidate| {
            if [candidate.four.user, candidate.four.screener].map(Some) == roles {
                kinds = Some([1.8, 2.2, 3.8, 4.2].map(|t_s| candidate.kind_at(scene, (t_s * HZ) as usize)));
            }
        });
        kinds
    };
    // 1 gives the ball to 0 at 3.0 s.
    let (by_hand, not) = (ScreenKind::Handoff, ScreenKind::BallScreen);
    assert_eq!(kinds_of(0, 1), Some([not, by_hand, by_hand, not]));
    assert_eq!(kinds_of(1, 0), Some([not; 4]));
}

#[test]
fn two_screeners_in_a_row_are_two_rows() {
    let seen = double().seen();
    let found: Vec<_> = seen
        .iter()
        .map(|row| {
            (
                row.screener,
                row.user,
                row.outcome,
                row.screener_defender,
                row.user_defender,
            )
        })
        .collect();
    let expected = [
        (1, 0, Outcome::Used, Some(6), Some(5)),
        (2, 0, Outcome::Used, Some(7), Some(5)),
    ];
    assert_eq!(found, expected, "{seen:#?}");
    assert!(seen[0].set_s.is_some_and(|t_s| near(t_s, 1.9)), "{seen:#?}");
    // From (8.0, 0.0) to (8.4, 1.2), 1.26 m in 0.5 s, nearest to 1 after (0.6 · −0.4 + 1.0 · 1.2) / 1.26 = 0.76 m;
    // from (8.1, 3.4) to (6.6, 4.6), 1.92 m in 0.5 s, nearest to 2 after (0.9 · 1.5 − 0.2 · 1.2) / 1.92 = 0.58 m.
    assert!(
        near(seen[0].use_s, 3.10) && near(seen[1].use_s, 4.25),
        "{seen:#?}"
    );
    // A double: the second points to the first, 1.15 s before it.
    assert_eq!((seen[0].previous, seen[1].previous), (None, Some(0)), "{seen:#?}");
}

#[test]
fn a_handler_iced_before_the_screener_is_there_is_denied_early() {
    let row = the_only(&early_denial());
    assert_eq!(
        (row.kind, row.outcome),
        (ScreenKind::BallScreen, Outcome::Rejected)
    );
    assert!(row.early_denial, "{row:#?}");
    assert_eq!(row.set_s, None);
}

#[test]
fn a_screen_on_the_wing_is_on_that_side_of_the_floor() {
    let row = the_only(&on_the_wing());
    assert_eq!((row.kind, row.outcome), (ScreenKind::BallScreen, Outcome::Used));
    assert_eq!(row.side, Side::Left);
    assert!(row.strong_side);
    assert!(row.set_s.is_some_and(|t_s| near(t_s, 2.0)), "{row:#?}");
    // From (5.8, −5.0) at 2.8 s to (6.6, −3.6) at 3.4 s, 1.61 m; nearest to (5.6, −3.7) after
    // (−0.2 · 0.8 + 1.3 · 1.4) / 1.61 = 1.03 m of it, 0.82 m away (0.90 m after the turn).
    assert!(near(row.use_s, 3.18), "{row:#?}");
    // The handler at (5.8, −5.0) looks at the hoop along (−0.757, 0.652). The spot is (−0.2, 1.3) from there: to the right
    // by −0.2 · 0.652 + 1.3 · 0.757 = 0.854 m.
    assert!((row.right_of_user_m - 0.854).abs() < 0.3, "{row:#?}");
}

#[test]
fn a_screen_is_found_though_matchups_are_not_known() {
    for (name, stage) in all() {
        let seen = stage.clone().without_matchups().seen();
        let found =
            |rows: &[Seen]| -> Vec<_> { rows.iter().map(|r| (r.screener, r.user, r.outcome)).collect() };
        assert_eq!(found(&seen), found(&stage.seen()), "{name}");
    }
}

#[test]
fn a_screener_who_is_unseen_for_a_while_is_found_all_the_same() {
    // The screener is set at 2.0 s and left behind at about 3.9 s: unseen a second and a half before, and 0.8 s after.
    for t_s in [0.2..1.0, 4.4..5.2] {
        let row = the_only(&used().unseen(1, t_s.clone()));
        assert_eq!((row.outcome, row.screener, row.user), (Outcome::Used, 1, 0));
        assert!(
            row.confidence.is_finite() && row.confidence >= 0.7,
            "{t_s:?}: {row:?}"
        );
    }
}

#[test]
fn evidence_is_never_endless_whenever_the_handler_or_the_screener_is_unseen() {
    for (name, stage) in all() {
        for player in [0, 1] {
            for (from, lasts) in (0..12).flat_map(|from| (1..9).map(move |lasts| (from, lasts))) {
                let from_s = f64::from(from) * 0.4;
                let until_s = (from_s + f64::from(lasts) * 0.4).min(5.0);
                for screen in stage.clone().unseen(player, from_s..until_s).found() {
                    let found = [screen.evidence.user_gap_m, screen.evidence.screener_speed_mps];
                    let is_measured = found.into_iter().all(f32::is_finite);
                    assert!(is_measured, "{name}, {from_s} to {until_s}: {screen:?}");
                }
            }
        }
    }
}
