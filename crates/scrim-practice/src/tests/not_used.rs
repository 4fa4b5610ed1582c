//! Ball screens that nobody came off, and those that somebody did, as a person sees them from above: on the noise-free tracks.

use std::collections::BTreeMap;

use scrim_tables::tags::{Outcome, ScreenKind};

use super::{short, spots};
use crate::{PracticeParams, ScreenLabel, play_game};

/// The places of two players over the instants about a use, from 1.5 s before it to 0.5 s after.
fn about_use<'a>(
    truth: &'a BTreeMap<(u8, u64, String), [f32; 2]>,
    screen: &'a ScreenLabel,
    [one, other]: [&'a str; 2],
) -> impl Iterator<Item = [[f32; 2]; 2]> + 'a {
    let use_ms = (screen.t_use_s * 1000.0).round() as u64;
    let ids = [one.to_owned(), other.to_owned()];
    (use_ms.saturating_sub(1500)..=use_ms + 500).filter_map(move |ms| {
        let [a, b] = &ids;
        Some([
            *truth.get(&(screen.period, ms, a.clone()))?,
            *truth.get(&(screen.period, ms, b.clone()))?,
        ])
    })
}

fn apart_m([p, q]: [[f32; 2]; 2]) -> f32 {
    (p[0] - q[0]).hypot(p[1] - q[1])
}

/// In the labelled real scenes the screeners of all 23 ball screens that were slipped, ghosted, unused or flipped came within
/// 1.4 m of the handler's defender, those of all 23 rejected ones within 2.2 m (tests/reference/real).
#[test]
fn who_screens_in_vain_has_come_to_the_handlers_defender() {
    let mut seen: BTreeMap<Outcome, usize> = BTreeMap::new();
    for index in 0..8 {
        let longer = PracticeParams {
            period_s: 600.0,
            ..short(15)
        };
        let game = play_game(&longer, index);
        let truth = spots(&game, &game.truth());
        let plain = game.labels.screens.iter().filter(|screen| screen.on_ball);
        for screen in plain.filter(|screen| screen.early_denial == Some(false)) {
            let reach_m = match screen.outcome {
                Some(Outcome::Slipped | Outcome::Ghosted | Outcome::Unused | Outcome::Flipped) => 1.4,
                Some(Outcome::Rejected) => 2.2,
                Some(Outcome::Used) | None => continue,
            };
            let guard = screen.user_defender_id.as_deref().expect("known for plain rows");
            let nearest_m = about_use(&truth, screen, [&screen.screener_id, guard])
                .map(apart_m)
                .fold(f32::INFINITY, f32::min);
            assert!(nearest_m < reach_m + 0.01, "{nearest_m} m: {screen:?}");
            *seen.entry(screen.outcome.expect("plain")).or_default() += 1;
        }
    }
    assert_eq!(seen.len(), 5, "{seen:?}");
}

/// The fastest screener of the 185 real ball screens that were used was slower than 1.9 m/s once.
#[test]
fn nobody_runs_past_and_has_screened() {
    let mut seen = 0;
    for index in 0..4 {
        let game = play_game(&short(16), index);
        let truth = spots(&game, &game.truth());
        for screen in &game.labels.screens {
            if screen.screen_kind != Some(ScreenKind::BallScreen) || screen.outcome != Some(Outcome::Used) {
                continue;
            }
            let places: Vec<[f32; 2]> = about_use(&truth, screen, [&screen.screener_id; 2])
                .map(|[place, _]| place)
                .collect();
            // Over a tenth of a second: positions are rounded to the millimetre.
            let step = 3;
            let slowest_mps = places
                .windows(step + 1)
                .map(|w| apart_m([w[0], w[step]]) * game.params.hz as f32 / step as f32)
                .fold(f32::INFINITY, f32::min);
            assert!(slowest_mps < 2.1, "{slowest_mps} m/s: {screen:?}");
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}
