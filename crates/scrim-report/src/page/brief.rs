//! The few sentences that matter.

use maud::{Markup, html};
use scrim_tables::tags::{Coverage, Entry};

use super::View;
use crate::evidence::{Share, Strength, grouped};
use crate::plays::{ScreenPlay, points_of};
use crate::words;

/// Fewest trips from which a sentence calls one thing better than another. Common practice, no source.
const FEWEST_TO_RANK: usize = 5;

/// Sentences, each with its numbers.
pub(super) fn brief(view: &View<'_>) -> Vec<Markup> {
    let plays = &view.plays;
    let mut sentences = Vec::new();
    let Some(of_trips) = Share::of(plays.trips_with_screen, plays.half_court_trips) else {
        sentences.push(
            html! { "No half-court trip of theirs was found in these games, so there is nothing to say." },
        );
        return sentences;
    };
    let games = view.team.games.len();
    let a_game = plays.offense.len() as f64 / games.max(1) as f64;
    sentences.push(html! {
        "They get to a ball screen or handoff on " strong { (of_trips.percent()) }
        " of half-court trips (" (of_trips.hits) " of " (of_trips.n) "; " (of_trips.range()) "): "
        (plays.offense.len()) " in " (words::count(games, "game", "games"))
        @if games > 1 { ", " (format!("{a_game:.1}")) " a game" }
        "."
    });
    sentences.extend(pair(view));
    sentences.extend(entry(view));
    sentences.extend(met(view));
    sentences.extend(disguise(view));
    sentences.extend(played(view));
    sentences
}

fn pair(view: &View<'_>) -> Option<Markup> {
    let all = view.plays.offense.len();
    let pairs = grouped(
        view.plays
            .offense
            .iter()
            .map(|play| ((&play.screen.screener_id, &play.screen.user_id), play)),
    );
    let ((screener, user), runs) = pairs.first()?;
    let zones = grouped(view.plays.offense.iter().map(|play| (play.screen.zone, ())));
    let (zone, there) = zones.first()?;
    let share = Share::of(runs.len(), all)?;
    let at = Share::of(there.len(), all)?;
    Some(html! {
        "Look for " strong { (view.names.called(screener)) " screening for " (view.names.called(user)) }
        ", " (share.told()) ", and for the " strong { (words::zone(*zone)) } ", " (at.told()) "."
        (thin(share.strength()))
    })
}

fn entry(view: &View<'_>) -> Option<Markup> {
    let known: Vec<&ScreenPlay<'_>> = view
        .plays
        .offense
        .iter()
        .filter(|play| play.entry.is_some())
        .collect();
    let with = known
        .iter()
        .filter(|play| play.entry_word() != Some(Entry::None))
        .count();
    let groups = grouped(
        known
            .iter()
            .filter_map(|play| Some((play.entry_word()?, ())))
            .filter(|(word, ())| *word != Entry::None),
    );
    let share = Share::of(with, known.len())?;
    let (word, times) = groups.first()?;
    let most = Share::of(times.len(), known.len())?;
    Some(html! {
        "Something comes before " strong { (share.percent()) } " of them (" (share.hits) " of " (share.n) "; "
        (share.range()) "), most often a " strong { (words::entry(*word)) } ", " (most.told()) "."
        (thin(share.strength()))
    })
}

/// What they met most, and what hurt.
fn met(view: &View<'_>) -> Option<Markup> {
    let groups = coverages_of(&view.plays.offense);
    let read: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    let (most, plays) = groups.first()?;
    let share = Share::of(plays.len(), read)?;
    let ranked = ranked(&groups);
    Some(html! {
        "They met " strong { (words::coverage(*most)) } " most, " (share.told()) " of those that could be read; it gave up "
        (points_of(plays.iter().copied()).told(view.plays.variance)) "."
        @if let [.., (worst, low)] = ranked.as_slice() && ranked.len() > 1 {
            @let (best, high) = ranked[0];
            " They scored most against " strong { (words::coverage(best)) } ", " (high.told(view.plays.variance))
            ", least against " strong { (words::coverage(*worst)) } ", " (low.told(view.plays.variance)) "."
            (thin(Strength::of(high.trips().min(low.trips()))))
        }
    })
}

fn disguise(view: &View<'_>) -> Option<Markup> {
    let known: Vec<&ScreenPlay<'_>> = view
        .plays
        .offense
        .iter()
        .filter(|play| play.surprise_bits().is_some())
        .collect();
    let hidden: Vec<&ScreenPlay<'_>> = known
        .iter()
        .copied()
        .filter(|play| play.disguise.is_some_and(|row| row.disguised))
        .collect();
    let plain = known
        .iter()
        .copied()
        .filter(|play| play.disguise.is_some_and(|row| !row.disguised));
    let share = Share::of(hidden.len(), known.len())?;
    let (hidden, plain) = (points_of(hidden), points_of(plain));
    Some(html! {
        strong { (share.percent()) } " looked like something else first (" (share.hits) " of " (share.n) "; "
        (share.range()) "): " (hidden.told(view.plays.variance)) ", against " (plain.told(view.plays.variance)) " when it was plain."
        (thin(Strength::of(hidden.trips().min(plain.trips()))))
    })
}

/// What they play themselves.
fn played(view: &View<'_>) -> Option<Markup> {
    let groups = coverages_of(&view.plays.defense);
    let read: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    let (most, plays) = groups.first()?;
    let share = Share::of(plays.len(), read)?;
    Some(html! {
        "On defence they play " strong { (words::coverage(*most)) } " most, " (share.told()) "; it gives up "
        (points_of(plays.iter().copied()).told(view.plays.variance)) "."
        (thin(share.strength()))
    })
}

/// Plays by coverage, those that could be read, the most frequent first.
pub(super) fn coverages_of<'p, 'a>(plays: &'p [ScreenPlay<'a>]) -> Vec<(Coverage, Vec<&'p ScreenPlay<'a>>)> {
    grouped(
        plays
            .iter()
            .filter_map(|play| Some((play.coverage_word()?, play))),
    )
}

/// Coverages with enough trips, the most points a trip first.
fn ranked(groups: &[(Coverage, Vec<&ScreenPlay<'_>>)]) -> Vec<(Coverage, crate::evidence::Points)> {
    let mut ranked: Vec<_> = groups
        .iter()
        .map(|(coverage, plays)| (*coverage, points_of(plays.iter().copied())))
        .filter(|(_, points)| points.trips() >= FEWEST_TO_RANK)
        .collect();
    ranked.sort_by(|a, b| {
        let per_trip = |points: &crate::evidence::Points| points.per_trip().unwrap_or_default();
        per_trip(&b.1).total_cmp(&per_trip(&a.1))
    });
    ranked
}

fn thin(strength: Strength) -> Markup {
    html! { @if let Some(told) = strength.told() { " " span.weak { (words::sentence(told)) "." } } }
}
