//! Of which ball screens, and how many: the one place that decides which screens on the ball count as a team's ball screens
//! and what each counts as. `tendencies`, the digest, the demo, the report and the clip lists all take it from here.
//!
//! A ball screen counts whatever became of it, also when it was flipped, rejected or unused, and in transition too. A
//! handoff is no ball screen: it has clips and rows of its own, and is counted apart.

use std::collections::{BTreeMap, BTreeSet};

use scrim_floor::Zone;
use scrim_tables::Id;
use scrim_tables::tags::{Coverage, Entry, Outcome, ScreenKind, TeamSide};

/// What came before a screen on the ball.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Before {
    /// It came out of this: its entry, or the ball screen that it follows as a chain.
    OutOf(Entry),
    /// It came out of nothing, but this was the last action of its possession before it.
    First(Entry),
    /// No action at all.
    Nothing,
}

/// What the counts need of a screen on the ball, from wherever it was read.
pub trait OnBallScreen {
    /// Ball screen or handoff.
    fn kind(&self) -> ScreenKind;
    /// The team with the ball, and the team without.
    fn teams(&self) -> [&Id; 2];
    /// The tag of `coverages`; `None` when it has no row.
    fn coverage_tag(&self) -> Option<Coverage>;
    /// The tag of `entries`, and whether it follows another ball screen as a chain; `None` when it has no row.
    fn entry_tag(&self) -> Option<(Entry, bool)>;
    /// The last action of its look; [`Entry::None`] where the look has none, `None` when that is not known.
    fn last_of_look(&self) -> Option<Entry>;
    /// Handler and screener.
    fn pair(&self) -> (&Id, &Id);
    /// Where the screener stands.
    fn zone(&self) -> Zone;
    /// Its possession: a number of its game, and a number of the possession in it.
    fn possession_key(&self) -> (usize, usize);
    /// Points of its possession.
    fn possession_points(&self) -> Option<u8>;

    /// The team on that side of the ball.
    fn team(&self, side: TeamSide) -> &Id {
        self.teams()[side as usize]
    }

    /// Whether it counts as a ball screen.
    fn is_ball_screen(&self) -> bool {
        is_ball_screen(self.kind())
    }

    /// How it was covered; `None` when that is unclear or not known.
    fn coverage(&self) -> Option<Coverage> {
        self.coverage_tag()
            .filter(|coverage| *coverage != Coverage::Unclear)
    }

    /// What it came out of: its entry, or, when there was none, the ball screen that it follows as a chain. `None` when that
    /// is not known.
    fn came_out_of(&self) -> Option<Entry> {
        self.entry_tag().map(|tag| match tag {
            (Entry::None, true) => Entry::BallScreen,
            (entry, _) => entry,
        })
    }

    /// What came before it. `None` when that is not known.
    fn before(&self) -> Option<Before> {
        Some(match (self.came_out_of()?, self.last_of_look()) {
            (Entry::None, Some(Entry::None)) => Before::Nothing,
            (Entry::None, last) => Before::First(last?),
            (entry, _) => Before::OutOf(entry),
        })
    }
}

/// Whether a screen on the ball counts as a ball screen.
pub const fn is_ball_screen(kind: ScreenKind) -> bool {
    matches!(kind, ScreenKind::BallScreen)
}

/// A screen on the ball, as far as it says whether a flip turned into it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flippable<'a> {
    pub id: u32,
    /// The one that it follows on.
    pub previous: Option<u32>,
    pub outcome: Outcome,
    /// Handler and screener.
    pub pair: (&'a Id, &'a Id),
}

/// Of each screen that a flip of the same pair turned into, the id of the one that begins the action: the side that was given up (of a
/// flip that was flipped once more, the first one). A flip and what it turned into are one action; every other screen is one of its
/// own and is left out. `screens`: a game's, in time order.
pub(crate) fn actions<'a>(screens: impl Iterator<Item = Flippable<'a>>) -> BTreeMap<u32, u32> {
    let mut flips: BTreeMap<u32, (&Id, &Id)> = BTreeMap::new();
    let mut actions: BTreeMap<u32, u32> = BTreeMap::new();
    for screen in screens {
        let flip = screen.previous.filter(|id| flips.get(id) == Some(&screen.pair));
        if let Some(flip) = flip {
            let begin = actions.get(&flip).copied().unwrap_or(flip);
            actions.insert(screen.id, begin);
        }
        if screen.outcome == Outcome::Flipped {
            flips.insert(screen.id, screen.pair);
        }
    }
    actions
}

/// One team's ball screens, with the ball or against it, in the order that they were given.
#[derive(Debug, Clone)]
pub struct BallScreens<S>(Vec<S>);

impl<S: OnBallScreen> BallScreens<S> {
    /// The ball screens of `team` on one side of the ball.
    pub fn of(screens: impl IntoIterator<Item = S>, team: &str, side: TeamSide) -> Self {
        let ours = |screen: &S| screen.is_ball_screen() && screen.team(side).as_ref() == team;
        Self(screens.into_iter().filter(ours).collect())
    }

    /// All of them.
    pub fn all(&self) -> &[S] {
        &self.0
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// Those of each coverage, the most frequent first. Shares are of those whose coverage is known: [`Self::read`].
    pub fn by_coverage(&self) -> Vec<(Coverage, Vec<&S>)> {
        grouped(
            self.0
                .iter()
                .filter_map(|screen| Some((screen.coverage()?, screen))),
        )
    }

    /// How many have a known coverage.
    pub fn read(&self) -> usize {
        self.0.iter().filter(|screen| screen.coverage().is_some()).count()
    }

    /// Those of each pair of handler and screener, the most frequent first.
    pub fn by_pair(&self) -> Vec<((&Id, &Id), Vec<&S>)> {
        grouped(self.0.iter().map(|screen| (screen.pair(), screen)))
    }

    /// Those of each zone, the most frequent first.
    pub fn by_zone(&self) -> Vec<(Zone, Vec<&S>)> {
        grouped(self.0.iter().map(|screen| (screen.zone(), screen)))
    }

    /// Those that came out of each action, the most frequent first; those of which it is not known are left out.
    pub fn by_entry(&self) -> Vec<(Entry, Vec<&S>)> {
        grouped(
            self.0
                .iter()
                .filter_map(|screen| Some((screen.came_out_of()?, screen))),
        )
    }
}

/// The known points of the possessions of some ball screens: each possession once, however many ball screens it had.
pub fn possession_points<'s, S: OnBallScreen + 's>(
    screens: impl IntoIterator<Item = &'s S>,
) -> impl Iterator<Item = u8> {
    let mut seen = BTreeSet::new();
    screens
        .into_iter()
        .filter(move |screen| seen.insert(screen.possession_key()))
        .filter_map(OnBallScreen::possession_points)
}

/// Each value and its items, the most frequent first; of equals, the lower value.
pub fn grouped<K: Ord, T>(items: impl IntoIterator<Item = (K, T)>) -> Vec<(K, Vec<T>)> {
    let mut groups = BTreeMap::<K, Vec<T>>::new();
    for (key, item) in items {
        groups.entry(key).or_default().push(item);
    }
    let mut groups: Vec<_> = groups.into_iter().collect();
    groups.sort_by_key(|(_, items)| std::cmp::Reverse(items.len()));
    groups
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Kind, coverage and entry; everything else is the same.
    struct Short(ScreenKind, Option<Coverage>, Option<(Entry, bool)>, Id);

    impl Short {
        fn tagged(tag: Option<(Entry, bool)>) -> Self {
            Self(ScreenKind::BallScreen, None, tag, "a".into())
        }
    }

    impl OnBallScreen for Short {
        fn kind(&self) -> ScreenKind {
            self.0
        }
        fn teams(&self) -> [&Id; 2] {
            [&self.3, &self.3]
        }
        fn coverage_tag(&self) -> Option<Coverage> {
            self.1
        }
        fn entry_tag(&self) -> Option<(Entry, bool)> {
            self.2
        }
        /// Each has a down screen in its look.
        fn last_of_look(&self) -> Option<Entry> {
            self.2.map(|_| Entry::Down)
        }
        fn pair(&self) -> (&Id, &Id) {
            (&self.3, &self.3)
        }
        fn zone(&self) -> Zone {
            Zone::Top
        }
        fn possession_key(&self) -> (usize, usize) {
            (0, usize::from(self.0 == ScreenKind::Handoff))
        }
        fn possession_points(&self) -> Option<u8> {
            Some(2)
        }
    }

    fn short(kind: ScreenKind, coverage: Option<Coverage>) -> Short {
        Short(kind, coverage, None, "a".into())
    }

    #[test]
    fn handoffs_do_not_count_and_unclear_coverages_are_not_read() {
        let screens = [
            short(ScreenKind::BallScreen, Some(Coverage::Switch)),
            short(ScreenKind::BallScreen, Some(Coverage::Drop)),
            short(ScreenKind::BallScreen, Some(Coverage::Switch)),
            short(ScreenKind::BallScreen, Some(Coverage::Unclear)),
            short(ScreenKind::BallScreen, None),
            short(ScreenKind::Handoff, Some(Coverage::Drop)),
        ];
        let ours = BallScreens::of(screens, "a", TeamSide::Offense);
        assert_eq!((ours.count(), ours.read()), (5, 3));
        let counts: Vec<_> = ours
            .by_coverage()
            .iter()
            .map(|(coverage, screens)| (*coverage, screens.len()))
            .collect();
        assert_eq!(counts, [(Coverage::Switch, 2), (Coverage::Drop, 1)]);
        // Five ball screens of one possession: its points count once.
        assert_eq!(possession_points(ours.all()).collect::<Vec<_>>(), [2]);
    }

    #[test]
    fn without_an_entry_a_chained_ball_screen_came_out_of_the_one_before() {
        let of = |tag| Short::tagged(tag).came_out_of();
        assert_eq!(of(Some((Entry::None, true))), Some(Entry::BallScreen));
        assert_eq!(of(Some((Entry::None, false))), Some(Entry::None));
        assert_eq!(of(Some((Entry::Down, true))), Some(Entry::Down));
        assert_eq!(of(None), None);
    }

    #[test]
    fn what_was_first_is_not_what_it_came_out_of() {
        let of = |tag| Short::tagged(tag).before();
        assert_eq!(of(Some((Entry::Flash, false))), Some(Before::OutOf(Entry::Flash)));
        assert_eq!(
            of(Some((Entry::None, true))),
            Some(Before::OutOf(Entry::BallScreen))
        );
        assert_eq!(of(Some((Entry::None, false))), Some(Before::First(Entry::Down)));
        assert_eq!(of(None), None);
    }

    #[test]
    fn a_flip_and_what_it_turned_into_are_one_action() {
        use Outcome::{Flipped, Rejected, Used};
        let [a, b, c]: [Id; 3] = ["a", "b", "c"].map(Into::into);
        let screens = [
            // Flipped twice, then used: one action of three rows.
            (0, None, Flipped, (&a, &b)),
            (1, Some(0), Flipped, (&a, &b)),
            (2, Some(1), Used, (&a, &b)),
            // Set again after it was rejected: an action of its own.
            (3, None, Rejected, (&a, &b)),
            (4, Some(3), Used, (&a, &b)),
            // The other screener of a double is not what the flip turned into.
            (5, None, Flipped, (&a, &b)),
            (6, Some(5), Used, (&a, &c)),
        ];
        let screens = screens.map(|(id, previous, outcome, pair)| Flippable {
            id,
            previous,
            outcome,
            pair,
        });
        assert_eq!(actions(screens.into_iter()), BTreeMap::from([(1, 0), (2, 0)]));
    }

    #[test]
    fn groups_come_by_size_then_by_value() {
        let groups = grouped([("b", 1), ("a", 2), ("c", 3), ("c", 4)]);
        assert_eq!(groups, [("c", vec![3, 4]), ("a", vec![2]), ("b", vec![1])]);
    }
}
