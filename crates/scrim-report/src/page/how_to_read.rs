//! The games, what is missing, and how to read the page.

use maud::{Markup, PreEscaped, html};
use scrim_season::words;

use super::view::{Section, View};
use crate::drawing::key_svg;

/// Share of usable tracking under which a game is pointed out. Common practice, no source.
const LOW_USABLE_SHARE: f32 = 0.8;

/// Games, caveats.
pub(super) fn section(view: &View<'_>) -> Section {
    Section {
        id: "how-to-read",
        heading: "The games, and how to read this report".into(),
        folded: true,
        body: html! {
            (games(view))
            (missing(view))
            h3 { "Numbers" }
            ul {
                li { "Each share comes with its count and its 95 % interval: the range that very likely holds the true share, if these possessions are typical. The line under it shows that range on a scale from 0 to 100 %." }
                li { "Fewer than 25 cases are marked as a small sample, fewer than 10 as a very small one: a hint, no more." }
                li { "“Most”, “more” and “least” are said only where the ranges do not overlap; else the numbers stand side by side." }
                li { "Clips: of those that show a thing equally well the latest game’s stand first." }
                li { "Points per possession are all points of the possession, free throws too. A possession counts once in a row, however many ball screens it had. n is the number of possessions whose points are known; the range uses the spread of all half-court possessions of these games." }
                li { "Every ball screen counts, in transition too, whatever became of it: a screen that was flipped is two (only where it is said how often a pair flips are the two one). Handoffs are counted apart. Left and right are as seen by a player who faces the basket." }
                li { "Everything here is an estimate from tracking. Look at the film before you act on it." }
            }
        },
    }
}

/// How to read a drawing.
pub(super) fn key() -> Markup {
    html! {
        h3 { "Key to the drawings" }
        figure.key { (PreEscaped(key_svg())) }
        p.note {
            "The basket is at the top. Circles are the offence, with jersey numbers; a double circle has the ball at the start of "
            "the frame. An X is a defender, with the number of the player they guard; marks that would cover each other are moved apart. Lines "
            "are the paths that were run, simplified to within 0.3 m; a path shorter than 1.4 m is not drawn."
        }
    }
}

fn games(view: &View<'_>) -> Markup {
    html! {
        h3 { "Games" }
        ul.games {
            @for game in &view.team.games {
                li {
                    (game.game.game_id) ": "
                    @if game.game.home_is_known { (game.game.away_team_id) " at " (game.game.home_team_id) }
                    @else { (game.game.home_team_id) " and " (game.game.away_team_id) }
                    @if let Some(date) = &game.game.date { ", " (date) }
                    @let low: Vec<String> = game.quality.iter().filter(|row| row.usable_share < LOW_USABLE_SHARE)
                        .map(|row| format!("P{} {:.0} %", row.period, row.usable_share * 100.0)).collect();
                    @if !low.is_empty() { ". " span.weak { "Tracking is poor in parts (usable: " (low.join(", ")) ")." } }
                }
            }
        }
    }
}

fn missing(view: &View<'_>) -> Markup {
    let team = view.team;
    html! {
        @if !team.absent.is_empty() || !team.notes.is_empty() {
            h3 { "What is missing" }
            ul {
                @for (table, games) in &team.absent {
                    li { "Table " code { (table) } ": missing for " (words::count(*games, "game", "games")) " of " (team.games.len()) "." }
                }
                @for note in &team.notes { li { (note) } }
            }
        }
    }
}
