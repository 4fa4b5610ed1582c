//! Drawings with their captions; each play that is drawn is kept for playback.

use maud::{Markup, html};
use scrim_floor::Court;
use scrim_season::ball_screens::OnBallScreen;
use scrim_season::words;

use super::view::View;
use crate::ReportError;
use crate::drawing::{Drawing, Moment, PlayTracks, courts_markup, frames_of, sketch_svg};
use crate::playback::{Kept, kept_play, whole_possession};
use crate::plays::ScreenPlay;

/// The page's figures so far.
pub(super) struct Figures {
    kept: Vec<Kept>,
    courts: Vec<Court>,
    drawings: Vec<Drawing>,
    count: usize,
}

impl Figures {
    pub(super) const fn new() -> Self {
        Self {
            kept: Vec::new(),
            courts: Vec::new(),
            drawings: Vec::new(),
            count: 0,
        }
    }

    /// A play's figure: its frames side by side, and what happened in words. Without tracks, the words alone.
    pub(super) fn figure(&mut self, view: &View<'_>, play: &ScreenPlay<'_>, title: &str) -> Markup {
        let court = play.game.court();
        let tracks = PlayTracks::of(play.game, play.screen.possession_id);
        self.count += 1;
        let mut frames: Vec<(String, Markup)> = Vec::new();
        for frame in tracks
            .iter()
            .flat_map(|tracks| frames_of(play, tracks, &view.names))
        {
            self.drawings
                .push(frame.drawing(&court, &format!("{:02}", self.count)));
            frames.push((
                seen(play, frame.moment),
                sketch_svg(&court, &frame.sketch, &frame.text),
            ));
        }
        let kept = tracks
            .filter(|_| !frames.is_empty())
            .map(|tracks| self.keep(view, play, &tracks, &court, title));
        html! {
            figure.play data-play=[kept] {
                h4 { (words::sentence(title)) }
                @if !frames.is_empty() {
                    div.frames {
                        @for (k, (word, svg)) in frames.iter().enumerate() {
                            div.frame { p.moment { (k + 1) ". " (word) } (svg) }
                        }
                    }
                }
                figcaption { (caption(view, play)) }
            }
        }
    }

    /// One frame of a play alone, large; nothing without its tracks.
    pub(super) fn picture(&mut self, view: &View<'_>, play: &ScreenPlay<'_>, moment: Moment) -> Markup {
        let court = play.game.court();
        let tracks = PlayTracks::of(play.game, play.screen.possession_id);
        let frames = tracks
            .map(|tracks| frames_of(play, &tracks, &view.names))
            .unwrap_or_default();
        // A play that has no such moment shows its ball screen.
        let frame = [moment, Moment::Screen]
            .iter()
            .find_map(|wanted| frames.iter().find(|frame| frame.moment == *wanted));
        let Some(frame) = frame else {
            return html! {};
        };
        self.count += 1;
        self.drawings
            .push(frame.drawing(&court, &format!("{:02}", self.count)));
        html! {
            figure.play {
                (sketch_svg(&court, &frame.sketch, &frame.text))
                figcaption { (clip(play)) }
            }
        }
    }

    /// Keeps a play for playback; its number.
    fn keep(
        &mut self,
        view: &View<'_>,
        play: &ScreenPlay<'_>,
        tracks: &PlayTracks,
        court: &Court,
        title: &str,
    ) -> usize {
        let place = self
            .courts
            .iter()
            .position(|known| known == court)
            .unwrap_or_else(|| {
                self.courts.push(court.clone());
                self.courts.len() - 1
            });
        let title = format!("{}: {title}", view.team_id());
        let span = whole_possession(tracks);
        let kept = kept_play(&view.names, play, tracks, (place, court), span, title);
        self.kept.push(kept);
        self.kept.len() - 1
    }

    /// What is kept, as JSON that may stand in a `script` element; `None` when nothing is.
    pub(super) fn kept_json(&self) -> Result<Option<String>, ReportError> {
        if self.kept.is_empty() {
            return Ok(None);
        }
        let json = serde_json::to_string(&self.kept).map_err(|source| ReportError::Json {
            what: "playback",
            source,
        })?;
        // No `</script>` and no `<!--` can be in it: `<` stands only inside strings, where JSON can spell it otherwise.
        Ok(Some(json.replace('<', "\\u003c")))
    }

    /// The courts' lines, once each, for playback.
    pub(super) fn courts(&self) -> Markup {
        courts_markup(&self.courts)
    }

    /// Every drawing as a file of its own.
    pub(super) fn into_drawings(self) -> Vec<Drawing> {
        self.drawings
    }
}

/// What there is to see in a frame: what it comes out of, how it is covered, what comes of it.
fn seen(play: &ScreenPlay<'_>, moment: Moment) -> String {
    let seen = match moment {
        Moment::Before => play.came_out_of().map(|entry| words::entry(entry).to_owned()),
        Moment::Screen => play
            .coverage()
            .map(|coverage| format!("ball screen, {}", words::coverage(coverage))),
        Moment::After => play
            .option
            .and_then(|row| words::screener(row.screener_action))
            .map(Into::into),
    };
    words::sentence(&seen.unwrap_or_else(|| moment.title().to_owned()))
}

/// Which clip it is.
fn clip(play: &ScreenPlay<'_>) -> Markup {
    html! { span.clip { (play.game_called()) ", " (play.when().with_video()) "." } }
}

/// What happened, in words.
fn caption(view: &View<'_>, play: &ScreenPlay<'_>) -> Markup {
    let screen = play.screen;
    let mut parts = vec![format!(
        "{}, at the {}",
        words::screen_sentence(&view.names, screen),
        words::zone(screen.zone)
    )];
    parts.extend(play.coverage.map(|row| words::defense(&view.names, row)));
    parts.extend(play.option.and_then(|row| words::offense(&view.names, row)));
    parts.push(match play.possession.points {
        Some(0) => "no points".to_owned(),
        Some(points) => words::count(usize::from(points), "point", "points"),
        None => "points not known".to_owned(),
    });
    html! {
        (clip(play)) " "
        (parts.join("; ")) "."
    }
}
