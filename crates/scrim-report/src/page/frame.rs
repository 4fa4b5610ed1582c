//! Head, headline, contents, foot.

use maud::{DOCTYPE, Markup, PreEscaped, html};
use scrim_season::words::{Arg, Words};

use super::figures::Figures;
use super::script::page_script;
use super::view::{Section, View};
use crate::ReportError;

const STYLE: &str = include_str!("style.css");
const FOLD: &str = include_str!("fold.js");

/// What stands on the first sheet.
pub(super) struct First {
    /// What sets the team apart.
    pub(super) findings: Markup,
    /// The few sentences that matter.
    pub(super) brief: Vec<Markup>,
}

/// The whole page; the sections that are folded stand last.
pub(super) fn page(
    view: &View<'_>,
    first: &First,
    sections: &[Section],
    figures: &Figures,
) -> Result<String, ReportError> {
    let head = Head {
        title: &view.words.say("page-title", &[("team", view.team_id().into())]),
        kicker: view.text("page-kicker"),
        heading: &view.team_called(),
        scope: &scope(view),
    };
    let (shown, folded) = sections.split_at(sections.partition_point(|section| !section.folded));
    let main = html! {
        (first.findings)
        section.brief aria-labelledby="brief" {
            h2 #brief { (view.text("brief-heading")) }
            ol { @for sentence in &first.brief { li { (sentence) } } }
            p.note { (view.html("brief-counted", &[("games", view.these_games().into())])) }
        }
        nav aria-label=(view.text("page-contents")) {
            ul { @for section in sections { li { a href=(format!("#{}", section.id)) { (section.heading) } } } }
        }
        (sections_markup(shown))
        // Paper has the headings of what is still folded behind this, as a list.
        p.unprinted { (view.text("page-unprinted")) " " }
        (sections_markup(folded))
        script { (PreEscaped(FOLD)) }
    };
    stand_alone(&head, &main, figures, view.words)
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
pub(super) fn stand_alone(
    head: &Head<'_>,
    main: &Markup,
    figures: &Figures,
    words: &Words,
) -> Result<String, ReportError> {
    let kept = figures.kept_json()?;
    let page = html! {
        (DOCTYPE)
        html lang=(words.language()) {
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
                    p { (words.say("page-footer", &[("version", env!("CARGO_PKG_VERSION").into())])) }
                }
                @if let Some(kept) = kept {
                    (figures.courts())
                    script #plays type="application/json" { (PreEscaped(kept)) }
                    script { (PreEscaped(page_script(words))) }
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
    let (first, last) = match (dates.first(), dates.last()) {
        (Some(first), Some(last)) => (*first, *last),
        (None, _) | (_, None) => ("", ""),
    };
    let days = match (first, last) {
        ("", _) => "none",
        (first, last) if first == last => "one",
        _ => "span",
    };
    let mut met: Vec<&str> = games
        .iter()
        .map(|game| game.opponent_of(view.team_id()).as_ref())
        .collect();
    met.sort_unstable();
    met.dedup();
    let which = match view.team.choice.last {
        Some(_) => "last",
        None => "all",
    };
    view.words.say(
        "page-scope",
        &[
            ("which", Arg::Word(which)),
            ("games", view.words.count("games", games.len()).into()),
            ("days", Arg::Word(days)),
            ("first", first.into()),
            ("last", last.into()),
            ("teams", met.join(", ").into()),
        ],
    )
}
