//! What worked against the team, as far as its ball screens show a difference: the coverage and the way around the screen that gave up
//! least, the answer to a coverage that got most, and after what the screener's defender has to be earlier.

use scrim_floor::Definitions;
use scrim_season::ball_screens::{OnBallScreen, grouped};
use scrim_season::questions::AskedScreen;
use scrim_statistics::{Interval, Sample, mean_interval};
use scrim_tables::tags::{Entry, RunResult};

use crate::evidence::{Share, is_above, median_of};
use crate::plays::ScreenPlay;

/// Fewer ball screens are not compared. Common practice, no source.
const FEWEST: usize = 10;
/// Nobody can be told to be earlier by less than this, s. Common practice, no source.
const EARLIER_S: f32 = 0.2;

/// Whether what gave up least is looked for, or what got most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    Least,
    Most,
}

impl Wanted {
    /// The lower and the higher of two, if `one` is what is wanted beside the other.
    fn in_order(self, one: Interval, other: Interval) -> (Interval, Interval) {
        match self {
            Self::Least => (one, other),
            Self::Most => (other, one),
        }
    }
}

/// One of several things after which the offence had the better of clearly less often, or more often, than after all the others together.
#[derive(Debug)]
pub(super) struct Worked<'p, 'a, K> {
    pub(super) what: K,
    /// On how many of them the offence had the better: points, or an open shot.
    pub(super) share: Share,
    /// The same of all the others.
    pub(super) others: Share,
    pub(super) plays: Vec<&'p ScreenPlay<'a>>,
}

/// What worked of the plays' groups; `None` where the intervals overlap, or where there are too few.
pub(super) fn worked<'p, 'a, K: Ord + Copy>(
    plays: impl Iterator<Item = (K, &'p ScreenPlay<'a>)>,
    wanted: Wanted,
) -> Option<Worked<'p, 'a, K>> {
    let known = plays.filter_map(|(what, play)| {
        let result = play.result(Definitions::DEFAULT.open_shot_m)?;
        Some((what, (play, result == RunResult::Beat)))
    });
    let groups = grouped(known);
    let beats = |of: &[(&ScreenPlay<'_>, bool)]| of.iter().filter(|(_, is_beat)| *is_beat).count();
    let n: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    let hits: usize = groups.iter().map(|(_, plays)| beats(plays)).sum();
    let mut best: Option<Worked<'p, 'a, K>> = None;
    for (what, plays) in &groups {
        if plays.len() < FEWEST || n - plays.len() < FEWEST {
            continue;
        }
        let share = Share::of(beats(plays), plays.len())?;
        let others = Share::of(hits - share.hits, n - share.n)?;
        let (lower, higher) = wanted.in_order(share.interval, others.interval);
        let is_better = best.as_ref().is_none_or(|best| {
            let (lower, higher) = wanted.in_order(share.interval, best.share.interval);
            lower.value < higher.value
        });
        if is_above(higher, lower) && is_better {
            best = Some(Worked {
                what: *what,
                share,
                others,
                plays: plays.iter().map(|(play, _)| *play).collect(),
            });
        }
    }
    best
}

/// What the ball screens come out of after which the screener's defenders are clearly later than where nothing comes before.
#[derive(Debug)]
pub(super) struct Late<'p, 'a> {
    pub(super) entry: Entry,
    /// How long after the set they were in place, the middle one, s, and how often that is known.
    pub(super) late: (f32, u32),
    /// The same where nothing comes before.
    pub(super) otherwise: (f32, u32),
    pub(super) plays: Vec<&'p ScreenPlay<'a>>,
}

/// The entry of the plays that makes the screener's defenders latest; `None` where that is not clear, of means, or too little to act on, of
/// the middle ones: a few who come very late move a mean alone.
pub(super) fn latest<'p, 'a>(plays: impl Iterator<Item = &'p ScreenPlay<'a>>) -> Option<Late<'p, 'a>> {
    let known = plays.filter_map(|play| {
        let late_s = play
            .entry?
            .screener_defender_late_s
            .filter(|late_s| late_s.is_finite())?;
        Some((play.came_out_of()?, (play, f64::from(late_s))))
    });
    let groups = grouped(known);
    let sample = |plays: &[(&ScreenPlay<'_>, f64)]| {
        plays.iter().fold(Sample::default(), |mut sample, (_, late_s)| {
            sample.add(*late_s);
            sample
        })
    };
    let all = groups
        .iter()
        .fold(Sample::default(), |all, (_, plays)| all.with(sample(plays)));
    let variance = all.variance()?;
    let (_, straight) = groups
        .iter()
        .find(|(entry, plays)| *entry == Entry::None && plays.len() >= FEWEST)?;
    let otherwise = sample(straight);
    let other = mean_interval(&otherwise, variance)?;
    let middle = |plays: &[(&ScreenPlay<'_>, f64)]| {
        median_of(plays.iter().map(|(_, late_s)| *late_s as f32).collect())
    };
    let other_s = middle(straight)?;
    let mut latest: Option<Late<'p, 'a>> = None;
    for (entry, plays) in &groups {
        if *entry == Entry::None || plays.len() < FEWEST {
            continue;
        }
        let late = sample(plays);
        let interval = mean_interval(&late, variance)?;
        let late_s = middle(plays)?;
        let is_later = latest.as_ref().is_none_or(|known| late_s > known.late.0);
        if is_above(interval, other) && late_s - other_s >= EARLIER_S && is_later {
            latest = Some(Late {
                entry: *entry,
                late: (late_s, late.n),
                otherwise: (other_s, otherwise.n),
                plays: plays.iter().map(|(play, _)| *play).collect(),
            });
        }
    }
    latest
}

#[cfg(test)]
mod tests {
    use scrim_tables::tags::Coverage;

    use super::*;
    use crate::plays::{Plays, clocks_of};
    use crate::staging::{staged_game, staged_team};

    /// Of the staged ball screens those of an odd number bring nothing, the others two points; each has a shot with 1.5 m of room.
    fn with_coverages(
        of: impl Fn(usize) -> Coverage,
        seen: impl Fn(Option<(Coverage, usize, usize)>),
        wanted: Wanted,
    ) {
        let mut game = staged_game("G1", 60);
        for (number, row) in game.coverages.iter_mut().enumerate() {
            row.coverage = of(number);
        }
        let team = staged_team(vec![game]);
        let clocks = clocks_of(&team);
        let plays = Plays::of(&team, &clocks);
        let covered = plays
            .offense
            .all()
            .iter()
            .filter_map(|play| Some((play.coverage()?, play)));
        let found = worked(covered, wanted);
        seen(found.map(|found| (found.what, found.share.hits, found.others.hits)));
    }

    #[test]
    fn what_gave_up_clearly_less_worked_and_what_may_be_chance_did_not() {
        // Twenty switches of which five are beaten (11 to 47 %), of the forty drops twenty-five (47 to 76 %): apart by less than a hundredth.
        let switched = |number: usize| {
            let is_switch = if number.is_multiple_of(2) {
                number < 10
            } else {
                number < 30
            };
            if is_switch {
                Coverage::Switch
            } else {
                Coverage::Drop
            }
        };
        with_coverages(
            switched,
            |found| assert_eq!(found, Some((Coverage::Switch, 5, 25))),
            Wanted::Least,
        );
        with_coverages(
            switched,
            |found| assert_eq!(found, Some((Coverage::Drop, 25, 5))),
            Wanted::Most,
        );
        // Ten of twenty and twenty of forty.
        let alike = |number: usize| {
            if number < 20 {
                Coverage::Switch
            } else {
                Coverage::Drop
            }
        };
        with_coverages(alike, |found| assert_eq!(found, None), Wanted::Least);
        // Nine that are never beaten are too few.
        let few = |number: usize| {
            if number % 2 == 1 && number < 18 {
                Coverage::Switch
            } else {
                Coverage::Drop
            }
        };
        with_coverages(few, |found| assert_eq!(found, None), Wanted::Least);
    }

    #[test]
    fn after_what_the_defenders_are_late_is_said_where_it_is_clear() {
        let latest_of = |after_flash_s: f32| {
            let mut game = staged_game("G1", 40);
            for (number, row) in game.entries.iter_mut().enumerate() {
                let wobble_s = if number % 2 == 0 { 0.1 } else { -0.1 };
                (row.entry, row.screener_defender_late_s) = if number < 20 {
                    (Entry::None, Some(0.4 + wobble_s))
                } else {
                    (Entry::Flash, Some(after_flash_s + wobble_s))
                };
            }
            let team = staged_team(vec![game]);
            let clocks = clocks_of(&team);
            let plays = Plays::of(&team, &clocks);
            latest(plays.offense.all().iter()).map(|late| (late.entry, late.late.1, late.otherwise.1))
        };
        assert_eq!(latest_of(0.9), Some((Entry::Flash, 20, 20)));
        // Later, and not by enough to act on.
        assert_eq!(latest_of(0.55), None);
        assert_eq!(latest_of(0.42), None);
    }
}
