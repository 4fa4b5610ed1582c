//! Possessions that are played in order, beside the lively ones.

use std::collections::BTreeMap;

use super::short;
use crate::{PracticeGame, PracticeParams, play_game};

fn game_of(seed: u64, orderly_share: f32) -> PracticeGame {
    play_game(
        &PracticeParams {
            period_s: 600.0,
            orderly_share,
            ..short(seed)
        },
        0,
    )
}

/// Slower than this a player stands, m/s.
const STILL_MPS: f64 = 0.5;

/// Shares of half-court time in which attackers off the ball stand, and in which the player with the ball does.
fn still_shares(game: &PracticeGame) -> [f64; 2] {
    let hoop_x_m = f64::from(game.params.court.hoop_x_m());
    let (mut still, mut all) = ([0.0; 2], [0.0; 2]);
    for record in &game.periods {
        for three in record.frames.windows(3) {
            let now = &three[1];
            let Some(holder) = now.holder.filter(|_| now.live).map(usize::from) else {
                continue;
            };
            let team = holder / 5 * 5;
            let is_past = |slot: usize| f64::from(now.sign * now.xy_m[slot][0]) > 0.0;
            let half_court = is_past(holder) && (team..team + 5).filter(|&s| is_past(s)).count() >= 4;
            let substituted = three[0].players != three[2].players;
            if !half_court || substituted || f64::from(now.xy_m[holder][0]).abs() > hoop_x_m {
                continue;
            }
            for slot in team..team + 5 {
                let [from, to] = [three[0].xy_m[slot], three[2].xy_m[slot]].map(|p| p.map(f64::from));
                let speed_mps = (to[0] - from[0]).hypot(to[1] - from[1]) * game.params.hz / 2.0;
                let part = usize::from(slot == holder);
                all[part] += 1.0;
                still[part] += f64::from(speed_mps < STILL_MPS);
            }
        }
    }
    [still[0] / all[0], still[1] / all[1]]
}

#[test]
fn players_stand_more_in_orderly_possessions() {
    let [off_ball, handler] = still_shares(&game_of(31, 1.0));
    assert!(off_ball > 0.40, "off the ball {off_ball:.3}");
    assert!(handler > 0.35, "with the ball {handler:.3}");
    let [lively_off_ball, lively_handler] = still_shares(&game_of(31, 0.0));
    assert!(
        lively_off_ball < 0.30,
        "lively, off the ball {lively_off_ball:.3}"
    );
    assert!(
        lively_handler < handler,
        "lively, with the ball {lively_handler:.3}"
    );
    let [half, _] = still_shares(&game_of(31, 0.5));
    assert!(
        lively_off_ball < half && half < off_ball,
        "half of each {half:.3}"
    );
}

#[test]
fn every_outcome_is_played_in_order_in_its_share() {
    let mut counts: BTreeMap<String, f64> = BTreeMap::new();
    let mut all = 0.0;
    for seed in 31..39 {
        for screen in &game_of(seed, 1.0).labels.screens {
            if let Some(outcome) = screen.outcome.filter(|_| screen.on_ball) {
                *counts.entry(format!("{outcome:?}")).or_default() += 1.0;
                all += 1.0;
            }
        }
    }
    let share = |word: &str| counts.get(word).map_or(0.0, |n| n / all);
    assert!((0.5..0.8).contains(&share("Used")), "{counts:?}");
    for word in ["Rejected", "Slipped", "Ghosted", "Flipped", "Unused"] {
        assert!((0.01..0.25).contains(&share(word)), "{word}: {counts:?}");
    }
}

#[test]
fn at_share_0_nothing_changes_and_above_it_something_does() {
    let plain = play_game(&short(32), 0);
    let with_share = |orderly_share| {
        play_game(
            &PracticeParams {
                orderly_share,
                ..short(32)
            },
            0,
        )
    };
    let none = with_share(0.0);
    assert_eq!(plain.tracking, none.tracking);
    assert_eq!(plain.labels, none.labels);
    assert_ne!(plain.tracking, with_share(0.5).tracking);
}

#[test]
fn a_share_outside_0_to_1_is_refused() {
    for orderly_share in [-0.1, 1.1, f32::NAN] {
        let params = PracticeParams {
            orderly_share,
            ..PracticeParams::default()
        };
        let error = params.checked().expect_err("outside its range");
        assert!(error.to_string().contains("orderly_share"), "{error}");
    }
}
