//! OpenTimelineIO: a timeline a game. Schemas as in the OpenTimelineIO documentation ("Serialized Data Documentation").

use scrim_season::words::Words;
use serde_json::{Value, json};

use super::clip::Clip;
use super::file::{ClipFile, stem};
use crate::ReportError;

/// Rate of the times, a second: a hundredth is finer than any frame that matters here, and whole numbers stay exact.
const RATE: f64 = 100.0;

/// `GAME.otio`: the clips one after the other, each a span of the video (or of its period, counted from the first frame,
/// where the video's offset is not known), with the tags as markers.
pub(super) fn file(clips: &[Clip<'_>], words: &Words) -> Result<ClipFile, ReportError> {
    let name = clips.first().map(stem).unwrap_or_default();
    let game = clips.first().map_or("", |clip| clip.game_id.as_ref());
    let timeline = json!({
        "OTIO_SCHEMA": "Timeline.1",
        "name": game,
        "global_start_time": null,
        "metadata": {},
        "tracks": {
            "OTIO_SCHEMA": "Stack.1",
            "name": "tracks",
            "source_range": null,
            "effects": [],
            "markers": [],
            "metadata": {},
            "children": [{
                "OTIO_SCHEMA": "Track.1",
                "name": words.text("clips-track"),
                "kind": "Video",
                "source_range": null,
                "effects": [],
                "markers": [],
                "metadata": {},
                "children": clips.iter().map(|clip| clip_json(clip, words)).collect::<Vec<Value>>(),
            }],
        },
    });
    let mut text = serde_json::to_string_pretty(&timeline).map_err(|source| ReportError::Json {
        what: "timeline",
        source,
    })?;
    text.push('\n');
    Ok(ClipFile {
        name: format!("{name}.otio"),
        text,
    })
}

fn clip_json(clip: &Clip<'_>, words: &Words) -> Value {
    let (from_s, to_s) = clip.scale_span_s();
    let screen = clip.play.screen;
    let game = ("game", clip.game_id.as_ref().into());
    let media = match clip.video {
        Some(_) => words.say("clips-video", &[game]),
        None => words.say("clips-period", &[game, ("period", screen.period.into())]),
    };
    let markers: Vec<Value> = clip
        .tags
        .iter()
        .map(|tag| {
            let at_s = clip.on_scale_s(tag.t_s);
            json!({
                "OTIO_SCHEMA": "Marker.2",
                "name": tag.text,
                "color": "RED",
                "marked_range": range(at_s, at_s),
                "metadata": {},
            })
        })
        .collect();
    json!({
        "OTIO_SCHEMA": "Clip.1",
        "name": clip.title,
        "source_range": range(from_s, to_s),
        "media_reference": {
            "OTIO_SCHEMA": "MissingReference.1",
            "name": media,
            "available_range": null,
            "metadata": {},
        },
        "effects": [],
        "markers": markers,
        "metadata": { "scrim": {
            "game_id": clip.game_id.as_ref(),
            "period": screen.period,
            "game_clock": clip.clock(screen.t_use_s),
            "possession_id": screen.possession_id,
            "screen_id": screen.screen_id,
            "offense_team_id": clip.play.possession.offense_team_id.as_ref(),
            "defense_team_id": clip.play.possession.defense_team_id.as_ref(),
            "outcome": screen.outcome.as_str(),
            "coverage": clip.play.coverage.map(|row| row.coverage.as_str()),
            "times_count_from": if clip.video.is_some() { "video" } else { "period" },
        } },
    })
}

/// A span; what is rounded is its ends, so that clips that touch still do.
fn range(from_s: f64, to_s: f64) -> Value {
    let at = |seconds: f64| (seconds * RATE).round();
    let time = |value: f64| json!({ "OTIO_SCHEMA": "RationalTime.1", "rate": RATE, "value": value });
    json!({
        "OTIO_SCHEMA": "TimeRange.1",
        "start_time": time(at(from_s)),
        "duration": time(at(to_s) - at(from_s)),
    })
}
