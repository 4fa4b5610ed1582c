//! What they do most, as rules: what the screener does, the way in, the place, the pair.

use maud::{Markup, html};
use scrim_season::ball_screens::grouped;
use scrim_season::look::Look;
use scrim_season::words::{Arg, SampleSize, Words, strong};
use scrim_tables::tags::{Entry, Grouping, TeamSide};

use super::super::view::View;
use super::{About, Rule, latest_first};
use crate::drawing::Moment;
use crate::evidence::{Most, Share};
use crate::plays::ScreenPlay;

/// So large a share is most of them.
const MOST_OF_ALL: f64 = 0.5;

/// What they do most: after the screen, the way in, the place, the pair; where no one thing clearly is it, the first two. None of fewer ball screens than a
/// share is worth saying of.
pub(super) fn most_of_all<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let words = view.words;
    let plays = &view.plays.offense;
    let size = SampleSize::of(plays.count());
    if size == SampleSize::VerySmall {
        return Vec::new();
    }
    let rule = |text: String, share: Share, what: &'static str, runs: &[&'v ScreenPlay<'v>]| {
        let why = [
            ("percent", strong(share.percent(words)).into()),
            ("what", Arg::Word(what)),
            ("hits", share.hits.into()),
            ("n", share.n.into()),
        ];
        Rule {
            text,
            why: html! { (view.html("rule-most-why", &why)) (view.caution(size)) },
            plays: latest_first(runs.to_vec()),
            moment: Moment::Screen,
            about: None,
        }
    };
    let did = plays.all().iter().filter_map(|play| {
        let action = play.option?.screener_action;
        words.screener(action).map(|_| (action, play))
    });
    let did = most_first(did);
    let known: usize = did.iter().map(|(_, plays)| plays.len()).sum();
    let after = Most::of(&did, known).and_then(Most::clear);
    let after = after.and_then(|(action, share)| {
        let why = [
            ("does", words.screener(action)?.into()),
            ("percent", strong(share.percent(words)).into()),
            ("hits", share.hits.into()),
            ("n", share.n.into()),
        ];
        Some(Rule {
            text: words.after_rule(action)?,
            why: html! { (view.html("rule-after-why", &why)) (view.caution(size)) },
            plays: latest_first(did[0].1.clone()),
            moment: Moment::After,
            about: None,
        })
    });
    let mut entries = plays.by_entry();
    let known: usize = entries.iter().map(|(_, plays)| plays.len()).sum();
    let straight = Most::of(&entries, known).and_then(Most::clear);
    let straight =
        straight.filter(|(entry, share)| *entry == Entry::None && share.interval.low > MOST_OF_ALL);
    let straight = straight.map(|(_, share)| {
        let text = words.text("rule-most-straight").to_owned();
        rule(text, share, "straight", &entries[0].1)
    });
    entries.retain(|(entry, _)| *entry != Entry::None);
    let way_in = Often::of(&entries, known, |entry| words.a(entry).to_owned());
    let way_in = way_in.map(|ways| {
        let text = ways.says(
            words,
            ["rule-most-entry", "rule-most-one-entry", "rule-most-entries"],
        );
        let is_one = ways.named.len() == 1;
        let said = rule(
            text,
            ways.share,
            if is_one { "entry" } else { "entries" },
            &entries[0].1,
        );
        let seen: Vec<Entry> = entries[..ways.named.len()]
            .iter()
            .map(|(entry, _)| *entry)
            .collect();
        Rule {
            about: Some(About::WayIn(seen[0].as_str().to_owned())),
            why: next_after(view, &seen).unwrap_or(said.why),
            ..said
        }
    });
    let zones = plays.by_zone();
    let place = Often::of(&zones, plays.count(), |zone| words.zone(zone).to_owned());
    let place = place.map(|places| {
        let text = places.says(words, ["rule-most-place", "rule-most-place", "rule-most-places"]);
        rule(text, places.share, "place", &zones[0].1)
    });
    let pairs = plays.by_pair();
    let pair = Often::of(&pairs, plays.count(), |(handler, screener)| {
        let [handler, screener] = [handler, screener].map(|player| view.names.called(player).into());
        words.say("pair-for", &[("screener", screener), ("handler", handler)])
    });
    let pair = pair.map(|named| {
        let text = named.says(words, ["rule-most-pair", "rule-most-pair", "rule-most-pairs"]);
        rule(text, named.share, "pair", &pairs[0].1)
    });
    let all = [after, way_in, place, pair, straight];
    all.into_iter().flatten().collect()
}

/// How often a ball screen was the very next action after one of these actions; `None` where too few are known. A defender sees the action and
/// asks what comes, not what the ball screens came out of.
fn next_after(view: &View<'_>, seen: &[Entry]) -> Option<Markup> {
    let (mut hits, mut n) = (0, 0);
    for row in &view.team.season.tendencies {
        let is_look = row.side == TeamSide::Offense && row.grouping == Grouping::Look;
        let last = || Look::parse(&row.key).ok()?.tokens.last().map(|token| token.word);
        if is_look && last().is_some_and(|word| seen.contains(&word)) {
            hits += row.hits as usize;
            n += row.n as usize;
        }
    }
    let share = Share::of(hits, n)?;
    if matches!(share.sample_size(), SampleSize::VerySmall | SampleSize::Small) {
        return None;
    }
    let why = [
        ("percent", strong(share.percent(view.words)).into()),
        (
            "what",
            Arg::Word(if seen.len() == 1 { "entry" } else { "entries" }),
        ),
        ("hits", share.hits.into()),
        ("n", share.n.into()),
    ];
    Some(view.html("rule-next-why", &why))
}

/// Groups, the largest first; of equals the lower key.
fn most_first<K: Ord + Copy, T>(of: impl Iterator<Item = (K, T)>) -> Vec<(K, Vec<T>)> {
    let mut groups = grouped(of);
    groups.sort_by_key(|(_, plays)| std::cmp::Reverse(plays.len()));
    groups
}

/// What comes up often: the most frequent of several things, or the first two where none clearly is.
struct Often {
    named: Vec<String>,
    is_clear: bool,
    /// Of these together.
    share: Share,
}

impl Often {
    fn of<K: Clone, T>(groups: &[(K, Vec<T>)], n: usize, name: impl Fn(K) -> String) -> Option<Self> {
        let most = Most::of(groups, n)?;
        let second = most.second.filter(|_| !most.is_clear);
        let hits = most.first.1.hits + second.as_ref().map_or(0, |(_, share)| share.hits);
        let named = std::iter::once(most.first)
            .chain(second)
            .map(|(thing, _)| name(thing));
        Some(Self {
            is_clear: most.is_clear,
            named: named.collect(),
            share: Share::of(hits, n)?,
        })
    }

    /// The rule: of one thing that clearly is the most frequent, of one that may not be (among all, the only one always is), or of two.
    fn says(&self, words: &Words, [clear, one, two]: [&str; 3]) -> String {
        let names = ["first", "second"].into_iter().zip(&self.named);
        let args: Vec<(&str, Arg)> = names.map(|(key, name)| (key, name.into())).collect();
        let key = match self.named.len() {
            _ if self.is_clear => clear,
            1 => one,
            _ => two,
        };
        words.say(key, &args)
    }
}
