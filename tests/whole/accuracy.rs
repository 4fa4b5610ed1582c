//! How good the whole chain is on practice games that no parameter was fitted on: regression baselines, set on 2026-12-01 somewhat
//! under what was measured then, on the simulator of then. They claim nothing about real games. The aims for these games (ball screens 0.92, 0.90 and 0.86 at
//! 0.05, 0.15 and 0.30 m) are met.

use std::ops::Range;

use scrim_practice::{BallHeight, Faults, PracticeParams, TimeStamps, play_game};

use crate::chain::{Floors, Played, play, play_clean, unseen, without_player};

/// Of the scripted hard negatives of the two games at most this many may fire.
const MOST_FIRED: usize = 3;

// Measured figures stand beside each test as possessions F1, matchups right, ball screens F1, outcome right; two games
// of seed 7001, two periods of 600 s. There are about 100 ball screens in them, so that one more miss is 0.005 of F1, and
// one more wrong outcome 0.01: floors lie two to three such steps below.

#[test]
fn at_a_noise_of_5_cm() {
    // 0.986, 0.986, 0.922, 0.983.
    let played = play_clean(&unseen(0.05));
    played.assert_at_least(&Floors {
        possessions: 0.965,
        matchups: 0.975,
        screens: 0.905,
        outcome: 0.955,
    });
    played.assert_negatives_silent(MOST_FIRED);
}

#[test]
fn at_a_noise_of_15_cm() {
    // 0.981, 0.987, 0.942, 0.959.
    let played = play_clean(&unseen(0.15));
    played.assert_at_least(&Floors {
        possessions: 0.965,
        matchups: 0.975,
        screens: 0.925,
        outcome: 0.93,
    });
    played.assert_negatives_silent(MOST_FIRED);
}

#[test]
fn at_a_noise_of_30_cm() {
    // 0.987, 0.986, 0.918, 0.926.
    let played = play_clean(&unseen(0.30));
    played.assert_at_least(&Floors {
        possessions: 0.97,
        matchups: 0.975,
        screens: 0.9,
        outcome: 0.895,
    });
    played.assert_negatives_silent(MOST_FIRED);
}

#[test]
fn without_the_balls_height() {
    let params = PracticeParams {
        ball_height: BallHeight::Unknown,
        ..unseen(0.05)
    };
    // 0.986, 0.976, 0.922, 0.983.
    let played = play_clean(&params);
    played.assert_at_least(&Floors {
        possessions: 0.965,
        matchups: 0.965,
        screens: 0.905,
        outcome: 0.965,
    });
    played.assert_negatives_silent(MOST_FIRED);
}

#[test]
fn without_events() {
    let played = play(
        &unseen(0.05),
        |_| (),
        |source| std::fs::remove_file(source.join("events.csv")).unwrap(),
    );
    // 0.986, 0.986, 0.922, 0.983.
    played.assert_at_least(&Floors {
        possessions: 0.965,
        matchups: 0.975,
        screens: 0.905,
        outcome: 0.955,
    });
    played.assert_negatives_silent(MOST_FIRED);
}

#[test]
fn with_four_tracked_players_of_a_team_for_two_minutes() {
    let played = play(
        &unseen(0.05),
        |game| game.tracking = without_player(&game.tracking, 2, 1, 60.0..180.0),
        |_| (),
    );
    // They are on the floor for some of that time in both games: 120 s at 25 Hz are 3000 rows.
    for (number, game) in (0..).zip(&played.games) {
        let whole = play_game(&unseen(0.05), number);
        assert!(whole.tracking.len() - game.tracking.len() > 1000);
    }
    // 0.986, 0.978, 0.913, 0.983: whom the missing one guards, or who guards them, is not known.
    played.assert_at_least(&Floors {
        possessions: 0.95,
        matchups: 0.955,
        screens: 0.895,
        outcome: 0.955,
    });
    played.assert_negatives_silent(MOST_FIRED);
}

/// Possessions F1, matchups right, ball screens F1, outcome right: means over two games each of some seeds, so that less is left to
/// chance.
fn means_of(seeds: Range<u64>, of_seed: impl Fn(u64) -> PracticeParams) -> ([f64; 4], Vec<Played>) {
    let played: Vec<_> = seeds.map(|seed| play_clean(&of_seed(seed))).collect();
    let mean = |figure: usize| played.iter().map(|p| p.figures()[figure]).sum::<f64>() / played.len() as f64;
    (std::array::from_fn(mean), played)
}

#[track_caller]
fn assert_means(means: [f64; 4], floors: [f64; 4]) {
    assert!(
        means.iter().zip(floors).all(|(mean, floor)| *mean >= floor),
        "possessions, matchups, screens, outcome: {means:.4?}, at least {floors:?}"
    );
}

/// Two players are exchanged once every two minutes, one in five of them until the ball is dead, and everybody is lost now
/// and then, for up to 3 s: that costs at most 0.03 of the ball screens' F1 against the same games without it.
#[test]
fn dropouts_spikes_exchanges_and_irregular_stamps_cost_little() {
    let clean = |seed| PracticeParams { seed, ..unseen(0.05) };
    let faulty = |seed| PracticeParams {
        faults: Faults {
            dropouts_per_minute: 0.5,
            swaps_per_minute: 0.5,
            spikes_per_minute: 2.0,
            time_stamps: TimeStamps::Irregular,
        },
        ..clean(seed)
    };
    // A difference of two means needs more games than a mean does: with six seeds it came to 0.031 once, and to 0.006 before, when on
    // 24 whole games of seeds 4101 and 4102 it was 0.016 and 0.015.
    let seeds = 7002..7014;
    let ((clean, _), (faulty, _)) = (means_of(seeds.clone(), clean), means_of(seeds, faulty));
    // 0.941, 0.961, 0.897, 0.940.
    assert_means(faulty, [0.93, 0.945, 0.885, 0.925]);
    assert!(clean[2] - faulty[2] <= 0.03, "{clean:.4?}, {faulty:.4?}");
}

/// About 600 ball screens and 380 hard negatives.
#[test]
fn on_sixteen_more_games_at_a_noise_of_15_cm() {
    let (means, played) = means_of(7002..7010, |seed| PracticeParams { seed, ..unseen(0.15) });
    // 0.989, 0.990, 0.914, 0.922.
    assert_means(means, [0.975, 0.975, 0.9, 0.91]);
    let fired: usize = played.iter().map(|p| p.fired_negatives().0.len()).sum();
    let all: usize = played.iter().map(|p| p.fired_negatives().1).sum();
    assert!(all >= 300, "only {all} hard negatives");
    assert!(fired * 100 <= all * 4, "{fired} of {all} hard negatives fired");
}
