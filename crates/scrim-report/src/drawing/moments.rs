//! The successive frames of a drawing: what comes before, the ball screen, what comes of it.

use scrim_floor::Definitions;
use scrim_season::ball_screens::{Before, OnBallScreen};
use scrim_season::words::Words;
use scrim_tables::Id;
use scrim_tables::tags::{Entry, TouchEnd};

use super::PlayTracks;
use crate::plays::ScreenPlay;

/// The longest look back before the screen is set, s. Vocabulary, "Entry": at most 5 s lie between the two.
const LONGEST_BEFORE_S: f64 = 7.0;
/// An entry's instant lies at most this long before the set, s.
const ENTRY_S: f64 = Definitions::DEFAULT.entry_gap_s as f64;
/// A frame begins this long before its action does, s, so that the run-up is seen. Common practice, no source.
const LEAD_S: f64 = 0.6;
/// Without an entry the ball screen's frame begins this long before the set, s. Common practice, no source.
const APPROACH_S: f64 = 1.8;
/// The ball screen's frame ends this long after the use, s. Common practice, no source.
const AFTER_USE_S: f64 = 0.5;
/// What comes of it is followed at most this long after the use, s. Common practice, no source.
const LONGEST_AFTER_S: f64 = 4.5;
/// A shorter last frame is left out, s. Common practice, no source.
const SHORTEST_S: f64 = 0.5;

/// What a frame shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Moment {
    /// The action before it.
    Before,
    /// The ball screen.
    Screen,
    /// What comes of it.
    After,
}

impl Moment {
    /// What it is called where the frame can say no more.
    pub(crate) fn title(self, words: &Words) -> &str {
        words.text(match self {
            Self::Before => "moment-before",
            Self::Screen => "moment-screen",
            Self::After => "moment-after",
        })
    }

    /// In a file's name, the same in every language.
    pub(crate) const fn file_name(self) -> &'static str {
        match self {
            Self::Before => "before",
            Self::Screen => "ball-screen",
            Self::After => "what-came-of-it",
        }
    }
}

/// A frame's moment and span, in time order, within the tracks.
pub(crate) fn moments_of(play: &ScreenPlay<'_>, tracks: &PlayTracks) -> Vec<(Moment, f64, f64)> {
    let (set_s, use_s) = (play.t_set_s(), play.screen.t_use_s.max(play.t_set_s()));
    if !tracks.holds(set_s) {
        return Vec::new();
    }
    let mut moments = Vec::with_capacity(3);
    let from_s = match before(play, set_s) {
        Some((begins_s, instant_s)) => {
            // A little before the set, so that the run-up is seen; never before the entry is over.
            let turn_s = instant_s.max(set_s - LEAD_S);
            moments.push((Moment::Before, begins_s, turn_s));
            turn_s
        }
        None => set_s - APPROACH_S,
    };
    let turn_s = use_s + AFTER_USE_S;
    moments.push((Moment::Screen, from_s, turn_s));
    moments.push((Moment::After, turn_s, end(play, use_s)));
    let (first_s, last_s) = (tracks.t_start_s, tracks.t_end_s());
    moments
        .into_iter()
        .map(|(moment, from_s, to_s)| (moment, from_s.clamp(first_s, last_s), to_s.clamp(first_s, last_s)))
        .filter(|(moment, from_s, to_s)| *moment == Moment::Screen || to_s - from_s >= SHORTEST_S)
        .collect()
}

/// When the frame before the ball screen begins, and the instant of the action that it shows: the last one, within the entry's
/// time, in which the screener or the handler took part; where they came out of none, the last one of its kind of anybody, as far as the
/// frame looks back. `None` when there was none.
fn before(play: &ScreenPlay<'_>, set_s: f64) -> Option<(f64, f64)> {
    let first = match play.before() {
        Some(Before::Nothing) => return None,
        Some(Before::First(action)) => Some(action),
        Some(Before::OutOf(_)) | None => None,
    };
    let pair = [&play.screen.screener_id, &play.screen.user_id];
    let is_shown = |players: [&Id; 2], action: Entry| match first {
        Some(first) => first == action,
        None => players.iter().any(|player| pair.contains(player)),
    };
    let back_s = first.map_or(ENTRY_S, |_| LONGEST_BEFORE_S);
    let in_time = |instant_s: f64| (set_s - back_s..=set_s).contains(&instant_s);
    let screens = play
        .game
        .screens
        .iter()
        .filter(|row| row.possession_id == play.screen.possession_id)
        .filter(|row| row.screen_id != play.screen.screen_id && in_time(row.t_use_s))
        .filter(|row| is_shown([&row.screener_id, &row.user_id], row.screen_kind.into()))
        .map(|row| (row.t_use_s, row.t_set_s.unwrap_or(row.t_use_s - LEAD_S)));
    let cuts = play
        .game
        .cuts
        .iter()
        .filter(|row| row.possession_id == play.screen.possession_id)
        .filter(|row| in_time(row.t_end_s) && is_shown([&row.player_id, &row.player_id], row.cut_kind.into()))
        .map(|row| (row.t_end_s, row.t_start_s));
    let last = screens.chain(cuts).max_by(|a, b| a.0.total_cmp(&b.0));
    let (instant_s, begins_s) = last?;
    Some(((begins_s - LEAD_S).max(set_s - LONGEST_BEFORE_S), instant_s))
}

/// When what comes of it is over: the screen's end, the shot, or the catch of a pass, whichever is last.
fn end(play: &ScreenPlay<'_>, use_s: f64) -> f64 {
    let latest_s = (use_s + LONGEST_AFTER_S).min(play.possession.t_end_s);
    let touches = play
        .game
        .touches
        .iter()
        .filter(|row| row.possession_id == play.screen.possession_id && row.t_end_s >= use_s);
    let shot_s = touches
        .clone()
        .find(|row| row.ended_by == TouchEnd::Shot)
        .map(|row| row.t_end_s);
    let catch_s = play
        .option
        .and_then(|option| option.t_pass_s)
        .and_then(|pass_s| touches.clone().find(|row| row.t_start_s > pass_s))
        .map(|row| row.t_start_s);
    [Some(play.screen.t_end_s), shot_s, catch_s]
        .into_iter()
        .flatten()
        .filter(|t_s| *t_s <= latest_s)
        .fold(use_s, f64::max)
}
