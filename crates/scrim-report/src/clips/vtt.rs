//! WebVTT: The Web Video Text Tracks Format, W3C Candidate Recommendation.

use std::collections::BTreeMap;
use std::fmt::Write;

use scrim_season::words::Words;

use super::clip::Clip;
use super::file::{ClipFile, stem};

/// How long a tag's cue stands, s.
const TAG_S: f64 = 1.5;

/// A game's files: chapters and tags on the video's time. A period without an offset gets files of its own, whose times
/// count from its first frame.
pub(super) fn files(clips: &[Clip<'_>], words: &Words) -> Vec<ClipFile> {
    // None: the video; Some(period): a period whose place in the video is not known.
    let mut scales: BTreeMap<Option<u8>, Vec<&Clip<'_>>> = BTreeMap::new();
    for clip in clips {
        let scale = clip.video.is_none().then_some(clip.play.screen.period);
        scales.entry(scale).or_default().push(clip);
    }
    let mut files = Vec::new();
    for (scale, clips) in scales {
        let Some(first) = clips.first() else { continue };
        let stem = stem(first);
        let (name, note) = match scale {
            None => (stem, words.text("clips-times-video").to_owned()),
            Some(period) => (
                format!("{stem}.P{period}"),
                words.say("clips-times-period", &[("period", period.into())]),
            ),
        };
        files.push(ClipFile {
            name: format!("{name}.chapters.vtt"),
            text: chapters(&note, &clips),
        });
        files.push(ClipFile {
            name: format!("{name}.tags.vtt"),
            text: tags(&note, &clips),
        });
    }
    files
}

/// A cue a clip. Chapters do not overlap: one ends where the next begins.
fn chapters(note: &str, clips: &[&Clip<'_>]) -> String {
    let mut cues: Vec<(u64, u64, String)> = clips
        .iter()
        .map(|clip| {
            let (from_s, to_s) = clip.scale_span_s();
            (ms(from_s), ms(to_s), clip.title.clone())
        })
        .collect();
    cues.sort();
    for k in 1..cues.len() {
        let next = cues[k].0;
        let cue = &mut cues[k - 1];
        cue.1 = cue.1.min(next).max(cue.0 + 1);
        // Two clips that begin together: the second one a thousandth later.
        let end = cue.1;
        cues[k].0 = cues[k].0.max(end.min(next + 1));
        cues[k].1 = cues[k].1.max(cues[k].0 + 1);
    }
    text(note, &cues)
}

/// A cue a tag, each instant and text once: clips overlap.
fn tags(note: &str, clips: &[&Clip<'_>]) -> String {
    let mut cues: Vec<(u64, u64, String)> = clips
        .iter()
        .flat_map(|clip| {
            clip.tags.iter().map(|tag| {
                let at_s = clip.on_scale_s(tag.t_s);
                (ms(at_s), ms(at_s + TAG_S), tag.text.clone())
            })
        })
        .collect();
    cues.sort();
    cues.dedup();
    text(note, &cues)
}

fn text(note: &str, cues: &[(u64, u64, String)]) -> String {
    let mut text = format!("WEBVTT\n\nNOTE {note}\n");
    for (number, (from, to, payload)) in cues.iter().enumerate() {
        // Writing to a String cannot fail.
        let _ = write!(
            text,
            "\n{}\n{} --> {}\n{}\n",
            number + 1,
            timestamp(*from),
            timestamp(*to),
            escaped(payload)
        );
    }
    text
}

fn ms(seconds: f64) -> u64 {
    (seconds.max(0.0) * 1000.0).round() as u64
}

/// `01:02:03.456`
fn timestamp(ms: u64) -> String {
    let (seconds, ms) = (ms / 1000, ms % 1000);
    format!(
        "{:02}:{:02}:{:02}.{ms:03}",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60
    )
}

/// Cue text: no tag, no arrow and no line end of the data's own. With `>` spelled `&gt;`, `-->` cannot be in it.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\0'..='\u{1f}' | '\u{7f}' | '\u{85}' | '\u{2028}' | '\u{2029}' => out.push(' '),
            letter => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_from_data_cannot_end_or_begin_a_cue() {
        assert_eq!(
            escaped("<v Bob>&\n\n00:00 --> 00:01"),
            "&lt;v Bob&gt;&amp;  00:00 --&gt; 00:01"
        );
    }

    #[test]
    fn time_stamps_have_hours_and_thousandths() {
        // 3723.0455 s: 1 h 2 min 3 s, and 45.5 ms rounded away from zero.
        assert_eq!(timestamp(ms(3723.0455)), "01:02:03.046");
        assert_eq!(timestamp(ms(-1.0)), "00:00:00.000");
    }
}
