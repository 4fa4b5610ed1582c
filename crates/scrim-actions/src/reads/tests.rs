//! Each word of the vocabulary, staged; the hard cases; bad input; and what must not change.

use proptest::prelude::*;
use scrim_floor::Definitions;
use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, PassTarget, ScreenerAction, UnclearReason,
};

use super::COVERAGE_WORDS;
use super::staging::{HANDLER, ON_BALL, SCREENER, SCREENER_DEFENDER, SPOT, Staging, USE_S, Way, Who};

/// The handler strings it out, away from the hoop, with the two defenders close.
const STRUNG_OUT: &[Way] = &[
    (2.2, 8.2, -1.5),
    (3.0, 8.3, 0.0),
    (4.0, 8.9, 2.4),
    (5.0, 9.2, 3.0),
];
/// The handler's defender chases there.
const CHASED: &[Way] = &[
    (2.3, 7.2, -1.4),
    (3.2, 7.85, 0.0),
    (4.0, 8.5, 1.6),
    (5.0, 9.0, 2.2),
];
/// The screener rolls.
const ROLL: &[Way] = &[(3.4, 7.4, 0.0), (5.2, 1.2, 0.6)];

fn drop() -> Staging {
    Staging::used().go(
        SCREENER_DEFENDER,
        &[(2.0, 5.2, 0.2), (3.0, 4.6, 0.4), (5.2, 4.2, 1.8)],
    )
}

fn level() -> Staging {
    // 7.4 − 7.05 = 0.35 m below the screen; they give ground before the handler, then return to the screener.
    Staging::used().go(
        SCREENER_DEFENDER,
        &[(2.0, 7.0, 0.8), (3.0, 7.0, 0.8), (4.0, 5.6, 2.0), (5.0, 5.4, 0.3)],
    )
}

fn hedge() -> Staging {
    // √(8.4² + 1.2²) − 7.4 = 1.09 m beyond the screen; they start back 0.8 s after the use.
    Staging::used().go(HANDLER, STRUNG_OUT).go(ON_BALL, CHASED).go(
        SCREENER_DEFENDER,
        &[
            (2.6, 7.2, 0.9),
            (3.1, 8.4, 1.2),
            (3.8, 8.8, 2.6),
            (4.6, 6.0, 0.4),
            (6.0, 5.4, 0.2),
        ],
    )
}

fn blitz() -> Staging {
    Staging::used().go(HANDLER, STRUNG_OUT).go(ON_BALL, CHASED).go(
        SCREENER_DEFENDER,
        &[(2.6, 7.2, 0.9), (3.1, 8.4, 1.0), (4.0, 8.7, 3.3), (5.0, 8.9, 4.0)],
    )
}

fn switch() -> Staging {
    Staging::used()
        .go(SCREENER, ROLL)
        .go(
            SCREENER_DEFENDER,
            &[(2.6, 7.0, 0.8), (3.2, 7.0, 1.0), (4.0, 6.1, 2.3), (5.2, 5.3, 2.8)],
        )
        .go(
            ON_BALL,
            &[
                (2.3, 7.2, -1.4),
                (3.2, 7.6, -0.4),
                (4.0, 5.0, -0.1),
                (5.2, 0.8, 0.4),
            ],
        )
}

fn ice() -> Staging {
    // On the screen's side of the handler by 0.9 m; the screener's defender 2.6 m below, on the other side.
    Staging::new()
        .go(HANDLER, &[(3.0, 8.2, -1.5), (4.2, 5.4, -3.4), (5.0, 4.6, -3.6)])
        .go(ON_BALL, &[(3.0, 7.7, -0.6), (4.2, 5.6, -2.2), (5.0, 4.4, -2.6)])
        .go(
            SCREENER_DEFENDER,
            &[(2.0, 4.6, -1.2), (3.0, 4.6, -1.2), (4.2, 3.8, -2.6)],
        )
        .outcome(Outcome::Rejected, USE_S)
}

#[track_caller]
fn assert_read(staging: Staging, coverage: Coverage, path: OnBallPath) {
    let read = staging.read();
    assert_eq!(
        (read.coverage.word, read.on_ball_path.word),
        (coverage, path),
        "{:#?}",
        read.evidence
    );
    assert!(read.coverage.confidence > 0.5, "{:?}", read.coverage);
}

#[test]
fn a_screeners_defender_who_waits_below_drops() {
    assert_read(drop(), Coverage::Drop, OnBallPath::Over);
}

#[test]
fn a_screeners_defender_at_the_screens_height_who_gives_ground_and_returns_is_level() {
    assert_read(level(), Coverage::Level, OnBallPath::Over);
}

#[test]
fn a_screeners_defender_who_steps_out_past_the_screen_and_goes_back_hedges() {
    assert_read(hedge(), Coverage::Hedge, OnBallPath::Over);
}

#[test]
fn two_on_the_ball_who_stay_blitz() {
    assert_read(blitz(), Coverage::Blitz, OnBallPath::Over);
}

#[test]
fn defenders_who_take_each_others_attackers_switch() {
    assert_read(switch(), Coverage::Switch, OnBallPath::Switched);
}

#[test]
fn a_handler_sent_away_from_the_screen_is_iced() {
    assert_read(ice(), Coverage::Ice, OnBallPath::Denied);
}

#[test]
fn a_defender_who_passes_on_the_hoops_side_goes_under() {
    let under = drop().go(
        ON_BALL,
        &[
            (2.3, 7.2, -1.4),
            (3.2, 6.6, 0.1),
            (4.0, 6.5, 1.9),
            (5.0, 5.9, 2.4),
        ],
    );
    assert_read(under, Coverage::Drop, OnBallPath::Under);
}

fn hedge_then_switch() -> Staging {
    hedge()
        .go(SCREENER, ROLL)
        .go(
            SCREENER_DEFENDER,
            &[
                (2.6, 7.2, 0.9),
                (3.1, 8.4, 1.2),
                (3.8, 8.5, 2.6),
                (5.0, 8.0, 2.8),
                (7.0, 8.0, 2.8),
            ],
        )
        .go(
            ON_BALL,
            &[
                (2.3, 7.2, -1.4),
                (3.2, 7.85, 0.0),
                (3.6, 7.6, 0.4),
                (5.2, 1.0, 0.4),
            ],
        )
}

#[test]
fn a_hedge_that_turns_into_a_switch_is_a_switch() {
    assert_read(hedge_then_switch(), Coverage::Switch, OnBallPath::Switched);
}

fn soft_show() -> Staging {
    // √(7.5² + 0.9²) − 7.4 = 0.15 m beyond the screen: less than the 0.6 m of a hedge.
    level().go(
        SCREENER_DEFENDER,
        &[(2.0, 7.0, 0.8), (3.0, 7.5, 0.9), (4.0, 5.8, 2.2), (5.0, 5.4, 0.3)],
    )
}

#[test]
fn a_soft_show_is_level() {
    assert_read(soft_show(), Coverage::Level, OnBallPath::Over);
}

fn late_switch() -> Staging {
    // Both on the ball for a second, then the handler's defender goes to the screener, and the screener's defender stays.
    blitz()
        .go(SCREENER, &[(3.6, 7.4, 0.0), (5.2, 2.0, -0.5)])
        .go(
            ON_BALL,
            &[
                (2.3, 7.2, -1.4),
                (3.2, 7.85, 0.0),
                (4.0, 8.4, 1.6),
                (5.4, 2.0, -0.3),
            ],
        )
        .go(
            SCREENER_DEFENDER,
            &[(2.6, 7.2, 0.9), (3.1, 8.3, 1.0), (4.0, 8.1, 3.0), (5.0, 8.0, 3.0)],
        )
}

#[test]
fn a_late_switch_after_both_chase_the_handler_is_a_switch() {
    assert_read(late_switch(), Coverage::Switch, OnBallPath::Switched);
}

fn caught_under() -> Staging {
    // The handler's defender is held up for 0.9 s while the screener's, who dropped, has the handler alone; then gets back.
    drop().go(
        ON_BALL,
        &[
            (2.3, 7.2, -1.4),
            (2.8, 7.0, -0.5),
            (3.7, 6.8, -0.3),
            (4.4, 6.7, 1.8),
            (5.0, 6.0, 2.5),
        ],
    )
}

#[test]
fn a_defender_caught_under_the_screen_is_no_switch() {
    assert_read(caught_under(), Coverage::Drop, OnBallPath::Under);
}

/// How far the definition of each word is met, in the order of `COVERAGE_WORDS`.
fn definitions(staging: Staging) -> [f32; 6] {
    met_by(&Definitions::DEFAULT, staging)
}

/// The same by other definitions.
fn met_by(definitions: &Definitions, staging: Staging) -> [f32; 6] {
    let evidence = staging.read_by(definitions).evidence.coverage;
    evidence.expect("all four are seen").definitions()
}

#[test]
fn the_definitions_alone_say_the_staged_words_too() {
    for (staging, word) in [
        (drop(), Coverage::Drop),
        (level(), Coverage::Level),
        (hedge(), Coverage::Hedge),
        (blitz(), Coverage::Blitz),
        (switch(), Coverage::Switch),
        (ice(), Coverage::Ice),
        (hedge_then_switch(), Coverage::Switch),
        (soft_show(), Coverage::Level),
        (late_switch(), Coverage::Switch),
        (caught_under(), Coverage::Drop),
    ] {
        let met = definitions(staging);
        let most = (0..6).max_by(|&a, &b| met[a].total_cmp(&met[b]));
        assert_eq!(most.map(|place| COVERAGE_WORDS[place]), Some(word), "{met:?}");
    }
}

#[test]
fn a_handler_left_to_the_screeners_defender_is_kept_apart_from_one_who_is_chased() {
    let handed = |staging: Staging| staging.read().evidence.swap.map(|swap| swap.handed_m);
    // The handler's defender ends at the hoop, 5 m and more away; the screener's stays within 1 m or so.
    assert!(
        handed(switch()).is_some_and(|m| m > 1.5),
        "{:?}",
        handed(switch())
    );
    // Chased over the top by one who stays nearer than a screener's defender 2 m below.
    assert!(handed(drop()).is_some_and(|m| m < 0.0), "{:?}", handed(drop()));
}

#[test]
fn who_has_their_own_matchup_again_at_the_end_only_passed_the_other() {
    let late = |staging: Staging| staging.read().evidence.swap.map(|swap| swap.late_m);
    assert!(late(switch()).is_some_and(|m| m > 0.3), "{:?}", late(switch()));
    assert!(
        late(caught_under()).is_some_and(|m| m < 0.0),
        "{:?}",
        late(caught_under())
    );
}

#[test]
fn the_screener_rolls_pops_or_stays() {
    let way = |ways: &[Way]| drop().go(SCREENER, ways).read().screener_action.word;
    assert_eq!(way(ROLL), ScreenerAction::Roll);
    // To 4 m from the hoop.
    assert_eq!(
        way(&[(3.3, SPOT.0, 0.0), (4.6, 4.0, 0.0)]),
        ScreenerAction::ShortRoll
    );
    assert_eq!(way(&[(3.3, SPOT.0, 0.0), (4.6, 7.2, -3.2)]), ScreenerAction::Pop);
    assert_eq!(way(&[(3.3, SPOT.0, 0.0), (4.6, 7.2, -0.5)]), ScreenerAction::Stay);
}

#[test]
fn the_outcome_decides_slips_ghosts_and_rescreens() {
    let after = |outcome| drop().outcome(outcome, USE_S).read().screener_action.word;
    assert_eq!(after(Outcome::Slipped), ScreenerAction::Slip);
    assert_eq!(after(Outcome::Ghosted), ScreenerAction::Ghost);
    assert_eq!(after(Outcome::Flipped), ScreenerAction::Rescreen);
}

#[test]
fn a_next_screen_of_the_same_two_is_a_rescreen() {
    let mut staging = drop();
    let mut next = staging.screens[0].clone();
    (next.set, next.used, next.previous) = (Some(130), 140, Some(0));
    staging.screens.push(next);
    assert_eq!(staging.read().screener_action.word, ScreenerAction::Rescreen);
}

#[test]
fn a_shot_at_the_rim_ends_a_drive() {
    let staging = drop().go(
        HANDLER,
        &[
            (2.2, 8.2, -1.5),
            (3.0, 8.3, 0.0),
            (4.0, 6.0, 2.0),
            (5.0, 1.2, 0.8),
        ],
    );
    assert_eq!(
        staging.shoot(5.0).read().handler_action.word,
        HandlerAction::Drive
    );
}

#[test]
fn a_jump_shot_off_the_dribble_is_a_pull_up_and_after_a_step_away_a_step_back() {
    assert_eq!(
        drop().shoot(4.2).read().handler_action.word,
        HandlerAction::PullUp
    );
    let back = drop().go(
        HANDLER,
        &[
            (2.2, 8.2, -1.5),
            (3.0, 8.3, 0.0),
            (4.0, 6.4, 1.6),
            (4.5, 7.6, 2.0),
        ],
    );
    assert_eq!(
        back.shoot(4.7).read().handler_action.word,
        HandlerAction::StepBack
    );
}

#[test]
fn a_handler_between_two_on_the_ball_splits_them() {
    // Two wait side by side; at 4 s the handler goes through the middle.
    let staging = Staging::used()
        .go(
            HANDLER,
            &[
                (2.2, 8.2, -1.5),
                (3.0, 8.3, 0.0),
                (3.5, 8.4, 1.5),
                (4.0, 8.4, 1.5),
                (4.8, 4.0, 1.0),
            ],
        )
        .go(
            SCREENER_DEFENDER,
            &[(2.6, 7.2, 0.9), (3.5, 7.6, 2.3), (7.0, 7.6, 2.3)],
        )
        .go(
            ON_BALL,
            &[
                (2.3, 7.2, -1.4),
                (3.2, 7.85, 0.0),
                (3.5, 7.6, 0.7),
                (7.0, 7.6, 0.7),
            ],
        );
    assert_eq!(staging.read().handler_action.word, HandlerAction::Split);
}

#[test]
fn a_handler_who_backs_out_and_keeps_the_ball_begins_again() {
    let staging = drop().go(
        HANDLER,
        &[
            (2.2, 8.2, -1.5),
            (3.0, 8.3, 0.0),
            (4.0, 8.0, 1.5),
            (5.5, 9.8, 1.0),
        ],
    );
    assert_eq!(staging.read().handler_action.word, HandlerAction::Reset);
}

#[test]
fn a_rejected_screen_is_a_reject() {
    assert_eq!(ice().read().handler_action.word, HandlerAction::Reject);
}

#[test]
fn a_pass_is_read_with_its_target() {
    // The ball is on +y by 2.5 m: attacker 3 in that corner is on the strong side, attacker 2 on the weak side.
    let to = |place| {
        let read = drop().pass(4.0, place).read();
        assert_eq!(read.handler_action.word, HandlerAction::Pass);
        read.pass_target
    };
    assert_eq!(to(1), Some(PassTarget::Screener));
    assert_eq!(to(2), Some(PassTarget::WeakSide));
    assert_eq!(to(3), Some(PassTarget::StrongSide));
}

#[test]
fn the_pass_that_leaves_a_screen_unused_comes_before_its_end() {
    let unused = drop().outcome(Outcome::Unused, USE_S);
    assert_eq!(
        unused.clone().pass(2.6, 4).read().handler_action.word,
        HandlerAction::Pass
    );
    assert_eq!(unused.read().handler_action.word, HandlerAction::Reset);
}

#[test]
fn a_helper_in_the_rollers_way_tags_and_without_one_there_is_none() {
    let rolls = drop().go(SCREENER, ROLL);
    assert_eq!(rolls.clone().read().helper_action.word, HelperAction::None);
    // The corner's defender comes to within 0.8 m of where the roller passes.
    let tags = rolls.go(
        Who::Defender(2),
        &[(3.3, 1.2, -4.2), (4.5, 2.2, -0.3), (5.0, 2.0, -0.3)],
    );
    let read = tags.read();
    assert_eq!(
        read.helper_action.word,
        HelperAction::Tag,
        "{:?}",
        read.evidence.help
    );
    assert_eq!(read.helper.map(|helper| helper.0), Some(7));
}

#[test]
fn a_step_at_the_handler_and_back_is_a_stunt() {
    // The wing's defender, 1.4 m toward the handler and back within a second each way.
    let staging = drop().go(
        Who::Defender(3),
        &[(3.4, 3.2, 4.0), (4.0, 4.6, 3.5), (4.6, 3.2, 4.0)],
    );
    let read = staging.read();
    assert_eq!(
        read.helper_action.word,
        HelperAction::Stunt,
        "{:?}",
        read.evidence.help
    );
}

#[test]
fn a_defender_in_the_lane_far_from_their_attacker_sags() {
    let staging = drop()
        .go(
            HANDLER,
            &[
                (2.2, 8.2, -1.5),
                (3.0, 8.3, 0.0),
                (4.0, 5.0, 1.5),
                (5.0, 3.0, 1.0),
            ],
        )
        .go(Who::Defender(2), &[(0.0, 1.2, -1.5)]);
    let read = staging.read();
    assert_eq!(
        read.helper_action.word,
        HelperAction::Sag,
        "{:?}",
        read.evidence.help
    );
}

#[test]
fn without_a_screeners_defender_the_coverage_is_unclear_and_says_so() {
    let mut staging = drop();
    staging.screens[0].screener_defender = None;
    let read = staging.read();
    assert_eq!(
        (read.coverage.word, read.unclear),
        (Coverage::Unclear, Some(UnclearReason::NoScreenerDefender))
    );
    // What the handler's defender did is still known.
    assert_eq!(read.on_ball_path.word, OnBallPath::Over);
}

#[test]
fn a_defender_who_is_not_seen_makes_the_coverage_unclear() {
    for who in [SCREENER_DEFENDER, ON_BALL] {
        let read = drop().hide(who, 2.0, 4.5).read();
        assert_eq!(
            (read.coverage.word, read.unclear),
            (Coverage::Unclear, Some(UnclearReason::NotSeen))
        );
    }
}

#[test]
fn a_possession_that_ends_too_soon_makes_the_coverage_unclear() {
    let read = drop().end(3.3).read();
    assert_eq!(
        (read.coverage.word, read.unclear),
        (Coverage::Unclear, Some(UnclearReason::EndedTooSoon))
    );
}

#[test]
fn a_screen_whose_players_are_not_in_the_scene_is_read_as_unclear() {
    let mut staging = drop();
    staging.scene.attackers = staging.scene.attackers.iter().take(1).cloned().collect();
    let read = staging.read();
    assert_eq!(
        (read.coverage.word, read.unclear),
        (Coverage::Unclear, Some(UnclearReason::NotSeen))
    );
    assert_eq!(read.screener_action.word, ScreenerAction::Unclear);
}

#[test]
fn the_share_of_doubt_grows_toward_the_border() {
    // Depths of 2.8 m and 1.6 m; the border is 1.5 m.
    let at = |x_m: f32| Staging::used().go(SCREENER_DEFENDER, &[(0.0, x_m, 0.3)]);
    let drop = |staging: Staging| definitions(staging)[2];
    assert!(drop(at(4.6)) > 0.9 && drop(at(5.8)) < 0.7);
    // The model sees that this defender never comes near the handler, too, and is surer; yet less sure than of a deep one.
    let (deep, near) = (at(4.6).read().coverage, at(5.8).read().coverage);
    assert_eq!((deep.word, near.word), (Coverage::Drop, Coverage::Drop));
    assert!(deep.confidence > near.confidence, "{deep:?} {near:?}");
}

#[test]
fn a_word_ends_where_the_definitions_say() {
    let likeliest = |definitions: &Definitions, staging: Staging| {
        let met = met_by(definitions, staging);
        let most = (0..6).max_by(|&a, &b| met[a].total_cmp(&met[b]));
        most.map(|place| COVERAGE_WORDS[place])
    };
    // 1.6 m deep at the use: a drop where a drop is 1.5 m deep, level where it is 2.5 m.
    let shallow = || Staging::used().go(SCREENER_DEFENDER, &[(0.0, 5.8, 0.3)]);
    let deep = Definitions {
        drop_depth_m: 2.5,
        ..Definitions::DEFAULT
    };
    assert_eq!(likeliest(&Definitions::DEFAULT, shallow()), Some(Coverage::Drop));
    assert_eq!(likeliest(&deep, shallow()), Some(Coverage::Level));
    // Where close is no more than 0.3 m, nobody is close to the handler, and there is no blitz.
    let tight = Definitions {
        close_m: 0.3,
        ..Definitions::DEFAULT
    };
    assert_eq!(likeliest(&Definitions::DEFAULT, blitz()), Some(Coverage::Blitz));
    assert_ne!(likeliest(&tight, blitz()), Some(Coverage::Blitz));
}

/// One staging of each kind, by number.
fn staged(number: usize) -> Staging {
    match number {
        0 => drop().go(SCREENER, ROLL).pass(4.4, 3),
        1 => level().shoot(4.4),
        2 => hedge().pass(4.8, 2),
        3 => blitz().pass(4.4, 1),
        4 => switch().shoot(5.2),
        _ => ice(),
    }
}

proptest! {
    #[test]
    fn mirroring_the_floor_changes_no_tag(
        number in 0usize..6,
        draws in proptest::collection::vec(-0.35f32..0.35, 20),
    ) {
        let staging = staged(number).shaken(&draws);
        let (here, there) = (staging.clone().read(), staging.mirrored().read());
        prop_assert_eq!(here.coverage, there.coverage);
        prop_assert_eq!(here.on_ball_path, there.on_ball_path);
        prop_assert_eq!((here.helper_action, here.helper), (there.helper_action, there.helper));
        prop_assert_eq!(here.screener_action, there.screener_action);
        prop_assert_eq!(here.handler_action, there.handler_action);
        prop_assert_eq!(here.pass_target, there.pass_target);
    }

    #[test]
    fn whatever_is_not_seen_and_wherever_it_ends_nothing_panics_and_doubt_is_a_share(
        number in 0usize..6,
        hidden in proptest::collection::vec((0usize..10, 0.0f64..7.0, 0.0f64..7.0), 0..6),
        end_s in 0.0f64..7.0,
    ) {
        let mut staging = staged(number);
        for (place, from_s, to_s) in hidden {
            let who = if place < 5 { Who::Attacker(place) } else { Who::Defender(place - 5) };
            staging = staging.hide(who, from_s.min(to_s), from_s.max(to_s));
        }
        let read = staging.end(end_s).read();
        for share in [
            read.coverage.confidence,
            read.on_ball_path.confidence,
            read.helper_action.confidence,
            read.screener_action.confidence,
            read.handler_action.confidence,
        ] {
            prop_assert!((0.0..=1.0).contains(&share), "{read:?}");
        }
        prop_assert_eq!(read.coverage.word == Coverage::Unclear, read.unclear.is_some());
    }
}
