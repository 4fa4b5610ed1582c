//! What the page rests on: the games, what is absent, how to read it.

use maud::{Markup, PreEscaped, html};

use super::{Section, View};
use crate::drawing::key_svg;
use crate::words;

/// Share of usable tracking under which a game is pointed out. Common practice, no source.
const LOW_USABLE_SHARE: f32 = 0.8;

/// Games, key, caveats.
pub(super) fn section(view: &View<'_>) -> Section {
    Section {
        id: "rests-on",
        heading: "What this rests on, and how to read it".into(),
        body: html! {
            (games(view))
            (absent(view))
            h3 { "Key to the drawings" }
            figure.key { (PreEscaped(key_svg())) }
            p.note {
                "The basket is at the top. Circles are the offence, with shirt numbers; the ring is double on the man with the "
                "ball at the start of a frame. X is a defender where he stood at the start of the frame, moved a little where he "
                "would cover an attacker. Lines are what was run, simplified to within 0.3 m; a way shorter than 1.4 m is not drawn."
            }
            h3 { "Numbers" }
            ul {
                li { "A share stands with its count and the range in which the true share lies with 95 % certainty if these trips are a fair sample. The line under it shows that range from 0 to 100 %." }
                li { "Fewer than 25 cases are called thin evidence, fewer than 10 very thin: a hint, no more." }
                li { "Points a trip are all points of the possession, free throws too; a trip counts once in a row, whatever number of ball screens it had. n is the number of trips whose points are known; the range takes the spread of all half-court trips of these games." }
                li { "A screen that was turned to the other side counts once. Left and right are those of one who faces the basket." }
                li { "Everything here is an estimate from tracking. Look at the film before you act on it." }
            }
        },
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

fn absent(view: &View<'_>) -> Markup {
    let team = view.team;
    html! {
        @if !team.absent.is_empty() || !team.notes.is_empty() {
            h3 { "What is absent" }
            ul {
                @for (table, games) in &team.absent {
                    li { "Table " code { (table) } ": not there for " (words::count(*games, "game", "games")) " of " (team.games.len()) "." }
                }
                @for note in &team.notes { li { (note) } }
            }
        }
    }
}
