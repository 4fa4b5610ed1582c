//! The same set again: what was run, how it was covered, what either side changed.

use std::collections::BTreeMap;

use maud::{Markup, html};
use scrim_season::ball_screens::grouped;
use scrim_season::words::sentence;
use scrim_tables::rows::SequenceRow;

use super::season;
use super::table::{row, table};
use super::view::{Section, View};
use crate::evidence::{Points, Share};
use crate::plays::ScreenPlay;

/// How many sets, and how many runs of one game, are listed.
const LISTED: usize = 6;

/// Sets that came back.
pub(super) fn section(view: &View<'_>) -> Section {
    Section {
        id: "again",
        heading: view.text("sets-heading").into(),
        folded: true,
        body: if view.lacks("sequences") {
            html! { p.absent { (view.text("lacks-sequences")) } }
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
        return html! { p.none { (view.text("sets-none")) } };
    }
    let again: Vec<&SequenceRow> = sets
        .iter()
        .flat_map(|(_, runs)| runs.iter().map(|(_, run)| *run))
        .filter(|run| run.run_index > 0)
        .collect();
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
            let in_games = [("games", view.words.count("games", games).into())];
            let covered = grouped(runs.iter().map(|(_, run)| (run.coverage, ())));
            let covered: Vec<String> = covered
                .iter()
                .map(|(coverage, times)| view.tag_times(view.words.coverage(*coverage), times.len()))
                .collect();
            let under = html! {
                (view.html("sets-coverages", &[("coverages", covered.join(", ").into())]))
                @if let Some(story) = story(view, runs, &plays) { " " (story) }
            };
            row(
                &sentence(&view.words.set_text(key)),
                &under,
                &[
                    html! { span.main { (runs.len()) } " " span.count { (view.html("sets-in-games", &in_games)) } },
                    view.points(points_of_runs),
                ],
            )
        })
        .collect();
    html! {
        dl {
            dt { (view.text("sets-defense-changed")) } dd { (view.share(changed(|run| run.defense_changed))) }
            dt { (view.text("sets-offense-changed")) } dd { (view.share(changed(|run| run.offense_changed))) }
        }
        (table(view.text("sets-caption"), &["sets-column", "sets-runs", "column-points"].map(|key| view.text(key)), &rows))
        @if sets.len() > LISTED { p.note { (view.words.count("sets-more", sets.len() - LISTED)) } }
    }
}

/// The latest game in which the set came back, run by run.
fn story(
    view: &View<'_>,
    runs: &[(usize, &SequenceRow)],
    plays: &BTreeMap<(usize, u32), &ScreenPlay<'_>>,
) -> Option<Markup> {
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
        .find_map(|(_, play)| play.map(|play| play.game_called(view.words)));
    let each = of_game.iter().take(LISTED).map(|(run, play)| {
        let mut text = play.map_or_else(String::new, |play| view.words.when(&play.when()) + " ");
        text.push_str(view.words.coverage(run.coverage));
        if let Some(points) = run.points {
            text.push_str(&format!(", {points}"));
        }
        text
    });
    let mut story = each.collect::<Vec<String>>().join(" → ");
    if of_game.len() > LISTED {
        story.push_str(" …");
    }
    Some(match game {
        Some(game) => view.html("sets-story", &[("game", game.into()), ("runs", story.into())]),
        None => html! { (story) },
    })
}
