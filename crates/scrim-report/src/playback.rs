//! The tracks that the page can move: one possession each, small, with the tags on their instants.

use std::ops::Range;

use scrim_floor::Court;
use scrim_season::words::{Names, Words};
use scrim_tables::Id;
use scrim_tables::rows::{ScreenRow, TouchRow};
use scrim_tables::tags::{Entity, TouchEnd};
use serde::Serialize;

use crate::GameRows;
use crate::drawing::{PlayTracks, view_box};
use crate::plays::ScreenPlay;

/// Longest possession that is kept, samples: a minute at ten a second. What comes later is not kept.
const MOST_SAMPLES: usize = 600;

/// One possession.
#[derive(Debug, Serialize)]
pub(crate) struct Kept {
    title: String,
    game: String,
    period: u8,
    /// Which of the page's courts.
    court: usize,
    view_box: String,
    hz: f64,
    samples: usize,
    /// Seconds from the period's first frame at the first sample.
    t_start_s: f64,
    /// Sample at which the ball screen is set.
    set: usize,
    /// Tenths of a second on the game clock at the first sample and then the differences; null where not known.
    clock: Vec<Option<i32>>,
    movers: Vec<KeptMover>,
    tags: Vec<KeptTag>,
}

/// One player, or the ball. Places are centimetres on the drawing: right from the left sideline, down from the end line;
/// the first that is seen, and then differences to the last that was seen; null where not seen.
#[derive(Debug, Serialize)]
struct KeptMover {
    side: Entity,
    /// The player; none is the ball.
    id: Option<Id>,
    label: String,
    name: String,
    x: Vec<Option<i32>>,
    y: Vec<Option<i32>>,
}

/// A tag and the sample it belongs to.
#[derive(Debug, Serialize)]
struct KeptTag {
    at: usize,
    text: String,
}

/// The samples of a play's possession that a page keeps.
pub(crate) fn whole_possession(tracks: &PlayTracks) -> Range<usize> {
    0..tracks.samples.min(MOST_SAMPLES)
}

/// Some samples of a play's possession (at least one), ready for the page. `court` is its place among the page's courts, and itself.
pub(crate) fn kept_play(
    words: &Words,
    names: &Names,
    play: &ScreenPlay<'_>,
    tracks: &PlayTracks,
    (court_place, court): (usize, &Court),
    span: Range<usize>,
    title: String,
) -> Kept {
    let samples = span.len();
    let place_of = |t_s: f64| tracks.sample_at(t_s).saturating_sub(span.start).min(samples - 1);
    let is_kept = |t_s: f64| tracks.holds(t_s) && span.contains(&tracks.sample_at(t_s));
    let right_cm = court.width_m * 50.0;
    let down_cm = court.hoop_from_end_line_m * 100.0;
    let movers: Vec<KeptMover> = tracks
        .traces
        .iter()
        .map(|trace| {
            let spots: Vec<_> = span.clone().map(|sample| trace.at(sample)).collect();
            let along = |of: &dyn Fn(f32, f32) -> f32| {
                differences(spots.iter().map(|spot| {
                    let spot = (*spot)?;
                    Some(of(spot.x_m, spot.y_m).round() as i32)
                }))
            };
            let player = trace.player.as_ref();
            KeptMover {
                side: trace.entity,
                id: trace.player.clone(),
                label: player
                    .and_then(|player| names.number(player))
                    .unwrap_or_default()
                    .into(),
                name: player.map_or_else(
                    || words.text("playback-ball").into(),
                    |player| names.called(player),
                ),
                x: along(&|_, y_m| y_m * 100.0 + right_cm),
                y: along(&|x_m, _| x_m * 100.0 + down_cm),
            }
        })
        .collect();
    let clock = span.clone().map(|sample| {
        let clock_s = play.at(tracks.t_s(sample)).game_clock_s?;
        Some((clock_s * 10.0).round() as i32)
    });
    Kept {
        title,
        game: play.game_called(words),
        period: play.screen.period,
        court: court_place,
        view_box: view_box(court, court.length_m / 2.0),
        hz: tracks.hz,
        samples,
        t_start_s: tracks.t_s(span.start),
        set: place_of(play.t_set_s()),
        clock: differences(clock),
        movers,
        tags: tags_of(words, names, play.game, play.screen.possession_id)
            .into_iter()
            .filter(|tag| is_kept(tag.t_s))
            .map(|tag| KeptTag {
                at: place_of(tag.t_s),
                text: tag.text,
            })
            .collect(),
    }
}

/// The first value and then each one's difference to the last that was known.
fn differences(values: impl Iterator<Item = Option<i32>>) -> Vec<Option<i32>> {
    let mut last = 0;
    values
        .map(|value| {
            let value = value?;
            // Saturating: a clock that another program wrote may be anything.
            let step = value.saturating_sub(last);
            last = value;
            Some(step)
        })
        .collect()
}

/// A tag on its instant.
#[derive(Debug, Clone)]
pub(crate) struct Tag {
    /// Seconds from the period's first frame.
    pub(crate) t_s: f64,
    /// In words.
    pub(crate) text: String,
}

/// What happens in a possession, in time order.
pub(crate) fn tags_of(words: &Words, names: &Names, game: &GameRows, possession_id: u32) -> Vec<Tag> {
    let mut tags: Vec<Tag> = Vec::new();
    let mut tag = |t_s: f64, text: String| tags.push(Tag { t_s, text });
    for row in game
        .screens
        .iter()
        .filter(|row| row.possession_id == possession_id)
    {
        for (t_s, text) in screen_tags(words, names, game, row) {
            tag(t_s, text);
        }
    }
    for row in game.cuts.iter().filter(|row| row.possession_id == possession_id) {
        let cut = [
            ("player", names.called(&row.player_id).into()),
            ("cut", words.cut(row.cut_kind).into()),
        ];
        tag(row.t_start_s, words.say("tag-cut", &cut));
    }
    for row in game
        .touches
        .iter()
        .filter(|row| row.possession_id == possession_id)
    {
        if let Some(text) = touch_tag(words, names, row) {
            tag(row.t_end_s, text);
        }
    }
    tags.sort_by(|a, b| a.t_s.total_cmp(&b.t_s).then_with(|| a.text.cmp(&b.text)));
    tags
}

/// `#12 for #4`
pub(crate) fn pair_of(words: &Words, names: &Names, row: &ScreenRow) -> String {
    let pair = [
        ("screener", names.called(&row.screener_id).into()),
        ("handler", names.called(&row.user_id).into()),
    ];
    words.say("pair-for", &pair)
}

fn screen_tags(words: &Words, names: &Names, game: &GameRows, row: &ScreenRow) -> Vec<(f64, String)> {
    let kind = || ("kind", words.screen(row.screen_kind).into());
    let pair = || ("pair", pair_of(words, names, row).into());
    let outcome = ("outcome", words.outcome(row.outcome).into());
    let mut use_text = words.say("tag-screen", &[kind(), outcome, pair()]);
    let coverage = game.coverages.iter().find(|read| read.screen_id == row.screen_id);
    if let Some(read) = coverage.filter(|_| row.on_ball) {
        use_text.push_str(&format!(", {}", words.coverage(read.coverage)));
    }
    let set = row
        .t_set_s
        .map(|t_s| (t_s, words.say("tag-screen-set", &[kind(), pair()])));
    set.into_iter().chain([(row.t_use_s, use_text)]).collect()
}

fn touch_tag(words: &Words, names: &Names, row: &TouchRow) -> Option<String> {
    let player = ("player", names.called(&row.player_id).into());
    let next = row.next_player_id.as_ref().map(|next| names.called(next));
    let to = next.map(|next| ("to", next.into()));
    Some(match (row.ended_by, to) {
        (TouchEnd::Pass, Some(to)) => words.say("tag-passes-to", &[player, to]),
        (TouchEnd::Pass, None) => words.say("tag-passes", &[player]),
        (TouchEnd::Handoff, Some(to)) => words.say("tag-hands", &[player, to]),
        (TouchEnd::Shot, _) => words.say("tag-shoots", &[player]),
        (TouchEnd::Loss, _) => words.say("tag-loses", &[player]),
        (TouchEnd::Handoff, None) | (TouchEnd::DeadBall, _) => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn differences_count_from_the_last_known() {
        let values = [Some(100), Some(103), None, Some(101)];
        assert_eq!(
            differences(values.into_iter()),
            [Some(100), Some(3), None, Some(-2)]
        );
    }
}
