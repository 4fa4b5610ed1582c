//! Head, headline, contents, foot.

use maud::{DOCTYPE, Markup, PreEscaped, html};
use scrim_season::words;

use super::figures::Figures;
use super::view::{Section, View};
use crate::ReportError;

const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = concat!(include_str!("../stage.js"), include_str!("play.js"));

/// What stands on the first sheet.
pub(super) struct First {
    /// What sets the team apart.
    pub(super) findings: Markup,
    /// The few sentences that matter.
    pub(super) brief: Vec<Markup>,
}

/// The whole page.
pub(super) fn page(
    view: &View<'_>,
    first: &First,
    sections: &[Section],
    figures: &Figures,
) -> Result<String, ReportError> {
    let head = Head {
        title: &format!("{}: ball screens", view.team_id()),
        kicker: "Ball-screen report",
        heading: view.team_id(),
        scope: &scope(view),
    };
    let main = html! {
        (first.findings)
        section.brief aria-labelledby="brief" {
            h2 #brief { "In short" }
            ol { @for sentence in &first.brief { li { (sentence) } } }
            p.note { "Counted over " (view.these_games()) "." }
        }
        nav aria-label="Contents" {
            ul { @for section in sections { li { a href=(format!("#{}", section.id)) { (section.heading) } } } }
        }
        (sections_markup(sections))
    };
    stand_alone(&head, &main, figures)
}

/// Sections with their headings.
pub(super) fn sections_markup(sections: &[Section]) -> Markup {
    html! {
        @for section in sections {
            section aria-labelledby=(section.id) {
                @if section.folded {
                    details {
                        summary { h2 id=(section.id) { (section.heading) } }
                        (section.body)
                    }
                } @else {
                    h2 id=(section.id) { (section.heading) }
                    (section.body)
                }
            }
        }
    }
}

/// What a page is called, and what stands at its top.
pub(super) struct Head<'a> {
    /// In the browser's own words.
    pub(super) title: &'a str,
    /// What kind of page it is.
    pub(super) kicker: &'a str,
    /// What it is about.
    pub(super) heading: &'a str,
    /// Of which games.
    pub(super) scope: &'a str,
}

/// A page that stands alone: its head, its middle, and what playback needs.
pub(super) fn stand_alone(head: &Head<'_>, main: &Markup, figures: &Figures) -> Result<String, ReportError> {
    let kept = figures.kept_json()?;
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (head.title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header {
                    p.kicker { (head.kicker) }
                    h1 { (head.heading) }
                    p.scope { (head.scope) }
                }
                main { (main) }
                footer {
                    p { "Made by scrim " (env!("CARGO_PKG_VERSION")) " from tracking tables. Tags are estimates: look at the film before you act on one. Tracking data are personal data of the players." }
                }
                @if let Some(kept) = kept {
                    (figures.courts())
                    script #plays type="application/json" { (PreEscaped(kept)) }
                    script { (PreEscaped(SCRIPT)) }
                }
            }
        }
    };
    Ok(page.into_string())
}

/// Which games: how many, when, against whom.
pub(super) fn scope(view: &View<'_>) -> String {
    let games = &view.team.games;
    let mut dates: Vec<&str> = games
        .iter()
        .filter_map(|game| game.game.date.as_deref())
        .collect();
    dates.sort_unstable();
    let when = match (dates.first(), dates.last()) {
        (Some(first), Some(last)) if first == last => format!(", {first}"),
        (Some(first), Some(last)) => format!(", {first} to {last}"),
        (None, _) | (_, None) => String::new(),
    };
    let mut met: Vec<&str> = games
        .iter()
        .map(|game| game.opponent_of(view.team_id()).as_ref())
        .collect();
    met.sort_unstable();
    met.dedup();
    let which = match view.team.choice.last {
        Some(_) => "Last ",
        None => "",
    };
    let count = words::count(games.len(), "game", "games");
    format!("{which}{count}{when}, against {}", met.join(", "))
}
