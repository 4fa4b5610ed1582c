//! Drawings with their captions; each play that is drawn is kept for playback.

use maud::{Markup, html};
use scrim_floor::Court;
use scrim_season::ball_screens::{Before, OnBallScreen};
use scrim_season::words::sentence;

use super::view::View;
use crate::ReportError;
use crate::drawing::{Drawing, Frame, Moment, PlayTracks, courts_markup, frames_of, sketch_svg};
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
            .flat_map(|tracks| frames_of(play, tracks, &view.names, view.words))
        {
            self.drawings
                .push(frame.drawing(&court, &format!("{:02}", self.count), view.words));
            frames.push((
                seen(view, play, frame.moment),
                sketch_svg(&court, &frame.sketch, &frame.text, view.words),
            ));
        }
        let kept = tracks
            .filter(|_| !frames.is_empty())
            .map(|tracks| self.keep(view, play, &tracks, &court, title));
        html! {
            figure.play data-play=[kept] {
                h4 { (sentence(title)) }
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

    /// The frames that show one thing of a play; nothing of none.
    pub(super) fn picture(&mut self, view: &View<'_>, play: &ScreenPlay<'_>, frames: &[Frame]) -> Markup {
        if frames.is_empty() {
            return html! {};
        }
        let court = play.game.court();
        self.count += 1;
        self.drawings.extend(
            frames
                .iter()
                .map(|frame| frame.drawing(&court, &format!("{:02}", self.count), view.words)),
        );
        html! {
            figure.play {
                div.frames {
                    @for (k, frame) in frames.iter().enumerate() {
                        div.frame {
                            p.moment { (k + 1) ". " (seen(view, play, frame.moment)) }
                            (sketch_svg(&court, &frame.sketch, &frame.text, view.words))
                        }
                    }
                }
                figcaption { (clip(view, play)) }
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
        let title = [("team", view.team_id().into()), ("title", title.into())];
        let title = view.words.say("playback-title", &title);
        let span = whole_possession(tracks);
        let kept = kept_play(view.words, &view.names, play, tracks, (place, court), span, title);
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
fn seen(view: &View<'_>, play: &ScreenPlay<'_>, moment: Moment) -> String {
    let words = view.words;
    let seen = match moment {
        Moment::Before => match play.before() {
            Some(Before::OutOf(action) | Before::First(action)) => Some(words.entry(action).to_owned()),
            Some(Before::Nothing) | None => None,
        },
        Moment::Screen => play
            .coverage()
            .map(|coverage| words.say("moment-covered", &[("coverage", words.coverage(coverage).into())])),
        Moment::After => play
            .option
            .and_then(|row| words.screener(row.screener_action))
            .map(Into::into),
    };
    sentence(&seen.unwrap_or_else(|| moment.title(words).to_owned()))
}

/// Which clip it is.
fn clip(view: &View<'_>, play: &ScreenPlay<'_>) -> Markup {
    html! {
        span.clip { (play.game_called(view.words)) ", " (view.words.when_with_video(&play.when())) "." }
    }
}

/// What happened, in words.
fn caption(view: &View<'_>, play: &ScreenPlay<'_>) -> Markup {
    let (words, screen) = (view.words, play.screen);
    let at = [
        ("screen", words.screen_sentence(&view.names, screen).into()),
        ("zone", words.zone(screen.zone).into()),
    ];
    let mut parts = vec![words.say("caption-at", &at)];
    parts.extend(play.coverage.map(|row| words.defense(&view.names, row)));
    parts.extend(play.option.and_then(|row| words.offense(&view.names, row)));
    parts.push(match play.possession.points {
        Some(0) => words.text("no-points").to_owned(),
        Some(points) => words.count("points", usize::from(points)),
        None => words.text("points-unknown").to_owned(),
    });
    html! {
        (clip(view, play)) " "
        (parts.join("; ")) "."
    }
}
