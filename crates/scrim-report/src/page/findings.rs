//! What sets the team apart from its league, the weightiest first: what a coach reads when there are ten minutes.

use std::collections::BTreeSet;

use maud::{Markup, html};
use scrim_season::words::{Arg, Said};
use scrim_tables::rows::AgainstLeagueRow;

use super::view::{View, markup};
use crate::findings::{Finding, findings};
use crate::plays::ScreenPlay;

/// How many clips a finding has.
const CLIPS: usize = 3;

/// The first page's findings.
pub(super) fn section(view: &View<'_>) -> Markup {
    let rows = &view.team.season.against_league;
    let found = findings(rows, &view.plays, &view.names, view.words);
    html! {
        section.findings aria-labelledby="findings" {
            h2 #findings { (view.text("findings-heading")) }
            @if found.is_empty() {
                p.none { (view.text(why_none(view, rows))) }
            } @else {
                ol { @for finding in &found { li { (item(view, finding)) } } }
                p.note { (view.words.count("findings-note", rows.len())) }
            }
        }
    }
}

fn why_none(view: &View<'_>, rows: &[AgainstLeagueRow]) -> &'static str {
    if view.lacks("against_league") {
        "lacks-season"
    } else if rows.is_empty() {
        "findings-too-few"
    } else {
        "findings-none"
    }
}

fn item(view: &View<'_>, finding: &Finding<'_>) -> Markup {
    let Finding {
        row,
        says,
        by_whom,
        shown_by,
    } = finding;
    let clips = best(shown_by);
    let count = [
        ("side", Arg::Word(row.side.as_str())),
        ("count", count_and_range(view, row).into()),
        ("games", view.words.count("games", row.games as usize).into()),
    ];
    html! {
        (markup(says))
        @if let Some(whom) = by_whom {
            " " (view.html("finding-by-whom", &[("finding", Said::clone(&whom.says).into())]))
        }
        div.under {
            (view.html("finding-count", &count))
            @if let Some(pay) = view.words.pay(row) { " " (pay.says) }
            " "
            @if clips.is_empty() {
                (view.text("finding-no-clip"))
            } @else {
                (markup(&view.see(&clips, shown_by.len()))) "."
            }
        }
    }
}

/// `48 of 190; 20–32 %`, `31 ball screens; 0.6–1.0 s`.
fn count_and_range(view: &View<'_>, row: &AgainstLeagueRow) -> String {
    let range = view.words.range(row);
    match row.hits {
        Some(hits) => view.words.say(
            "hits-of",
            &[
                ("hits", hits.into()),
                ("n", row.n.into()),
                ("range", range.into()),
            ],
        ),
        None => format!("{}; {range}", view.words.count("ball-screens", row.n as usize)),
    }
}

/// The clips to watch first, of plays with the best first: one a game before a second of the same game. The latest game's stand first.
fn best<'p, 'a>(plays: &[&'p ScreenPlay<'a>]) -> Vec<&'p ScreenPlay<'a>> {
    let mut games = BTreeSet::new();
    let (first, others): (Vec<_>, Vec<_>) = plays.iter().partition(|play| games.insert(play.game_place));
    let mut best: Vec<&ScreenPlay<'_>> = first.into_iter().chain(others).take(CLIPS).collect();
    best.sort_by_key(|play| play.latest_first());
    best
}
