//! A clip's title.

use scrim_floor::Definitions;
use scrim_season::ball_screens::OnBallScreen;
use scrim_season::questions::AskedScreen;
use scrim_season::words::{Names, Words};
use scrim_tables::Id;
use scrim_tables::tags::{RunResult, ScreenKind};

use super::wanted::Wanted;
use crate::plays::ScreenPlay;

/// The opponent, when, who for whom, and what happened: first what the question fixed, then what became of the screen, how it was
/// covered, what the screener did; the points; and, where the clip stops early, what is missing (`later`, a message).
pub(super) fn title_of(
    play: &ScreenPlay<'_>,
    wanted: &Wanted,
    later: Option<&str>,
    words: &Words,
    names: &Names,
) -> String {
    let head = [
        ("game", play.game_called(words).into()),
        ("when", words.when(&play.when()).into()),
        ("team", play.possession.offense_team_id.as_ref().into()),
        ("screener", short(names, &play.screen.screener_id).into()),
        ("handler", short(names, &play.screen.user_id).into()),
    ];
    let kind = play.screen.screen_kind;
    let handoff = (kind == ScreenKind::Handoff).then(|| words.screen(kind).to_owned());
    let mut parts = vec![words.say("clip-title", &head)];
    parts.extend(handoff);
    let mut happened = happened(play, wanted, words);
    // A stable sort: what is said of all keeps its order.
    happened.sort_by_key(|(is_asked, _)| !is_asked);
    parts.extend(happened.into_iter().filter_map(|(_, text)| text));
    parts.push(points(play, words));
    parts.extend(later.map(|key| words.text(key).to_owned()));
    // Plain spaces: no line ends here, and a search finds them.
    parts.join(", ").replace('\u{a0}', " ")
}

/// What happened, each with whether the question asked for it. What came before and what the handler did is said only where it is
/// asked for.
fn happened(play: &ScreenPlay<'_>, wanted: &Wanted, words: &Words) -> [(bool, Option<String>); 5] {
    let actions = play.reads().actions;
    let asked = |is_asked: bool, text: Option<&str>| (is_asked, text.map(Into::into));
    let by_entry = !wanted.entries.is_empty();
    let by_handler = !wanted.handler_actions.is_empty();
    [
        asked(
            !wanted.outcomes.is_empty(),
            Some(words.outcome(play.screen.outcome)),
        ),
        asked(
            !wanted.coverages.is_empty(),
            play.coverage().map(|coverage| words.coverage(coverage)),
        ),
        asked(
            !wanted.screener_actions.is_empty(),
            actions.and_then(|(screener, _)| words.screener(screener)),
        ),
        asked(
            by_handler,
            actions
                .filter(|_| by_handler)
                .and_then(|(_, handler)| words.handler(handler)),
        ),
        (
            by_entry,
            play.before()
                .filter(|_| by_entry)
                .map(|before| words.before(before)),
        ),
    ]
}

/// The possession's points; where it has none, whether there was an open shot.
fn points(play: &ScreenPlay<'_>, words: &Words) -> String {
    match play.possession_points() {
        Some(0) if play.result(Definitions::DEFAULT.open_shot_m) == Some(RunResult::Beat) => {
            words.text("clip-open-shot").into()
        }
        Some(0) => words.text("no-points").into(),
        Some(points) => words.count("points", usize::from(points)),
        None => words.text("points-unknown").into(),
    }
}

/// The player's number as it is said, `3` for `03`; where there is none, what they are called.
fn short(names: &Names, player: &Id) -> String {
    let number = names
        .number(player)
        .map(|number| match number.trim_start_matches('0') {
            // 0 and 00 are two numbers.
            "" => number,
            short => short,
        });
    number.map_or_else(|| names.called(player), Into::into)
}
