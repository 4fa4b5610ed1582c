//! The games, what is missing, and how to read the page.

use maud::{Markup, PreEscaped, html};
use scrim_season::words::{Said, Shown, Words};

use super::view::{Section, View};
use crate::drawing::key_svg;

/// Share of usable tracking under which a game is pointed out. Common practice, no source.
const LOW_USABLE_SHARE: f32 = 0.8;

/// How the numbers are to be read.
const NUMBERS: [&str; 8] = [
    "reading-findings",
    "reading-shares",
    "reading-samples",
    "reading-most",
    "reading-clips",
    "reading-points",
    "reading-ball-screens",
    "reading-estimates",
];

/// Games, caveats.
pub(super) fn section(view: &View<'_>) -> Section {
    Section {
        id: "how-to-read",
        heading: view.text("reading-heading").into(),
        folded: true,
        body: html! {
            (games(view))
            (missing(view))
            h3 { (view.text("reading-numbers")) }
            ul { @for key in NUMBERS { li { (view.text(key)) } } }
        },
    }
}

/// How to read a drawing.
pub(super) fn key(words: &Words) -> Markup {
    html! {
        h3 { (words.text("key-heading")) }
        figure.key { (PreEscaped(key_svg(words))) }
        p.note { (words.text("key-note")) }
    }
}

fn games(view: &View<'_>) -> Markup {
    let percent = |share: f32| view.words.decimal(f64::from(share * 100.0), 0);
    html! {
        h3 { (view.text("reading-games")) }
        ul.games {
            @for game in &view.team.games {
                @let teams = [("home", game.game.home_team_id.as_ref().into()), ("away", game.game.away_team_id.as_ref().into())];
                li {
                    (game.game.game_id) ": "
                    (view.html(if game.game.home_is_known { "game-at" } else { "game-between" }, &teams))
                    @if let Some(date) = &game.game.date { ", " (date) }
                    @let low: Vec<String> = game.quality.iter().filter(|row| row.usable_share < LOW_USABLE_SHARE)
                        .map(|row| view.words.say("period-usable", &[("period", row.period.into()), ("share", percent(row.usable_share).into())]))
                        .collect();
                    @if !low.is_empty() {
                        ". " span.weak { (view.html("game-poor", &[("periods", low.join(", ").into())])) }
                    }
                }
            }
        }
    }
}

fn missing(view: &View<'_>) -> Markup {
    let team = view.team;
    html! {
        @if !team.absent.is_empty() || !team.notes.is_empty() {
            h3 { (view.text("reading-missing")) }
            ul {
                @for (table, games) in &team.absent {
                    li {
                        (view.html("missing-table", &[
                            ("table", Said::piece(Shown::Code, *table).into()),
                            ("games", view.words.count("games", *games).into()),
                            ("n", team.games.len().into()),
                        ]))
                    }
                }
                @for note in &team.notes { li { (note.text(view.words)) } }
            }
        }
    }
}
