//! The same set again: what was run, how it was covered, what either side changed.

use std::collections::BTreeMap;

use maud::{Markup, html};
use scrim_season::ball_screens::grouped;
use scrim_season::words;
use scrim_tables::rows::SequenceRow;

use super::season;
use super::table::{points, row, share, table};
use super::view::{Section, View};
use crate::evidence::{Points, Share};
use crate::plays::ScreenPlay;

/// How many sets, and how many runs of one game, are listed.
const LISTED: usize = 6;

/// Sets that came back.
pub(super) fn section(view: &View<'_>) -> Section {
    Section {
        id: "again",
        heading: "Sets they repeat".into(),
        folded: true,
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
        .on_ball
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
        return html! { p.none { "None of their sets was run twice in one game." } };
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
        .take(LISTED)
        .map(|(key, runs)| {
            let points_of_runs = Points::of(runs.iter().filter_map(|(_, run)| run.points));
            let games = grouped(runs.iter().map(|(place, _)| (*place, ()))).len();
            let covered = grouped(runs.iter().map(|(_, run)| (run.coverage, ())));
            let covered: Vec<String> = covered
                .iter()
                .map(|(coverage, times)| format!("{} {}", words::coverage(*coverage), times.len()))
                .collect();
            let under = html! {
                "Coverages: " (covered.join(", ")) "."
                @if let Some(story) = story(runs, &plays) { " " (story) }
            };
            row(
                &words::sentence(&words::look_text(key)),
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
            "They repeated a set in the same game " (words::count(again.len(), "time", "times")) ", "
            (back_to_back) " of them on their very next half-court possession."
        }
        dl {
            dt { "The defence changed its coverage since the last run" } dd { (share(changed(|run| run.defense_changed))) }
            dt { "They ran another option than on the last run" } dd { (share(changed(|run| run.offense_changed))) }
        }
        (table("Repeated sets; mirror images are one set", &["Set", "Runs", "Points per possession"], &rows))
        @if sets.len() > LISTED { p.note { (words::count(sets.len() - LISTED, "more set", "more sets")) ", each run less often." } }
    }
}

/// The latest game in which the set came back, run by run.
fn story(runs: &[(usize, &SequenceRow)], plays: &BTreeMap<(usize, u32), &ScreenPlay<'_>>) -> Option<Markup> {
    let last = runs
        .iter()
        .filter(|(_, run)| run.run_index > 0)
        .map(|(place, _)| *place)
        .max()?;
    let of_game: Vec<(&SequenceRow, Option<&&ScreenPlay<'_>>)> = runs
        .iter()
        .filter(|(place, _)| *place == last)
        .map(|(place, run)| (*run, plays.get(&(*place, run.screen_id))))
        .collect();
    let game = of_game
        .iter()
        .find_map(|(_, play)| play.map(|play| play.game_called()));
    Some(html! {
        @if let Some(game) = game { "Against " (game) ": " }
        @for (k, (run, play)) in of_game.iter().take(LISTED).enumerate() {
            @if k > 0 { " → " }
            @if let Some(play) = play { (play.when()) " " }
            (words::coverage(run.coverage))
            @if let Some(points) = run.points { ", " (points) }
        }
        @if of_game.len() > LISTED { " …" }
    })
}
