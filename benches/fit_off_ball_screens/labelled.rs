//! Which would-be off-ball screens of a practice game are screens.

use scrim_actions::OffBallCandidate;
use scrim_play::Play;
use scrim_practice::ScreenLabel;
use scrim_tracks::Game;

/// A label and a would-be screen of the same two are one within this, s (as the score has it).
const SAME_S: f64 = 1.0;
/// Near a label in doubt, or told again, a would-be screen is not judged: within this, s.
const NOT_JUDGED_S: f64 = 2.0;

/// Each would-be screen with whether it is one; those that cannot be judged are left out.
pub fn judged(
    game: &Game,
    play: &Play,
    candidates: &[OffBallCandidate],
    labels: &[ScreenLabel],
) -> Vec<(OffBallCandidate, bool)> {
    let apart_s = |candidate: &OffBallCandidate, label: &ScreenLabel| {
        let period = &game.periods[play.possessions[candidate.possession].period];
        let apart_s = (candidate.used as f64 / period.hz - label.t_use_s).abs();
        (period.number == label.period && apart_s <= NOT_JUDGED_S).then_some(apart_s)
    };
    let is_screener = |candidate: &OffBallCandidate, label: &ScreenLabel| {
        game.player(candidate.screener).id == label.screener_id
    };
    let is_user =
        |candidate: &OffBallCandidate, label: &ScreenLabel| game.player(candidate.user).id == label.user_id;
    let same_two = |candidate: &OffBallCandidate, label: &ScreenLabel| {
        is_screener(candidate, label) && is_user(candidate, label)
    };
    let is_off_ball = |label: &&ScreenLabel| !label.on_ball && label.screen_kind.is_some();
    // Each label takes the nearest would-be screen of its two.
    let taken: Vec<usize> = labels
        .iter()
        .filter(is_off_ball)
        .filter_map(|label| {
            let near = candidates.iter().enumerate().filter_map(|(place, candidate)| {
                let apart_s = apart_s(candidate, label).filter(|_| same_two(candidate, label))?;
                (apart_s <= SAME_S).then_some((place, apart_s))
            });
            near.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(place, _)| place)
        })
        .collect();
    let not_judged = |candidate: &OffBallCandidate| {
        labels.iter().any(|label| {
            let shares = match label.screen_kind {
                None => is_screener(candidate, label) || is_user(candidate, label),
                // The same label told again is no false alarm: repeats are dropped later.
                Some(_) => !label.on_ball && same_two(candidate, label),
            };
            shares && apart_s(candidate, label).is_some()
        })
    };
    candidates
        .iter()
        .enumerate()
        .filter_map(|(place, candidate)| {
            if taken.contains(&place) {
                Some((candidate.clone(), true))
            } else {
                (!not_judged(candidate)).then_some((candidate.clone(), false))
            }
        })
        .collect()
}
