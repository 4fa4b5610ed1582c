//! Which would-be screens of a practice game are screens.

use scrim_actions::ScreenCandidate;
use scrim_play::Play;
use scrim_practice::ScreenLabel;
use scrim_tables::tags::ScreenKind;
use scrim_tracks::Game;

/// A label and a would-be screen of the same two are one within this, s (as the score has it).
const SAME_S: f64 = 1.0;
/// Near a label in doubt, or a handoff of the same two, a would-be screen is not judged: within this, s.
const NOT_JUDGED_S: f64 = 2.0;

/// Each would-be screen with whether it is one; those that cannot be judged are left out.
pub fn judged(
    game: &Game,
    play: &Play,
    candidates: &[ScreenCandidate],
    labels: &[ScreenLabel],
) -> Vec<(ScreenCandidate, bool)> {
    let apart_s = |candidate: &ScreenCandidate, label: &ScreenLabel| {
        let period = &game.periods[play.possessions[candidate.possession].period];
        (period.number == label.period).then(|| (candidate.used as f64 / period.hz - label.t_use_s).abs())
    };
    let names = |candidate: &ScreenCandidate| {
        (
            &game.player(candidate.screener).id,
            &game.player(candidate.user).id,
        )
    };
    let is_ball_screen =
        |label: &ScreenLabel| label.on_ball && label.screen_kind == Some(ScreenKind::BallScreen);
    // Labelled ball screens take the nearest would-be screen each.
    let mut pairs = Vec::new();
    for (i, label) in labels.iter().enumerate() {
        for (j, candidate) in candidates.iter().enumerate() {
            if names(candidate) == (&label.screener_id, &label.user_id)
                && let Some(apart_s) = apart_s(candidate, label)
                && apart_s <= SAME_S
            {
                pairs.push((is_ball_screen(label), apart_s, i, j));
            }
        }
    }
    pairs.sort_by(|a, b| {
        b.0.cmp(&a.0)
            .then(a.1.total_cmp(&b.1))
            .then((a.2, a.3).cmp(&(b.2, b.3)))
    });
    let mut verdicts = vec![Verdict::Other; candidates.len()];
    let mut taken = vec![false; labels.len()];
    for (is_ball_screen, _, label, candidate) in pairs {
        if verdicts[candidate] == Verdict::Screen {
            continue;
        }
        // The same label told again is no false alarm: repeats are dropped later.
        verdicts[candidate] = if is_ball_screen && !taken[label] {
            taken[label] = true;
            Verdict::Screen
        } else {
            Verdict::NotJudged
        };
    }
    let in_doubt = |candidate: &ScreenCandidate| {
        labels.iter().any(|label| {
            let (screener, user) = names(candidate);
            let shares = match label.screen_kind {
                None => *screener == label.screener_id || *user == label.user_id,
                Some(ScreenKind::Handoff) => {
                    (screener, user) == (&label.screener_id, &label.user_id)
                        || (user, screener) == (&label.screener_id, &label.user_id)
                }
                Some(_) => false,
            };
            shares && apart_s(candidate, label).is_some_and(|apart_s| apart_s <= NOT_JUDGED_S)
        })
    };
    candidates
        .iter()
        .zip(verdicts)
        .filter_map(|(candidate, verdict)| match verdict {
            Verdict::Screen => Some((*candidate, true)),
            Verdict::NotJudged => None,
            Verdict::Other => (!in_doubt(candidate)).then_some((*candidate, false)),
        })
        .collect()
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verdict {
    Screen,
    NotJudged,
    Other,
}
