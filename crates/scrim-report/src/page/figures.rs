//! Drawings with their captions; each play that is drawn is kept for playback.

use maud::{Markup, html};
use scrim_floor::Court;

use super::View;
use crate::ReportError;
use crate::drawing::{PlayTracks, floor_markup, moments_of, sketch_of, sketch_svg, standalone_svg, told};
use crate::playback::{Kept, kept_play};
use crate::plays::ScreenPlay;
use crate::words;

/// A drawing as a file of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    /// What it is called, without its ending: `01-before`.
    pub name: String,
    /// SVG text.
    pub svg: String,
}

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
        let moments = tracks
            .as_ref()
            .map(|tracks| moments_of(play, tracks))
            .unwrap_or_default();
        self.count += 1;
        let mut frames: Vec<(&str, Markup)> = Vec::new();
        if let Some(tracks) = &tracks {
            for moment in &moments {
                let sketch = sketch_of(play, tracks, &view.names, *moment);
                let words = told(&court, &sketch, &view.names);
                let word = moment.0.title();
                self.drawings.push(Drawing {
                    name: format!("{:02}-{}", self.count, word.to_lowercase().replace(' ', "-")),
                    svg: standalone_svg(&court, &sketch, &words),
                });
                frames.push((word, sketch_svg(&court, &sketch, &words)));
            }
        }
        let kept = tracks
            .filter(|_| !moments.is_empty())
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
        let kept = kept_play(view.team_id(), &view.names, play, tracks, (place, court), title);
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
        html! {
            svg.courts width="0" height="0" aria-hidden="true" {
                @for (k, court) in self.courts.iter().enumerate() {
                    symbol id=(format!("court-{k}")) overflow="visible" { (floor_markup(court)) }
                }
            }
        }
    }

    /// Every drawing as a file of its own.
    pub(super) fn into_drawings(self) -> Vec<Drawing> {
        self.drawings
    }
}

/// What happened, in words.
fn caption(view: &View<'_>, play: &ScreenPlay<'_>) -> Markup {
    let screen = play.screen;
    let mut parts: Vec<String> = Vec::new();
    let kind = words::screen(screen.screen_kind);
    parts.push(format!(
        "{}: {kind} at the {}, {}",
        format_args!(
            "{} for {}",
            view.names.called(&screen.screener_id),
            view.names.called(&screen.user_id)
        ),
        words::zone(screen.zone),
        words::outcome(screen.outcome)
    ));
    if let Some(row) = play.coverage {
        let mut told = format!("covered by {}", words::coverage(row.coverage));
        if let Some(path) = words::path(row.on_ball_path) {
            told.push_str(&format!(", the handler's man goes {path}"));
        }
        if let Some(help) = words::helper(row.helper_action) {
            told.push_str(&format!(", {help}"));
        }
        parts.push(told);
    }
    if let Some(row) = play.option {
        let mut told: Vec<String> = Vec::new();
        told.extend(words::handler(row.handler_action).map(|text| {
            let target = row.pass_target.map(words::target);
            target.map_or_else(|| text.to_owned(), |target| format!("{text} {target}"))
        }));
        told.extend(words::screener(row.screener_action).map(Into::into));
        if !told.is_empty() {
            parts.push(told.join(", "));
        }
    }
    let points = match play.possession.points {
        Some(0) => "no points on the trip".to_owned(),
        Some(points) => words::count(usize::from(points), "point on the trip", "points on the trip"),
        None => "points not known".to_owned(),
    };
    parts.push(points);
    let opponent = play.game.opponent_of(view.team_id());
    html! {
        span.clip { (play.game.game.game_id) " " (play.when()) } " against " (opponent) ". "
        (parts.join("; ")) "."
    }
}
