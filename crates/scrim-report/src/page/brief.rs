//! The few sentences that matter.

use maud::{Markup, html};
use scrim_season::words::{self, SampleSize};
use scrim_tables::tags::{Coverage, Entry};

use super::view::View;
use crate::evidence::{Points, Share};
use crate::plays::{ScreenPlay, points_of};

/// Fewest possessions from which a sentence calls one thing better than another. Common practice, no source.
const FEWEST_TO_RANK: usize = 5;

/// Sentences, each with its numbers.
pub(super) fn brief(view: &View<'_>) -> Vec<Markup> {
    let plays = &view.plays;
    let mut sentences = Vec::new();
    let Some(with_screen) = Share::of(plays.half_court_with_screen, plays.half_court) else {
        sentences.push(html! {
            "None of their half-court possessions was found in these games, so there is nothing to report."
        });
        return sentences;
    };
    let (games, screens) = (view.team.games.len(), plays.offense.count());
    let per_game = screens as f64 / games.max(1) as f64;
    sentences.push(html! {
        "They run a ball screen on " strong { (with_screen.percent()) }
        " of half-court possessions (" (with_screen.hits) " of " (with_screen.n) "; " (with_screen.range()) "): "
        (words::count(screens, "ball screen", "ball screens")) " in " (words::count(games, "game", "games"))
        @if games > 1 { ", " (format!("{per_game:.1}")) " per game" }
        @if plays.handoffs > 0 { ", and " (words::count(plays.handoffs, "handoff", "handoffs")) }
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
    let all = view.plays.offense.count();
    let pairs = view.plays.offense.by_pair();
    let ((handler, screener), runs) = pairs.first()?;
    let zones = view.plays.offense.by_zone();
    let (zone, there) = zones.first()?;
    let share = Share::of(runs.len(), all)?;
    let at = Share::of(there.len(), all)?;
    Some(html! {
        "Look for " strong { (view.names.called(screener)) " screening for " (view.names.called(handler)) }
        ", " (share.text()) ", and for the " strong { (words::zone(*zone)) } ", " (at.text()) "."
        (caution(share.sample_size()))
    })
}

fn entry(view: &View<'_>) -> Option<Markup> {
    let mut groups = view.plays.offense.by_entry();
    let known: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    groups.retain(|(entry, _)| *entry != Entry::None);
    let with: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    let share = Share::of(with, known)?;
    let (entry, times) = groups.first()?;
    let most = Share::of(times.len(), known)?;
    Some(html! {
        strong { (share.percent()) } " of them come out of another action (" (share.hits) " of " (share.n) "; "
        (share.range()) "), most often " strong { (words::a(words::entry(*entry))) } ", " (most.text()) "."
        (caution(share.sample_size()))
    })
}

/// What they met most, and what hurt.
fn met(view: &View<'_>) -> Option<Markup> {
    let groups = view.plays.offense.by_coverage();
    let (most, plays) = groups.first()?;
    let share = Share::of(plays.len(), view.plays.offense.read())?;
    let ranked = ranked(&groups);
    Some(html! {
        "They faced " strong { (words::coverage(*most)) } " most, " (share.text()) " of those that could be read; it gave up "
        (points_of(plays.iter().copied()).text(view.plays.variance)) "."
        @if let [.., (worst, low)] = ranked.as_slice() && ranked.len() > 1 {
            @let (best, high) = ranked[0];
            " They scored most against " strong { (words::coverage(best)) } ", " (high.text(view.plays.variance))
            ", least against " strong { (words::coverage(*worst)) } ", " (low.text(view.plays.variance)) "."
            (caution(SampleSize::of(high.possessions().min(low.possessions()))))
        }
    })
}

fn disguise(view: &View<'_>) -> Option<Markup> {
    let those = |disguised: bool| -> Vec<&ScreenPlay<'_>> {
        let all = view.plays.offense.all().iter();
        all.filter(|play| play.is_disguised() == Some(disguised))
            .collect()
    };
    let (hidden, plain) = (those(true), those(false));
    let share = Share::of(hidden.len(), hidden.len() + plain.len())?;
    let (hidden, plain) = (points_of(hidden), points_of(plain));
    Some(html! {
        strong { (share.percent()) } " were disguised as something else (" (share.hits) " of " (share.n) "; "
        (share.range()) "): " (hidden.text(view.plays.variance)) ", against " (plain.text(view.plays.variance)) " when it was not."
        (caution(SampleSize::of(hidden.possessions().min(plain.possessions()))))
    })
}

/// What they play themselves.
fn played(view: &View<'_>) -> Option<Markup> {
    let groups = view.plays.defense.by_coverage();
    let (most, plays) = groups.first()?;
    let share = Share::of(plays.len(), view.plays.defense.read())?;
    Some(html! {
        "On defence they play " strong { (words::coverage(*most)) } " most, " (share.text()) "; it gives up "
        (points_of(plays.iter().copied()).text(view.plays.variance)) "."
        (caution(share.sample_size()))
    })
}

/// Coverages with enough possessions, the most points per possession first.
fn ranked(groups: &[(Coverage, Vec<&ScreenPlay<'_>>)]) -> Vec<(Coverage, Points)> {
    let mut ranked: Vec<_> = groups
        .iter()
        .map(|(coverage, plays)| (*coverage, points_of(plays.iter().copied())))
        .filter(|(_, points)| points.possessions() >= FEWEST_TO_RANK)
        .collect();
    ranked.sort_by(|a, b| {
        let per_possession = |points: &Points| points.per_possession().unwrap_or_default();
        per_possession(&b.1).total_cmp(&per_possession(&a.1))
    });
    ranked
}

fn caution(size: SampleSize) -> Markup {
    html! { @if let Some(caution) = size.caution() { " " span.weak { (words::sentence(caution)) "." } } }
}
