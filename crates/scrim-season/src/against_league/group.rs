//! What is compared with each other: the same question of the same situation, of all teams, pairs or defenders.

use std::collections::{BTreeMap, BTreeSet};

use scrim_statistics::{
    Estimate, Interval, Sample, clustering, mean_by_chance, quantile, share_by_chance, share_effect,
    shrink_differences, wilson_share,
};
use scrim_tables::tags::{Question, TeamSide};

use super::{Counts, Word};
use crate::questions::Subject;
use crate::tally::Tally;
use crate::teams::TeamIx;

/// Fewer ball screens than this, or in fewer games, are not compared: the range would be wider than half of all there is. Common
/// practice, no source.
pub const FEWEST_COMPARED: u32 = 20;
const FEWEST_GAMES: u32 = 3;
/// Neither is an answer that came up less often, and would not have in the league: nobody plans for it. Common practice, no source.
pub const FEWEST_HITS: f64 = 5.0;
/// The league is other teams, at least so many, with so many ball screens.
const FEWEST_TEAMS: usize = 3;
const FEWEST_OF_LEAGUE: u32 = 60;

/// The variance of a median over that of a mean, of many normal values: the median's is 1 / (4 n f²) with f = 1 / (σ √(2π)) the density in the
/// middle, the mean's σ² / n.
const MEDIAN_VARIANCE: f64 = std::f64::consts::FRAC_PI_2;

/// All that have one baseline.
#[derive(Debug, Default)]
pub(super) struct Group<'a> {
    pub members: BTreeMap<(TeamIx, Subject<'a>), Counts>,
}

/// One member's difference from the league.
#[derive(Debug)]
pub(super) struct Compared<'a> {
    pub question: Question,
    pub side: TeamSide,
    pub team: TeamIx,
    pub subject: Subject<'a>,
    pub answer: Word,
    pub games: u32,
    pub n: u32,
    /// `None` of a mean.
    pub hits: Option<u32>,
    pub value: Interval,
    pub league: f64,
    pub league_n: u32,
    /// The mean of all, the member among them.
    pub all_teams: f64,
    pub difference: Interval,
    pub effect: f64,
    pub p_value: f64,
    /// Points of the possessions with the answer.
    pub points: Sample,
    /// Points of all possessions that the question asks about; of a mean, the same as `points`.
    pub asked_points: Sample,
    /// How many ball screens with the answer the team had, or would have had as the league has them: the more of the two.
    pub often: f64,
}

/// A member's counts of one answer, or its values, as numbers: a hit is a 1.
struct Measured<'c, 'a> {
    team: TeamIx,
    subject: Subject<'a>,
    sample: Sample,
    games: u32,
    tally: &'c Tally,
    asked: &'c Tally,
    /// Of each game the sum less what the member's own mean makes of its ball screens.
    residuals: Vec<f64>,
}

impl<'a> Group<'a> {
    /// Compares every member that is large enough, by every answer.
    pub fn compare(&self, question: Question, side: TeamSide, compared: &mut Vec<Compared<'a>>) {
        let words: BTreeSet<&Word> = self
            .members
            .values()
            .flat_map(|counts| counts.words.keys())
            .collect();
        let empty = Tally::default();
        let members = || self.members.iter();
        for word in words {
            let measured: Vec<Measured<'_, 'a>> = members()
                .map(|((team, subject), counts)| measure_word(*team, *subject, counts, word, &empty))
                .collect();
            compared.extend(Comparison::of(question, side, word, true, &measured).rows());
        }
        if members().any(|(_, counts)| counts.values.sample.n > 0) {
            let measured: Vec<Measured<'_, 'a>> = members()
                .map(|((team, subject), counts)| measure_values(*team, *subject, counts))
                .collect();
            compared.extend(Comparison::of(question, side, &None, false, &measured).rows());
        }
    }
}

fn measure_word<'c, 'a>(
    team: TeamIx,
    subject: Subject<'a>,
    counts: &'c Counts,
    word: &Word,
    empty: &'c Tally,
) -> Measured<'c, 'a> {
    let of_word = counts.words.get(word);
    let tally = of_word.map_or(empty, |of_word| &of_word.tally);
    let n = counts.n();
    let hits = f64::from(tally.count);
    let rate = hits / f64::from(n.max(1));
    let mut hits_of = of_word
        .map_or([].as_slice(), |of_word| &of_word.games)
        .iter()
        .peekable();
    let residuals = counts.games.iter().map(|(game, n)| {
        let here = hits_of.next_if(|(at, _)| at == game).map_or(0, |(_, hits)| *hits);
        f64::from(here) - rate * f64::from(*n)
    });
    Measured {
        team,
        subject,
        residuals: residuals.collect(),
        sample: Sample {
            n,
            sum: hits,
            sum_of_squares: hits,
        },
        games: counts.games.len() as u32,
        tally,
        asked: &counts.asked,
    }
}

fn measure_values<'c, 'a>(team: TeamIx, subject: Subject<'a>, counts: &'c Counts) -> Measured<'c, 'a> {
    let values = &counts.values;
    let mean = values.sample.mean().unwrap_or(0.0);
    let residuals = counts
        .games
        .iter()
        .zip(&values.games)
        .map(|((_, n), (_, sum))| sum - mean * f64::from(*n));
    Measured {
        team,
        subject,
        residuals: residuals.collect(),
        sample: values.sample,
        games: counts.games.len() as u32,
        tally: &values.tally,
        asked: &counts.asked,
    }
}

/// All members by one answer.
struct Comparison<'m, 'c, 'a> {
    question: Question,
    side: TeamSide,
    word: &'m Word,
    is_share: bool,
    measured: &'m [Measured<'c, 'a>],
    /// Of each team all its members together.
    teams: BTreeMap<TeamIx, Sample>,
    all: Sample,
    /// How much games hang together.
    clustering: f64,
    /// The spread of values within a member.
    variance: f64,
}

impl<'m, 'c, 'a> Comparison<'m, 'c, 'a> {
    fn of(
        question: Question,
        side: TeamSide,
        word: &'m Word,
        is_share: bool,
        measured: &'m [Measured<'c, 'a>],
    ) -> Self {
        let mut teams: BTreeMap<TeamIx, Sample> = BTreeMap::new();
        let mut residuals = Vec::new();
        let (mut independent, mut groups) = (0.0, 0);
        for member in measured {
            let sum = teams.entry(member.team).or_default();
            *sum = sum.with(member.sample);
            if let Some(variance) = member.sample.variance() {
                residuals.extend_from_slice(&member.residuals);
                independent += variance * f64::from(member.sample.n - 1);
                groups += 1;
            }
        }
        let all = teams
            .values()
            .fold(Sample::default(), |all, team| all.with(*team));
        let freedom = f64::from(all.n).max(groups as f64 + 1.0) - groups as f64;
        Self {
            question,
            side,
            word,
            is_share,
            measured,
            teams,
            all,
            clustering: clustering(&residuals, independent, groups),
            variance: independent / freedom,
        }
    }

    /// A row for each member that is large enough, its difference drawn toward the mean of all.
    fn rows(&self) -> Vec<Compared<'a>> {
        let raw: Vec<(&Measured<'c, 'a>, Raw)> = self
            .measured
            .iter()
            .filter_map(|member| Some((member, self.raw(member)?)))
            .collect();
        let estimates: Vec<Estimate> = raw.iter().map(|(_, raw)| raw.estimate).collect();
        let shrunk = shrink_differences(&estimates);
        let rows = raw.iter().zip(shrunk);
        rows.map(|((member, raw), difference)| self.row(member, raw, difference))
            .collect()
    }

    /// The league without a team.
    fn without(&self, team: TeamIx) -> Sample {
        self.all.without(self.teams[&team])
    }

    /// What a mean of `team` is held against, and how many ball screens that is worth: the other teams together, or their middle team,
    /// whichever is nearer. One team that is far off moves the first, and would make every other stand out on the other side.
    fn baseline(&self, team: TeamIx, mean: f64) -> Option<(f64, f64)> {
        let league = self.without(team);
        let mut means: Vec<f64> = self
            .teams
            .iter()
            .filter(|(other, sum)| **other != team && sum.n >= FEWEST_COMPARED)
            .filter_map(|(_, sum)| sum.mean())
            .collect();
        if means.len() < FEWEST_TEAMS || league.n < FEWEST_OF_LEAGUE {
            return None;
        }
        means.sort_by(f64::total_cmp);
        let (together, middle) = (league.mean()?, quantile(&means, 0.5)?);
        let n = f64::from(league.n);
        Some(if (mean - together).abs() <= (mean - middle).abs() {
            (together, n)
        } else {
            (middle, n / MEDIAN_VARIANCE)
        })
    }

    /// `None` of a member that is too small, or has no league to be held against.
    fn raw(&self, member: &Measured<'c, 'a>) -> Option<Raw> {
        if member.sample.n < FEWEST_COMPARED || member.games < FEWEST_GAMES {
            return None;
        }
        let n = f64::from(member.sample.n);
        let mean = member.sample.sum / n;
        let (league, worth) = self.baseline(member.team, mean)?;
        // The league's own uncertainty counts as that of the member's.
        let n_effective = n / (self.clustering * (1.0 + n / worth));
        let (standard_error, p_value) = if self.is_share {
            let hits = member.sample.sum;
            if hits.max(n * league) < FEWEST_HITS {
                return None;
            }
            // Half a hit more keeps an answer that the league never gave from being impossible.
            let expected = (league * worth + 0.5) / (worth + 1.0);
            let pooled = (league * worth + hits + 0.5) / (worth + n + 1.0);
            let p_value = share_by_chance(mean * n_effective, n_effective, expected)?;
            ((pooled * (1.0 - pooled) / n_effective).sqrt(), p_value)
        } else {
            let standard_error = (self.variance / n_effective).sqrt();
            if standard_error <= 0.0 {
                return None;
            }
            (standard_error, mean_by_chance((mean - league) / standard_error))
        };
        Some(Raw {
            league_n: self.without(member.team).n,
            league,
            p_value,
            estimate: Estimate {
                value: mean - league,
                standard_error,
            },
        })
    }

    fn row(&self, member: &Measured<'c, 'a>, raw: &Raw, difference: Interval) -> Compared<'a> {
        let n = f64::from(member.sample.n);
        let mean = member.sample.sum / n;
        let (value, effect, often) = if self.is_share {
            // As many independent ball screens as the games are worth.
            let worth = (n / self.clustering).round().max(1.0);
            let value = wilson_share(mean * worth, worth as u32).unwrap_or(Interval::normal(mean, 0.0));
            let effect = share_effect(raw.league + difference.value, raw.league);
            (value, effect, n * mean.max(raw.league))
        } else {
            let value = Interval::normal(mean, (self.variance * self.clustering / n).sqrt());
            (value, difference.value / self.variance.sqrt(), n)
        };
        Compared {
            question: self.question,
            side: self.side,
            team: member.team,
            subject: member.subject,
            answer: self.word.clone(),
            games: member.games,
            n: member.sample.n,
            hits: self.is_share.then_some(member.sample.sum as u32),
            value,
            league: raw.league,
            league_n: raw.league_n,
            all_teams: self.all.mean().unwrap_or(mean),
            difference,
            effect,
            p_value: raw.p_value,
            points: member.tally.points,
            asked_points: member.asked.points,
            often,
        }
    }
}

/// A member's difference as it was counted.
struct Raw {
    league_n: u32,
    league: f64,
    p_value: f64,
    estimate: Estimate,
}
