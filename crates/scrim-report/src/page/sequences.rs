//! The same set again: what was run, how it was covered, what either side changed.

use std::collections::BTreeMap;

use maud::{Markup, html};
use scrim_tables::rows::SequenceRow;

use super::table::{points, row, share, table};
use super::{Section, View, season};
use crate::evidence::{Points, Share, grouped};
use crate::plays::ScreenPlay;
use crate::words;

/// How many sets, and how many runs of one game, are told.
const TOLD: usize = 6;

/// Sets that came back.
pub(super) fn section(view: &View<'_>) -> Section {
    Section {
        id: "again",
        heading: "The same set again".into(),
        body: if view.lacks("sequences") {
            html! { p.absent { "These tables have no sequences: run the games again with a newer version to get them." } }
        } else {
            html! { (body(view)) (season::answers(view)) }
        },
    }
}

fn body(view: &View<'_>) -> Markup {
    let plays: BTreeMap<(usize, u32), &ScreenPlay<'_>> = view
        .plays
        .offense
        .iter()
        .map(|play| ((play.game_place, play.screen.screen_id), play))
        .collect();
    let ours = view.team.games.iter().enumerate().flat_map(|(place, game)| {
        game.sequences
            .iter()
            .filter(|row| row.team_id.as_ref() == view.team_id())
            .map(move |row| (row.set_key.as_str(), (place, row)))
    });
    let mut sets = grouped(ours);
    sets.retain(|(_, runs)| runs.iter().any(|(_, run)| run.run_index > 0));
    if sets.is_empty() {
        return html! { p.none { "No set of theirs was seen twice in one game." } };
    }
    let again: Vec<&SequenceRow> = sets
        .iter()
        .flat_map(|(_, runs)| runs.iter().map(|(_, run)| *run))
        .filter(|run| run.run_index > 0)
        .collect();
    let back_to_back = again.iter().filter(|run| run.back_to_back).count();
    let changed = |of: fn(&SequenceRow) -> Option<bool>| {
        let known: Vec<bool> = again.iter().filter_map(|run| of(run)).collect();
        Share::of(known.iter().filter(|changed| **changed).count(), known.len())
    };
    let rows: Vec<Markup> = sets
        .iter()
        .take(TOLD)
        .map(|(key, runs)| {
            let points_of_runs = Points::of(runs.iter().filter_map(|(_, run)| run.points));
            let games = grouped(runs.iter().map(|(place, _)| (*place, ()))).len();
            let covered = grouped(runs.iter().map(|(_, run)| (run.coverage, ())));
            let covered: Vec<String> = covered
                .iter()
                .map(|(coverage, times)| format!("{} {}", words::coverage(*coverage), times.len()))
                .collect();
            let under = html! {
                "Covered by " (covered.join(", ")) "."
                @if let Some(story) = story(runs, &plays) { " " (story) }
            };
            row(
                &words::sentence(&words::look(key)),
                &under,
                &[
                    html! { span.main { (runs.len()) } " " span.count { "in " (words::count(games, "game", "games")) } },
                    points(points_of_runs, view.plays.variance),
                ],
            )
        })
        .collect();
    html! {
        p {
            "A set that they come back to in the same game: " (words::count(again.len(), "time", "times")) ", "
            (back_to_back) " of them on the very next half-court trip."
        }
        dl {
            dt { "The defence covered it otherwise than last time" } dd { (share(changed(|run| run.defense_changed))) }
            dt { "They made something else of it than last time" } dd { (share(changed(|run| run.offense_changed))) }
        }
        (table("Sets that came back; mirror images are one set", &["Set", "Runs", "Points a trip"], &rows))
        @if sets.len() > TOLD { p.note { (words::count(sets.len() - TOLD, "set", "sets")) " more came back, each less often." } }
    }
}

/// The latest game in which the set came back, run by run.
fn story(runs: &[(usize, &SequenceRow)], plays: &BTreeMap<(usize, u32), &ScreenPlay<'_>>) -> Option<Markup> {
    let last = runs
        .iter()
        .filter(|(_, run)| run.run_index > 0)
        .map(|(place, _)| *place)
        .max()?;
    let told: Vec<(&SequenceRow, Option<&&ScreenPlay<'_>>)> = runs
        .iter()
        .filter(|(place, _)| *place == last)
        .map(|(place, run)| (*run, plays.get(&(*place, run.screen_id))))
        .collect();
    let game = told
        .iter()
        .find_map(|(_, play)| play.map(|play| &play.game.game.game_id));
    Some(html! {
        @if let Some(game) = game { "In " (game) ": " }
        @for (k, (run, play)) in told.iter().take(TOLD).enumerate() {
            @if k > 0 { " → " }
            @if let Some(play) = play { (play.when()) " " }
            (words::coverage(run.coverage))
            @if let Some(points) = run.points { ", " (points) }
        }
        @if told.len() > TOLD { " …" }
    })
}
