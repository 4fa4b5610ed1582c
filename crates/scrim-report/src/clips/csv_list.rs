//! One CSV for all games.

use scrim_season::ball_screens::OnBallScreen;

use super::clip::Clip;
use super::file::ClipFile;
use crate::ReportError;

const HEADER: [&str; 33] = [
    "game_id",
    "date",
    "period",
    "game_clock",
    "game_clock_start",
    "game_clock_end",
    "video_start",
    "video_start_s",
    "video_end_s",
    "t_start_s",
    "t_end_s",
    "offense_team_id",
    "defense_team_id",
    "screener",
    "handler",
    "screen_kind",
    "outcome",
    "zone",
    "coverage",
    "on_ball_path",
    "screener_action",
    "handler_action",
    "alignment",
    "look",
    "entry",
    "disguised",
    "points",
    "possession_id",
    "screen_id",
    "screener_id",
    "handler_id",
    "title",
    "confidence",
];

/// `clips.csv`
pub(super) fn file(clips: &[Clip<'_>]) -> Result<ClipFile, ReportError> {
    let csv = |source| ReportError::Csv { source };
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(HEADER).map_err(csv)?;
    for clip in clips {
        writer.write_record(record(clip)).map_err(csv)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv(csv::Error::from(error.into_error())))?;
    Ok(ClipFile {
        name: "clips.csv".into(),
        // Only text was written, so that nothing is replaced.
        text: String::from_utf8_lossy(&bytes).into_owned(),
    })
}

fn record(clip: &Clip<'_>) -> [String; HEADER.len()] {
    let play = &clip.play;
    let (screen, possession) = (play.screen, play.possession);
    let seconds = |value: f64| format!("{value:.2}");
    let video = |pick: fn((f64, f64)) -> f64| clip.video.map(|span| seconds(pick(span))).unwrap_or_default();
    let tag = |word: Option<&'static str>| word.unwrap_or_default().to_owned();
    [
        safe(&clip.game_id),
        safe(play.game.game.date.as_deref().unwrap_or_default()),
        screen.period.to_string(),
        clip.clock(screen.t_use_s),
        clip.clock(clip.span_s.0.max(possession.t_start_s)),
        clip.clock(clip.span_s.1.min(possession.t_end_s)),
        clip.video.map(|span| timecode(span.0)).unwrap_or_default(),
        video(|span| span.0),
        video(|span| span.1),
        seconds(clip.span_s.0),
        seconds(clip.span_s.1),
        safe(&possession.offense_team_id),
        safe(&possession.defense_team_id),
        safe(&clip.screener),
        safe(&clip.handler),
        screen.screen_kind.to_string(),
        screen.outcome.to_string(),
        screen.zone.as_str().into(),
        tag(play.coverage.map(|row| row.coverage.as_str())),
        tag(play.coverage.map(|row| row.on_ball_path.as_str())),
        tag(play.option.map(|row| row.screener_action.as_str())),
        tag(play.option.map(|row| row.handler_action.as_str())),
        tag(play.alignment().map(|word| word.as_str())),
        safe(play.entry.map(|row| row.look.as_str()).unwrap_or_default()),
        tag(play.came_out_of().map(|word| word.as_str())),
        play.disguise
            .map(|row| row.disguised.to_string())
            .unwrap_or_default(),
        possession
            .points
            .map(|points| points.to_string())
            .unwrap_or_default(),
        possession.possession_id.to_string(),
        screen.screen_id.to_string(),
        safe(&screen.screener_id),
        safe(&screen.user_id),
        safe(&clip.title),
        format!("{:.3}", play.confidence()),
    ]
}

/// Text from data that no spreadsheet takes for a formula: one that begins like a formula gets a `'` before it (OWASP,
/// "CSV Injection"). The CSV writer quotes separators, quotes and line ends.
fn safe(text: &str) -> String {
    let begins_like_formula = text
        .trim_start_matches(' ')
        .starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    if begins_like_formula {
        format!("'{text}")
    } else {
        text.into()
    }
}

/// `1:02:03.45`
fn timecode(seconds: f64) -> String {
    let hundredths = (seconds.max(0.0) * 100.0).round() as u64;
    let (whole, rest) = (hundredths / 100, hundredths % 100);
    format!(
        "{}:{:02}:{:02}.{rest:02}",
        whole / 3600,
        whole / 60 % 60,
        whole % 60
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_that_begins_like_a_formula_is_text() {
        for text in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "＝1"] {
            assert_eq!(safe(text), format!("'{text}"));
        }
        for text in ["", "P2 4:31", "a=b", "#4"] {
            assert_eq!(safe(text), text);
        }
    }

    #[test]
    fn a_time_in_the_video_is_hours_minutes_seconds() {
        // 3723.456 s = 1 h 2 min 3.456 s.
        assert_eq!(timecode(3723.456), "1:02:03.46");
        assert_eq!(timecode(59.999), "0:01:00.00");
    }
}
