//! The few sentences that matter.

use maud::{Markup, html};
use scrim_season::words::{Arg, Said, SampleSize, sentence, strong};
use scrim_tables::tags::{Coverage, Entry};

use super::disguise::are_few;
use super::view::View;
use crate::evidence::{Most, Points, Share, is_above};
use crate::plays::{ScreenPlay, points_of};

/// Fewest possessions from which a sentence calls one thing better than another. Common practice, no source.
const FEWEST_TO_RANK: usize = 5;
/// Where no coverage has a greater share, they mix. Common practice, no source.
const MIXED: f64 = 1.0 / 3.0;

/// Sentences, each with its numbers.
pub(super) fn brief(view: &View<'_>) -> Vec<Markup> {
    let plays = &view.plays;
    let Some(with_screen) = Share::of(plays.half_court_with_screen, plays.half_court) else {
        return vec![html! { (view.text("brief-nothing")) }];
    };
    let (games, screens) = (view.team.games.len(), plays.offense.count());
    let per_game = screens as f64 / games.max(1) as f64;
    let run = view.html(
        "brief-run",
        &[
            ("percent", strong(with_screen.percent(view.words)).into()),
            ("count", with_screen.count(view.words).into()),
            ("ball-screens", view.words.count("ball-screens", screens).into()),
            ("game-count", games.into()),
            ("games", view.words.count("games", games).into()),
            ("per-game", view.words.decimal(per_game, 1).into()),
            ("handoff-count", plays.handoffs.into()),
            ("handoffs", view.words.count("handoffs", plays.handoffs).into()),
        ],
    );
    let others = [pair(view), entry(view), met(view), disguise(view), played(view)];
    std::iter::once(run).chain(others.into_iter().flatten()).collect()
}

/// What comes up most, where one thing clearly does; else the first two side by side.
enum Leads {
    One { first: Said, share: String },
    Alike { alike: Vec<Said> },
}

impl Leads {
    /// `one_of`: the message of one thing beside the next.
    fn of<K: Copy>(view: &View<'_>, most: Most<K>, one_of: &str, name: impl Fn(K) -> String) -> Self {
        if most.is_clear {
            let (first, share) = most.first;
            return Self::One {
                first: strong(name(first)),
                share: share.text(view.words),
            };
        }
        let both = std::iter::once(most.first).chain(most.second);
        Self::Alike {
            alike: both
                .map(|(thing, share)| {
                    let share = share.text(view.words);
                    let args = [("name", name(thing).into()), ("share", share.into())];
                    view.words.said(one_of, &args)
                })
                .collect(),
        }
    }

    /// The sentence of either case, with what else it says.
    fn html(self, view: &View<'_>, leads: &str, alike_key: &str, more: &[(&str, Arg)]) -> Markup {
        let (key, own) = match self {
            Self::One { first, share } => (leads, vec![("first", first.into()), ("share", share.into())]),
            Self::Alike { alike } => (alike_key, vec![("alike", Said::list(alike, ", ").into())]),
        };
        let args: Vec<(&str, Arg)> = more.iter().cloned().chain(own).collect();
        view.html(key, &args)
    }
}

fn pair(view: &View<'_>) -> Option<Markup> {
    let all = view.plays.offense.count();
    let pairs = Most::of(&view.plays.offense.by_pair(), all)?;
    let zones = Most::of(&view.plays.offense.by_zone(), all)?;
    let size = pairs.first.1.sample_size();
    let pairs = Leads::of(view, pairs, "brief-one", |(handler, screener)| {
        let [handler, screener] = [handler, screener].map(|player| view.player(player).into());
        view.words
            .say("brief-pair", &[("screener", screener), ("handler", handler)])
    });
    let zones = Leads::of(view, zones, "brief-one", |zone| view.words.zone(zone).to_owned());
    Some(html! {
        (pairs.html(view, "brief-pair-leads", "brief-pair-alike", &[])) " "
        (zones.html(view, "brief-place-leads", "brief-place-alike", &[]))
        (view.caution(size))
    })
}

fn entry(view: &View<'_>) -> Option<Markup> {
    let mut groups = view.plays.offense.by_entry();
    let known: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    groups.retain(|(entry, _)| *entry != Entry::None);
    let with: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    let share = Share::of(with, known)?;
    let entries = Most::of(&groups, known)?;
    let entries = Leads::of(view, entries, "brief-one", |entry| view.words.a(entry).to_owned());
    let count = [
        ("percent", strong(share.percent(view.words)).into()),
        ("count", share.count(view.words).into()),
    ];
    Some(html! {
        (entries.html(view, "brief-entry-leads", "brief-entry-alike", &count))
        (view.caution(share.sample_size()))
    })
}

/// Every coverage with its share, the most frequent first: `at the level 30 %, drop 26 %, ...`; and whether they mix.
fn coverages(
    view: &View<'_>,
    groups: &[(Coverage, Vec<&ScreenPlay<'_>>)],
    read: usize,
) -> Option<(Said, bool)> {
    let shares: Vec<(Coverage, Share)> = groups
        .iter()
        .filter_map(|(coverage, plays)| Some((*coverage, Share::of(plays.len(), read)?)))
        .collect();
    let (_, first) = shares.first()?;
    let each = shares.iter().map(|(coverage, share)| {
        let name = strong(view.words.coverage(*coverage)).into();
        let share = share.percent(view.words).into();
        view.words.said("brief-one", &[("name", name), ("share", share)])
    });
    Some((Said::list(each, ", "), first.interval.value <= MIXED))
}

/// What they met, and what hurt.
fn met(view: &View<'_>) -> Option<Markup> {
    let groups = view.plays.offense.by_coverage();
    let read = view.plays.offense.read();
    let (faced, is_mixed) = coverages(view, &groups, read)?;
    let variance = view.plays.variance;
    let ranked = ranked(&groups);
    let differ = |high: &Points, low: &Points| {
        let both = high.interval(variance).zip(low.interval(variance));
        both.is_some_and(|(high, low)| is_above(high, low))
    };
    let coverage = |word: &Coverage| strong(view.words.coverage(*word)).into();
    let points = |points: &Points| points.text(variance, view.words).into();
    Some(html! {
        (view.html("brief-faced", &[("coverages", faced.into()), ("n", read.into())]))
        @if is_mixed { " " (view.text("brief-faced-mixed")) }
        (view.caution(SampleSize::of(read)))
        @if let [(best, high), .., (worst, low)] = ranked.as_slice() {
            " "
            @if differ(high, low) {
                (view.html("brief-scored-more", &[
                    ("best", coverage(best)), ("high", points(high)), ("worst", coverage(worst)), ("low", points(low)),
                ]))
                (view.caution(SampleSize::of(high.possessions().min(low.possessions()))))
            } @else {
                (view.text("brief-scored-alike"))
            }
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
    Some(html! {
        (view.html("brief-disguise", &[
            ("percent", strong(share.percent(view.words)).into()),
            ("count", share.count(view.words).into()),
        ]))
        (view.caution(share.sample_size()))
    })
}

/// What they play themselves.
fn played(view: &View<'_>) -> Option<Markup> {
    let groups = view.plays.defense.by_coverage();
    let read = view.plays.defense.read();
    let (played, is_mixed) = coverages(view, &groups, read)?;
    let (first, plays) = groups.first()?;
    let gives_up = points_of(plays.iter().copied()).text(view.plays.variance, view.words);
    let first = sentence(view.words.coverage(*first));
    Some(html! {
        (view.html("brief-played", &[("coverages", played.into()), ("n", read.into())])) " "
        @if is_mixed { (view.text("brief-played-mixed")) }
        @else { (view.html("brief-played-gives", &[("first", first.into()), ("points", gives_up.into())])) }
        (view.caution(SampleSize::of(read)))
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
