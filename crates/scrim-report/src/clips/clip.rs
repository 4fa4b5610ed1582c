//! A ball screen as a clip.

use scrim_season::words::{Names, Words};
use scrim_tables::Id;
use scrim_tables::tags::TouchEnd;

use super::title::title_of;
use super::wanted::Wanted;
use crate::playback::{Tag, tags_of};
use crate::plays::ScreenPlay;

/// A clip begins this long before the screen is set, s: an entry lies up to 5 s before. Common practice, no source.
const LEAD_S: f64 = 6.0;
/// A clip goes on this long after the possession's end, s: the ball is through the rim, or somebody else has it. Common practice, no source.
const END_TAIL_S: f64 = 1.0;
/// A possession that ends later than this after the screen is over is not shown to its end, s. Common practice, no source.
const END_S: f64 = 12.0;
/// Such a clip goes on this long after the screen, or its shot, is over, s. Common practice, no source.
const TAIL_S: f64 = 2.0;
/// A shot later than this after the use is not the ball screen's, s. Common practice, no source.
const SHOT_S: f64 = 6.0;

/// No game and no video is longer than this, s: eleven days.
const LATEST_S: f64 = 1e6;

/// One clip.
#[derive(Debug)]
pub(super) struct Clip<'a> {
    pub(super) game_place: usize,
    pub(super) game_id: Id,
    pub(super) season: Option<Id>,
    pub(super) play: ScreenPlay<'a>,
    pub(super) screener: String,
    pub(super) handler: String,
    /// What it is, in a line.
    pub(super) title: String,
    /// From and to, s from the period's first frame.
    pub(super) span_s: (f64, f64),
    /// The same in the video, when the period's offset is known.
    pub(super) video: Option<(f64, f64)>,
    /// What happens in it, in time order, s from the period's first frame.
    pub(super) tags: Vec<Tag>,
}

impl Clip<'_> {
    /// An instant of the period on the clip's own scale: the video where that is known, else the period.
    pub(super) fn on_scale_s(&self, t_s: f64) -> f64 {
        self.video
            .map_or(t_s, |(start_s, _)| t_s - self.span_s.0 + start_s)
    }

    /// From and to on that scale.
    pub(super) fn scale_span_s(&self) -> (f64, f64) {
        self.video.unwrap_or(self.span_s)
    }

    /// The game clock as it is shown, empty when not known.
    pub(super) fn clock(&self, t_s: f64) -> String {
        self.play.at(t_s).game_clock().unwrap_or_default()
    }
}

/// Clips of the plays, in their order.
pub(super) fn clips_of<'a>(
    words: &Words,
    names: &Names,
    wanted: &Wanted,
    plays: Vec<ScreenPlay<'a>>,
) -> Vec<Clip<'a>> {
    plays
        .into_iter()
        .map(|play| clip_of(words, names, wanted, play))
        .collect()
}

fn clip_of<'a>(words: &Words, names: &Names, wanted: &Wanted, play: ScreenPlay<'a>) -> Clip<'a> {
    let (screen, possession) = (play.screen, play.possession);
    let mut shots_s = play
        .game
        .touches
        .iter()
        .filter(|row| row.possession_id == screen.possession_id && row.ended_by == TouchEnd::Shot)
        .map(|row| row.t_end_s);
    let shows_end = possession.t_end_s <= screen.t_end_s + END_S;
    let over_s = if shows_end {
        screen.t_end_s.max(possession.t_end_s) + END_TAIL_S
    } else {
        let own = |t_s: &f64| (screen.t_use_s..=screen.t_use_s + SHOT_S).contains(t_s);
        let shot_s = shots_s.clone().find(own);
        screen.t_end_s.max(shot_s.unwrap_or(screen.t_end_s)) + TAIL_S
    };
    // Times that are no instants, or in the wrong order, still make a clip of some length.
    let start_s = (play.t_set_s() - LEAD_S)
        .max(0.0)
        .max(possession.t_start_s)
        .min(LATEST_S);
    let end_s = over_s.min(LATEST_S).max(start_s + TAIL_S);
    let offset_s = play
        .clock
        .video_offset_s(screen.period)
        // What lies before the video's beginning is not in it.
        .filter(|offset_s| end_s + offset_s > 0.0);
    let start_s = offset_s.map_or(start_s, |offset_s| start_s.max(-offset_s));
    let video = offset_s.map(|offset_s| (start_s + offset_s, end_s + offset_s));
    let screener = names.called(&screen.screener_id);
    let handler = names.called(&screen.user_id);
    let later = (!shows_end).then(|| {
        if shots_s.any(|t_s| t_s > end_s) {
            "clip-shot-later"
        } else {
            "clip-goes-on"
        }
    });
    let title = title_of(&play, wanted, later, words, names);
    let tags = tags_of(words, names, play.game, screen.possession_id)
        .into_iter()
        .filter(|tag| (start_s..=end_s).contains(&tag.t_s))
        .collect();
    Clip {
        game_place: play.game_place,
        game_id: play.game.game.game_id.clone(),
        season: play.game.season.clone(),
        play,
        screener,
        handler,
        title,
        span_s: (start_s, end_s),
        video,
        tags,
    }
}
