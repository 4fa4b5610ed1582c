//! The few sentences that matter.

use maud::{Markup, html};
use scrim_season::words::{self, SampleSize};
use scrim_tables::Id;
use scrim_tables::tags::{Coverage, Entry};

use super::disguise::are_few;
use super::view::View;
use crate::evidence::{Most, Points, Share, is_above};
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
    let pairs = Most::of(&view.plays.offense.by_pair(), all)?;
    let zones = Most::of(&view.plays.offense.by_zone(), all)?;
    let pair = |(handler, screener): (&Id, &Id)| {
        format!(
            "{} screening for {}",
            view.names.called(screener),
            view.names.called(handler)
        )
    };
    let size = pairs.first.1.sample_size();
    Some(html! {
        (most(pairs, pair, "Look for ", "No one pair leads: ")) " "
        (most(zones, words::zone, "Look at the ", "No one place leads: "))
        (caution(size))
    })
}

/// The most frequent where it clearly is; else the first two, and that none leads.
fn most<K: Copy>(most: Most<K>, name: impl Fn(K) -> String, clear: &str, alike: &str) -> Markup {
    let (first, share) = most.first;
    html! {
        @if most.is_clear {
            (clear) strong { (name(first)) } ", " (share.text()) "."
        } @else {
            (alike) (name(first)) " " (share.text())
            @if let Some((second, next)) = most.second { ", " (name(second)) " " (next.text()) }
            "."
        }
    }
}

fn entry(view: &View<'_>) -> Option<Markup> {
    let mut groups = view.plays.offense.by_entry();
    let known: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    groups.retain(|(entry, _)| *entry != Entry::None);
    let with: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    let share = Share::of(with, known)?;
    let entries = Most::of(&groups, known)?;
    let name = |entry| words::a(words::entry(entry));
    Some(html! {
        strong { (share.percent()) } " of them come out of another action (" (share.hits) " of " (share.n) "; "
        (share.range()) "), " (most(entries, name, "most often ", "none of them clearly most: "))
        (caution(share.sample_size()))
    })
}

/// How often each of the most frequent coverages comes up: `drop most, 67 % (…)` where one clearly leads.
fn coverages(most: Most<Coverage>) -> Markup {
    let (first, share) = most.first;
    html! {
        @if most.is_clear {
            strong { (words::coverage(first)) } " most, " (share.text()) " of those that could be read"
        } @else {
            (words::coverage(first)) " on " (share.text())
            @if let Some((second, next)) = most.second { " and " (words::coverage(second)) " on " (next.text()) }
            " of those that could be read, not clearly different"
        }
    }
}

/// What they met most, and what hurt.
fn met(view: &View<'_>) -> Option<Markup> {
    let groups = view.plays.offense.by_coverage();
    let coverage = Most::of(&groups, view.plays.offense.read())?;
    let variance = view.plays.variance;
    let ranked = ranked(&groups);
    let differ = |high: &Points, low: &Points| {
        let both = high.interval(variance).zip(low.interval(variance));
        both.is_some_and(|(high, low)| is_above(high, low))
    };
    Some(html! {
        "They faced " (coverages(coverage)) "."
        @if let [(best, high), .., (worst, low)] = ranked.as_slice() {
            @if differ(high, low) {
                " They scored more against " strong { (words::coverage(*best)) } ", " (high.text(variance))
                ", than against " strong { (words::coverage(*worst)) } ", " (low.text(variance)) "."
            } @else {
                " What they scored does not clearly differ from coverage to coverage."
            }
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
    let share = Share::of(hidden.len(), hidden.len() + plain.len()).filter(|share| !are_few(*share))?;
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
    let coverage = Most::of(&groups, view.plays.defense.read())?;
    let gives_up = points_of(groups.first()?.1.iter().copied());
    Some(html! {
        "On defence they play " (coverages(coverage))
        @if coverage.is_clear { "; it gives up " (gives_up.text(view.plays.variance)) }
        "."
        (caution(coverage.first.1.sample_size()))
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
