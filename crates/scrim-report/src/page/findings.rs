//! What sets the team apart from its league, the weightiest first: what a coach reads when there are ten minutes.

use std::collections::BTreeSet;

use maud::{Markup, html};
use scrim_season::words;
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::TeamSide;

use super::table::clip;
use super::view::View;
use crate::findings::{Finding, findings};
use crate::plays::ScreenPlay;

/// How many clips a finding has.
const CLIPS: usize = 3;

/// Said where the season's table is missing.
pub(super) const ABSENT: &str = "The season's tables are not there, or are of an older version: put the season together again to see what sets them apart.";

/// The first page's findings.
pub(super) fn section(view: &View<'_>) -> Markup {
    let rows = &view.team.season.against_league;
    let found = findings(rows, &view.plays, &view.names);
    html! {
        section.findings aria-labelledby="findings" {
            h2 #findings { "What sets them apart" }
            @if found.is_empty() {
                p.none { (why_none(view, rows)) }
            } @else {
                ol { @for finding in &found { li { (item(finding)) } } }
                p.note {
                    "The weightiest of " (words::count(rows.len(), "comparison", "comparisons")) " with the other teams of the season. "
                    "Of all that stand out so at most one in fifty is chance, on average. What other comparisons show of the same ball screens is not counted "
                    "again. A range counts only how few ball screens there are: tags that "
                    "are misread are not in it. Counted over all their games of the season; the clips are from the games of this report. Tags are "
                    "estimates: look at the film."
                }
            }
        }
    }
}

fn why_none(view: &View<'_>, rows: &[AgainstLeagueRow]) -> &'static str {
    if view.lacks("against_league") {
        ABSENT
    } else if rows.is_empty() {
        "There are too few games, or too few other teams, to say what sets them apart."
    } else {
        "Nothing that is counted here sets them apart from the other teams by more than chance would."
    }
}

fn item(finding: &Finding<'_>) -> Markup {
    let Finding {
        row,
        says,
        by_whom,
        shown_by,
    } = finding;
    let clips = best(shown_by);
    html! {
        (says.before) strong { (says.ours) } (says.after)
        @if let Some(whom) = by_whom {
            " Most clearly here: " (words::within(&whom.says.before)) strong { (whom.says.ours) } (whom.says.after)
        }
        div.under {
            (whose(row.side)) " " (count_and_range(row)) ", in " (words::count(row.games as usize, "game", "games")) "."
            @if let Some(pay) = words::pay(row) { " " (pay.says) }
            " "
            @if clips.is_empty() {
                "No clip of it in these games."
            } @else {
                @for (k, play) in clips.iter().enumerate() {
                    @if k == 0 { "See " } @else { ", " }
                    (clip(play))
                }
                @if shown_by.len() > clips.len() { " and " (shown_by.len() - clips.len()) " more" }
                "."
            }
        }
    }
}

/// Whether it is about their ball screens or those that they defend.
fn whose(side: TeamSide) -> &'static str {
    match side {
        TeamSide::Offense => "Their offence:",
        TeamSide::Defense => "Their defence:",
    }
}

/// `48 of 190; 20–32 %`, `31 ball screens; 0.6–1.0 s`.
fn count_and_range(row: &AgainstLeagueRow) -> String {
    let count = match row.hits {
        Some(hits) => format!("{hits} of {}", row.n),
        None => words::count(row.n as usize, "ball screen", "ball screens"),
    };
    format!("{count}; {}", words::range(row))
}

/// The clips to watch first, of plays with the best first: one a game before a second of the same game. The latest game's stand first.
fn best<'p, 'a>(plays: &[&'p ScreenPlay<'a>]) -> Vec<&'p ScreenPlay<'a>> {
    let mut games = BTreeSet::new();
    let (first, others): (Vec<_>, Vec<_>) = plays.iter().partition(|play| games.insert(play.game_place));
    let mut best: Vec<&ScreenPlay<'_>> = first.into_iter().chain(others).take(CLIPS).collect();
    best.sort_by_key(|play| play.latest_first());
    best
}
